//! Art is read in a process of its own: its death is a finding about the file, and the
//! program that asked goes on.

use art::ReadOptions;
use desk::{ReaderLimits, read_art_by};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

/// Limits that only one of them can meet, however busy the machine is.
fn patient() -> ReaderLimits {
    ReaderLimits { wall: Duration::from_secs(300), processor_s: 60, ..ReaderLimits::default() }
}

fn program() -> &'static Path {
    Path::new(env!("CARGO_BIN_EXE_bondline"))
}

/// The code of the finding that a file comes to, and how long that took.
fn finding(program: &Path, bytes: &[u8], limits: ReaderLimits) -> (&'static str, Duration) {
    let start = Instant::now();
    let read = read_art_by(program, "kite", bytes, &ReadOptions::default(), &limits);
    (read.map_or_else(|finding| finding.code.0, |_| "read"), start.elapsed())
}

/// A plain picture of 4000 × 4000 pixels: 64 MB unpacked, far less as a file.
fn large_picture() -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, 4000, 4000);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_compression(png::Compression::Fastest);
    let row: Vec<u8> = (0..4000).flat_map(|x| if (x / 40) % 2 == 0 { [20, 60, 150, 255] } else { [0; 4] }).collect();
    encoder.write_header().expect("a header").write_image_data(&row.repeat(4000)).expect("data");
    file
}

/// Many curved shapes: minutes of joining for nobody's good.
fn laborious_drawing() -> Vec<u8> {
    let shapes: String = (0..1500)
        .map(|at| {
            let (x, y) = (at % 40 * 20, at / 40 * 20);
            format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"90\" fill=\"none\" stroke=\"#123\" stroke-width=\"7\"/>")
        })
        .collect();
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 800 800\">{shapes}</svg>").into_bytes()
}

#[test]
fn a_file_within_the_limits_comes_back_as_from_the_library() {
    let drawing = b"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"80mm\" height=\"60mm\" viewBox=\"0 0 80 60\">\
        <circle cx=\"40\" cy=\"30\" r=\"25\" fill=\"#145\"/><rect width=\"9\" height=\"9\" fill=\"#f0c020\"/></svg>";
    let options = ReadOptions::default();
    let far = read_art_by(program(), "kite", drawing, &options, &ReaderLimits::default()).expect("art");
    let near = art::read("kite", drawing, &options).expect("art");
    assert_eq!(far.findings, near.findings);
    assert_eq!((far.value.svg(), far.value.colours()), (near.value.svg(), near.value.colours()));
    let size = near.value.size(art::SizeWish::AsFile).expect("a size");
    assert_eq!(far.value.exact_region(size), near.value.exact_region(size));
    let refused = read_art_by(program(), "kite", b"Dear printer", &options, &ReaderLimits::default());
    assert_eq!(refused.expect_err("a refusal").code.0, "art.file-unknown");
}

#[cfg(target_os = "linux")]
#[test]
fn a_reader_that_wants_too_much_memory_is_stopped() {
    let little = ReaderLimits { memory: 150_000_000, ..patient() };
    assert_eq!(finding(program(), &large_picture(), little).0, "desk.reader-memory");
    assert_eq!(finding(program(), &large_picture(), patient()).0, "read");
}

#[cfg(target_os = "linux")]
#[test]
fn a_reader_that_takes_too_long_is_stopped() {
    let hasty = ReaderLimits { wall: Duration::from_millis(60), ..ReaderLimits::default() };
    let (code, took) = finding(program(), &laborious_drawing(), hasty);
    assert_eq!(code, "desk.reader-slow");
    assert!(took < Duration::from_secs(10));
    // No second of processor time at all: the system's own signal.
    let none = ReaderLimits { processor_s: 0, ..patient() };
    assert_eq!(finding(program(), &laborious_drawing(), none).0, "desk.reader-slow");
}

#[test]
fn a_reader_that_hands_back_too_much_is_stopped() {
    let narrow = ReaderLimits { output: 1_000_000, ..patient() };
    assert_eq!(finding(program(), &large_picture(), narrow).0, "desk.reader-much");
}

#[cfg(unix)]
#[test]
fn a_reader_that_dies_or_babbles_is_a_finding() {
    use std::os::unix::fs::PermissionsExt;
    let home = tempfile::tempdir().expect("a folder");
    let script = |name: &str, text: &str| -> PathBuf {
        let path = home.path().join(name);
        fs::write(&path, format!("#!/bin/sh\n{text}\n")).expect("written");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).expect("allowed");
        path
    };
    for (name, text) in
        [("dies", "exit 3"), ("crashes", "kill -SEGV $$"), ("babbles", "echo kite kite kite kite kite kite")]
    {
        assert_eq!(finding(&script(name, text), b"<svg", ReaderLimits::default()).0, "desk.reader-died", "{name}");
    }
    let sleeper = script("sleeps", "exec sleep 60");
    let hasty = ReaderLimits { wall: Duration::from_millis(200), ..ReaderLimits::default() };
    let (code, took) = finding(&sleeper, b"<svg", hasty);
    assert_eq!(code, "desk.reader-slow");
    assert!(took < Duration::from_secs(10));
    let missing = home.path().join("missing");
    assert_eq!(finding(&missing, b"<svg", ReaderLimits::default()).0, "desk.reader-not-started");
}

/// The front door: a bomb is refused in a sentence, in time, with exit code 2.
#[test]
fn a_bomb_at_the_front_door_is_refused_in_time() {
    let home = tempfile::tempdir().expect("a folder");
    let bomb = home.path().join("kite.svg");
    let groups = format!("{}<rect width=\"9\" height=\"9\"/>{}", "<g>".repeat(5000), "</g>".repeat(5000));
    fs::write(&bomb, format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{groups}</svg>"))
        .expect("written");
    let start = Instant::now();
    let run =
        Command::new(program()).args(["art", "check"]).arg(&bomb).args(["--width", "90mm"]).output().expect("runs");
    assert!(start.elapsed() < Duration::from_secs(10));
    assert_eq!(run.status.code(), Some(2));
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(said.contains("asks for more drawing work"), "{said}");
}

/// A document whose page unpacks to 3 GB of spaces, and one that unpacks to millions of squares.
fn swollen_document(unit: &[u8], times: usize) -> Vec<u8> {
    let mut packed = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
    for _ in 0..times {
        std::io::Write::write_all(&mut packed, unit).expect("packed");
    }
    let content = packed.finish().expect("packed");
    let mut file = b"%PDF-1.4\n".to_vec();
    let mut offsets = Vec::new();
    let stream = format!("<< /Length {} /Filter /FlateDecode >>\nstream\n", content.len()).into_bytes();
    let bodies: [Vec<u8>; 4] = [
        b"<< /Type /Catalog /Pages 2 0 R >>".to_vec(),
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>".to_vec(),
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 36] /Contents 4 0 R /Resources << >> >>".to_vec(),
        [stream, content, b"\nendstream".to_vec()].concat(),
    ];
    for (at, body) in bodies.iter().enumerate() {
        offsets.push(file.len());
        file.extend(format!("{} 0 obj\n", at + 1).into_bytes());
        file.extend(body);
        file.extend(b"\nendobj\n");
    }
    let start = file.len();
    file.extend(b"xref\n0 5\n0000000000 65535 f \n");
    for offset in offsets {
        file.extend(format!("{offset:010} 00000 n \n").into_bytes());
    }
    file.extend(format!("trailer << /Size 5 /Root 1 0 R >>\nstartxref\n{start}\n%%EOF").into_bytes());
    file
}

/// Whatever a swollen document asks for, the answer comes when the limits say: after six seconds
/// of processor time, which is under ten by the clock where a processor is free; sixty by the clock
/// of a machine busy with other work.
#[cfg(target_os = "linux")]
#[test]
fn a_document_that_swells_is_answered_in_time() {
    let squares = b"0.8 0.1 0.1 rg 9 9 18 18 re f\n".repeat(30_000);
    for bomb in [swollen_document(&[b' '; 1_000_000], 3000), swollen_document(&squares, 400)] {
        let (code, took) = finding(program(), &bomb, ReaderLimits::default());
        assert!(took < Duration::from_secs(70), "{code} after {took:?}");
        assert!(code.starts_with("desk.reader-") || code.starts_with("art."), "{code}");
    }
}
