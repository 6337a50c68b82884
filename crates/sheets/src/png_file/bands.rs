//! Bands of rows filtered and packed each by itself, so that threads can share the work
//! and the file grows while it is written.
//!
//! Every band ends on a byte boundary (a sync flush of RFC 1951), so the packed bands
//! placed one after the other are one stream. The bands' check sums are joined
//! (RFC 1950) without reading the bytes again.

use super::chunks::{Header, Pixels, write_chunk, write_end, write_head};
use flate2::{Compress, Compression, FlushCompress, Status};
use rayon::prelude::*;
use std::io::{self, Write};

/// Rows of one band.
pub(crate) const BAND_ROWS: usize = 64;
/// Packing effort: little more is gained above it on flat art, and time doubles.
const LEVEL: u32 = 2;
/// First bytes of a stream with a 32 KiB window (RFC 1950).
const STREAM_HEAD: [u8; 2] = [0x78, 0x01];
/// Divisor of the check sum (RFC 1950).
const ADLER: u32 = 65_521;

/// Writes a picture whose rows arrive from the top in whole bands.
pub(crate) struct BandWriter<'o> {
    out: &'o mut dyn Write,
    pixels: Pixels,
    row_bytes: usize,
    rows_left: usize,
    /// The last row written, raw; filters of the next band look back at it.
    above: Vec<u8>,
    sum: u32,
    started: bool,
    /// A full band of nothing, packed once.
    blank: Option<Packed>,
}

#[derive(Clone)]
struct Packed {
    body: Vec<u8>,
    sum: u32,
    /// Bytes before packing.
    length: u64,
}

impl<'o> BandWriter<'o> {
    /// Writes everything that stands before the pixels.
    pub(crate) fn start(out: &'o mut dyn Write, head: &Header<'_>) -> io::Result<Self> {
        write_head(out, head)?;
        let row_bytes = head.width as usize * head.pixels.bytes();
        Ok(Self {
            out,
            pixels: head.pixels,
            row_bytes,
            rows_left: head.height as usize,
            above: vec![0; row_bytes],
            sum: 1,
            started: false,
            blank: None,
        })
    }

    /// Packs and writes rows; every call but the last brings a multiple of [`BAND_ROWS`].
    pub(crate) fn write(&mut self, rows: &[u8]) -> io::Result<()> {
        let count = rows.len() / self.row_bytes.max(1);
        self.rows_left = self.rows_left.saturating_sub(count);
        let last = self.rows_left == 0;
        let band_bytes = self.row_bytes * BAND_ROWS;
        let bands: Vec<&[u8]> = rows.chunks(band_bytes).collect();
        let (pixels, row_bytes) = (self.pixels, self.row_bytes);
        if self.blank.is_none() && bands.len() > 1 {
            self.blank = Some(pack_band(&vec![0; band_bytes], &vec![0; row_bytes], pixels, false)?);
        }
        let (above_all, blank) = (&self.above, &self.blank);
        let packed = bands
            .par_iter()
            .enumerate()
            .map(|(at, band)| {
                let start = at * band_bytes;
                let above = if at == 0 { above_all } else { &rows[start - row_bytes..start] };
                let finish = last && at + 1 == bands.len();
                match blank {
                    Some(blank) if !finish && band.len() == band_bytes && is_blank(band) && is_blank(above) => {
                        Ok(blank.clone())
                    }
                    _ => pack_band(band, above, pixels, finish),
                }
            })
            .collect::<io::Result<Vec<_>>>()?;
        let mut body = Vec::new();
        if !std::mem::replace(&mut self.started, true) {
            body.extend(STREAM_HEAD);
        }
        for band in &packed {
            body.extend(&band.body);
            self.sum = joined_sum(self.sum, band.sum, band.length);
        }
        if last {
            body.extend(self.sum.to_be_bytes());
        }
        if let Some(from) = rows.len().checked_sub(self.row_bytes) {
            self.above.copy_from_slice(&rows[from..]);
        }
        write_chunk(self.out, b"IDAT", &body)
    }

    /// Closes the file and flushes it.
    pub(crate) fn finish(self) -> io::Result<()> {
        write_end(self.out)?;
        self.out.flush()
    }
}

fn is_blank(bytes: &[u8]) -> bool {
    bytes.iter().all(|b| *b == 0)
}

fn pack_band(band: &[u8], above: &[u8], pixels: Pixels, finish: bool) -> io::Result<Packed> {
    let row_bytes = above.len();
    let mut raw = Vec::with_capacity(band.len() + band.len() / row_bytes.max(1));
    let mut before = above;
    let mut trial = [vec![0; row_bytes], vec![0; row_bytes], vec![0; row_bytes]];
    for row in band.chunks_exact(row_bytes.max(1)) {
        filter_row(row, before, pixels.bytes(), &mut trial, &mut raw);
        before = row;
    }
    Ok(Packed { sum: simd_adler32::adler32(&raw.as_slice()), length: raw.len() as u64, body: pack(&raw, finish)? })
}

/// The filtered row with its filter's number, the filter chosen by the least sum of
/// absolute differences (PNG, 12.7).
fn filter_row(row: &[u8], above: &[u8], step: usize, trial: &mut [Vec<u8>; 3], raw: &mut Vec<u8>) {
    if row == above || is_blank(row) {
        raw.push(if row == above { 2 } else { 0 });
        raw.resize(raw.len() + row.len(), 0);
        return;
    }
    let [sub, up, paeth] = trial;
    filter_sub(row, step, sub);
    filter_up(row, above, up);
    filter_paeth(row, above, step, paeth);
    // A row's sum stays far below 2³²; wrapping sums are what the compiler can run side by side.
    let weight =
        |bytes: &[u8]| bytes.iter().fold(0_u32, |sum, b| sum.wrapping_add(u32::from(b.cast_signed().unsigned_abs())));
    let best = [(weight(sub), 1_u8, &*sub), (weight(up), 2, &*up), (weight(paeth), 4, &*paeth)]
        .into_iter()
        .min_by_key(|(weight, number, _)| (*weight, *number));
    if let Some((_, number, bytes)) = best {
        raw.push(number);
        raw.extend_from_slice(bytes);
    }
}

fn filter_sub(row: &[u8], step: usize, to: &mut [u8]) {
    to[..step].copy_from_slice(&row[..step]);
    for ((to, now), left) in to[step..].iter_mut().zip(&row[step..]).zip(row) {
        *to = now.wrapping_sub(*left);
    }
}

fn filter_up(row: &[u8], above: &[u8], to: &mut [u8]) {
    for ((to, now), up) in to.iter_mut().zip(row).zip(above) {
        *to = now.wrapping_sub(*up);
    }
}

fn filter_paeth(row: &[u8], above: &[u8], step: usize, to: &mut [u8]) {
    filter_up(&row[..step], &above[..step], &mut to[..step]);
    let rest = row.len().min(above.len()).min(to.len()).saturating_sub(step);
    let (now, up, to) = (&row[step..step + rest], &above[step..step + rest], &mut to[step..step + rest]);
    let (left, corner) = (&row[..rest], &above[..rest]);
    for at in 0..rest {
        to[at] = now[at].wrapping_sub(paeth(left[at], up[at], corner[at]));
    }
}

/// The neighbour nearest to left + up − corner (PNG, 9.4). Nothing here can overflow; the
/// wrapping forms let the compiler take many pixels at a time.
fn paeth(left: u8, up: u8, corner: u8) -> u8 {
    let (a, b, c) = (i16::from(left), i16::from(up), i16::from(corner));
    let (from_left, from_up) = (b.wrapping_sub(c), a.wrapping_sub(c));
    let (pa, pb, pc) =
        (from_left.wrapping_abs(), from_up.wrapping_abs(), from_left.wrapping_add(from_up).wrapping_abs());
    let second = if pb <= pc { up } else { corner };
    if pa <= pb && pa <= pc { left } else { second }
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
        for rows in bytes.chunks(width as usize * pixels.bytes() * BAND_ROWS * at_once) {
            writer.write(rows).expect("rows");
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
