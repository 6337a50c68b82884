//! What lies between platen and base: the shop's cloth, transfer, cover, pillow
//! and pad as the heat model takes them.

use crate::codes;
use crate::draft::PrintDraft;
use heat::press::Assembly;
use report::{Origin, Reason, Value};
use trade::{Accessory, AccessoryKind, Cloth, Fibre, Kind, Shop, Transfer};
use units::Length;

/// Share of what stays on the cloth that is film; the rest is adhesive (usual 90 of 170 µm).
const FILM_SHARE: f64 = 0.53;
/// A silicone sponge pad where the shop enters none, mm (common practice, no source).
const USUAL_PAD_MM: f64 = 8.0;

/// The transfer on a shop's cloth over the shop's pad, with what lies above it.
pub(super) fn assembly(
    shop: &Shop,
    cloth: &Cloth,
    transfer: &Transfer,
    above: Length,
    cover_mm: Option<f64>,
    pillow_mm: Option<f64>,
) -> Option<Assembly> {
    with_transfer(shop, heat_cloth(cloth), transfer, above, cover_mm, pillow_mm)
}

pub(super) fn with_transfer(
    shop: &Shop,
    cloth: heat::press::Cloth,
    transfer: &Transfer,
    above: Length,
    cover_mm: Option<f64>,
    pillow_mm: Option<f64>,
) -> Option<Assembly> {
    let mut work = Assembly::usual(cloth);
    let stays = transfer.thickness.value.mm();
    // Dye in the cloth leaves nothing to bond: the model has nothing to say.
    if stays <= 0.0 {
        return None;
    }
    work.film = Some(heat::press::film(stays * FILM_SHARE + above.mm()));
    work.adhesive = Some(heat::press::adhesive(stays * (1.0 - FILM_SHARE)));
    let carrier = transfer.carrier.value.mm();
    work.carrier = (carrier > 0.0).then(|| match transfer.kind {
        Kind::ScreenMade => heat::press::paper_carrier(carrier),
        _ => heat::press::carrier(carrier),
    });
    work.under = vec![pad(shop)];
    if let Some(mm) = cover_mm {
        work = work.covered(mm);
    }
    if let Some(mm) = pillow_mm {
        work = work.on_pillow(mm);
    }
    Some(work)
}

fn pad(shop: &Shop) -> heat::layer::Layer {
    let own = shop_pad(shop);
    let mut pad = heat::press::pad(own.map_or(USUAL_PAD_MM, |(mm, _)| mm));
    if let Some((_, conductivity)) = own {
        pad.conductivity_w_mk = conductivity;
    }
    pad
}

/// The shop's own pad: thickness mm, conductivity W/mK.
fn shop_pad(shop: &Shop) -> Option<(f64, f64)> {
    shop.accessories().find_map(|(_, item)| match item.kind {
        AccessoryKind::Pad { thickness, conductivity } => Some((thickness.mm(), conductivity)),
        _ => None,
    })
}

/// The parts of the stack with who says so, for a reason.
pub(super) fn parts(shop: &Shop, cloth: &Cloth, transfer: &Transfer, above: Length) -> Reason {
    let pad = shop_pad(shop);
    let mm = |mm| Value::Length(Length::from_mm(mm).unwrap_or_default());
    let pad_origin = if pad.is_some() { Origin::Shop } else { Origin::Default };
    Reason::new(codes::HEAT_STACK)
        .from("cloth-pressed", Value::Length(cloth.pressed_thickness.value), cloth.pressed_thickness.origin)
        .from("film", Value::Length(transfer.thickness.value + above), transfer.thickness.origin)
        .from("carrier", Value::Length(transfer.carrier.value), transfer.carrier.origin)
        .from("pad", mm(pad.map_or(USUAL_PAD_MM, |(mm, _)| mm)), pad_origin)
}

pub(super) fn cover_mm(shop: &Shop) -> f64 {
    let own = shop.accessories().find_map(|(_, item)| match item.kind {
        AccessoryKind::CoverSheet { thickness, .. } => Some(thickness.mm()),
        _ => None,
    });
    own.unwrap_or(0.12)
}

pub(super) fn pillow_mm(shop: &Shop, print: &PrintDraft<'_>) -> Option<f64> {
    let pillow = print.placements.iter().find_map(|placement| placement.reach.pillow.as_ref())?;
    match shop.accessory(pillow.0) {
        Accessory { kind: AccessoryKind::Pillow { thickness, .. }, .. } => Some(thickness.mm()),
        Accessory { kind: AccessoryKind::Pad { thickness, .. }, .. } => Some(thickness.mm()),
        _ => None,
    }
}

/// Area that draws heat: the platen of the first size, m².
pub(crate) fn plate_m2(shop: &Shop, print: &PrintDraft<'_>) -> f64 {
    print.placements.first().map_or(0.0, |placement| match shop.platen(placement.reach.platen).shape {
        trade::PlatenShape::Rectangle { width, depth } => (width * depth).mm2() * 1e-6,
        trade::PlatenShape::Round { diameter } => (diameter * diameter).mm2() * std::f64::consts::FRAC_PI_4 * 1e-6,
    })
}

pub(super) fn heat_cloth(cloth: &Cloth) -> heat::press::Cloth {
    let mix = cloth.fibres.iter().map(|share| (heat_fibre(share.fibre), f64::from(share.percent) / 100.0)).collect();
    let pressed = heat::press::Cloth::new(mix, cloth.mass.g_m2(), cloth.pressed_thickness.value.mm());
    match cloth.regain {
        Some(regain) => pressed.holding(regain),
        None => pressed,
    }
}

/// A white cotton tee, 180 g/m², 0.38 mm under the press: what makers' sheets
/// mean where they name no cloth (common practice, no source).
pub(super) fn usual_tee() -> heat::press::Cloth {
    heat::press::Cloth::new(vec![(heat::press::Fibre::Cotton, 1.0)], 180.0, 0.38)
}

fn heat_fibre(fibre: Fibre) -> heat::press::Fibre {
    match fibre {
        Fibre::Cotton => heat::press::Fibre::Cotton,
        Fibre::Linen => heat::press::Fibre::Linen,
        Fibre::Viscose => heat::press::Fibre::Viscose,
        Fibre::Wool => heat::press::Fibre::Wool,
        Fibre::Silk => heat::press::Fibre::Silk,
        Fibre::Polyester => heat::press::Fibre::Polyester,
        Fibre::Nylon6 | Fibre::Nylon66 => heat::press::Fibre::Nylon,
        Fibre::Acrylic => heat::press::Fibre::Acrylic,
        Fibre::Acetate => heat::press::Fibre::Acetate,
        Fibre::Elastane => heat::press::Fibre::Elastane,
        Fibre::Polypropylene => heat::press::Fibre::Polypropylene,
    }
}

/// Water the cloth holds in an ordinary room, share of its dry mass.
pub(crate) fn regain(cloth: &Cloth) -> f64 {
    heat_cloth(cloth).regain()
}
