//! The shop's words turned into the heat model's, and its answers into figures.

use crate::draft::{LineDraft, PrintDraft};
use crate::result::HeatCard;
use crate::shapes::Known;
use crate::{codes, steps};
use heat::press::{
    Advice, Assembly, Cooling, Doubt, Longer, MakerLimits, PressStep, Question, Setting, Step, Surroundings, Verdict,
};
use report::{Figure, Origin, Reason, Seed, Value};
use trade::ceilings::{PrintShade, platen_ceiling};
use trade::{
    Accessory, AccessoryKind, Cloth, Dye, Fibre, Kind, Peel, Recipe, RecipeStep, Shop, StepRole, Transfer, TransferId,
};
use units::{Duration, Temperature, TemperatureDifference};

/// Draws for the ranges of doubt shown on cards.
const SAMPLES: usize = 60;
/// Pad at the start of a run, °C; warm from a few closed cycles (common practice, no source).
const PAD_START_C: f64 = 45.0;
/// Open between preheat and press, s (common practice, no source).
const OPEN_AFTER_PREHEAT_S: f64 = 5.0;
/// Cooling between tack and peel, s (common practice, no source).
const COOL_AFTER_TACK_S: f64 = 60.0;
/// Share of what stays on the cloth that is film; the rest is adhesive (usual 90 of 170 µm).
const FILM_SHARE: f64 = 0.53;

/// What one recipe does on one cloth.
#[derive(Debug, Clone)]
pub(crate) struct Pressing {
    advice: Advice,
    limit: heat::press::FaceLimits,
    reference_origin: Origin,
    plate_m2: f64,
    /// Bond line and cloth's peak of the press advised.
    peel: Temperature,
}

/// Answers already found; the same question is asked for many prints.
pub(crate) struct HeatBook {
    seed: Seed,
    room: Temperature,
    known: Known<Key, Option<Pressing>>,
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    transfer: TransferId,
    recipe: usize,
    cloth: trade::ClothId,
    dye: Dye,
    lighter: PrintShade,
    pillow_um: i64,
    samples: usize,
}

impl HeatBook {
    pub fn new(shop: &Shop, seed: Seed) -> Self {
        Self { seed, room: shop.room, known: Known::default() }
    }

    /// What `recipe` does on the line's cloth, to weigh it; `None` where the model does not apply.
    pub fn pressing(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        print: &PrintDraft<'_>,
        transfer: TransferId,
        recipe_at: usize,
        shade: PrintShade,
    ) -> Option<Pressing> {
        self.answer(shop, line, print, transfer, recipe_at, shade, 0)
    }

    /// The same with window, cooling and ranges of doubt, for what is shown.
    pub fn with_doubt(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        print: &PrintDraft<'_>,
        transfer: TransferId,
        recipe_at: usize,
        shade: PrintShade,
    ) -> Option<Pressing> {
        self.answer(shop, line, print, transfer, recipe_at, shade, SAMPLES)
    }

    #[expect(clippy::too_many_arguments, reason = "the parts of one key")]
    fn answer(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        print: &PrintDraft<'_>,
        transfer: TransferId,
        recipe_at: usize,
        shade: PrintShade,
        samples: usize,
    ) -> Option<Pressing> {
        let pillow = pillow_mm(shop, print);
        let key = Key {
            transfer,
            recipe: recipe_at,
            cloth: line.colour.cloth,
            dye: line.colour.dye,
            lighter: shade,
            pillow_um: (pillow.unwrap_or(0.0) * 1000.0).round() as i64,
            samples,
        };
        self.known.get_or(key, || {
            let recipe = shop.transfer(transfer).recipes.get(recipe_at)?;
            let question = question(shop, line, shop.transfer(transfer), recipe, shade, pillow, self.room)?;
            let advice = match samples {
                0 => heat::press::verdict(&question).ok()?,
                _ => heat::press::advise(&question, &Doubt::sampled(self.seed.0, samples)).ok()?,
            };
            Some(Pressing {
                advice,
                limit: question.cloth_limits,
                reference_origin: if recipe.reference_cloth.is_some() { Origin::Maker } else { Origin::Default },
                plate_m2: plate_m2(shop, print),
                peel: Temperature::from_c(question.peel_c).unwrap_or_default(),
            })
        })
    }

    /// What an earlier print gets while it lies under a later platen.
    pub fn later_heat(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        earlier: &Transfer,
        recipe: &Recipe,
        later: Setting,
    ) -> Option<heat::press::ExtraHeat> {
        let work = assembly(shop, line.cloth, earlier, None, None)?.peeled();
        let activation = recipe.activation.map_or(110.0, Temperature::c);
        heat::press::extra_heat(&work, later, self.around(), activation).ok()
    }

    fn around(&self) -> Surroundings {
        Surroundings { room_c: self.room.c(), pad_start_c: PAD_START_C.max(self.room.c()) }
    }
}

impl Pressing {
    /// Margin of the hottest cloth to the limit where harm begins, K.
    pub fn margin_k(&self) -> f64 {
        self.advice.to_stop_k
    }

    /// Margin to the limit where care begins, K.
    pub fn care_k(&self) -> f64 {
        self.advice.to_warn_k
    }

    pub fn verdict(&self) -> Verdict {
        self.advice.verdict
    }

    pub fn hottest(&self) -> Temperature {
        celsius(self.advice.face_peak_c.max(self.advice.bare_peak_c))
    }

    pub fn limit(&self) -> Temperature {
        celsius(self.limit.stop_c)
    }

    pub fn warn(&self) -> Temperature {
        celsius(self.limit.warn_c)
    }

    pub fn bond_end(&self) -> Temperature {
        celsius(self.advice.bond_end_c)
    }

    /// Platen as set on this cloth.
    pub fn temperature(&self, recipe: &Recipe, press: &trade::PressStep) -> Figure<Temperature> {
        let mut figure = steps::maker_temperature(recipe, press);
        let advised = celsius(self.advice.platen_c);
        if (advised - press.temperature.set).k().abs() >= 0.5 {
            let reason = Reason::new(codes::SET_LOWER)
                .from("set", Value::Temperature(advised), Origin::Model)
                .from("ceiling", Value::Temperature(self.limit()), Origin::Default)
                .sourced("low", Value::Temperature(press.temperature.low), Origin::Maker, recipe.source.clone());
            figure.value = advised;
            figure.why.insert(0, reason);
        }
        figure
    }

    /// Dwell as set on this cloth: the maker's, or a little longer.
    pub fn dwell(&self, recipe: &Recipe, press: &trade::PressStep) -> Figure<Duration> {
        let mut figure = steps::maker_dwell(recipe, press);
        let advised = seconds(self.advice.dwell_s);
        if advised > press.dwell.set {
            let reason = Reason::new(codes::DWELL_LONGER)
                .from("dwell", Value::Duration(advised), Origin::Model)
                .from("longer", Value::Duration(advised - press.dwell.set), Origin::Model)
                .sourced("maker", Value::Duration(press.dwell.set), Origin::Maker, recipe.source.clone());
            figure.value = advised;
            figure.range = Some((press.dwell.low, figure.value.max(press.dwell.high)));
            figure.why.insert(0, reason);
        }
        figure
    }

    /// Wait on a table until the bond line is at the peel temperature.
    pub fn wait_until(&self, target: Temperature) -> Option<Figure<Duration>> {
        let wait = self.advice.cooled.iter().find(|cooled| cooled.way == Cooling::Table)?.to_peel_s?;
        // Rounded up to what a timer is set to.
        let rounded = seconds((wait / 5.0).ceil() * 5.0);
        let reason = Reason::new(codes::COOL_WAIT)
            .from("to", Value::Temperature(target.min(self.peel)), Origin::Default)
            .from("bond", Value::Temperature(self.bond_end()), Origin::Model);
        // A table's contact with cloth is known to a factor of 0.7 to 1.5.
        Some(Figure::new(rounded, reason).between(rounded * 0.7, rounded * 1.5))
    }

    /// The figures as the plan shows them.
    pub fn card(&self) -> HeatCard {
        let advice = &self.advice;
        let reason = Reason::new(codes::BOND_MODEL)
            .from("cloth", Value::Temperature(self.bond_end()), Origin::Model)
            .from("reference", Value::Temperature(celsius(advice.reference.bond_end_c)), self.reference_origin)
            .changed_by(codes::CHANGE_CLOTH);
        let mut bond_end = Figure::new(self.bond_end(), reason);
        bond_end.range = advice.bond_end_range_c.map(|(low, high)| (celsius(low), celsius(high)));
        HeatCard {
            bond_end,
            reference_bond_end: celsius(advice.reference.bond_end_c),
            above_activation: seconds(advice.above_activation_s),
            activation: celsius(advice.activation_c),
            cloth_peak: self.hottest(),
            margin: TemperatureDifference::from_k(advice.to_stop_k).unwrap_or_default(),
            limit: self.limit(),
            longer: match advice.verdict {
                Verdict::Longer { by_s } => seconds(by_s),
                _ => Duration::ZERO,
            },
            equal_dose: advice.needed_range_s.map(|(low, high)| (seconds(low), seconds(high))),
            curve: curve(advice),
            energy_j: advice.drawn_j_m2 * self.plate_m2,
        }
    }
}

/// The bond line over time, once a tenth of a second until 3 s, then each half second.
fn curve(advice: &Advice) -> Vec<(f64, f64)> {
    let trace = &advice.trace;
    let early = (0..30).map(|n| f64::from(n) * 0.1);
    let late = (6..).map(|n| f64::from(n) * 0.5).take_while(|t| *t <= advice.dwell_s + 1e-9);
    early.chain(late).filter(|t| *t <= advice.dwell_s + 1e-9).map(|t| (t, trace.at(&trace.bond_c, t))).collect()
}

fn question(
    shop: &Shop,
    line: &LineDraft<'_>,
    transfer: &Transfer,
    recipe: &Recipe,
    shade: PrintShade,
    pillow: Option<f64>,
    room: Temperature,
) -> Option<Question> {
    let full = recipe.full_press()?;
    if full.from_inside {
        return None;
    }
    let cover = (full.cover == Some(true)).then(|| cover_mm(shop));
    let reference_cloth = recipe.reference_cloth.map(|id| heat_cloth(shop.cloth(id)));
    let reference = with_transfer(shop, reference_cloth.unwrap_or_else(usual_tee), transfer, cover, None)?;
    let target = assembly(shop, line.cloth, transfer, cover, pillow)?;
    let dye = match (line.colour.dye, shade) {
        (_, PrintShade::NotLighter) | (Dye::Undyed | Dye::Light, _) => heat::press::Dye::Fast,
        (Dye::Sublimated, _) => heat::press::Dye::Sublimation,
        (Dye::Dark | Dye::Unknown, _) => heat::press::Dye::DisperseOrUnknown,
    };
    let ceiling = platen_ceiling(line.cloth, line.colour.dye, shade, transfer.kind).limit.value;
    let step = shop.presses().next().map_or(1.0, |(_, press)| press.temperature_step.k());
    let steps = steps_before(recipe);
    Some(Question {
        reference,
        reference_setting: Setting { platen_c: full.temperature.set.c(), dwell_s: full.dwell.set.s() },
        reference_steps: steps.clone(),
        steps,
        cloth_limits: heat_cloth(line.cloth).face_limits(dye),
        target,
        around: Surroundings { room_c: room.c(), pad_start_c: PAD_START_C.max(room.c()) },
        maker: MakerLimits {
            platen_c: (
                full.temperature.low.c(),
                full.temperature.high.c().min(ceiling.c()).max(full.temperature.low.c()),
            ),
            dwell_s: (full.dwell.low.s(), full.dwell.high.s()),
            activation_c: recipe.activation.map(Temperature::c),
            activation_origin: Origin::Maker,
            longer: match transfer.kind {
                Kind::Puff | Kind::ScreenMade | Kind::PowderAdhesive => Longer::Harmful,
                _ => Longer::Borne,
            },
        },
        platen_c: full.temperature.set.min(ceiling).max(full.temperature.low).c(),
        press_step: PressStep { dwell_s: 1.0, platen_k: step },
        cooling: vec![Cooling::Table, Cooling::Hung],
        peel_c: steps::peel_target(recipe.peel().unwrap_or(Peel::Cold)).c(),
    })
}

/// What is done before the press that makes the bond.
fn steps_before(recipe: &Recipe) -> Vec<Step> {
    let mut before = Vec::new();
    for step in &recipe.steps {
        match step {
            RecipeStep::Preheat { dwell } => before.push(Step::Preheat {
                platen_c: recipe.full_press().map_or(150.0, |full| full.temperature.set.c()),
                closed_s: dwell.s(),
                open_s: OPEN_AFTER_PREHEAT_S,
            }),
            RecipeStep::Place => {}
            RecipeStep::Press(press) if press.role == StepRole::Full => break,
            RecipeStep::Press(press) => {
                before.push(Step::Tack(Setting { platen_c: press.temperature.set.c(), dwell_s: press.dwell.set.s() }))
            }
            RecipeStep::SetAside => before.push(Step::Cool { way: Cooling::Table, seconds: COOL_AFTER_TACK_S }),
            RecipeStep::Peel(_) => before.push(Step::PeelCarrier),
        }
    }
    before
}

/// The transfer on a shop's cloth over the shop's pad.
fn assembly(
    shop: &Shop,
    cloth: &Cloth,
    transfer: &Transfer,
    cover_mm: Option<f64>,
    pillow_mm: Option<f64>,
) -> Option<Assembly> {
    with_transfer(shop, heat_cloth(cloth), transfer, cover_mm, pillow_mm)
}

fn with_transfer(
    shop: &Shop,
    cloth: heat::press::Cloth,
    transfer: &Transfer,
    cover_mm: Option<f64>,
    pillow_mm: Option<f64>,
) -> Option<Assembly> {
    let mut work = Assembly::usual(cloth);
    let stays = transfer.thickness.value.mm();
    // Dye in the cloth leaves nothing to bond: the model has nothing to say.
    if stays <= 0.0 {
        return None;
    }
    work.film = Some(heat::press::film(stays * FILM_SHARE));
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
    let own = shop.accessories().find_map(|(_, item)| match item.kind {
        AccessoryKind::Pad { thickness, conductivity } => Some((thickness.mm(), conductivity)),
        _ => None,
    });
    let mut pad = heat::press::pad(own.map_or(8.0, |(mm, _)| mm));
    if let Some((_, conductivity)) = own {
        pad.conductivity_w_mk = conductivity;
    }
    pad
}

fn cover_mm(shop: &Shop) -> f64 {
    let own = shop.accessories().find_map(|(_, item)| match item.kind {
        AccessoryKind::CoverSheet { thickness, .. } => Some(thickness.mm()),
        _ => None,
    });
    own.unwrap_or(0.12)
}

fn pillow_mm(shop: &Shop, print: &PrintDraft<'_>) -> Option<f64> {
    let pillow = print.placements.iter().find_map(|placement| placement.reach.pillow.as_ref())?;
    match shop.accessory(pillow.0) {
        Accessory { kind: AccessoryKind::Pillow { thickness, .. }, .. } => Some(thickness.mm()),
        Accessory { kind: AccessoryKind::Pad { thickness, .. }, .. } => Some(thickness.mm()),
        _ => None,
    }
}

/// Area that draws heat: the platen of the first size, m².
fn plate_m2(shop: &Shop, print: &PrintDraft<'_>) -> f64 {
    print.placements.first().map_or(0.0, |placement| match shop.platen(placement.reach.platen).shape {
        trade::PlatenShape::Rectangle { width, depth } => (width * depth).mm2() * 1e-6,
        trade::PlatenShape::Round { diameter } => (diameter * diameter).mm2() * std::f64::consts::FRAC_PI_4 * 1e-6,
    })
}

fn heat_cloth(cloth: &Cloth) -> heat::press::Cloth {
    let mix = cloth.fibres.iter().map(|share| (heat_fibre(share.fibre), f64::from(share.percent) / 100.0)).collect();
    let pressed = heat::press::Cloth::new(mix, cloth.mass.g_m2(), cloth.pressed_thickness.value.mm());
    match cloth.regain {
        Some(regain) => pressed.holding(regain),
        None => pressed,
    }
}

/// A white cotton tee, 180 g/m², 0.38 mm under the press: what makers' sheets
/// mean where they name no cloth (common practice, no source).
fn usual_tee() -> heat::press::Cloth {
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

fn celsius(c: f64) -> Temperature {
    Temperature::from_c(c).unwrap_or_default()
}

fn seconds(s: f64) -> Duration {
    Duration::from_s(s).unwrap_or_default()
}
