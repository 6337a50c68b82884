//! The reader of art in a process of its own.
//!
//! A file may hold anything. It is read by a second run of this very program, which is
//! given so much memory and time and hands back so many bytes; when it dies, that is a
//! finding about the file. One process a file: nothing is carried over from one customer's
//! file to another's.
//!
//! A program says once where it lies ([`read_art_with`]); until it does, as in tests of
//! single rooms, files are read in the process itself, within the same caps but without a
//! limit on memory and time.

use crate::codes;
use art::form::Read as ArtRead;
use art::{Caps, ReadOptions};
use report::{Finding, Severity, Value};
use rustix::process::{Resource, Rlimit, setrlimit};
use serde::{Deserialize, Serialize};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// What one reader may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReaderLimits {
    /// Bytes of address space.
    pub memory: u64,
    /// Whole seconds of processor time.
    pub processor_s: u64,
    /// Time by the clock; longer than the processor's, for machines that are busy.
    pub wall: Duration,
    /// Bytes handed back.
    pub output: u64,
}

impl Default for ReaderLimits {
    /// 1.5 GB and 6 s: twice what the largest picture taken needs. A file that would take longer is
    /// answered for within ten seconds by the clock, unless the machine is busy with other work: then
    /// it may take up to 60, because a busy machine must not refuse what a quiet one reads.
    fn default() -> Self {
        let pixels = Caps::default().pixels.saturating_mul(4);
        Self {
            memory: 1_500_000_000,
            processor_s: 6,
            wall: Duration::from_secs(60),
            output: pixels.saturating_add(200_000_000),
        }
    }
}

/// The verb of the command line that runs a reader; not for people.
pub const READER_VERB: &str = "read-art";

static PROGRAM: OnceLock<PathBuf> = OnceLock::new();

/// From here on art is read by `program`, run with [`READER_VERB`]; the first call counts.
pub fn read_art_with(program: PathBuf) {
    let _ = PROGRAM.set(program);
}

/// Reads one file: in its own process where the program has said how, else in this one.
///
/// # Errors
/// As [`art::read`], and when the reader died.
pub fn read_art(name: &str, bytes: &[u8], options: &ReadOptions) -> ArtRead {
    match PROGRAM.get() {
        Some(program) => read_art_by(program, name, bytes, options, &ReaderLimits::default()),
        None => art::read(name, bytes, options),
    }
}

/// Reads one file in a process of `program`.
///
/// # Errors
/// As [`art::read`]; when the reader cannot be started; when it wants more memory, time or
/// output than it is given; when it dies of anything else.
pub fn read_art_by(program: &Path, name: &str, bytes: &[u8], options: &ReadOptions, limits: &ReaderLimits) -> ArtRead {
    let end = run(program, name, bytes, options, limits).unwrap_or_else(|error| End::NotStarted(error.to_string()));
    let stop = |code, remedy| Finding::new(Severity::StopsLine, code, remedy).named("file", name);
    let megabytes = |bytes: u64| Value::Count(i64::try_from(bytes / 1_000_000).unwrap_or(i64::MAX));
    match end {
        End::Answer(answer) => {
            art::form::unpack(answer).unwrap_or_else(|| Err(stop(codes::READER_DIED, codes::READER_DIED_REMEDY)))
        }
        End::Memory => {
            let finding = stop(codes::READER_MEMORY, codes::READER_SMALLER_REMEDY);
            Err(finding.with("limit-mb", megabytes(limits.memory)))
        }
        End::Slow(after) => {
            let finding = stop(codes::READER_SLOW, codes::READER_SMALLER_REMEDY);
            let seconds = units::Duration::from_s(after.as_secs_f64()).unwrap_or_default();
            Err(finding.with("limit", Value::Duration(seconds)))
        }
        End::Much => {
            let finding = stop(codes::READER_MUCH, codes::READER_SMALLER_REMEDY);
            Err(finding.with("limit-mb", megabytes(limits.output)))
        }
        End::Died => Err(stop(codes::READER_DIED, codes::READER_DIED_REMEDY)),
        End::NotStarted(cause) => {
            Err(stop(codes::READER_NOT_STARTED, codes::READER_NOT_STARTED_REMEDY).named("cause", cause))
        }
    }
}

/// What the reader's process does: takes its limits upon itself, reads a question from its
/// input and answers on its output. `false` when the question was none or nobody listens.
pub fn answer_as_reader() -> bool {
    let mut input = io::stdin().lock();
    let mut length = [0; 4];
    let asked = input.read_exact(&mut length).ok().and_then(|()| {
        let mut head = Vec::new();
        (&mut input).take(u64::from(u32::from_le_bytes(length))).read_to_end(&mut head).ok()?;
        postcard::from_bytes::<QuestionForm>(&head).ok()
    });
    let Some(question) = asked else { return false };
    take_limits(&question);
    let options =
        ReadOptions { page: question.page, remove_background: question.remove_background, ..ReadOptions::default() };
    let mut bytes = Vec::new();
    if input.read_to_end(&mut bytes).is_err() {
        return false;
    }
    let read = art::read(&question.name, &bytes, &options);
    drop(bytes);
    let mut output = io::stdout().lock();
    art::form::pack(&read).is_some_and(|parcel| output.write_all(&parcel).and_then(|()| output.flush()).is_ok())
}

/// What a reader is asked.
#[derive(Serialize, Deserialize)]
struct QuestionForm {
    name: String,
    page: u32,
    remove_background: bool,
    memory: u64,
    processor_s: u64,
}

/// Memory and processor time as asked; no core file, no file written, few opened. A limit that
/// the system does not know is left out: the clock still ends the reader.
fn take_limits(question: &QuestionForm) {
    // A second past the soft limit of time, the system ends outright what ignored its signal.
    let limits = [
        (Resource::As, question.memory, question.memory),
        (Resource::Cpu, question.processor_s, question.processor_s.saturating_add(1)),
        (Resource::Core, 0, 0),
        (Resource::Fsize, 0, 0),
        (Resource::Nofile, 16, 16),
    ];
    for (resource, soft, hard) in limits {
        let _ = setrlimit(resource, Rlimit { current: Some(soft), maximum: Some(hard) });
    }
}

/// How a reader ended.
enum End {
    Answer(Vec<u8>),
    Memory,
    Slow(Duration),
    Much,
    Died,
    NotStarted(String),
}

fn run(program: &Path, name: &str, bytes: &[u8], options: &ReadOptions, limits: &ReaderLimits) -> io::Result<End> {
    let question = QuestionForm {
        name: name.to_owned(),
        page: options.page,
        remove_background: options.remove_background,
        memory: limits.memory,
        processor_s: limits.processor_s,
    };
    let head = postcard::to_extend(&question, Vec::new()).map_err(|_| io::ErrorKind::InvalidInput)?;
    let length = u32::try_from(head.len()).map_err(|_| io::ErrorKind::InvalidInput)?.to_le_bytes();
    let mut child = Command::new(program)
        .arg(READER_VERB)
        .env_clear()
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    let (Some(mut input), Some(output), Some(complaint)) =
        (child.stdin.take(), child.stdout.take(), child.stderr.take())
    else {
        return Ok(End::Died);
    };
    std::thread::scope(|scope| {
        let (told, hear) = channel();
        scope.spawn(move || {
            let mut answer = Vec::new();
            let whole = output.take(limits.output.saturating_add(1)).read_to_end(&mut answer);
            let _ = told.send(whole.map(|_| answer));
        });
        let last_words = scope.spawn(move || {
            let mut words = Vec::new();
            let _ = complaint.take(4096).read_to_end(&mut words);
            words
        });
        scope.spawn(move || {
            // A reader that refuses early hangs up before it has read everything.
            let _ =
                input.write_all(&length).and_then(|()| input.write_all(&head)).and_then(|()| input.write_all(bytes));
        });
        let heard = hear.recv_timeout(limits.wall);
        let answer = match heard {
            Ok(Ok(answer)) if answer.len() as u64 <= limits.output => answer,
            other => {
                ended(&mut child)?;
                return Ok(match other {
                    Err(RecvTimeoutError::Timeout) => End::Slow(limits.wall),
                    Ok(Ok(_)) => End::Much,
                    _ => End::Died,
                });
            }
        };
        let status = child.wait()?;
        let words = last_words.join().unwrap_or_default();
        Ok(if status.success() { End::Answer(answer) } else { cause(status, &words, limits) })
    })
}

fn ended(child: &mut Child) -> io::Result<()> {
    // It may have ended by itself meanwhile.
    let _ = child.kill();
    child.wait().map(|_| ())
}

/// Why a reader died: the allocator says so before it gives up, the system sends a signal of its
/// own when the processor time is used up.
fn cause(status: std::process::ExitStatus, words: &[u8], limits: &ReaderLimits) -> End {
    #[cfg(unix)]
    {
        use std::os::unix::process::ExitStatusExt;
        if status.signal() == Some(rustix::process::Signal::XCPU.as_raw()) {
            return End::Slow(Duration::from_secs(limits.processor_s));
        }
    }
    if words.windows(17).any(|part| part == b"memory allocation") { End::Memory } else { End::Died }
}
