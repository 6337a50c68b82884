//! The parts of a PNG file as ISO/IEC 15948 (PNG, third edition) lays them down.

use std::io::{self, Write};

/// How the pixels are made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pixels {
    /// Red, green, blue, alpha.
    Rgba,
    /// Grey, alpha.
    GreyAlpha,
}

impl Pixels {
    /// Bytes a pixel.
    pub(crate) fn bytes(self) -> usize {
        match self {
            Self::Rgba => 4,
            Self::GreyAlpha => 2,
        }
    }

    fn colour_type(self) -> u8 {
        match self {
            Self::Rgba => 6,
            Self::GreyAlpha => 4,
        }
    }
}

/// What stands before the pixels.
pub(crate) struct Header<'a> {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) pixels: Pixels,
    pub(crate) px_per_m: u32,
    /// Keyword and text pairs; Latin letters only.
    pub(crate) texts: &'a [(&'a str, &'a str)],
}

/// Signature, header, colour tags, physical size, texts.
pub(crate) fn write_head(out: &mut dyn Write, head: &Header<'_>) -> io::Result<()> {
    out.write_all(&[0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A])?;
    let mut ihdr = Vec::with_capacity(13);
    ihdr.extend(head.width.to_be_bytes());
    ihdr.extend(head.height.to_be_bytes());
    ihdr.extend([8, head.pixels.colour_type(), 0, 0, 0]);
    write_chunk(out, b"IHDR", &ihdr)?;
    // Rendering intent 1, relative colorimetric; with it the recommended fall-backs for
    // readers that know only gAMA and cHRM (11.3.2.5).
    write_chunk(out, b"sRGB", &[1])?;
    write_chunk(out, b"gAMA", &45_455_u32.to_be_bytes())?;
    let corners: [u32; 8] = [31_270, 32_900, 64_000, 33_000, 30_000, 60_000, 15_000, 6_000];
    let corners: Vec<u8> = corners.iter().flat_map(|v| v.to_be_bytes()).collect();
    write_chunk(out, b"cHRM", &corners)?;
    let mut density = Vec::with_capacity(9);
    density.extend(head.px_per_m.to_be_bytes());
    density.extend(head.px_per_m.to_be_bytes());
    density.push(1);
    write_chunk(out, b"pHYs", &density)?;
    for (keyword, text) in head.texts {
        let plain =
            |s: &str| s.chars().map(|c| if c.is_ascii() && !c.is_control() { c } else { '?' }).collect::<String>();
        let body = [plain(keyword).as_bytes(), &[0], plain(text).as_bytes()].concat();
        write_chunk(out, b"tEXt", &body)?;
    }
    Ok(())
}

/// The empty last chunk.
pub(crate) fn write_end(out: &mut dyn Write) -> io::Result<()> {
    write_chunk(out, b"IEND", &[])
}

/// Length, name, body, check sum.
pub(crate) fn write_chunk(out: &mut dyn Write, name: &[u8; 4], body: &[u8]) -> io::Result<()> {
    let length = u32::try_from(body.len()).map_err(|_| io::Error::from(io::ErrorKind::InvalidInput))?;
    let mut sum = crc32fast::Hasher::new();
    sum.update(name);
    sum.update(body);
    out.write_all(&length.to_be_bytes())?;
    out.write_all(name)?;
    out.write_all(body)?;
    out.write_all(&sum.finalize().to_be_bytes())
}
