//! Values in words: unit, rounding, form.

use crate::sentence::clean;
use crate::{Language, Speech};
use jiff::civil::{Date, DateTime, Time, Weekday};
use report::Value;
use units::{Area, Duration, Length, Money, Share, Temperature, TemperatureDifference, UnitSystem};

const MINUS: char = '\u{2212}';
const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

impl Speech {
    /// Any value.
    pub fn value(&self, value: &Value) -> String {
        match value {
            Value::Length(length) => self.length(*length),
            Value::Area(area) => self.area(*area),
            Value::Temperature(temperature) => self.temperature(*temperature),
            Value::Difference(difference) => self.difference(*difference),
            Value::Duration(duration) => self.duration(*duration),
            Value::Money(money) => self.money(*money),
            Value::Count(count) => self.count(*count),
            Value::Share(fraction) => self.percent(*fraction),
            Value::Number(number) => self.number(*number),
            Value::Date(date) => self.date(*date),
            Value::Moment(moment) => self.moment(*moment),
            Value::Text(text) => clean(text),
            // A term stands within a sentence: lower case unless it is written otherwise.
            Value::Term(code) => crate::english::sentence(code.0).map_or_else(|| clean(code.0), str::to_owned),
            Value::List(values) => self.list(&values.iter().map(|value| self.value(value)).collect::<Vec<_>>()),
        }
    }

    /// "115 mm", "0.6 mm", "2.35 m" from 2 m on; "4.53 in".
    pub fn length(&self, length: Length) -> String {
        match self.units {
            UnitSystem::Metric => metric_length(length),
            UnitSystem::Inch => inch_length(length),
        }
    }

    /// Both systems, the reader's first: "115 mm · 4.53 in".
    pub fn length_both(&self, length: Length) -> String {
        self.ordered(metric_length(length), inch_length(length))
    }

    /// "280 × 120 mm", "11.02 × 4.72 in".
    pub fn size(&self, width: Length, height: Length) -> String {
        match self.units {
            UnitSystem::Metric => format!("{} × {} mm", mm(width), mm(height)),
            UnitSystem::Inch => format!("{} × {} in", inches(width), inches(height)),
        }
    }

    /// "450 cm²", "1.25 m²" from half a square metre on; "69.8 in²".
    pub fn area(&self, area: Area) -> String {
        match self.units {
            UnitSystem::Metric if area.mm2().abs() >= 500_000.0 => format!("{} m²", trimmed(area.mm2() / 1e6, 2)),
            UnitSystem::Metric => format!("{} cm²", significant(area.cm2())),
            UnitSystem::Inch => {
                let square_inches = area.mm2() / (Length::MM_PER_INCH * Length::MM_PER_INCH);
                if square_inches.abs() >= 720.0 {
                    format!("{} ft²", trimmed(square_inches / 144.0, 1))
                } else {
                    format!("{} in²", significant(square_inches))
                }
            }
        }
    }

    /// Both scales, the reader's first: "149 °C · 300 °F".
    pub fn temperature(&self, temperature: Temperature) -> String {
        let [celsius, fahrenheit] = self.scales(temperature);
        self.ordered(celsius, fahrenheit)
    }

    /// From one to another on both scales: "130 to 140 °C · 266 to 284 °F".
    pub fn temperature_range(&self, low: Temperature, high: Temperature) -> String {
        let span = |low: f64, high: f64, unit: &str| format!("{} to {} {unit}", trimmed(low, 0), trimmed(high, 0));
        self.ordered(span(low.c(), high.c(), "°C"), span(low.f(), high.f(), "°F"))
    }

    /// The reader's own scale alone, and the other: ("149 °C", "300 °F").
    pub fn temperature_pair(&self, temperature: Temperature) -> (String, String) {
        let [celsius, fahrenheit] = self.scales(temperature);
        match self.units {
            UnitSystem::Metric => (celsius, fahrenheit),
            UnitSystem::Inch => (fahrenheit, celsius),
        }
    }

    fn scales(&self, temperature: Temperature) -> [String; 2] {
        [format!("{} °C", trimmed(temperature.c(), 0)), format!("{} °F", trimmed(temperature.f(), 0))]
    }

    /// A difference on both scales, without the 32: "12 °C · 22 °F".
    pub fn difference(&self, difference: TemperatureDifference) -> String {
        let places = |value: f64| usize::from(value.abs() < 10.0);
        let (kelvin, fahrenheit) = (difference.k(), difference.f());
        self.ordered(
            format!("{} °C", trimmed(kelvin, places(kelvin))),
            format!("{} °F", trimmed(fahrenheit, places(fahrenheit))),
        )
    }

    /// "4.5 s", "15 s", "4 min 30 s", "2 h 5 min", "3 days 4 h".
    pub fn duration(&self, duration: Duration) -> String {
        let sign = if duration.s() < 0.0 { String::from(MINUS) } else { String::new() };
        let s = duration.s().abs();
        if s < 9.95 {
            return format!("{}{} s", if s < 0.05 { "" } else { &sign }, trimmed(s, 1));
        }
        // Seconds up to ten minutes, then minutes, then hours: each rounded once, before it is split.
        let text = match s {
            _ if s.round() < 60.0 => format!("{} s", trimmed(s, 0)),
            _ if s.round() < 600.0 => parts(s.round(), 60.0, "min", "s"),
            _ if (s / 60.0).round() < 60.0 => format!("{} min", trimmed(s / 60.0, 0)),
            _ if (s / 60.0).round() < 2880.0 => parts((s / 60.0).round(), 60.0, "h", "min"),
            _ => parts((s / 3600.0).round(), 24.0, "days", "h"),
        };
        sign + &text
    }

    /// "18.40 EUR", "12,345.00 EUR" from ten thousand on.
    pub fn money(&self, money: Money) -> String {
        let text = money.to_string();
        let (amount, code) = text.rsplit_once(' ').unwrap_or((&text, ""));
        format!("{} {code}", grouped(amount))
    }

    /// "12", "12,345" from ten thousand on.
    pub fn count(&self, count: i64) -> String {
        let text = grouped(&count.unsigned_abs().to_string());
        if count < 0 { format!("{MINUS}{text}") } else { text }
    }

    /// "1 piece", "12 pieces"; `one` and `many` as the caller's language has them.
    pub fn counted(&self, count: u64, one: &str, many: &str) -> String {
        let number = self.count(i64::try_from(count).unwrap_or(i64::MAX));
        format!("{number} {}", if count == 1 { one } else { many })
    }

    /// A fraction of one in percent: "0.35 %", "3.5 %", "42 %".
    pub fn percent(&self, fraction: f64) -> String {
        let percent = fraction * 100.0;
        let places = match percent.abs() {
            size if size < 0.995 => 2,
            size if size < 9.95 => 1,
            _ => 0,
        };
        format!("{} %", trimmed(percent, places))
    }

    /// A share as the shop entered it, exactly: "19 %", "7.75 %".
    pub fn share(&self, share: Share) -> String {
        format!("{} %", trimmed(share.ppm() as f64 / 1e4, 4))
    }

    /// At most three significant digits.
    pub fn number(&self, number: f64) -> String {
        significant(number)
    }

    /// "Fri 18 Dec 2026".
    pub fn date(&self, date: Date) -> String {
        format!("{} {}", self.day(date), date.year())
    }

    /// "Fri 18 Dec, 14:00".
    pub fn moment(&self, moment: DateTime) -> String {
        format!("{}, {}", self.day(moment.date()), self.time(moment.time()))
    }

    /// "Fri 18 Dec".
    pub fn day(&self, date: Date) -> String {
        let month = usize::try_from(date.month()).ok().and_then(|month| MONTHS.get(month.wrapping_sub(1)));
        format!("{} {} {}", self.weekday(date.weekday()), date.day(), month.unwrap_or(&""))
    }

    /// "14:00".
    pub fn time(&self, time: Time) -> String {
        format!("{:02}:{:02}", time.hour(), time.minute())
    }

    /// "Fri".
    pub fn weekday(&self, day: Weekday) -> &'static str {
        let Language::English = self.language;
        match day {
            Weekday::Monday => "Mon",
            Weekday::Tuesday => "Tue",
            Weekday::Wednesday => "Wed",
            Weekday::Thursday => "Thu",
            Weekday::Friday => "Fri",
            Weekday::Saturday => "Sat",
            Weekday::Sunday => "Sun",
        }
    }

    /// "a", "a and b", "a, b and c"; "none" when there is nothing.
    pub fn list(&self, items: &[String]) -> String {
        match items {
            [] => "none".to_owned(),
            [one] => one.clone(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }

    fn ordered(&self, metric: String, other: String) -> String {
        match self.units {
            UnitSystem::Metric => format!("{metric} · {other}"),
            UnitSystem::Inch => format!("{other} · {metric}"),
        }
    }
}

fn metric_length(length: Length) -> String {
    if length.mm().abs() >= 2000.0 {
        format!("{} m", trimmed(length.mm() / 1000.0, 2))
    } else {
        format!("{} mm", mm(length))
    }
}

fn inch_length(length: Length) -> String {
    format!("{} in", inches(length))
}

/// Hundredths below 1 mm, tenths below 100 mm, whole millimetres above.
fn mm(length: Length) -> String {
    let places = match length.mm().abs() {
        size if size < 0.995 => 2,
        size if size < 99.95 => 1,
        _ => 0,
    };
    trimmed(length.mm(), places)
}

/// Thousandths below a tenth of an inch, hundredths up to 100 in, tenths above.
fn inches(length: Length) -> String {
    let places = match length.inches().abs() {
        size if size < 0.0995 => 3,
        size if size < 99.995 => 2,
        _ => 1,
    };
    trimmed(length.inches(), places)
}

/// Whole `larger` and the rest in `smaller`; a rest of none is not said.
fn parts(total: f64, per: f64, larger: &str, smaller: &str) -> String {
    let (whole, rest) = ((total / per).floor(), total % per);
    if rest < 0.5 { format!("{whole:.0} {larger}") } else { format!("{whole:.0} {larger} {rest:.0} {smaller}") }
}

/// At most `places` decimals, without noughts at the end, and no minus before nothing.
fn trimmed(value: f64, places: usize) -> String {
    // Half away from zero, as people round; formatting alone would round half to even.
    let scale = 10_f64.powi(i32::try_from(places).unwrap_or(0));
    let rounded = (value * scale).round() / scale;
    let value = if rounded.is_finite() { rounded } else { value };
    let mut text = format!("{:.places$}", value.abs());
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if value < 0.0 && text != "0" { format!("{MINUS}{text}") } else { text }
}

fn significant(value: f64) -> String {
    let size = value.abs();
    let places = match size {
        _ if size >= 99.95 || size == 0.0 => 0,
        _ if size >= 9.995 => 1,
        _ if size >= 0.9995 => 2,
        _ if size >= 0.1 => 3,
        _ if size >= 0.01 => 4,
        _ => 5,
    };
    trimmed(value, places)
}

/// Commas between thousands, from ten thousand on.
fn grouped(amount: &str) -> String {
    let (whole, decimals) = amount.split_once('.').map_or((amount, None), |(whole, rest)| (whole, Some(rest)));
    let digits = whole.trim_start_matches(MINUS);
    let sign = &whole[..whole.len() - digits.len()];
    let mut text = String::from(sign);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && digits.len() > 4 && (digits.len() - at) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    if let Some(decimals) = decimals {
        text.push('.');
        text.push_str(decimals);
    }
    text
}
