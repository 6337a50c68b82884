//! The shop's words turned into the heat model's, and its answers into figures.

mod card;
mod stack;

use crate::draft::{LineDraft, PrintDraft};
use crate::shapes::Known;
use crate::{codes, films, steps};
use heat::press::{
    Advice, Cooling, Doubt, Longer, MakerLimits, PressStep, Question, Setting, Step, Surroundings, Verdict,
};
use report::{Figure, Origin, Reason, Seed, Value};
use stack::{assembly, cover_mm, heat_cloth, parts, pillow_mm, usual_tee, with_transfer};
pub(crate) use stack::{plate_m2, regain};
use trade::ceilings::{PrintShade, platen_ceiling};
use trade::{Dye, Kind, Peel, Recipe, RecipeStep, Shop, StepRole, Transfer, TransferId};
use units::{Duration, Length, Temperature};

/// Draws for the ranges of doubt shown on cards.
const SAMPLES: usize = 60;
/// Pad at the start of a run, °C; warm from a few closed cycles (common practice, no source).
const PAD_START_C: f64 = 45.0;
/// Open between preheat and press, s (common practice, no source).
const OPEN_AFTER_PREHEAT_S: f64 = 5.0;
/// Cooling between tack and peel, s (common practice, no source).
const COOL_AFTER_TACK_S: f64 = 60.0;

/// Open between two films, while the next is laid, s (common practice, no source).
const OPEN_BETWEEN_FILMS_S: f64 = 10.0;

/// How a print is made of films.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Layered {
    /// How many are laid over one another.
    pub films: usize,
    /// What lies above the lowest at the thickest place.
    pub above: Length,
}

impl Default for Layered {
    fn default() -> Self {
        Self { films: 1, above: Length::ZERO }
    }
}

/// What one recipe does on one cloth.
#[derive(Debug, Clone)]
pub(crate) struct Pressing {
    advice: Advice,
    limit: heat::press::FaceLimits,
    reference_origin: Origin,
    /// The parts of the stack, with who says so.
    parts: Reason,
    /// The maker's setting, and its lowest and highest temperature.
    recipe: (Temperature, Duration),
    maker: (Temperature, Temperature),
    /// Quick ceiling of the platen on this cloth.
    ceiling: Temperature,
    /// Bond line at which the carrier may come off.
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
    films: usize,
    above_um: i64,
    samples: usize,
}

impl HeatBook {
    pub fn new(shop: &Shop, seed: Seed) -> Self {
        Self { seed, room: shop.room, known: Known::default() }
    }

    /// What `recipe` does on the line's cloth, to weigh it; `None` where the model does not apply.
    #[expect(clippy::too_many_arguments, reason = "the parts of one key")]
    pub fn pressing(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        print: &PrintDraft<'_>,
        transfer: TransferId,
        recipe_at: usize,
        layered: Layered,
        shade: PrintShade,
    ) -> Option<Pressing> {
        self.answer(shop, line, print, transfer, recipe_at, layered, shade, 0)
    }

    /// The same with window, cooling and ranges of doubt, for what is shown.
    #[expect(clippy::too_many_arguments, reason = "the parts of one key")]
    pub fn with_doubt(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        print: &PrintDraft<'_>,
        transfer: TransferId,
        recipe_at: usize,
        layered: Layered,
        shade: PrintShade,
    ) -> Option<Pressing> {
        self.answer(shop, line, print, transfer, recipe_at, layered, shade, SAMPLES)
    }

    #[expect(clippy::too_many_arguments, reason = "the parts of one key")]
    fn answer(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        print: &PrintDraft<'_>,
        transfer: TransferId,
        recipe_at: usize,
        layered: Layered,
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
            films: layered.films,
            above_um: (layered.above.mm() * 1000.0).round() as i64,
            samples,
        };
        self.known.get_or(key, || {
            let recipe = shop.transfer(transfer).recipes.get(recipe_at)?;
            let work = Work { cloth: line.cloth, dye: line.colour.dye, layered, shade, pillow };
            let question = question(shop, &work, shop.transfer(transfer), recipe, self.room)?;
            let advice = match samples {
                0 => heat::press::verdict(&question).ok()?,
                _ => heat::press::advise(&question, &Doubt::sampled(self.seed.0, samples)).ok()?,
            };
            let full = recipe.full_press()?;
            Some(Pressing {
                advice,
                limit: question.cloth_limits,
                reference_origin: if recipe.reference_cloth.is_some() { Origin::Maker } else { Origin::Default },
                parts: parts(shop, line.cloth, shop.transfer(transfer), layered.above),
                recipe: (full.temperature.set, full.dwell.set),
                maker: (full.temperature.low, full.temperature.high),
                ceiling: ceiling(shop, line, transfer, shade),
                peel: Temperature::from_c(question.peel_c).unwrap_or_default(),
            })
        })
    }

    /// What an earlier print gets while it lies under a later platen, `covered`
    /// by a sheet or not.
    pub fn later_heat(
        &self,
        shop: &Shop,
        line: &LineDraft<'_>,
        earlier: &Transfer,
        recipe: &Recipe,
        later: Setting,
        covered: bool,
    ) -> Option<heat::press::ExtraHeat> {
        let cover = covered.then(|| cover_mm(shop));
        let work = assembly(shop, line.cloth, earlier, Length::ZERO, cover, None)?.peeled();
        heat::press::extra_heat(&work, later, self.around(), activation_c(recipe)?).ok()
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

    /// How much longer than the sheet's the full press is set.
    pub fn longer(&self) -> Duration {
        match self.advice.verdict {
            Verdict::Longer { by_s } => seconds(by_s),
            _ => Duration::ZERO,
        }
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
}

/// What is pressed on: cloth and its dye, films laid upon one another, whether
/// the print is lighter, a pillow beneath, mm.
struct Work<'a> {
    cloth: &'a trade::Cloth,
    dye: Dye,
    layered: Layered,
    shade: PrintShade,
    pillow: Option<f64>,
}

/// The heat model's question for a transfer's recipe on a cloth, without an order.
///
/// The print counts as one film and as lighter than the cloth, which is the case
/// that asks for most care. `None` where the model has nothing to say: dye in the
/// cloth leaves nothing to bond, or there is no such recipe.
pub fn press_question(
    shop: &Shop,
    cloth: trade::ClothId,
    dye: Dye,
    transfer: TransferId,
    recipe: usize,
) -> Option<Question> {
    let of = shop.transfer(transfer);
    let layered = Layered::default();
    let work = Work { cloth: shop.cloth(cloth), dye, layered, shade: PrintShade::Lighter, pillow: None };
    question(shop, &work, of, of.recipes.get(recipe)?, shop.room)
}

fn question(shop: &Shop, work: &Work<'_>, transfer: &Transfer, recipe: &Recipe, room: Temperature) -> Option<Question> {
    let full = recipe.full_press()?;
    let laid = films::laid(recipe, work.layered.films);
    let cover = |recipe: &Recipe| (recipe.full_press()?.cover == Some(true)).then(|| cover_mm(shop));
    let reference_cloth = recipe.reference_cloth.map(|id| heat_cloth(shop.cloth(id)));
    let reference_cloth = reference_cloth.unwrap_or_else(usual_tee);
    let reference = with_transfer(shop, reference_cloth, transfer, Length::ZERO, cover(recipe), None)?;
    let target = assembly(shop, work.cloth, transfer, work.layered.above, cover(&laid), work.pillow)?;
    let dye = match (work.dye, work.shade) {
        (_, PrintShade::NotLighter) | (Dye::Undyed | Dye::Light, _) => heat::press::Dye::Fast,
        (Dye::Sublimated, _) => heat::press::Dye::Sublimation,
        (Dye::Dark | Dye::Unknown, _) => heat::press::Dye::DisperseOrUnknown,
    };
    let ceiling = platen_ceiling(work.cloth, work.dye, work.shade, transfer.kind).limit.value;
    let step = shop.presses().next().map_or(1.0, |(_, press)| press.temperature_step.k());
    Some(Question {
        reference,
        reference_setting: Setting { platen_c: full.temperature.set.c(), dwell_s: full.dwell.set.s() },
        reference_steps: steps_before(recipe),
        steps: steps_before(&laid),
        cloth_limits: heat_cloth(work.cloth).face_limits(dye),
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

/// Quick ceiling of the platen on the line's cloth.
fn ceiling(shop: &Shop, line: &LineDraft<'_>, transfer: TransferId, shade: PrintShade) -> Temperature {
    platen_ceiling(line.cloth, line.colour.dye, shade, shop.transfer(transfer).kind).limit.value
}

/// The sheet's activation temperature, or the usual one for its setting.
fn activation_c(recipe: &Recipe) -> Option<f64> {
    let usual = || Some(heat::dose::DoseRule::gate_for(recipe.full_press()?.temperature.set.c()));
    recipe.activation.map(Temperature::c).or_else(usual)
}

/// What is done before the press that makes the bond. The work is turned over
/// wherever a press comes from the other side than the one before.
fn steps_before(recipe: &Recipe) -> Vec<Step> {
    let mut before = Vec::new();
    let mut inside = false;
    for (at, step) in recipe.steps.iter().enumerate() {
        if let RecipeStep::Press(press) = step
            && press.from_inside != inside
        {
            inside = press.from_inside;
            before.push(Step::Turn);
        }
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
            // Where another film follows, its own carrier comes with it.
            RecipeStep::Peel(_) if recipe.steps[at..].iter().any(|later| matches!(later, RecipeStep::Place)) => {
                before.push(Step::Cool { way: Cooling::Table, seconds: OPEN_BETWEEN_FILMS_S });
            }
            RecipeStep::Peel(_) => before.push(Step::PeelCarrier),
        }
    }
    before
}

fn celsius(c: f64) -> Temperature {
    Temperature::from_c(c).unwrap_or_default()
}

fn seconds(s: f64) -> Duration {
    Duration::from_s(s).unwrap_or_default()
}
