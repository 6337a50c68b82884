//! Bands of rows filtered and packed each by itself, so that threads can share the work
//! and the file grows while it is written.
//!
//! Every band ends on a byte boundary (a sync flush of RFC 1951), so the packed bands
//! placed one after the other are one stream. The bands' check sums are joined
//! (RFC 1950) without reading the bytes again.

use super::chunks::{Header, Pixels, write_chunk, write_end, write_head};
use super::filters::{Trial, is_blank};
use flate2::{Compress, Compression, FlushCompress, Status};
use rayon::prelude::*;
use std::io::{self, Write};
use std::ops::Range;
use std::sync::Mutex;

/// Rows of one band.
pub(crate) const BAND_ROWS: usize = 64;
/// Packing effort: little more is gained above it on flat art, and time doubles.
const LEVEL: u32 = 2;
/// First bytes of a stream with a 32 KiB window (RFC 1950).
const STREAM_HEAD: [u8; 2] = [0x78, 0x01];
/// Divisor of the check sum (RFC 1950).
const ADLER: u32 = 65_521;

/// Writes a picture whose rows are made from the top, a batch of whole bands at a time.
pub(crate) struct BandWriter<'o> {
    out: &'o mut dyn Write,
    packer: BandPacker,
    sum: u32,
    started: bool,
}

/// Packs bands by themselves; many threads may share it.
pub(crate) struct BandPacker {
    pixels: Pixels,
    row_bytes: usize,
    height: usize,
    /// A full band of nothing, packed once.
    blank: Packed,
    /// Room to work in, handed from band to band.
    benches: Mutex<Vec<Bench>>,
}

/// One band as it stands in the file.
#[derive(Clone)]
pub(crate) struct Packed {
    body: Vec<u8>,
    sum: u32,
    /// Bytes before packing.
    length: u64,
}

/// Room for one band at work.
#[derive(Default)]
struct Bench {
    /// The row above the band, then its own.
    rows: Vec<u8>,
    raw: Vec<u8>,
    trial: Trial,
}

impl BandPacker {
    fn new(head: &Header<'_>) -> io::Result<Self> {
        let row_bytes = head.width as usize * head.pixels.bytes();
        let mut bench = Bench { rows: vec![0; row_bytes * (BAND_ROWS + 1)], ..Bench::default() };
        let blank = bench.packed(row_bytes, head.pixels, false)?;
        let benches = Mutex::new(vec![bench]);
        Ok(Self { pixels: head.pixels, row_bytes, height: head.height as usize, blank, benches })
    }

    /// Packs `rows`, which begin with a band and end with one or with the picture.
    ///
    /// `fill` puts the rows it is told into a buffer of zeros; it is asked for the row above
    /// each band too, because filters look back at it.
    pub(crate) fn pack(
        &self,
        rows: Range<usize>,
        fill: &(dyn Fn(Range<usize>, &mut [u8]) + Sync),
    ) -> io::Result<Vec<Packed>> {
        let bands: Vec<usize> = rows.clone().step_by(BAND_ROWS).collect();
        bands
            .into_par_iter()
            .map(|first| {
                let mut bench = self.benches.lock().ok().and_then(|mut free| free.pop()).unwrap_or_default();
                let packed = self.band(&mut bench, first..(first + BAND_ROWS).min(rows.end), fill);
                if let Ok(mut free) = self.benches.lock() {
                    free.push(bench);
                }
                packed
            })
            .collect()
    }

    fn band(
        &self,
        bench: &mut Bench,
        rows: Range<usize>,
        fill: &(dyn Fn(Range<usize>, &mut [u8]) + Sync),
    ) -> io::Result<Packed> {
        bench.rows.clear();
        bench.rows.resize(self.row_bytes * (rows.len() + 1), 0);
        if rows.start == 0 {
            fill(rows.clone(), &mut bench.rows[self.row_bytes..]);
        } else {
            fill(rows.start - 1..rows.end, &mut bench.rows);
        }
        let finish = rows.end >= self.height;
        if !finish && rows.len() == BAND_ROWS && is_blank(&bench.rows) {
            return Ok(self.blank.clone());
        }
        bench.packed(self.row_bytes, self.pixels, finish)
    }
}

impl Bench {
    fn packed(&mut self, row_bytes: usize, pixels: Pixels, finish: bool) -> io::Result<Packed> {
        self.raw.clear();
        let row_bytes = row_bytes.max(1);
        self.trial.begin();
        for (above, row) in self.rows.chunks_exact(row_bytes).zip(self.rows.chunks_exact(row_bytes).skip(1)) {
            self.trial.filter_row(row, above, pixels.bytes(), &mut self.raw);
        }
        let raw = self.raw.as_slice();
        Ok(Packed { sum: simd_adler32::adler32(&raw), length: raw.len() as u64, body: pack(raw, finish)? })
    }
}

impl<'o> BandWriter<'o> {
    /// Writes everything that stands before the pixels.
    pub(crate) fn start(out: &'o mut dyn Write, head: &Header<'_>) -> io::Result<Self> {
        write_head(out, head)?;
        Ok(Self { out, packer: BandPacker::new(head)?, sum: 1, started: false })
    }

    /// What packs the bands.
    pub(crate) fn packer(&self) -> &BandPacker {
        &self.packer
    }

    /// Writes bands that follow on those written before; `last` when the picture ends with them.
    pub(crate) fn write(&mut self, bands: &[Packed], last: bool) -> io::Result<()> {
        let mut body = Vec::with_capacity(bands.iter().map(|band| band.body.len()).sum::<usize>() + 8);
        if !std::mem::replace(&mut self.started, true) {
            body.extend(STREAM_HEAD);
        }
        for band in bands {
            body.extend(&band.body);
            self.sum = joined_sum(self.sum, band.sum, band.length);
        }
        if last {
            body.extend(self.sum.to_be_bytes());
        }
        write_chunk(self.out, b"IDAT", &body)
    }

    /// Closes the file and flushes it.
    pub(crate) fn finish(self) -> io::Result<()> {
        write_end(self.out)?;
        self.out.flush()
    }
}

fn pack(raw: &[u8], finish: bool) -> io::Result<Vec<u8>> {
    let mut packer = Compress::new(Compression::new(LEVEL), false);
    let mut packed = Vec::with_capacity(raw.len() / 8 + 1024);
    let flush = if finish { FlushCompress::Finish } else { FlushCompress::Sync };
    loop {
        let eaten = usize::try_from(packer.total_in()).unwrap_or(usize::MAX);
        let room_before = packed.capacity() - packed.len();
        let rest = raw.get(eaten..).unwrap_or(&[]);
        let status = packer.compress_vec(rest, &mut packed, flush).map_err(io::Error::other)?;
        let room = packed.capacity() - packed.len();
        let eaten = packer.total_in() == raw.len() as u64;
        // A flush is complete once all is eaten and the output was not filled to the brim.
        match status {
            Status::StreamEnd => return Ok(packed),
            _ if !finish && eaten && room > 0 => return Ok(packed),
            _ if room == 0 || room_before == 0 => packed.reserve(packed.capacity() / 2 + 1024),
            _ => {}
        }
    }
}

/// The check sum of two byte runs joined (RFC 1950: both sums are linear in the bytes).
fn joined_sum(first: u32, second: u32, second_length: u64) -> u32 {
    let (a1, b1) = (u64::from(first & 0xFFFF), u64::from(first >> 16));
    let (a2, b2) = (u64::from(second & 0xFFFF), u64::from(second >> 16));
    let m = u64::from(ADLER);
    let a = (a1 + a2 + m - 1) % m;
    let b = (b1 + b2 + (second_length % m) * ((a1 + m - 1) % m)) % m;
    u32::try_from(b << 16 | a).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noise(count: usize) -> Vec<u8> {
        let mut state = 7_u32;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 24) as u8
        };
        (0..count).map(|at| if (at / 3_000) % 2 == 0 { 0 } else { next() & 0x3F }).collect()
    }

    fn written(width: u32, height: u32, pixels: Pixels, bytes: &[u8], at_once: usize) -> Vec<u8> {
        let mut out = Vec::new();
        let head = Header { width, height, pixels, px_per_m: 11_811, texts: &[("Comment", "right-reading")] };
        let mut writer = BandWriter::start(&mut out, &head).expect("a start");
        let (height, row_bytes) = (height as usize, width as usize * pixels.bytes());
        let fill = |rows: Range<usize>, to: &mut [u8]| {
            to.copy_from_slice(&bytes[rows.start * row_bytes..rows.end * row_bytes]);
        };
        for from in (0..height).step_by(BAND_ROWS * at_once) {
            let to = (from + BAND_ROWS * at_once).min(height);
            let bands = writer.packer().pack(from..to, &fill).expect("bands");
            writer.write(&bands, to == height).expect("room");
        }
        writer.finish().expect("an end");
        out
    }

    /// Read back by the general-purpose `image` crate, whose checks of sums are on.
    #[test]
    fn reads_back_pixel_for_pixel() {
        for (width, height, at_once) in [(301, 500, 2), (1, 1, 1), (640, 64, 1), (50, 65, 3), (50, 129, 1)] {
            let rgba = noise(width as usize * height as usize * 4);
            let file = written(width, height, Pixels::Rgba, &rgba, at_once);
            let back = image::load_from_memory(&file).expect("a picture");
            assert!(matches!(back, image::DynamicImage::ImageRgba8(_)));
            assert!(back.as_bytes() == rgba.as_slice(), "{width} × {height}");
            let grey = noise(width as usize * height as usize * 2);
            let file = written(width, height, Pixels::GreyAlpha, &grey, at_once);
            let back = image::load_from_memory(&file).expect("a picture");
            assert!(matches!(back, image::DynamicImage::ImageLumaA8(_)));
            assert!(back.as_bytes() == grey.as_slice(), "{width} × {height} grey");
        }
    }

    /// Blank and full bands in turn, so that the shared blank band stands between others.
    #[test]
    fn blank_bands_read_back() {
        let (width, height) = (80, BAND_ROWS * 9);
        let rgba: Vec<u8> = (0..width * height * 4)
            .map(|at| if at / (width * 4 * BAND_ROWS) == 4 { (at % 251) as u8 } else { 0 })
            .collect();
        let file = written(width as u32, height as u32, Pixels::Rgba, &rgba, 4);
        let back = image::load_from_memory(&file).expect("a picture");
        assert!(back.as_bytes() == rgba.as_slice());
    }

    /// The example "Wikipedia" of RFC 1950's sum, known as 11E60398, split anywhere.
    #[test]
    fn sums_join() {
        let text = b"Wikipedia";
        for cut in 0..=text.len() {
            let (a, b) = text.split_at(cut);
            let joined = joined_sum(simd_adler32::adler32(&a), simd_adler32::adler32(&b), b.len() as u64);
            assert_eq!(joined, 0x11E6_0398);
        }
    }
}
