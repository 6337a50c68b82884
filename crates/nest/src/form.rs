//! The JSON forms of instances, layouts and verdicts, and the open form of
//! strip-packing data. Unknown keys are refused by name; everything is converted
//! once into checked types.

use geometry::{Outline, OutlineError, Point, Ring};
use report::{Finding, FormError, Severity, Value, Watch};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Settings;
use crate::instance::{
    Design, Direction, Instance, Layout, LockedPiece, Piece, Rotations, Sheet, Stock, StockKind, Trim,
};

/// The version of the forms written here.
pub const VERSION: u32 = 1;
/// Longest text read, bytes.
const MOST_BYTES: usize = 64 << 20;

/// Lays out an instance given as JSON; returns the layout as JSON.
pub fn run(instance: &str, settings: &Settings, watch: &mut dyn Watch) -> Result<String, FormError> {
    let instance = read_instance(instance)?;
    let outcome = crate::solve(&instance, settings, watch).map_err(FormError::Refused)?;
    Ok(write_layout(&instance, &outcome.value, &outcome.findings))
}

/// Checks a layout against its instance, both as JSON; returns the verdict as JSON
/// and whether it is good.
pub fn check(instance: &str, layout: &str) -> Result<(String, bool), FormError> {
    let instance = read_instance(instance)?;
    let layout = read_layout(&instance, layout)?;
    let verdict = crate::check(&instance, &layout);
    let form = VerdictForm {
        version: VERSION,
        good: verdict.good(),
        worst_spacing_mm: verdict.worst_spacing_mm,
        faults: verdict.faults.iter().map(finding_form).collect(),
    };
    Ok((pretty(&form), verdict.good()))
}

/// JSON Schemas of the instance and layout forms, as one JSON object.
pub fn schema() -> String {
    let both = serde_json::json!({
        "instance": schemars::schema_for!(InstanceForm),
        "layout": schemars::schema_for!(LayoutForm),
        "verdict": schemars::schema_for!(VerdictForm),
    });
    pretty(&both)
}

/// An instance from JSON.
pub fn read_instance(text: &str) -> Result<Instance, FormError> {
    instance_of(parse::<InstanceForm>(text)?)
}

/// A layout from JSON, its names looked up in the instance.
pub fn read_layout(instance: &Instance, text: &str) -> Result<Layout, FormError> {
    layout_of(instance, parse::<LayoutForm>(text)?)
}

/// A layout as JSON.
pub fn write_layout(instance: &Instance, layout: &Layout, findings: &[Finding]) -> String {
    pretty(&layout_form(instance, layout, findings))
}

/// An instance as JSON.
pub fn write_instance(instance: &Instance) -> String {
    pretty(&instance_form(instance))
}

/// An instance from the open strip-packing form (`strip_height`, `items` with
/// `demand`, `allowed_orientations` and a `simple_polygon`): one roll as wide as
/// the strip, priced by its length in millionths of the longest.
pub fn read_strip(text: &str) -> Result<Instance, FormError> {
    strip_of(parse::<StripForm>(text)?)
}

fn parse<'t, T: Deserialize<'t>>(text: &'t str) -> Result<T, FormError> {
    if text.len() > MOST_BYTES {
        return Err(at("", format!("the text is {} MiB long; 64 MiB are read at most", text.len() >> 20)));
    }
    let mut reader = serde_json::Deserializer::from_str(text);
    let value =
        serde_path_to_error::deserialize(&mut reader).map_err(|e| at(&e.path().to_string(), e.inner().to_string()))?;
    reader.end().map_err(|e| at("", e.to_string()))?;
    Ok(value)
}

fn at(place: &str, message: String) -> FormError {
    FormError::Form { place: place.to_owned(), message }
}

fn pretty<T: Serialize>(value: &T) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct InstanceForm {
    #[serde(default = "version")]
    version: u32,
    #[serde(default)]
    spacing_mm: f64,
    designs: Vec<DesignForm>,
    stock: Vec<StockForm>,
    #[serde(default)]
    locked: Vec<LockedForm>,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct DesignForm {
    id: String,
    quantity: u32,
    #[serde(default)]
    rotations: RotationsForm,
    outline: Vec<[f64; 2]>,
    #[serde(default)]
    holes: Vec<Vec<[f64; 2]>>,
    #[serde(default)]
    spare_weight: f64,
    #[serde(default)]
    keep_together: Option<String>,
    #[serde(default)]
    keep_apart: Option<String>,
    #[serde(default)]
    mirrored: bool,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
enum RotationsForm {
    Named(RotationsName),
    List(Vec<f64>),
}

impl Default for RotationsForm {
    fn default() -> Self {
        Self::Named(RotationsName::Quarter)
    }
}

#[derive(Debug, Clone, Copy, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum RotationsName {
    Any,
    Quarter,
    Half,
    None,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct StockForm {
    id: String,
    kind: KindForm,
    width_mm: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    length_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    price: Option<i64>,
    #[serde(default)]
    count: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    price_per_step: Option<i64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    step_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    minimum_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    maximum_mm: Option<f64>,
    #[serde(default)]
    margin_mm: f64,
    #[serde(default)]
    forbidden: Vec<Vec<[f64; 2]>>,
    #[serde(default)]
    direction: DirectionForm,
    #[serde(default)]
    trim: Option<TrimForm>,
    #[serde(default)]
    identical: Vec<(u32, i64)>,
    /// Price of a sheet, or of a step of a roll, from so many of them in all: [from, price], rising.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    by_quantity: Vec<(u32, i64)>,
    #[serde(default)]
    set_up: i64,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum KindForm {
    Sheet,
    Roll,
}

#[derive(Debug, Clone, Copy, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum DirectionForm {
    #[default]
    None,
    Half,
    Fixed,
}

#[derive(Debug, Clone, Copy, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct TrimForm {
    by_hand: bool,
    per_straight_cut_s: f64,
    per_outline_mm_s: f64,
    rate_per_hour: i64,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LockedForm {
    sheet: usize,
    /// Name of the stock item; the first one when left out.
    #[serde(default)]
    stock: Option<String>,
    #[serde(flatten)]
    piece: PieceForm,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
struct PieceForm {
    design: String,
    #[serde(default)]
    copy: u32,
    x_mm: f64,
    y_mm: f64,
    #[serde(default)]
    rotation_deg: f64,
    #[serde(default)]
    mirrored: bool,
    #[serde(default)]
    spare: bool,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LayoutForm {
    #[serde(default = "version")]
    version: u32,
    cost: i64,
    #[serde(default)]
    lower_bound: i64,
    complete: bool,
    sheets: Vec<SheetForm>,
    #[serde(default)]
    unplaced: Vec<UnplacedForm>,
    #[serde(default)]
    findings: Vec<FindingForm>,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SheetForm {
    stock: String,
    used_length_mm: f64,
    charged_length_mm: f64,
    price: i64,
    pieces: Vec<PieceForm>,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct UnplacedForm {
    design: String,
    count: u32,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FindingForm {
    code: String,
    severity: String,
    #[serde(default)]
    quantities: serde_json::Map<String, serde_json::Value>,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct VerdictForm {
    version: u32,
    good: bool,
    worst_spacing_mm: Option<f64>,
    faults: Vec<FindingForm>,
}

#[derive(Debug, Clone, Deserialize)]
struct StripForm {
    strip_height: f64,
    items: Vec<StripItem>,
}

#[derive(Debug, Clone, Deserialize)]
struct StripItem {
    id: u64,
    demand: u32,
    #[serde(default)]
    allowed_orientations: Option<Vec<f64>>,
    shape: StripShape,
}

#[derive(Debug, Clone, Deserialize)]
struct StripShape {
    data: Vec<[f64; 2]>,
}

fn version() -> u32 {
    VERSION
}

fn ring(points: &[[f64; 2]]) -> Ring {
    points.iter().map(|[x, y]| Point::new(*x, *y)).collect()
}

fn pairs(points: &[Point]) -> Vec<[f64; 2]> {
    points.iter().map(|p| [p.x, p.y]).collect()
}

fn outline(place: &str, outer: &[[f64; 2]], holes: &[Vec<[f64; 2]>]) -> Result<Outline, FormError> {
    Outline::new(ring(outer), holes.iter().map(|h| ring(h)).collect())
        .map_err(|e: OutlineError| at(place, e.to_string()))
}

fn check_version(found: u32) -> Result<(), FormError> {
    if found == VERSION {
        return Ok(());
    }
    Err(at("version", format!("version {found} is not known here; write {VERSION}")))
}

fn instance_of(form: InstanceForm) -> Result<Instance, FormError> {
    check_version(form.version)?;
    let designs = form.designs.iter().enumerate().map(|(k, d)| design_of(k, d)).collect::<Result<Vec<_>, _>>()?;
    let stock = form.stock.iter().enumerate().map(|(k, s)| stock_of(k, s)).collect::<Result<Vec<_>, _>>()?;
    let locked = form
        .locked
        .iter()
        .enumerate()
        .map(|(k, lock)| {
            let place = format!("locked[{k}]");
            let item = match &lock.stock {
                Some(name) => index_of(&format!("{place}.stock"), name, stock.iter().map(|s| &s.id))?,
                None => 0,
            };
            let piece = piece_of(&place, &designs, &lock.piece)?;
            Ok(LockedPiece { sheet: lock.sheet, stock: item, piece })
        })
        .collect::<Result<Vec<_>, FormError>>()?;
    Ok(Instance { spacing_mm: form.spacing_mm, designs, stock, locked })
}

fn design_of(k: usize, form: &DesignForm) -> Result<Design, FormError> {
    Ok(Design {
        id: form.id.clone(),
        quantity: form.quantity,
        rotations: match &form.rotations {
            RotationsForm::Named(RotationsName::Any) => Rotations::Any,
            RotationsForm::Named(RotationsName::Quarter) => Rotations::Quarter,
            RotationsForm::Named(RotationsName::Half) => Rotations::Half,
            RotationsForm::Named(RotationsName::None) => Rotations::None,
            RotationsForm::List(list) => Rotations::List(list.clone()),
        },
        outline: outline(&format!("designs[{k}].outline"), &form.outline, &form.holes)?,
        spare_weight: form.spare_weight,
        keep_together: form.keep_together.clone(),
        keep_apart: form.keep_apart.clone(),
        mirrored: form.mirrored,
    })
}

fn stock_of(k: usize, form: &StockForm) -> Result<Stock, FormError> {
    let need = |name: &str| at(&format!("stock[{k}].{name}"), format!("a {} needs {name}", kind_name(form.kind)));
    let misplaced = |name: &str| at(&format!("stock[{k}].{name}"), format!("a {} has no {name}", kind_name(form.kind)));
    let kind = match form.kind {
        KindForm::Sheet => {
            let of_rolls = [
                ("price_per_step", form.price_per_step.is_some()),
                ("step_mm", form.step_mm.is_some()),
                ("minimum_mm", form.minimum_mm.is_some()),
                ("maximum_mm", form.maximum_mm.is_some()),
            ];
            if let Some((name, _)) = of_rolls.iter().find(|(_, there)| *there) {
                return Err(misplaced(name));
            }
            StockKind::Sheet {
                width_mm: form.width_mm,
                length_mm: form.length_mm.ok_or_else(|| need("length_mm"))?,
                price: form.price.ok_or_else(|| need("price"))?,
                count: form.count,
            }
        }
        KindForm::Roll => {
            let of_sheets = [
                ("length_mm", form.length_mm.is_some()),
                ("price", form.price.is_some()),
                ("count", form.count.is_some()),
            ];
            if let Some((name, _)) = of_sheets.iter().find(|(_, there)| *there) {
                return Err(misplaced(name));
            }
            StockKind::Roll {
                width_mm: form.width_mm,
                price_per_step: form.price_per_step.ok_or_else(|| need("price_per_step"))?,
                step_mm: form.step_mm.ok_or_else(|| need("step_mm"))?,
                minimum_mm: form.minimum_mm.unwrap_or(0.0),
                maximum_mm: form.maximum_mm.ok_or_else(|| need("maximum_mm"))?,
            }
        }
    };
    let forbidden = form
        .forbidden
        .iter()
        .enumerate()
        .map(|(z, points)| outline(&format!("stock[{k}].forbidden[{z}]"), points, &[]))
        .collect::<Result<_, _>>()?;
    Ok(Stock {
        id: form.id.clone(),
        kind,
        margin_mm: form.margin_mm,
        forbidden,
        direction: match form.direction {
            DirectionForm::None => Direction::None,
            DirectionForm::Half => Direction::Half,
            DirectionForm::Fixed => Direction::Fixed,
        },
        trim: form.trim.map(|t| Trim {
            by_hand: t.by_hand,
            per_straight_cut_s: t.per_straight_cut_s,
            per_outline_mm_s: t.per_outline_mm_s,
            rate_per_hour: t.rate_per_hour,
        }),
        identical: form.identical.clone(),
        by_quantity: rising(k, &form.by_quantity)?,
        set_up: form.set_up,
    })
}

fn rising(k: usize, breaks: &[(u32, i64)]) -> Result<Vec<(u32, i64)>, FormError> {
    if breaks.windows(2).any(|pair| pair[1].0 <= pair[0].0) {
        let place = format!("stock[{k}].by_quantity");
        return Err(at(&place, "the quantities do not rise; list each once, the smallest first".to_owned()));
    }
    Ok(breaks.to_vec())
}

fn kind_name(kind: KindForm) -> &'static str {
    match kind {
        KindForm::Sheet => "sheet",
        KindForm::Roll => "roll",
    }
}

fn index_of<'n>(place: &str, name: &str, mut names: impl Iterator<Item = &'n String>) -> Result<usize, FormError> {
    names.position(|n| n == name).ok_or_else(|| at(place, format!("there is no {name:?}; use a name from the list")))
}

fn piece_of(place: &str, designs: &[Design], form: &PieceForm) -> Result<Piece, FormError> {
    Ok(Piece {
        design: index_of(&format!("{place}.design"), &form.design, designs.iter().map(|d| &d.id))?,
        copy: form.copy,
        x_mm: form.x_mm,
        y_mm: form.y_mm,
        rotation_deg: form.rotation_deg,
        mirrored: form.mirrored,
        spare: form.spare,
    })
}

fn layout_of(instance: &Instance, form: LayoutForm) -> Result<Layout, FormError> {
    check_version(form.version)?;
    let mut sheets = Vec::new();
    for (k, sheet) in form.sheets.iter().enumerate() {
        let place = format!("sheets[{k}]");
        let stock = index_of(&format!("{place}.stock"), &sheet.stock, instance.stock.iter().map(|s| &s.id))?;
        let pieces = sheet.pieces.iter().enumerate();
        let pieces = pieces
            .map(|(p, piece)| piece_of(&format!("{place}.pieces[{p}]"), &instance.designs, piece))
            .collect::<Result<_, _>>()?;
        sheets.push(Sheet {
            stock,
            used_length_mm: sheet.used_length_mm,
            charged_length_mm: sheet.charged_length_mm,
            price: sheet.price,
            pieces,
        });
    }
    let unplaced = form.unplaced.iter().enumerate().map(|(k, u)| {
        let place = format!("unplaced[{k}].design");
        Ok((index_of(&place, &u.design, instance.designs.iter().map(|d| &d.id))?, u.count))
    });
    Ok(Layout {
        cost: form.cost,
        lower_bound: form.lower_bound,
        complete: form.complete,
        sheets,
        unplaced: unplaced.collect::<Result<_, FormError>>()?,
    })
}

fn layout_form(instance: &Instance, layout: &Layout, findings: &[Finding]) -> LayoutForm {
    LayoutForm {
        version: VERSION,
        cost: layout.cost,
        lower_bound: layout.lower_bound,
        complete: layout.complete,
        sheets: layout
            .sheets
            .iter()
            .map(|s| SheetForm {
                stock: instance.stock.get(s.stock).map(|s| s.id.clone()).unwrap_or_default(),
                used_length_mm: s.used_length_mm,
                charged_length_mm: s.charged_length_mm,
                price: s.price,
                pieces: s.pieces.iter().map(|p| piece_form(instance, p)).collect(),
            })
            .collect(),
        unplaced: layout
            .unplaced
            .iter()
            .map(|(d, count)| UnplacedForm { design: design_name(instance, *d), count: *count })
            .collect(),
        findings: findings.iter().map(finding_form).collect(),
    }
}

fn design_name(instance: &Instance, design: usize) -> String {
    instance.designs.get(design).map(|d| d.id.clone()).unwrap_or_default()
}

fn piece_form(instance: &Instance, piece: &Piece) -> PieceForm {
    PieceForm {
        design: design_name(instance, piece.design),
        copy: piece.copy,
        x_mm: piece.x_mm,
        y_mm: piece.y_mm,
        rotation_deg: piece.rotation_deg,
        mirrored: piece.mirrored,
        spare: piece.spare,
    }
}

fn finding_form(finding: &Finding) -> FindingForm {
    let severity = match finding.severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Ask => "ask",
        Severity::StopsLine => "stops-line",
    };
    let value = |v: &Value| match v {
        Value::Length(l) => serde_json::json!({ "mm": l.mm() }),
        Value::Count(n) => serde_json::json!(n),
        Value::Number(n) => serde_json::json!(n),
        Value::Text(t) => serde_json::json!(t),
        other => serde_json::json!(format!("{other:?}")),
    };
    FindingForm {
        code: finding.code.0.to_owned(),
        severity: severity.to_owned(),
        quantities: finding.quantities.iter().map(|q| (q.name.to_owned(), value(&q.value))).collect(),
    }
}

fn instance_form(instance: &Instance) -> InstanceForm {
    InstanceForm {
        version: VERSION,
        spacing_mm: instance.spacing_mm,
        designs: instance.designs.iter().map(design_form).collect(),
        stock: instance.stock.iter().map(stock_form).collect(),
        locked: instance
            .locked
            .iter()
            .map(|l| LockedForm {
                sheet: l.sheet,
                stock: instance.stock.get(l.stock).map(|s| s.id.clone()),
                piece: piece_form(instance, &l.piece),
            })
            .collect(),
    }
}

fn design_form(design: &Design) -> DesignForm {
    DesignForm {
        id: design.id.clone(),
        quantity: design.quantity,
        rotations: match &design.rotations {
            Rotations::Any => RotationsForm::Named(RotationsName::Any),
            Rotations::Quarter => RotationsForm::Named(RotationsName::Quarter),
            Rotations::Half => RotationsForm::Named(RotationsName::Half),
            Rotations::None => RotationsForm::Named(RotationsName::None),
            Rotations::List(list) => RotationsForm::List(list.clone()),
        },
        outline: pairs(design.outline.outer()),
        holes: design.outline.holes().iter().map(|h| pairs(h)).collect(),
        spare_weight: design.spare_weight,
        keep_together: design.keep_together.clone(),
        keep_apart: design.keep_apart.clone(),
        mirrored: design.mirrored,
    }
}

fn stock_form(stock: &Stock) -> StockForm {
    let mut form = StockForm {
        id: stock.id.clone(),
        kind: KindForm::Sheet,
        width_mm: 0.0,
        length_mm: None,
        price: None,
        count: None,
        price_per_step: None,
        step_mm: None,
        minimum_mm: None,
        maximum_mm: None,
        margin_mm: stock.margin_mm,
        forbidden: stock.forbidden.iter().map(|z| pairs(z.outer())).collect(),
        direction: match stock.direction {
            Direction::None => DirectionForm::None,
            Direction::Half => DirectionForm::Half,
            Direction::Fixed => DirectionForm::Fixed,
        },
        trim: stock.trim.map(|t| TrimForm {
            by_hand: t.by_hand,
            per_straight_cut_s: t.per_straight_cut_s,
            per_outline_mm_s: t.per_outline_mm_s,
            rate_per_hour: t.rate_per_hour,
        }),
        identical: stock.identical.clone(),
        by_quantity: stock.by_quantity.clone(),
        set_up: stock.set_up,
    };
    match stock.kind {
        StockKind::Sheet { width_mm, length_mm, price, count } => {
            form.width_mm = width_mm;
            (form.length_mm, form.price, form.count) = (Some(length_mm), Some(price), count);
        }
        StockKind::Roll { width_mm, price_per_step, step_mm, minimum_mm, maximum_mm } => {
            form.kind = KindForm::Roll;
            form.width_mm = width_mm;
            (form.price_per_step, form.step_mm) = (Some(price_per_step), Some(step_mm));
            (form.minimum_mm, form.maximum_mm) = (Some(minimum_mm), Some(maximum_mm));
        }
    }
    form
}

fn strip_of(form: StripForm) -> Result<Instance, FormError> {
    let mut designs = Vec::new();
    for (k, item) in form.items.iter().enumerate() {
        let shape = outline(&format!("items[{k}].shape"), &item.shape.data, &[])?;
        let mut design = Design::new(item.id.to_string(), item.demand, shape);
        design.rotations = item.allowed_orientations.clone().map_or(Rotations::Any, Rotations::List);
        designs.push(design);
    }
    let area: f64 = designs.iter().map(|d| d.outline.area() * f64::from(d.quantity)).sum();
    let longest = designs.iter().map(|d| d.outline.bounds().width() + d.outline.bounds().height()).fold(0.0, f64::max);
    // Twice the area, and room for the longest piece, hold every sensible layout.
    let maximum_mm = (4.0 * area / form.strip_height.max(1e-9) + 2.0 * longest).clamp(1.0, 1e6);
    let kind = StockKind::Roll {
        width_mm: form.strip_height,
        price_per_step: 1,
        step_mm: (maximum_mm * 1e-6).max(1e-4),
        minimum_mm: 0.0,
        maximum_mm,
    };
    Ok(Instance { spacing_mm: 0.0, designs, stock: vec![Stock::new("strip", kind)], locked: Vec::new() })
}
