//! The plan file as pages show it. Keys that no page shows are passed over.

use report::{Code, Value};
use serde::Deserialize;
use units::{Area, Currency, Duration, Length, Money, Temperature, TemperatureDifference};
use words::Speech;

/// A plan.
#[derive(Debug, Deserialize)]
pub(crate) struct PlanFile {
    pub currency: String,
    pub decimals: u8,
    pub orders: Vec<OrderPart>,
    pub pools: Vec<PoolPart>,
    pub timeline: TimelinePart,
    pub purchases: Vec<PurchasePart>,
    pub findings: Vec<FindingPart>,
}

impl PlanFile {
    /// `None` for what is no plan file.
    pub fn read(bytes: &[u8]) -> Option<Self> {
        serde_json::from_slice(bytes).ok()
    }

    pub fn money(&self) -> Option<Currency> {
        Currency::new(&self.currency, self.decimals)
    }
}

#[derive(Debug, Deserialize)]
pub(crate) struct OrderPart {
    pub way: String,
    pub lines: Vec<LinePart>,
    pub price: PricePart,
    pub ways: Vec<WayPart>,
    pub dates: DatesPart,
}

#[derive(Debug, Deserialize)]
pub(crate) struct LinePart {
    pub garment: String,
    pub colour: String,
    pub brought: bool,
    pub state: String,
    pub sizes: Vec<SizePart>,
    pub prints: Vec<PrintPart>,
    pub price: Option<LinePricePart>,
}

impl LinePart {
    pub fn pieces(&self) -> u32 {
        self.sizes.iter().map(|size| size.count).fold(0, u32::saturating_add)
    }
}

#[derive(Debug, Deserialize)]
pub(crate) struct SizePart {
    pub size: String,
    pub count: u32,
}

#[derive(Debug, Deserialize)]
pub(crate) struct PrintPart {
    pub art: String,
    pub position: Option<String>,
    pub width_mm: Option<f64>,
    pub height_mm: Option<f64>,
    pub places: Vec<PlacePart>,
    pub chosen: Option<String>,
    pub why: Vec<ReasonPart>,
    pub candidates: Vec<CandidatePart>,
    pub card: Option<CardPart>,
    pub transfers: u32,
    pub spares: u32,
}

#[derive(Debug, Deserialize)]
pub(crate) struct PlacePart {
    pub size: String,
    #[serde(default)]
    pub panel: String,
    pub platen: String,
    pub why: Vec<ReasonPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct CandidatePart {
    pub transfer: String,
    pub fit: String,
    pub r#for: Vec<ReasonPart>,
    pub against: Vec<ReasonPart>,
    pub estimate: Option<i64>,
    pub films: Vec<FilmPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct FilmPart {
    pub name: String,
}

/// A figure with its range and reasons.
#[derive(Debug, Deserialize)]
pub(crate) struct FigurePart<T> {
    pub value: T,
    #[serde(default = "none")]
    pub low: Option<T>,
    #[serde(default = "none")]
    pub high: Option<T>,
    pub why: Vec<ReasonPart>,
}

fn none<T>() -> Option<T> {
    None
}

#[derive(Debug, Deserialize)]
pub(crate) struct CardPart {
    pub source: String,
    pub presses: Vec<String>,
    pub platen: String,
    pub pillow: Option<String>,
    pub per_closing: u32,
    pub steps: Vec<StepPart>,
    pub heat: Option<HeatPart>,
    pub cautions: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct SetPart {
    pub press: String,
    pub c: FigurePart<f64>,
}

#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub(crate) enum StepPart {
    Preheat {
        c: f64,
        set: Vec<SetPart>,
        dwell_s: FigurePart<f64>,
    },
    Place,
    Press {
        role: String,
        c: FigurePart<f64>,
        set: Vec<SetPart>,
        from_inside: bool,
        dwell_s: FigurePart<f64>,
        pressure: String,
        cover: Option<String>,
    },
    SetAside {
        wait_s: FigurePart<f64>,
    },
    Peel {
        when: String,
    },
}

#[derive(Debug, Deserialize)]
pub(crate) struct HeatPart {
    pub bond_end_c: FigurePart<f64>,
    pub cloth_peak_c: f64,
    pub limit_c: f64,
    pub window: WindowPart,
    pub cooling: Vec<CoolingPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct WindowPart {
    pub leeway: Option<LeewayPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct LeewayPart {
    pub platen_c: [f64; 2],
    pub dwell_s: [f64; 2],
}

#[derive(Debug, Deserialize)]
pub(crate) struct CoolingPart {
    pub way: String,
    pub to_peel_s: Option<f64>,
    pub to_handling_s: Option<f64>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct PoolPart {
    pub key: String,
    pub transfer: String,
    pub colour: Option<String>,
    pub cost: FigurePart<i64>,
    pub lower_bound: i64,
    pub complete: bool,
    pub designs: Vec<DesignPart>,
    pub art_mm2: f64,
    pub paid_mm2: f64,
    pub sheets: Vec<SheetPart>,
}

/// A design of a pool, with the orders that use it.
#[derive(Debug, Deserialize)]
pub(crate) struct DesignPart {
    pub uses: Vec<UsePart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct UsePart {
    pub order: usize,
}

#[derive(Debug, Deserialize)]
pub(crate) struct SheetPart {
    pub stock: String,
    pub used_length_mm: f64,
}

#[derive(Debug, Deserialize)]
pub(crate) struct TimelinePart {
    pub entries: Vec<EntryPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct EntryPart {
    pub order: usize,
    pub line: usize,
    pub print: usize,
    pub press: String,
    pub people: Vec<String>,
    pub temp_c: i32,
    pub from: String,
    pub done: String,
    pub pieces: u32,
    pub closings: usize,
}

#[derive(Debug, Deserialize)]
pub(crate) struct PurchasePart {
    pub supplier: String,
    pub items: Vec<ItemPart>,
    pub goods: i64,
    pub set_up: i64,
    pub top_up: i64,
    pub handling: i64,
    pub freight: i64,
    pub total: i64,
    /// Plans kept before there was any have none.
    #[serde(default)]
    pub more: Vec<FigurePart<i64>>,
    pub order_by: FigurePart<String>,
    pub arrives: String,
}

#[derive(Debug, Deserialize)]
pub(crate) struct ItemPart {
    pub what: String,
    pub colour: Option<String>,
    pub size: Option<String>,
    pub quantity: u32,
    pub total: i64,
}

#[derive(Debug, Deserialize)]
pub(crate) struct LinePricePart {
    pub pieces: u32,
    pub costs: Vec<CostPart>,
    pub cost: i64,
    pub unit: FigurePart<i64>,
    pub total: i64,
    pub not_below: Option<FigurePart<u32>>,
    pub ladder: Vec<RungPart>,
    /// Plans kept before there was any have none.
    #[serde(default)]
    pub landed: Vec<LandedPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct LandedPart {
    pub making: Option<String>,
    pub transfers: Vec<String>,
    pub points: Vec<LandedPointPart>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct LandedPointPart {
    pub pieces: u32,
    pub ready: u32,
    pub on_hand: u32,
    pub goods: i64,
    pub set_up: i64,
    pub top_up: i64,
    pub handling: i64,
    pub freight: i64,
    pub rush: i64,
    pub total: i64,
    pub work_s: f64,
}

#[derive(Debug, Deserialize)]
pub(crate) struct CostPart {
    pub what: String,
    pub amount: FigurePart<i64>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct RungPart {
    pub pieces: u32,
    pub cost: i64,
    pub unit: i64,
    pub total: i64,
    pub cheaper_than: Option<u32>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct PricePart {
    pub cost: i64,
    pub net: FigurePart<i64>,
    pub taxes: Vec<TaxPart>,
    pub gross: i64,
    pub deposit: i64,
    pub valid_until: String,
    pub work_s: f64,
    pub earns_per_hour: Option<i64>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct TaxPart {
    pub name: String,
    pub amount: i64,
}

#[derive(Debug, Deserialize)]
pub(crate) struct WayPart {
    pub way: String,
    pub net: i64,
    pub cost: i64,
    pub work_s: f64,
    pub lines: Vec<Option<WayLinePart>>,
}

#[derive(Debug, Deserialize)]
pub(crate) struct WayLinePart {
    pub garment: String,
    pub transfers: Vec<String>,
    pub extras: Vec<String>,
    pub unit: i64,
}

#[derive(Debug, Deserialize)]
pub(crate) struct DatesPart {
    pub sign_off_by: Option<FigurePart<String>>,
    pub order_transfers_by: Option<FigurePart<String>>,
    pub order_garments_by: Option<FigurePart<String>>,
    #[serde(default)]
    pub goods_by: Option<String>,
    #[serde(default)]
    pub press_by: Option<String>,
    pub press_from: Option<String>,
    pub finish: Option<FigurePart<String>>,
    pub slack_s: Option<f64>,
}

/// A reason, in codes.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct ReasonPart {
    pub rule: String,
    pub inputs: Vec<InputPart>,
    #[serde(default)]
    pub refused: Vec<String>,
    #[serde(default)]
    pub would_change: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct InputPart {
    pub name: String,
    pub value: ValuePart,
    pub origin: String,
    pub source: Option<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "unit", content = "value", rename_all = "snake_case")]
pub(crate) enum ValuePart {
    Mm(f64),
    Mm2(f64),
    C(f64),
    K(f64),
    S(f64),
    Minor(i64),
    Count(i64),
    Share(f64),
    Number(f64),
    Date(String),
    Moment(String),
    Text(String),
    Term(String),
    List(Vec<ValuePart>),
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct FindingPart {
    pub code: String,
    pub severity: String,
    pub order: Option<usize>,
    pub line: Option<usize>,
    pub print: Option<usize>,
    pub quantities: Vec<NamedPart>,
    pub remedy: String,
    pub repair: Option<String>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct NamedPart {
    pub name: String,
    pub value: ValuePart,
}

/// What values need to become values again.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reader<'a> {
    pub speech: &'a Speech,
    pub currency: Currency,
}

impl Reader<'_> {
    pub fn value(&self, part: &ValuePart) -> Value {
        let text = |text: &str| Value::Text(text.to_owned());
        match part {
            ValuePart::Mm(mm) => Value::Length(Length::from_mm(*mm).unwrap_or_default()),
            ValuePart::Mm2(mm2) => Value::Area(Area::from_mm2(*mm2).unwrap_or_default()),
            ValuePart::C(c) => Value::Temperature(Temperature::from_c(*c).unwrap_or_default()),
            ValuePart::K(k) => Value::Difference(TemperatureDifference::from_k(*k).unwrap_or_default()),
            ValuePart::S(s) => Value::Duration(Duration::from_s(*s).unwrap_or_default()),
            ValuePart::Minor(minor) => Value::Money(Money::new(*minor, self.currency)),
            ValuePart::Count(count) => Value::Count(*count),
            ValuePart::Share(share) => Value::Share(*share),
            ValuePart::Number(number) => Value::Number(*number),
            ValuePart::Date(date) => date.parse().map_or_else(|_| text(date), Value::Date),
            ValuePart::Moment(moment) => moment.parse().map_or_else(|_| text(moment), Value::Moment),
            ValuePart::Text(of) => text(of),
            ValuePart::Term(code) => self.speech.code(code).map_or_else(|| text(code), Value::Term),
            ValuePart::List(list) => Value::List(list.iter().map(|part| self.value(part)).collect()),
        }
    }

    /// The sentence of a code over these values.
    pub fn say(&self, code: &str, values: &[(String, Value)]) -> String {
        self.speech.code(code).map_or_else(|| words::clean(code), |code: Code| self.speech.told(code, values))
    }

    pub fn finding(&self, finding: &FindingPart) -> (String, String, Option<String>) {
        let values: Vec<(String, Value)> =
            finding.quantities.iter().map(|named| (named.name.clone(), self.value(&named.value))).collect();
        let repair = finding.repair.as_deref().map(|code| self.say(code, &values));
        (self.say(&finding.code, &values), self.say(&finding.remedy, &values), repair)
    }

    /// What a reason says, without what it was worked out from.
    pub fn rule(&self, reason: &ReasonPart) -> String {
        let values: Vec<(String, Value)> =
            reason.inputs.iter().map(|input| (input.name.clone(), self.value(&input.value))).collect();
        self.say(&reason.rule, &values)
    }

    /// A reason as lines: rule, inputs, what was not taken, what would change it.
    pub fn reason(&self, reason: &ReasonPart) -> Why {
        let values: Vec<(String, Value)> =
            reason.inputs.iter().map(|input| (input.name.clone(), self.value(&input.value))).collect();
        let say_all = |codes: &[String]| codes.iter().map(|code| self.say(code, &values)).collect();
        Why {
            rule: self.say(&reason.rule, &values),
            inputs: reason
                .inputs
                .iter()
                .map(|input| WhyInput {
                    label: self.speech.label(&input.name),
                    value: self.speech.value(&self.value(&input.value)),
                    origin: origin(self.speech, &input.origin).to_owned(),
                    source: input.source.as_deref().map(words::clean).unwrap_or_default(),
                })
                .collect(),
            refused: say_all(&reason.refused),
            would_change: say_all(&reason.would_change),
        }
    }
}

/// A reason in words.
#[derive(Debug, Clone)]
pub(crate) struct Why {
    pub rule: String,
    pub inputs: Vec<WhyInput>,
    pub refused: Vec<String>,
    pub would_change: Vec<String>,
}

#[derive(Debug, Clone)]
pub(crate) struct WhyInput {
    pub label: String,
    pub value: String,
    pub origin: String,
    pub source: String,
}

fn origin(speech: &Speech, word: &str) -> &'static str {
    use report::Origin;
    speech.word(match word {
        "maker" => Origin::Maker,
        "shop" => Origin::Shop,
        "measured" => Origin::Measured,
        "model" => Origin::Model,
        "person" => Origin::Person,
        _ => Origin::Default,
    })
}
