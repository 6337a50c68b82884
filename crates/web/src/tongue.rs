//! The words of a page: sentences and values in the person's units.

use desk::kept::DeedError;
use jiff::civil::DateTime;
use report::{Code, Finding, Value};
use units::{Currency, Duration, Money, Temperature, UnitSystem};
use words::{Said, Speech};

/// One way of speaking on a page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tongue {
    pub speech: Speech,
}

impl Tongue {
    pub fn new(units: UnitSystem) -> Self {
        Self { speech: Speech::english(units) }
    }

    pub fn inch(&self) -> bool {
        self.speech.units() == UnitSystem::Inch
    }

    /// A phrase of the page.
    pub fn t(&self, code: &'static str) -> String {
        self.speech.term(Code(code))
    }

    /// A sentence with one text in it, `{a}`.
    pub fn a(&self, code: &'static str, a: impl ToString) -> String {
        self.f(code, &[("a", a.to_string())])
    }

    /// A sentence with two texts in it, `{a}` and `{b}`.
    pub fn ab(&self, code: &'static str, a: impl ToString, b: impl ToString) -> String {
        self.f(code, &[("a", a.to_string()), ("b", b.to_string())])
    }

    /// A sentence with texts by name.
    pub fn f(&self, code: &'static str, values: &[(&str, String)]) -> String {
        let values: Vec<(String, Value)> =
            values.iter().map(|(name, text)| ((*name).to_owned(), Value::Text(text.clone()))).collect();
        self.speech.told(Code(code), &values)
    }

    /// The phrase of a code that a file names; the name itself when it is not known.
    pub fn code(&self, name: &str) -> String {
        self.speech.code(name).map_or_else(|| words::clean(name), |code| self.speech.term(code))
    }

    pub fn finding(&self, finding: &Finding) -> Said {
        self.speech.finding(finding)
    }

    pub fn money(&self, minor: i64, currency: Currency) -> String {
        self.speech.money(Money::new(minor, currency))
    }

    /// First and second unit of a temperature, "150 °C" and "302 °F".
    pub fn c(&self, c: f64) -> (String, String) {
        self.speech.temperature_pair(Temperature::from_c(c).unwrap_or_default())
    }

    pub fn s(&self, s: f64) -> String {
        self.speech.duration(Duration::from_s(s).unwrap_or_default())
    }

    /// A moment as files have it, for a person; as it is when it is none.
    pub fn moment(&self, text: &str) -> String {
        text.parse::<DateTime>().map_or_else(|_| words::clean(text), |moment| self.speech.moment(moment))
    }

    pub fn day(&self, text: &str) -> String {
        let day = text.get(..10).unwrap_or(text).parse::<jiff::civil::Date>();
        day.map_or_else(|_| words::clean(text), |day| self.speech.date(day))
    }

    /// When something was done, by this machine's clock.
    pub fn at(&self, ms: i64) -> String {
        let zoned = jiff::Timestamp::from_millisecond(ms).map(|at| at.to_zoned_datetime(jiff::tz::TimeZone::system()));
        zoned.map_or_else(|_| String::new(), |zoned| self.speech.moment(zoned.datetime()))
    }

    /// What a refused deed says: what, and what to do.
    pub fn deed(&self, error: &DeedError) -> (String, String) {
        (error.to_string(), String::new())
    }

    pub fn is_missing(&self, error: &DeedError) -> bool {
        matches!(error, DeedError::Missing { .. })
    }
}
