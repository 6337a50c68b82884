//! Composes a sheet of 6,600 px across from a few pictures and writes it as PNG; used by
//! `bench/sheets/compare.py`.
//!
//! Usage: `compose LENGTH_PX PIECES OUT.png ART.png...`

use art::{ReadOptions, SizeWish};
use geometry::{Point, Pose};
use report::Quiet;
use sheets::{PlacedArt, PrintSheet};
use std::io::BufWriter;
use units::Length;

const MM_PER_PX: f64 = 25.4 / 300.0;
/// Side of every piece's cell and of the piece itself, px.
const CELL: f64 = 1_650.0;
const PIECE: f64 = 1_500.0;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let mut next = || args.next().ok_or("usage: compose LENGTH_PX PIECES OUT.png ART.png...");
    let (length, count, out) = (next()?.parse::<f64>()?, next()?.parse::<usize>()?, next()?);
    let arts = args
        .map(|path| {
            let bytes = std::fs::read(&path)?;
            art::read(&path, &bytes, &ReadOptions::default())
                .map(|o| o.value)
                .map_err(|f| std::io::Error::other(f.code.0))
        })
        .collect::<Result<Vec<_>, _>>()?;
    let side = Length::from_mm(PIECE * MM_PER_PX).ok_or("a length")?;
    let started = std::time::Instant::now();
    let rows = count.div_ceil(4);
    let pieces = (0..count)
        .map(|at| {
            let art = &arts[at % arts.len()];
            let size = art.size(SizeWish::Width(side)).map_err(|f| f.code.0)?;
            let turn_deg = [0.0, 90.0, 180.0, 270.0][at % 4];
            let turned = Pose { mirrored: false, turn_deg, shift: Point::default() };
            let own = turned.apply(Point::new(size.width().mm() / 2.0, size.height().mm() / 2.0));
            let along = ((at / 4) as f64 + 0.5) * length / rows as f64 * MM_PER_PX;
            let across = ((at % 4) as f64 + 0.5) * CELL * MM_PER_PX;
            let pose = Pose { shift: Point::new(along - own.x, across - own.y), ..turned };
            Ok(PlacedArt {
                art,
                size,
                pose,
                label: String::new(),
                short_label: String::new(),
                let_cloth_show: None,
                spare: false,
                id: 0,
            })
        })
        .collect::<Result<Vec<_>, &str>>()?;
    let sheet = PrintSheet::plain(6_600.0 * MM_PER_PX, length * MM_PER_PX, 0.0, pieces);
    let mut file = BufWriter::new(std::fs::File::create(out)?);
    sheets::write_png(&sheet, &mut file, &mut Quiet)?;
    use std::io::Write;
    writeln!(std::io::stdout(), "{:.2}", started.elapsed().as_secs_f64())?;
    Ok(())
}
