//! Values that stand in until the shop enters its own. All common practice, no source.

use crate::{Marked, Spoilage, Structure, TestPiece, WorkTimes};
use units::{Duration, Length, Mass, Share, TemperatureDifference};

/// Work times, seconds a piece unless said otherwise.
pub fn work_times() -> WorkTimes {
    WorkTimes {
        load: seconds(12.0),
        load_lined: seconds(60.0),
        smooth: seconds(4.0),
        place: seconds(8.0),
        place_part: seconds(15.0),
        peel_hot: seconds(3.0),
        peel_cold: seconds(5.0),
        unload: seconds(8.0),
        flip: seconds(8.0),
        pack: seconds(15.0),
        count_in: seconds(10.0),
        office: seconds(20.0 * 60.0),
        art: seconds(15.0 * 60.0),
        test_piece: seconds(5.0 * 60.0),
    }
}

/// One spare transfer up to 12 pieces, 3 % above; 2 garments in a hundred spoiled.
pub fn spoilage() -> Spoilage {
    Spoilage {
        small_spares: Marked::default_practice(1),
        small_order: 12,
        share: share(30_000),
        garment_loss: share(20_000),
    }
}

/// Made on an offcut of the same cloth, and in the price like every set-up.
pub fn test_piece() -> Marked<TestPiece> {
    Marked::default_practice(TestPiece::default())
}

/// Days that a made transfer may lie before it is pressed: half a year.
pub fn keeps_days() -> Marked<u32> {
    Marked::default_practice(180)
}

/// Orders share sheets when they are due within so many days of one another: a week.
pub fn share_days() -> Marked<u32> {
    Marked::default_practice(7)
}

/// From cold to ready: 15 min.
pub fn warm_up() -> Marked<Duration> {
    seconds(15.0 * 60.0)
}

/// Changing a bolted lower platen: 3 min.
pub fn platen_swap() -> Marked<Duration> {
    seconds(180.0)
}

/// Setting another pressure: 1 min.
pub fn pressure_reset() -> Marked<Duration> {
    seconds(60.0)
}

/// Display and plate agree until measured.
pub fn plate_offset() -> Marked<TemperatureDifference> {
    Marked::default_practice(TemperatureDifference::ZERO)
}

/// Heater of a plate, watts: 1.0 W/cm², at least 600.
pub fn heater_w(width: Length, depth: Length) -> Marked<f64> {
    Marked::default_practice(((width * depth).cm2() * 1.0).max(600.0).round())
}

/// Heated aluminium plate: 19 mm.
pub fn plate_thickness() -> Marked<Length> {
    Marked::default_practice(Length::from_mm(19.0).unwrap_or_default())
}

/// Thickness under the press: mass over the density that cloths of this
/// structure have while pressed (a 180 g/m² jersey 0.38 mm, a 300 g/m² fleece
/// 1.0 mm, a 340 g/m² canvas 0.50 mm), from memory of shop measurements.
pub fn pressed_thickness(structure: Structure, mass: Mass) -> Marked<Length> {
    let density_kg_m3 = match structure {
        Structure::Woven => 670.0,
        Structure::Jersey | Structure::Pique | Structure::Mesh => 474.0,
        Structure::Rib => 430.0,
        Structure::Fleece => 300.0,
        Structure::ElasticKnit => 555.0,
        Structure::Nonwoven => 300.0,
    };
    // g/m² ÷ kg/m³ = mm.
    let mm = (mass.g_m2() / density_kg_m3).clamp(0.02, 50.0);
    Marked::default_practice(Length::from_mm((mm * 100.0).round() / 100.0).unwrap_or_default())
}

fn seconds(s: f64) -> Marked<Duration> {
    Marked::default_practice(Duration::from_s(s).unwrap_or_default())
}

fn share(ppm: i64) -> Marked<Share> {
    Marked::default_practice(Share::from_ppm(ppm).unwrap_or_default())
}
