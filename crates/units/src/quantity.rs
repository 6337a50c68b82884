//! One private number per quantity; a constructor and a reader per unit.

use std::ops::{Add, Div, Mul, Neg, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident { $field:ident }, $from:ident, $get:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name { $field: f64 }

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self { $field: 0.0 };

            #[doc = concat!("From ", $unit, "; `None` when the number is not finite.")]
            pub fn $from(value: f64) -> Option<Self> {
                value.is_finite().then_some(Self { $field: value })
            }

            #[doc = concat!("The number of ", $unit, ".")]
            pub fn $get(self) -> f64 { self.$field }

            /// The smaller of two.
            pub fn min(self, other: Self) -> Self { if other < self { other } else { self } }

            /// The larger of two.
            pub fn max(self, other: Self) -> Self { if other > self { other } else { self } }
        }
    };
}

/// Sums and multiples; a result past the largest number is held at it, so that
/// a quantity stays finite.
macro_rules! linear {
    ($name:ident { $field:ident }) => {
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self { $field: held(self.$field + other.$field) }
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self { $field: held(self.$field - other.$field) }
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self { $field: -self.$field }
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self { $field: held(self.$field * factor) }
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self { $field: held(self.$field / divisor) }
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, Add::add)
            }
        }
    };
}

fn held(value: f64) -> f64 {
    if value.is_nan() { 0.0 } else { value.clamp(f64::MIN, f64::MAX) }
}

quantity!(
    /// A length; always finite.
    Length { mm }, from_mm, mm, "millimetres");
quantity!(
    /// An area; always finite.
    Area { mm2 }, from_mm2, mm2, "square millimetres");
quantity!(
    /// A span of time, not an instant; always finite.
    Duration { s }, from_s, s, "seconds");
quantity!(
    /// A temperature on the Celsius scale; always finite.
    Temperature { c }, from_c, c, "degrees Celsius");
quantity!(
    /// A difference between two temperatures; always finite.
    TemperatureDifference { k }, from_k, k, "kelvin");
quantity!(
    /// A plane angle, counter-clockwise positive; always finite.
    Angle { deg }, from_deg, deg, "degrees");
quantity!(
    /// Mass of cloth per area; always finite.
    Mass { g_m2 }, from_g_m2, g_m2, "grams per square metre");

linear!(Length { mm });
linear!(Area { mm2 });
linear!(Duration { s });
linear!(TemperatureDifference { k });
linear!(Angle { deg });
linear!(Mass { g_m2 });

impl Length {
    /// Millimetres in an inch, exact by definition (international inch, 1959).
    pub const MM_PER_INCH: f64 = 25.4;

    /// From inches; `None` when the number is not finite.
    pub fn from_inches(inches: f64) -> Option<Self> {
        Self::from_mm(inches * Self::MM_PER_INCH)
    }

    /// The number of inches.
    pub fn inches(self) -> f64 {
        self.mm / Self::MM_PER_INCH
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area { mm2: held(self.mm * other.mm) }
    }
}

impl Area {
    /// The number of square centimetres.
    pub fn cm2(self) -> f64 {
        self.mm2 / 100.0
    }
}

impl Duration {
    /// From minutes; `None` when the number is not finite.
    pub fn from_minutes(minutes: f64) -> Option<Self> {
        Self::from_s(minutes * 60.0)
    }

    /// The number of minutes.
    pub fn minutes(self) -> f64 {
        self.s / 60.0
    }
}

impl Temperature {
    /// From degrees Fahrenheit; `None` when the number is not finite.
    pub fn from_f(fahrenheit: f64) -> Option<Self> {
        Self::from_c((fahrenheit - 32.0) / 1.8)
    }

    /// Degrees Fahrenheit: °F = 1.8 °C + 32.
    pub fn f(self) -> f64 {
        self.c * 1.8 + 32.0
    }

    /// Kelvin above absolute zero: K = °C + 273.15.
    pub fn kelvin(self) -> f64 {
        self.c + 273.15
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Self;
    fn add(self, other: TemperatureDifference) -> Self {
        Self { c: held(self.c + other.k) }
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Self;
    fn sub(self, other: TemperatureDifference) -> Self {
        Self { c: held(self.c - other.k) }
    }
}

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference { k: held(self.c - other.c) }
    }
}

impl TemperatureDifference {
    /// The difference in Fahrenheit degrees: Δ°F = 1.8 ΔK, without the 32.
    pub fn f(self) -> f64 {
        self.k * 1.8
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact by definition: 1 in = 25.4 mm; °C = (°F − 32)/1.8. Fixed points:
    /// water freezes at 32 °F and boils at 212 °F (0 and 100 °C), the scales
    /// meet at −40. Plain arithmetic: 280 °F = 137.78 °C.
    #[test]
    fn conversions_meet_the_fixed_points() {
        for (f, c) in [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (280.0, 137.777_777_8)] {
            let read = Temperature::from_f(f).expect("finite");
            assert!((read.c() - c).abs() < 1e-6, "{f} °F is {} °C", read.c());
            assert!((read.f() - f).abs() < 1e-9);
        }
        assert_eq!(Length::from_inches(1.0).map(Length::mm), Some(25.4));
        let step = Temperature::from_c(150.0).expect("finite") - Temperature::from_c(140.0).expect("finite");
        assert!((step.f() - 18.0).abs() < 1e-12, "a difference carries no 32");
    }

    #[test]
    fn not_finite_is_refused() {
        assert_eq!(Length::from_mm(f64::NAN), None);
        assert_eq!(Temperature::from_f(f64::INFINITY), None);
    }

    #[test]
    fn sums_stay_finite() {
        let most = Length::from_mm(f64::MAX).expect("finite");
        assert!((most + most).mm().is_finite());
    }
}
