//! Art drawn for the tests, and sheets read back by the general-purpose `image` crate.

use art::{CleanArt, PrintSize, ReadOptions, SizeWish};
use geometry::{Point, Pose};
use image::RgbaImage;
use report::Quiet;
use sheets::{PlacedArt, PrintSheet};
use units::Length;

/// A letter R with its bowl as a hole: no symmetry of any kind.
pub const R: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 80" width="60mm" height="80mm">
<path fill="#b01c2e" fill-rule="evenodd" d="M0 0H38C52 0 60 9 60 22 60 33 54 40 45 43L60 80H44L31 46H14V80H0ZM14 12V34H36C42 34 46 30 46 23 46 16 42 12 36 12Z"/>
</svg>"##;

pub fn read(name: &str, bytes: &[u8]) -> CleanArt {
    art::read(name, bytes, &ReadOptions::default()).expect("art").value
}

pub fn letter() -> CleanArt {
    read("r.svg", R.as_bytes())
}

/// The same letter as pixels.
pub fn letter_in_pixels(height: u32) -> CleanArt {
    let drawn = letter().render(height * 3 / 4, height).expect("pixels");
    let picture = RgbaImage::from_raw(drawn.width(), drawn.height(), drawn.pixels().to_vec()).expect("a picture");
    read("r.png", &as_png(&picture))
}

pub fn as_png(picture: &RgbaImage) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Png).expect("a file");
    bytes.into_inner()
}

pub fn size(art: &CleanArt, width_mm: f64) -> PrintSize {
    art.size(SizeWish::Width(Length::from_mm(width_mm).expect("a length"))).expect("a size")
}

/// A piece whose art box has its middle at (x, y) of the usable area.
pub fn piece(art: &CleanArt, width_mm: f64, middle: (f64, f64), turn_deg: f64, mirrored: bool) -> PlacedArt<'_> {
    let size = size(art, width_mm);
    let turned = Pose { mirrored, turn_deg, shift: Point::default() };
    let own = turned.apply(Point::new(size.width().mm() / 2.0, size.height().mm() / 2.0));
    let pose = Pose { shift: Point::new(middle.0 - own.x, middle.1 - own.y), ..turned };
    PlacedArt {
        art,
        size,
        pose,
        label: "K 1042 kite 1/2".into(),
        short_label: "1/2".into(),
        let_cloth_show: None,
        spare: false,
        id: 0,
    }
}

pub fn png(sheet: &PrintSheet<'_>) -> Vec<u8> {
    let mut file = Vec::new();
    sheets::write_png(sheet, &mut file, &mut Quiet).expect("a PNG");
    file
}

pub fn read_back(sheet: &PrintSheet<'_>) -> RgbaImage {
    image::load_from_memory(&png(sheet)).expect("a picture").into_rgba8()
}

/// Left, top, right, bottom of what covers half or more, px.
pub fn inked(picture: &RgbaImage) -> (u32, u32, u32, u32) {
    let ink = || picture.enumerate_pixels().filter(|(_, _, p)| p.0[3] >= 128);
    let x = || ink().map(|(x, _, _)| x);
    let y = || ink().map(|(_, y, _)| y);
    (x().min().expect("ink"), y().min().expect("ink"), x().max().expect("ink") + 1, y().max().expect("ink") + 1)
}
