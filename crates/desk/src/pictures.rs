//! Pictures of a plan: garments with the art in its place, sheets, the timeline.

use base64::Engine as _;
use drawing::{ArtImage, BreakEvenText, GarmentPicture, Labelled, LayoutText, PrintOn, TimelineText};
use papers::{Page, PlacePage};
use plan::{Arts, BreakEven, LinePlan, LineState, Order, Placement, Plan, PrintPlan};
use std::collections::BTreeMap;
use trade::Shop;
use units::Temperature;
use words::Speech;

/// Longest side of art shown in a picture, px.
const SHOWN_PX: f64 = 480.0;

/// A picture of one panel of one line, on its largest size.
#[derive(Debug, Clone)]
pub(crate) struct PanelPicture {
    pub order: usize,
    pub line: usize,
    /// Prints shown on it.
    pub prints: Vec<usize>,
    pub svg: String,
}

/// What pictures are drawn from.
pub(crate) struct Album<'a> {
    pub shop: &'a Shop,
    pub plan: &'a Plan,
    pub orders: &'a [Order],
    pub arts: &'a Arts,
    pub speech: &'a Speech,
}

impl Album<'_> {
    /// A picture for each panel that is printed on, by order and line.
    pub fn panels(&self) -> Vec<PanelPicture> {
        let mut all = Vec::new();
        for (order, planned) in self.plan.orders.iter().enumerate() {
            for (nth, line) in planned.lines.iter().enumerate() {
                if line.state != LineState::Stopped {
                    all.extend(self.line_panels(order, nth, line));
                }
            }
        }
        all
    }

    fn line_panels(&self, order: usize, nth: usize, line: &LinePlan) -> Vec<PanelPicture> {
        let Some(style) = line.garment.map(|id| self.shop.garment(id)) else { return Vec::new() };
        // The size there is most of stands for the line; the largest of equals.
        let most = line.sizes.iter().map(|size| size.count).max().unwrap_or(0);
        let Some(at) = line.sizes.iter().rposition(|size| size.count == most) else { return Vec::new() };
        let Some(size) = style.size(&line.sizes[at].size) else { return Vec::new() };
        let Ok(flat) = garment::flat(style, size) else { return Vec::new() };
        let mut panels: Vec<garment::Panel> =
            line.prints.iter().filter_map(|print| print.placements.get(at)).map(|p| p.placed.panel).collect();
        panels.dedup();
        panels
            .into_iter()
            .filter_map(|panel| {
                let shape = flat.panel(panel)?;
                let on: Vec<(usize, &PrintPlan, &Placement)> = line
                    .prints
                    .iter()
                    .enumerate()
                    .filter_map(|(print, of)| Some((print, of, of.placements.get(at)?)))
                    .filter(|(_, _, place)| place.placed.panel == panel)
                    .collect();
                let svg = self.panel(order, nth, line, &size.name, shape, &on);
                Some(PanelPicture { order, line: nth, prints: on.iter().map(|(print, _, _)| *print).collect(), svg })
            })
            .collect()
    }

    fn panel(
        &self,
        order: usize,
        nth: usize,
        line: &LinePlan,
        size: &str,
        shape: &garment::PanelShape,
        on: &[(usize, &PrintPlan, &Placement)],
    ) -> String {
        let images: Vec<Option<String>> = on.iter().map(|(print, of, _)| self.image(order, nth, *print, of)).collect();
        let prints: Vec<PrintOn<'_>> = on
            .iter()
            .zip(&images)
            .filter_map(|((_, of, place), image)| {
                Some(PrintOn { placed: &place.placed, image: ArtImage::Png(image.as_ref()?), name: &of.art })
            })
            .collect();
        let measures: Vec<(&garment::TapeMeasure, String)> = on
            .iter()
            .flat_map(|(_, _, place)| &place.placed.measures)
            .map(|measure| {
                (measure, format!("{} {}", self.speech.length(measure.length), self.speech.term(measure.from)))
            })
            .collect();
        let labelled: Vec<Labelled<'_>> = measures.iter().map(|(measure, label)| Labelled { measure, label }).collect();
        let title = format!("{}, {}, {size}", line.garment_name, line.colour);
        let said: Vec<String> = measures.iter().map(|(_, label)| label.clone()).collect();
        let first = on.first().map(|(_, _, place)| *place);
        drawing::garment_picture(&GarmentPicture {
            title: &title,
            description: &said.join("; "),
            shape,
            cloth: line.rgb,
            prints: &prints,
            // With several prints each has its own platen; one picture shows one.
            platen: first.filter(|_| on.len() == 1).map(|place| &place.reach.place),
            pillow: None,
            measures: &labelled,
            wearers_left: &self.speech.term(crate::codes::WEARERS_LEFT),
            obstacles: false,
        })
    }

    /// For each print that no press reaches where it was put: a picture of it there
    /// with what is in the way, and one of the nearest that works.
    pub fn stuck(&self) -> Vec<(String, String)> {
        let mut all = Vec::new();
        for (order, planned) in self.plan.orders.iter().enumerate() {
            for (nth, line) in planned.lines.iter().enumerate() {
                for (print, of) in line.prints.iter().enumerate() {
                    let name = format!("{}-{}-{}", order + 1, nth + 1, print + 1);
                    all.extend(self.stuck_print(&name, (order, nth, print), line, of));
                }
            }
        }
        all
    }

    fn stuck_print(
        &self,
        name: &str,
        at: (usize, usize, usize),
        line: &LinePlan,
        of: &PrintPlan,
    ) -> Vec<(String, String)> {
        let (Some(stuck), Some(style)) = (&of.stuck, line.garment.map(|id| self.shop.garment(id))) else {
            return Vec::new();
        };
        let Some(flat) = style.size(&stuck.size).and_then(|size| garment::flat(style, size).ok()) else {
            return Vec::new();
        };
        let image = self.wished_image(at);
        let draw = |placed: &garment::Placed, platen: Option<&garment::PlatenPlace>, what: report::Code| {
            let title = format!("{}, {}: {}", line.garment_name, stuck.size, self.speech.term(what));
            let print = image.as_ref().map(|image| PrintOn { placed, image: ArtImage::Png(image), name: &of.art });
            Some(drawing::garment_picture(&GarmentPicture {
                title: &title,
                description: &title,
                shape: flat.panel(placed.panel)?,
                cloth: line.rgb,
                prints: print.as_slice(),
                platen,
                pillow: None,
                measures: &[],
                wearers_left: &self.speech.term(crate::codes::WEARERS_LEFT),
                obstacles: true,
            }))
        };
        let mut all = Vec::new();
        if let Some(svg) = draw(&stuck.placed, None, crate::codes::OUT_OF_REACH) {
            all.push((format!("out-of-reach-{name}"), svg));
        }
        if let Some(near) = &stuck.nearest
            && let Some(svg) = draw(&near.placed, Some(&near.reach.place), crate::codes::NEAREST)
        {
            all.push((format!("nearest-{name}"), svg));
        }
        all
    }

    /// Paper templates of an order at true size: for each print one for each place it
    /// has, which is often the same on several sizes.
    pub fn places(&self, order: usize, paper: Page) -> Vec<PlacePage> {
        let mut all = Vec::new();
        let Some(planned) = self.plan.orders.get(order) else { return all };
        for (nth, line) in planned.lines.iter().enumerate() {
            let Some(style) = line.garment.map(|id| self.shop.garment(id)).filter(|_| line.state == LineState::Planned)
            else {
                continue;
            };
            for print in &line.prints {
                for (sizes, place) in alike(&print.placements) {
                    all.extend(self.place_pages(nth, line, style, &sizes, place, paper));
                }
            }
        }
        all
    }

    fn place_pages(
        &self,
        nth: usize,
        line: &LinePlan,
        style: &trade::GarmentStyle,
        sizes: &[String],
        place: &Placement,
        paper: Page,
    ) -> Vec<PlacePage> {
        let (width, height) = paper.size_mm();
        let mm = |mm| units::Length::from_mm(mm).unwrap_or_default();
        let Some(size) = style.size(&place.size) else { return Vec::new() };
        let Ok(template) = garment::paper_template(style, size, &place.placed, (mm(width), mm(height))) else {
            return Vec::new();
        };
        let window = &place.placed.bounds;
        let title = format!(
            "{} {} · {} · {}",
            nth + 1,
            line.garment_name,
            self.speech.term(place.placed.position.term()),
            self.speech.list(sizes),
        );
        let art = format!(
            "{} {}",
            self.speech.term(crate::codes::PLACE_WINDOW),
            self.speech.size(mm(window.width()), mm(window.height()))
        );
        let said = format!("{title} · {art}");
        let lines: Vec<String> = template.lines.iter().map(|line| self.speech.term(line.on)).collect();
        let words = drawing::TemplateWords {
            title: &title,
            window: &art,
            lines: &lines,
            scale: &self.speech.term(crate::codes::PLACE_SCALE),
        };
        let pages = drawing::template_pages(&template, &words);
        let page = |(svg, bounds): (String, &geometry::Bounds)| PlacePage {
            svg,
            width_mm: bounds.width(),
            height_mm: bounds.height(),
            description: said.clone(),
        };
        pages.into_iter().zip(&template.pages).map(page).collect()
    }

    /// The art of a print that has no size in the plan, at the size wished for.
    fn wished_image(&self, (order, line, print): (usize, usize, usize)) -> Option<String> {
        let wish = self.orders.get(order)?.lines.get(line)?.prints.get(print)?;
        let read = self.arts.get(&wish.art, wish.remove_background)?.as_ref().ok()?;
        let size = read.value.size(wish.size).ok()?;
        png_shown(&read.value, (size.width().mm(), size.height().mm()))
    }

    /// The art of a print as PNG in base64.
    fn image(&self, order: usize, nth: usize, print: usize, of: &PrintPlan) -> Option<String> {
        let wish = self.orders.get(order)?.lines.get(nth)?.prints.get(print)?;
        let read = self.arts.get(&wish.art, wish.remove_background)?.as_ref().ok()?;
        let size = of.size?;
        png_shown(&read.value, (size.width().mm(), size.height().mm()))
    }

    /// The art of every print that is planned, by itself, as PNG by name.
    pub fn arts(&self) -> Vec<(String, Vec<u8>)> {
        let mut all = Vec::new();
        for (order, planned) in self.plan.orders.iter().enumerate() {
            for (nth, line) in planned.lines.iter().enumerate() {
                for (print, of) in line.prints.iter().enumerate() {
                    let Some(size) = of.size else { continue };
                    let png = self.wish(order, nth, print).and_then(|wish| {
                        let read = self.arts.get(&wish.art, wish.remove_background)?.as_ref().ok()?;
                        png_bytes(&read.value, (size.width().mm(), size.height().mm()))
                    });
                    all.extend(png.map(|png| (format!("art-{}-{}-{}", order + 1, nth + 1, print + 1), png)));
                }
            }
        }
        all
    }

    fn wish(&self, order: usize, line: usize, print: usize) -> Option<&plan::Print> {
        self.orders.get(order)?.lines.get(line)?.prints.get(print)
    }

    /// A picture of each sheet of a pool.
    pub fn sheets(&self, pool: &plan::Pool) -> Vec<String> {
        let of = |at| drawing::layout_sheets(&pool.instance, &pool.layout, &[at], &self.sheet_words(pool, at, None));
        (0..pool.layout.sheets.len()).map(of).collect()
    }

    /// The same for paper: a long sheet in stretches that are read across the page.
    pub fn sheets_on_paper(&self, pool: &plan::Pool, at: usize) -> Vec<String> {
        let Some(sheet) = pool.layout.sheets.get(at) else { return Vec::new() };
        let all = drawing::stretches(sheet.charged_length_mm);
        let one = |stretch: &(f64, f64)| {
            let from_to = (all.len() > 1).then_some(*stretch);
            let text = self.sheet_words(pool, at, from_to);
            drawing::layout_stretch(&pool.instance, &pool.layout, at, *stretch, &text)
        };
        all.iter().map(one).collect()
    }

    fn sheet_words(&self, pool: &plan::Pool, at: usize, from_to: Option<(f64, f64)>) -> LayoutText {
        let name = &self.shop.transfer(pool.transfer).name;
        let marks: Vec<String> = pool
            .designs
            .iter()
            .map(|design| {
                let more = if design.also.is_empty() { "" } else { "+" };
                format!("{}.{}.{}{more}", design.order + 1, design.line + 1, design.print + 1)
            })
            .collect();
        let sheet = &pool.layout.sheets[at];
        let stock = pool.stock.get(sheet.stock).map(|stock| self.shop.stock_item(stock.item).name.clone());
        let mut caption = format!("{} {} — {}", pool.key.to_uppercase(), at + 1, stock.unwrap_or_default());
        if let Some((from, to)) = from_to {
            let length = |mm: f64| units::Length::from_mm(mm).map_or_else(String::new, |mm| self.speech.length(mm));
            caption = format!("{caption} · {} – {}", length(from), length(to));
        }
        // The engine writes captions by the sheet's place in the whole layout.
        let mut captions = vec![String::new(); pool.layout.sheets.len()];
        captions[at].clone_from(&caption);
        LayoutText {
            title: format!("{name}: {caption}"),
            description: self.speech.counted(sheet.pieces.len() as u64, "piece", "pieces"),
            captions,
            marks,
            fills: Vec::new(),
        }
    }

    /// Charts of two ways over the quantity, by order and line.
    pub fn break_even(&self) -> BTreeMap<(usize, usize), String> {
        let mut all = BTreeMap::new();
        for (at, order) in self.plan.orders.iter().enumerate() {
            for (nth, line) in order.lines.iter().enumerate() {
                let both = line.price.as_ref().and_then(|price| price.break_even.as_ref());
                all.extend(both.map(|both| ((at, nth), self.two_ways(both))));
            }
        }
        all
    }

    fn two_ways(&self, both: &BreakEven) -> String {
        let named = |way: usize| words::clean(&both.way_name(self.shop, way));
        let currency = self.shop.currency;
        let units = 10_f64.powi(i32::from(currency.decimals()));
        let points: Vec<(u32, [f64; 2])> = both
            .points
            .iter()
            .map(|point| {
                let each = point.costs.map(|cost| cost.minor() as f64 / units / f64::from(point.pieces.max(1)));
                (point.pieces, each)
            })
            .collect();
        let title = self.speech.term(crate::codes::TWO_WAYS);
        let ways = [named(0), named(1)];
        let text = BreakEvenText {
            title: &title,
            description: &title,
            ways: [&ways[0], &ways[1]],
            pieces_axis: &self.speech.term(crate::codes::PIECES_AXIS),
            cost_axis: &format!("{}, {}", self.speech.term(crate::codes::COST_AXIS), currency.code()),
            cost: &|cost| self.speech.number(cost),
            from: &|pieces| {
                let from = report::Named::count("count", i64::from(pieces));
                self.speech.say(crate::codes::FROM_PIECES, &[from])
            },
        };
        drawing::break_even(&points, &both.changes, &text)
    }

    /// Pictures of the timeline, one for each stretch of work.
    pub fn timeline(&self) -> Vec<String> {
        let timeline = &self.plan.timeline;
        let Some(schedule) = &timeline.schedule else { return Vec::new() };
        let clock = |second: i64| self.speech.time(timeline.moment(second).time());
        drawing::timeline_windows(schedule)
            .into_iter()
            .map(|window| {
                // The axis shows the hour; the day stands in the name.
                let day = self.speech.date(timeline.moment(window.start_s).date());
                timeline_picture(&timeline.problem, schedule, window, Some(&day), &clock, self.speech)
            })
            .collect()
    }
}

fn timeline_picture(
    problem: &schedule::Problem,
    schedule: &schedule::Schedule,
    window: schedule::Span,
    day: Option<&str>,
    clock: &dyn Fn(i64) -> String,
    speech: &Speech,
) -> String {
    let temperature = |c: i32| speech.temperature_pair(Temperature::from_c(f64::from(c)).unwrap_or_default()).0;
    let term = |code| speech.term(code);
    let title = term(crate::codes::TIMELINE);
    let title = day.map_or_else(|| title.clone(), |day| format!("{title}, {day}"));
    let text = TimelineText {
        title: &title,
        description: &title,
        clock,
        temperature: &temperature,
        due: &term(crate::codes::DUE),
        late: &term(crate::codes::LATE),
        now: &term(crate::codes::NOW),
        set_up: &term(crate::codes::SET_UP),
        cooling: &term(crate::codes::COOLING),
        finishing: &term(crate::codes::FINISHING),
    };
    drawing::timeline(problem, schedule, window, &text)
}

/// A picture of a schedule by itself, from its first to its last second, in hours and minutes from its origin.
pub fn schedule_picture(problem: &schedule::Problem, schedule: &schedule::Schedule) -> String {
    let speech = Speech::english(units::UnitSystem::Metric);
    let windows = drawing::timeline_windows(schedule);
    let start_s = windows.first().map_or(problem.now_s, |window| window.start_s);
    let end_s = windows.last().map_or(start_s, |window| window.end_s);
    let clock = |second: i64| {
        let (hours, minutes) = (second.div_euclid(3600), second.rem_euclid(3600) / 60);
        format!("{hours}:{minutes:02}")
    };
    timeline_picture(problem, schedule, schedule::Span::new(start_s, end_s), None, &clock, &speech)
}

/// Placements whose tape measures are the same, with the names of their sizes.
fn alike(placements: &[Placement]) -> Vec<(Vec<String>, &Placement)> {
    let mut all: Vec<(Vec<String>, &Placement)> = Vec::new();
    for place in placements {
        let same = |known: &Placement| {
            let measures = |of: &Placement| -> Vec<(report::Code, report::Code, f64)> {
                of.placed.measures.iter().map(|m| (m.from, m.to, m.length.mm())).collect()
            };
            measures(known) == measures(place)
        };
        match all.iter_mut().find(|(_, known)| same(known)) {
            Some((sizes, _)) => sizes.push(place.size.clone()),
            None => all.push((vec![place.size.clone()], place)),
        }
    }
    all
}

/// A picture of a layout by itself, its pieces marked with their designs' names.
pub fn layout_picture(instance: &nest::Instance, layout: &nest::Layout) -> String {
    let text = LayoutText {
        title: "Layout".to_owned(),
        description: format!("{} sheets or lengths", layout.sheets.len()),
        captions: layout
            .sheets
            .iter()
            .map(|sheet| instance.stock.get(sheet.stock).map_or_else(String::new, |stock| stock.id.clone()))
            .collect(),
        marks: instance.designs.iter().map(|design| design.id.clone()).collect(),
        fills: Vec::new(),
    };
    drawing::layout(instance, layout, &text)
}

/// Art as PNG in base64, as large as a picture shows it.
pub(crate) fn png_shown(art: &art::CleanArt, size: (f64, f64)) -> Option<String> {
    Some(base64::engine::general_purpose::STANDARD.encode(png_bytes(art, size)?))
}

fn png_bytes(art: &art::CleanArt, (w, h): (f64, f64)) -> Option<Vec<u8>> {
    let scale = SHOWN_PX / w.max(h).max(1.0);
    let px = |mm: f64| (mm * scale).round().clamp(1.0, SHOWN_PX) as u32;
    let image = art.render(px(w), px(h)).ok()?;
    png_of(&image)
}

pub(crate) fn png_of(image: &art::Rgba8Image) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, image.width(), image.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    let mut writer = encoder.write_header().ok()?;
    writer.write_image_data(image.pixels()).ok()?;
    writer.finish().ok()?;
    Some(bytes)
}
