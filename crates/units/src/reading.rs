//! Reading quantities as people write them: "3.5 in", "280 °F", "15 s", "3,5 cm".

use crate::{Currency, Duration, Length, Money, Share, Temperature};
use std::fmt;

/// Why a text is not the quantity asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadError {
    /// No number at the start.
    NoNumber {
        /// The text as it was typed, at most 40 characters.
        text: String,
        /// An example of what is expected.
        example: &'static str,
    },
    /// A number without its unit.
    NoUnit {
        /// The text as it was typed, at most 40 characters.
        text: String,
        /// An example of what is expected.
        example: &'static str,
    },
    /// A unit that this quantity does not have.
    OtherUnit {
        /// The unit as it was typed, at most 40 characters.
        unit: String,
        /// The units that can be read here.
        known: &'static str,
    },
    /// More decimals than the currency has, or more money than can be counted.
    NotMoney {
        /// The text as it was typed, at most 40 characters.
        text: String,
    },
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNumber { text, example } => {
                write!(f, "“{text}” does not begin with a number; write it like {example}")
            }
            Self::NoUnit { text, example } => write!(f, "“{text}” has no unit; write it like {example}"),
            Self::OtherUnit { unit, known } => write!(f, "“{unit}” is not a unit known here; use {known}"),
            Self::NotMoney { text } => {
                write!(f, "“{text}” is not an amount of this currency; check its decimals and size")
            }
        }
    }
}

impl std::error::Error for ReadError {}

/// A length: mm, cm, m, in, ″, ft or yd.
pub fn read_length(text: &str) -> Result<Length, ReadError> {
    let (number, unit) = parts(text, "90 mm or 3.5 in")?;
    let mm = match unit.as_str() {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1000.0,
        "in" | "inch" | "inches" | "\"" | "\u{2033}" => 25.4,
        "ft" => 304.8,
        "yd" => 914.4,
        "" => return Err(ReadError::NoUnit { text: cut(text), example: "90 mm or 3.5 in" }),
        _ => return Err(ReadError::OtherUnit { unit: cut(&unit), known: "mm, cm, m, in, ft or yd" }),
    };
    Length::from_mm(number * mm).ok_or(ReadError::NoNumber { text: cut(text), example: "90 mm or 3.5 in" })
}

/// A temperature: °C or °F (the degree sign may be left out).
pub fn read_temperature(text: &str) -> Result<Temperature, ReadError> {
    let example = "150 °C or 300 °F";
    let (number, unit) = parts(text, example)?;
    let read = match unit.trim_start_matches(['°', 'º']).trim() {
        "C" | "c" => Temperature::from_c(number),
        "F" | "f" => Temperature::from_f(number),
        "" => return Err(ReadError::NoUnit { text: cut(text), example }),
        _ => return Err(ReadError::OtherUnit { unit: cut(&unit), known: "°C or °F" }),
    };
    read.ok_or(ReadError::NoNumber { text: cut(text), example })
}

/// A span of time: s, min, h or days (d).
pub fn read_duration(text: &str) -> Result<Duration, ReadError> {
    let example = "15 s or 4 min";
    let (number, unit) = parts(text, example)?;
    let seconds = match unit.as_str() {
        "s" | "sec" | "seconds" => 1.0,
        "min" | "minutes" => 60.0,
        "h" | "hours" => 3600.0,
        "d" | "days" => 86400.0,
        "" => return Err(ReadError::NoUnit { text: cut(text), example }),
        _ => return Err(ReadError::OtherUnit { unit: cut(&unit), known: "s, min, h or d" }),
    };
    Duration::from_s(number * seconds).ok_or(ReadError::NoNumber { text: cut(text), example })
}

/// A share in percent, "45 %", exact to a ten-thousandth of a percent.
pub fn read_share(text: &str) -> Result<Share, ReadError> {
    let example = "45 %";
    let (number, unit) = parts(text, example)?;
    match unit.as_str() {
        "%" => {}
        "" => return Err(ReadError::NoUnit { text: cut(text), example }),
        _ => return Err(ReadError::OtherUnit { unit: cut(&unit), known: "%" }),
    }
    let ppm = (number * 10_000.0).round();
    // In range before the cast, so the cast is exact.
    let in_range = (0.0..=10_000_000.0).contains(&ppm);
    in_range
        .then_some(ppm as i64)
        .and_then(Share::from_ppm)
        .ok_or(ReadError::NoNumber { text: cut(text), example: "a share from 0 % to 1000 %" })
}

/// An amount in `currency`, "18.40" or "18,40", exact; no more decimals than the currency has.
pub fn read_money(text: &str, currency: Currency) -> Result<Money, ReadError> {
    let refused = || ReadError::NotMoney { text: cut(text) };
    let trimmed = text.trim();
    let trimmed = trimmed.strip_suffix(currency.code()).unwrap_or(trimmed).trim();
    let (digits, negative) = match trimmed.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (rest, true),
        None => (trimmed, false),
    };
    let (whole, fraction) = digits.split_once(['.', ',']).unwrap_or((digits, ""));
    let all_digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty()
        || !all_digits(whole)
        || !all_digits(fraction)
        || fraction.len() > usize::from(currency.decimals())
    {
        return Err(refused());
    }
    let padded = format!("{whole}{fraction:0<width$}", width = usize::from(currency.decimals()));
    let minor: i64 = padded.parse().map_err(|_| refused())?;
    Ok(Money::new(if negative { -minor } else { minor }, currency))
}

/// The number and its unit; a decimal comma is read as a point.
fn parts(text: &str, example: &'static str) -> Result<(f64, String), ReadError> {
    let trimmed = text.trim();
    let end = trimmed
        .char_indices()
        .find(|&(at, c)| {
            !(c.is_ascii_digit() || c == '.' || c == ',' || (at == 0 && (c == '-' || c == '+' || c == '\u{2212}')))
        })
        .map_or(trimmed.len(), |(at, _)| at);
    let (digits, unit) = trimmed.split_at(end);
    let plain = digits.replace('\u{2212}', "-").replace(',', ".");
    let number: f64 = plain.parse().map_err(|_| ReadError::NoNumber { text: cut(text), example })?;
    if !number.is_finite() {
        return Err(ReadError::NoNumber { text: cut(text), example });
    }
    Ok((number, unit.trim().to_owned()))
}

/// At most 40 characters and none that steers a terminal.
fn cut(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_people_write_them() {
        for (text, mm) in [("3.5 in", 88.9), ("3,5 cm", 35.0), ("90mm", 90.0), ("2\"", 50.8), ("1 yd", 914.4)] {
            assert!((read_length(text).expect(text).mm() - mm).abs() < 1e-9, "{text}");
        }
        assert!((read_temperature("280 °F").expect("read").c() - 137.777_78).abs() < 1e-4);
        assert!((read_temperature("150C").expect("read").c() - 150.0).abs() < 1e-9);
        assert_eq!(read_duration("4 min").map(Duration::s), Ok(240.0));
        assert_eq!(read_share("45 %").map(Share::ppm), Ok(450_000));
        let eur = Currency::new("EUR", 2).expect("a currency");
        assert_eq!(read_money("18,4", eur).map(Money::minor), Ok(1840));
        assert_eq!(read_money("28.00 EUR", eur).map(Money::minor), Ok(2800));
    }

    #[test]
    fn refusals_say_what_is_expected() {
        assert!(matches!(read_length("90"), Err(ReadError::NoUnit { .. })));
        assert!(matches!(read_length("wide"), Err(ReadError::NoNumber { .. })));
        assert!(matches!(read_temperature("150 K"), Err(ReadError::OtherUnit { .. })));
        assert!(matches!(read_length("1.2.3 mm"), Err(ReadError::NoNumber { .. })));
        assert!(read_share("-1 %").is_err());
        assert!(read_share("1e400 %").is_err());
        let eur = Currency::new("EUR", 2).expect("a currency");
        for text in ["1.234", "", "-", "1e3", "99999999999999999999", "1.2.3"] {
            assert!(read_money(text, eur).is_err(), "{text}");
        }
    }
}
