//! Money in whole minor units, rounded by a named rule.

use std::fmt;

/// A currency: three letters and how many decimals its minor unit stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency {
    code: [u8; 3],
    decimals: u8,
}

impl Currency {
    /// A currency as the shop enters it, "EUR" with 2 decimals, say.
    ///
    /// `None` when `code` is not three capital letters or `decimals` is over 4.
    pub fn new(code: &str, decimals: u8) -> Option<Self> {
        let code: [u8; 3] = code.as_bytes().try_into().ok()?;
        (code.iter().all(u8::is_ascii_uppercase) && decimals <= 4).then_some(Self { code, decimals })
    }

    /// The three letters.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.code).unwrap_or("")
    }

    /// Decimals of the minor unit, 0 to 4.
    pub fn decimals(self) -> u8 {
        self.decimals
    }

    /// Minor units in one major unit.
    pub fn minor_per_major(self) -> i64 {
        10_i64.pow(u32::from(self.decimals))
    }
}

/// How an amount between two minor units becomes one of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// Towards more cost: never understate what is paid.
    Up,
    /// To the nearest, half away from zero.
    HalfUp,
    /// Towards less.
    Down,
}

/// An amount of money: whole minor units of one currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

/// Why a sum of money cannot be formed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoneyError {
    /// The two amounts are of different currencies.
    OtherCurrency {
        /// The currency of the first amount.
        first: Currency,
        /// The currency of the second.
        second: Currency,
    },
    /// The amount is past what can be counted (about 9·10¹⁸ minor units).
    TooLarge,
}

impl fmt::Display for MoneyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherCurrency { first, second } => {
                write!(f, "{} and {} cannot be added; enter both in one currency", first.code(), second.code())
            }
            Self::TooLarge => write!(f, "the amount is larger than can be counted; check quantities and prices"),
        }
    }
}

impl std::error::Error for MoneyError {}

/// A share in parts per million, so that margins and taxes are exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Share {
    ppm: i64,
}

impl Share {
    /// No share.
    pub const ZERO: Self = Self { ppm: 0 };

    /// From parts per million; `None` below 0 or above 10,000,000 (1000 %).
    pub fn from_ppm(ppm: i64) -> Option<Self> {
        (0..=10_000_000).contains(&ppm).then_some(Self { ppm })
    }

    /// Parts per million.
    pub fn ppm(self) -> i64 {
        self.ppm
    }

    /// As a fraction of one, for display.
    pub fn fraction(self) -> f64 {
        self.ppm as f64 / 1e6
    }
}

impl Money {
    /// An amount in minor units.
    pub fn new(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// Nothing, in `currency`.
    pub fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// The minor units.
    pub fn minor(self) -> i64 {
        self.minor
    }

    /// The currency.
    pub fn currency(self) -> Currency {
        self.currency
    }

    /// The sum; fails across currencies and past the countable.
    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        self.same(other)?;
        let minor = self.minor.checked_add(other.minor).ok_or(MoneyError::TooLarge)?;
        Ok(Self { minor, ..self })
    }

    /// The difference; fails across currencies and past the countable.
    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        self.same(other)?;
        let minor = self.minor.checked_sub(other.minor).ok_or(MoneyError::TooLarge)?;
        Ok(Self { minor, ..self })
    }

    /// `count` times the amount.
    pub fn times(self, count: i64) -> Result<Self, MoneyError> {
        let minor = self.minor.checked_mul(count).ok_or(MoneyError::TooLarge)?;
        Ok(Self { minor, ..self })
    }

    /// The amount × `numerator` ÷ `denominator`, exact until the one rounding.
    pub fn scaled(self, numerator: i64, denominator: i64, rounding: Rounding) -> Result<Self, MoneyError> {
        let product = i128::from(self.minor) * i128::from(numerator);
        let minor = divide(product, i128::from(denominator), rounding).ok_or(MoneyError::TooLarge)?;
        Ok(Self { minor: i64::try_from(minor).map_err(|_| MoneyError::TooLarge)?, ..self })
    }

    /// The given share of the amount.
    pub fn share(self, share: Share, rounding: Rounding) -> Result<Self, MoneyError> {
        self.scaled(share.ppm(), 1_000_000, rounding)
    }

    /// Up to the next multiple of `step` minor units (unchanged when `step` < 1).
    pub fn up_to_step(self, step: i64) -> Result<Self, MoneyError> {
        if step < 1 {
            return Ok(self);
        }
        let steps = divide(i128::from(self.minor), i128::from(step), Rounding::Up).ok_or(MoneyError::TooLarge)?;
        let minor = i64::try_from(steps * i128::from(step)).map_err(|_| MoneyError::TooLarge)?;
        Ok(Self { minor, ..self })
    }

    fn same(self, other: Self) -> Result<(), MoneyError> {
        if self.currency == other.currency {
            Ok(())
        } else {
            Err(MoneyError::OtherCurrency { first: self.currency, second: other.currency })
        }
    }
}

/// Plain digits with the currency's letters, "18.40 EUR".
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = self.currency.minor_per_major().unsigned_abs();
        let (major, minor) = (self.minor.unsigned_abs() / unit, self.minor.unsigned_abs() % unit);
        let sign = if self.minor < 0 { "\u{2212}" } else { "" };
        match usize::from(self.currency.decimals) {
            0 => write!(f, "{sign}{major} {}", self.currency.code()),
            width => write!(f, "{sign}{major}.{minor:0width$} {}", self.currency.code()),
        }
    }
}

fn divide(numerator: i128, denominator: i128, rounding: Rounding) -> Option<i128> {
    if denominator == 0 {
        return None;
    }
    let (floor, rest) = (numerator.div_euclid(denominator), numerator.rem_euclid(denominator));
    // `div_euclid` is the floor for a positive divisor, the ceiling for a negative one.
    let (n, d, floor, rest) = if denominator < 0 {
        let (n, d) = (-numerator, -denominator);
        (n, d, n.div_euclid(d), n.rem_euclid(d))
    } else {
        (numerator, denominator, floor, rest)
    };
    Some(match rounding {
        Rounding::Down => floor,
        Rounding::Up => floor + i128::from(rest != 0),
        Rounding::HalfUp if n >= 0 => floor + i128::from(2 * rest >= d),
        Rounding::HalfUp => floor + i128::from(2 * rest > d),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eur(minor: i64) -> Money {
        Money::new(minor, Currency::new("EUR", 2).expect("a currency"))
    }

    #[test]
    fn rounding_is_named_and_exact() {
        for (rounding, amount, expected) in [
            (Rounding::Down, 100, 33),
            (Rounding::Up, 100, 34),
            (Rounding::HalfUp, 100, 33),
            (Rounding::HalfUp, 200, 67),
            (Rounding::HalfUp, -200, -67),
            (Rounding::Up, -100, -33),
            (Rounding::Down, -100, -34),
        ] {
            assert_eq!(eur(amount).scaled(1, 3, rounding), Ok(eur(expected)), "{rounding:?} {amount}");
        }
        assert_eq!(eur(1836).up_to_step(5), Ok(eur(1840)));
        assert_eq!(eur(1840).up_to_step(5), Ok(eur(1840)));
    }

    #[test]
    fn sums_are_checked() {
        let yen = Money::new(5, Currency::new("JPY", 0).expect("a currency"));
        assert!(matches!(eur(1).plus(yen), Err(MoneyError::OtherCurrency { .. })));
        assert_eq!(eur(i64::MAX).plus(eur(1)), Err(MoneyError::TooLarge));
        assert_eq!(eur(i64::MAX).scaled(1_000_000, 1, Rounding::Up), Err(MoneyError::TooLarge));
        assert_eq!(eur(1).scaled(1, 0, Rounding::Up), Err(MoneyError::TooLarge));
    }

    #[test]
    fn shown_with_its_decimals() {
        assert_eq!(eur(1840).to_string(), "18.40 EUR");
        assert_eq!(eur(-5).to_string(), "\u{2212}0.05 EUR");
    }
}
