//! What the heat model says, in figures for people.

use super::{Pressing, celsius, seconds};
use crate::codes;
use crate::result::{Cooldown, HeatCard, HeatWindow, Leeway};
use heat::press::{Advice, Constraint, Verdict};
use report::{Code, Figure, Origin, Reason, Value};
use units::TemperatureDifference;

impl Pressing {
    /// The figures as the plan shows them; `plate_m2` draws the heat.
    pub fn card(&self, plate_m2: f64) -> HeatCard {
        let advice = &self.advice;
        let reason = Reason::new(codes::BOND_MODEL)
            .from("cloth", Value::Temperature(self.bond_end()), Origin::Model)
            .from("reference", Value::Temperature(celsius(advice.reference.bond_end_c)), self.reference_origin)
            .changed_by(codes::CHANGE_CLOTH);
        let mut bond_end = Figure::new(self.bond_end(), reason);
        bond_end.why.push(self.parts.clone());
        bond_end.range = advice.bond_end_range_c.map(|(low, high)| (celsius(low), celsius(high)));
        let activation = celsius(advice.activation_c);
        let why =
            Reason::new(codes::ACTIVATION).from("activation", Value::Temperature(activation), advice.activation_origin);
        HeatCard {
            bond_end,
            reference_bond_end: celsius(advice.reference.bond_end_c),
            above_activation: seconds(advice.above_activation_s),
            activation: Figure::new(activation, why),
            cloth_peak: self.hottest(),
            margin: TemperatureDifference::from_k(advice.to_stop_k).unwrap_or_default(),
            limit: self.limit(),
            longer: self.longer(),
            equal_dose: advice.needed_range_s.map(|(low, high)| (seconds(low), seconds(high))),
            curve: curve(advice),
            energy_j: advice.drawn_j_m2 * plate_m2,
            window: self.window(),
            cooling: self.cooling(),
        }
    }

    fn window(&self) -> HeatWindow {
        let advice = &self.advice;
        let leeway = advice.leeway.map(|leeway| Leeway {
            temperature: (celsius(leeway.platen_c.0), celsius(leeway.platen_c.1)),
            dwell: (seconds(leeway.dwell_s.0), seconds(leeway.dwell_s.1)),
            colder: leeway.colder.code(),
            hotter: self.hotter(leeway.hotter),
            shorter: leeway.shorter.code(),
            longer: leeway.longer.code(),
        });
        let closed_by = match (&leeway, advice.verdict) {
            (Some(_), _) => None,
            (None, Verdict::None { constraint, .. } | Verdict::TestOrOther { why: constraint }) => {
                Some(constraint.code())
            }
            (None, _) => Some(Constraint::AdhesiveUnset.code()),
        };
        HeatWindow {
            map: advice.window.clone().unwrap_or_default(),
            recipe: self.recipe,
            advised: (celsius(advice.platen_c), seconds(advice.dwell_s)),
            maker: self.maker,
            leeway,
            closed_by,
        }
    }

    /// The range handed to the model ends at the ceiling where that lies below the maker's own end.
    fn hotter(&self, constraint: Constraint) -> Code {
        match constraint {
            Constraint::MakerSheet if self.ceiling < self.maker.1 => codes::WINDOW_CEILING,
            other => other.code(),
        }
    }

    fn cooling(&self) -> Vec<Cooldown> {
        // Rounded up to what a timer is set to.
        let wait = |s: f64| seconds((s / 5.0).ceil() * 5.0);
        let of = |cooled: &heat::press::Cooled| Cooldown {
            way: cooled.way.code(),
            to_peel: cooled.to_peel_s.map(wait),
            to_handling: cooled.to_handling_s.map(wait),
        };
        self.advice.cooled.iter().map(of).collect()
    }
}

/// The bond line over time, once a tenth of a second until 3 s, then each half second.
fn curve(advice: &Advice) -> Vec<(f64, f64)> {
    let trace = &advice.trace;
    let early = (0..30).map(|n| f64::from(n) * 0.1);
    let late = (6..).map(|n| f64::from(n) * 0.5).take_while(|t| *t <= advice.dwell_s + 1e-9);
    early.chain(late).filter(|t| *t <= advice.dwell_s + 1e-9).map(|t| (t, trace.at(&trace.bond_c, t))).collect()
}
