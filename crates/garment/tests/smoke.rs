mod bench;
use bench::*;
use garment::*;
#[test]
fn all() {
    let shop = shop();
    let mut n = 0;
    for (_, style) in shop.garments() {
        for size in &style.sizes {
            let _ = flat(style, size);
            for position in Position::ALL {
                if position.on(style) != position || !position.is_on(style, size) {
                    continue;
                }
                let Some(u) = usual_size(position, size.band, style.class) else { continue };
                let w = u.widest.mm().min(u.max_height.mm() * 1.5) * 0.95;
                let (w, h) = if position.runs_along() {
                    (u.max_height.mm() * 0.7, u.widest.mm() * 0.8)
                } else {
                    (w, (w * 0.75).min(u.max_height.mm()))
                };
                let p = place(style, size, position, (mm(w), mm(h)), None);
                match p.value {
                    None => println!(
                        "{} {} {position:?} {w:.0}x{h:.0}: NOT PLACED {:?}",
                        style.id,
                        size.name,
                        p.findings.iter().map(|f| f.code.0).collect::<Vec<_>>()
                    ),
                    Some(placed) => {
                        let t = std::time::Instant::now();
                        match reach(&shop, style, size, cloth(&shop, style), &placed, &[]) {
                            Ok(r) => println!(
                                "{} {} {position:?} {w:.0}x{h:.0}: {} {:?} {:?} pillow {:?} turned {} moved {:.0} per {} {:?}us",
                                style.id,
                                size.name,
                                shop.platen(r.platen).id,
                                r.isolation,
                                r.load,
                                r.pillow.map(|p| (p.1.mm(), p.2.mm())),
                                r.place.turned,
                                r.place.moved_mm,
                                r.per_closing,
                                t.elapsed().as_micros()
                            ),
                            Err(u) => println!(
                                "{} {} {position:?} {w:.0}x{h:.0}: UNREACHABLE {} {:?} nearest {:?} {}us",
                                style.id,
                                size.name,
                                u.finding.code.0,
                                u.finding
                                    .quantities
                                    .iter()
                                    .filter(|q| q.name == "obstacle" || q.name == "distance")
                                    .map(|q| &q.value)
                                    .collect::<Vec<_>>(),
                                u.nearest.map(|n| (n.change, n.reach.isolation)),
                                t.elapsed().as_micros()
                            ),
                        }
                    }
                }
                n += 1;
            }
        }
    }
    println!("{n}");
}
