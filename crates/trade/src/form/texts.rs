//! Values as they stand in a file: with their place, and as people write them.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::marker::PhantomData;
use units::{Duration, Length, Mass, Money, Share, Temperature, TemperatureDifference};

/// A value and the byte at which it stands in its file.
#[derive(Debug, Clone, Default)]
pub(super) struct At<T> {
    pub at: usize,
    pub value: T,
}

/// A text with its place.
pub(super) type Text = At<String>;

impl<T> At<T> {
    /// A value that is about to be written.
    pub fn new(value: T) -> Self {
        Self { at: 0, value }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for At<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = toml::Spanned::<T>::deserialize(deserializer)?;
        Ok(Self { at: spanned.span().start, value: spanned.into_inner() })
    }
}

impl<T: Serialize> Serialize for At<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.value.serialize(serializer)
    }
}

impl<T: JsonSchema> JsonSchema for At<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// What a text stands for, said in the schema.
pub(super) trait Described {
    const NAME: &'static str;
    const EXAMPLE: &'static str;
}

/// A quantity that is written as text and read without loss.
pub(super) trait Quantity: Described + Copy + Default {
    /// The number in the unit of [`Self::UNIT`].
    fn number(self) -> f64;
    const UNIT: &'static str;
    fn read(text: &str) -> Result<Self, String>;
    fn write(self) -> String {
        format!("{} {}", self.number(), Self::UNIT)
    }
}

/// A quantity as text in the file.
#[derive(Debug, Clone)]
pub(super) struct Written<Q> {
    pub text: Text,
    of: PhantomData<Q>,
}

impl<Q> Written<Q> {
    pub fn new(text: String) -> Self {
        Self { text: At::new(text), of: PhantomData }
    }
}

impl<Q: Quantity> Written<Q> {
    pub fn of(quantity: Q) -> Self {
        Self::new(quantity.write())
    }
}

impl<'de, Q> Deserialize<'de> for Written<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self { text: Text::deserialize(deserializer)?, of: PhantomData })
    }
}

impl<Q> Serialize for Written<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.text.serialize(serializer)
    }
}

impl<Q: Described> JsonSchema for Written<Q> {
    fn schema_name() -> Cow<'static, str> {
        Q::NAME.into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "description": format!("As people write it: {}.", Q::EXAMPLE), "examples": [Q::EXAMPLE] })
    }
}

macro_rules! quantities {
    ($($of:ty, $name:literal, $example:literal, $get:ident, $unit:literal, $read:expr;)*) => { $(
        impl Described for $of {
            const NAME: &'static str = $name;
            const EXAMPLE: &'static str = $example;
        }
        impl Quantity for $of {
            const UNIT: &'static str = $unit;
            fn number(self) -> f64 { self.$get() }
            fn read(text: &str) -> Result<Self, String> { $read(text).map_err(|refused| refused.to_string()) }
        }
    )* };
}

quantities!(
    Length, "length", "90 mm, 3.5 in", mm, "mm", units::read_length;
    Temperature, "temperature", "150 °C, 300 °F", c, "°C", units::read_temperature;
    Duration, "duration", "12 s, 4 min", s, "s", units::read_duration;
    TemperatureDifference, "difference", "-2 °C", k, "K", read_difference;
    Mass, "mass", "180 g/m²", g_m2, "g/m²", read_mass;
);

impl Described for Share {
    const NAME: &'static str = "share";
    const EXAMPLE: &'static str = "45 %";
}

impl Quantity for Share {
    const UNIT: &'static str = "%";
    fn number(self) -> f64 {
        self.fraction() * 100.0
    }
    fn read(text: &str) -> Result<Self, String> {
        units::read_share(text).map_err(|refused| refused.to_string())
    }
    fn write(self) -> String {
        let (whole, rest) = (self.ppm() / 10_000, self.ppm() % 10_000);
        if rest == 0 {
            format!("{whole} %")
        } else {
            format!("{whole}.{} %", format!("{rest:04}").trim_end_matches('0'))
        }
    }
}

impl Described for Money {
    const NAME: &'static str = "money";
    const EXAMPLE: &'static str = "18.40";
}

/// An amount as text, without its currency.
pub(super) fn write_money(money: Money) -> Written<Money> {
    let shown = money.to_string().replace('\u{2212}', "-");
    Written::new(shown.split(' ').next().unwrap_or_default().to_owned())
}

/// A difference: a number of K, °C or °F.
fn read_difference(text: &str) -> Result<TemperatureDifference, String> {
    let (number, unit) = split(text, "-2 °C")?;
    let factor = match unit.trim_start_matches(['°', 'º']).trim() {
        "K" | "C" => 1.0,
        "F" => 1.0 / 1.8,
        _ => return Err(format!("“{}” is not a unit known here; use K, °C or °F", shown(unit))),
    };
    TemperatureDifference::from_k(number * factor).ok_or_else(|| "the number is too large".to_owned())
}

/// Mass per area: g/m² or oz/yd² (1 oz/yd² = 33.906 g/m², from 28.349 523 125 g and 0.9144 m).
fn read_mass(text: &str) -> Result<Mass, String> {
    let (number, unit) = split(text, "180 g/m²")?;
    let factor = match unit {
        "g/m²" | "g/m2" | "gsm" => 1.0,
        "oz/yd²" | "oz/yd2" => 28.349_523_125 / (0.9144 * 0.9144),
        _ => return Err(format!("“{}” is not a unit known here; use g/m² or oz/yd²", shown(unit))),
    };
    Mass::from_g_m2(number * factor).ok_or_else(|| "the number is too large".to_owned())
}

fn split<'a>(text: &'a str, example: &str) -> Result<(f64, &'a str), String> {
    let trimmed = text.trim();
    let end = trimmed
        .char_indices()
        .find(|(at, c)| {
            !(c.is_ascii_digit() || matches!(c, '.' | ',') || (*at == 0 && matches!(c, '-' | '+' | '\u{2212}')))
        })
        .map_or(trimmed.len(), |(at, _)| at);
    let (digits, unit) = trimmed.split_at(end);
    let number: Result<f64, _> = digits.replace('\u{2212}', "-").replace(',', ".").parse();
    let unit = unit.trim();
    match number {
        Ok(number) if !unit.is_empty() => Ok((number, unit)),
        Ok(_) => Err(format!("“{}” has no unit; write it like {example}", shown(text))),
        Err(_) => Err(format!("“{}” does not begin with a number; write it like {example}", shown(text))),
    }
}

/// At most 60 characters and none that steers a terminal.
pub(super) fn shown(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(60).collect()
}

/// A closed list of words, each standing for one value.
pub trait Worded: Copy + PartialEq + Sized + 'static {
    /// What the words name, "a fibre".
    const WHAT: &'static str;
    /// Name in the schema.
    const SCHEMA: &'static str;
    /// Every word with its value.
    const WORDS: &'static [(&'static str, Self)];

    /// The value of a word as files write it.
    fn from_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(known, _)| *known == word).map(|(_, value)| *value)
    }

    /// The word as files write it.
    fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, value)| *value == self).map_or("", |(word, _)| word)
    }
}

/// A word of a closed list in a file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Word<T>(pub T);

impl<'de, T: Worded> Deserialize<'de> for Word<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let word = String::deserialize(deserializer)?;
        T::from_word(&word)
            .map(Self)
            .ok_or_else(|| serde::de::Error::custom(format!("“{}” is not {}", shown(&word), T::WHAT)))
    }
}

impl<T: Worded> Serialize for Word<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.word())
    }
}

impl<T: Worded> JsonSchema for Word<T> {
    fn schema_name() -> Cow<'static, str> {
        T::SCHEMA.into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let words: Vec<&str> = T::WORDS.iter().map(|(word, _)| *word).collect();
        json_schema!({ "type": "string", "enum": words, "description": format!("The word for {}.", T::WHAT) })
    }
}
