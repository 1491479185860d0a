//! The sums and products that mean something; no others compile.
//!
//! ```compile_fail
//! use loopwright::quantity::{Days, Kilograms};
//! let nonsense = Kilograms(1.0) * Days(2.0);
//! ```

use super::newtypes::*;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Sums, differences, multiples and ratios of one quantity. Temperatures and
/// absolute pressures are left out: they are points on a scale.
macro_rules! additive {
    ($($name:ident)*) => {$(
        impl Add for $name {
            type Output = $name;
            fn add(self, other: $name) -> $name { $name(self.0 + other.0) }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: $name) { self.0 += other.0; }
        }
        impl Sub for $name {
            type Output = $name;
            fn sub(self, other: $name) -> $name { $name(self.0 - other.0) }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: $name) { self.0 -= other.0; }
        }
        impl Neg for $name {
            type Output = $name;
            fn neg(self) -> $name { $name(-self.0) }
        }
        impl Mul<f64> for $name {
            type Output = $name;
            fn mul(self, factor: f64) -> $name { $name(self.0 * factor) }
        }
        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name { $name(self * quantity.0) }
        }
        impl Mul<Fraction> for $name {
            type Output = $name;
            fn mul(self, share: Fraction) -> $name { $name(self.0 * share.0) }
        }
        impl Mul<$name> for Fraction {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name { $name(self.0 * quantity.0) }
        }
        impl Div<f64> for $name {
            type Output = $name;
            fn div(self, divisor: f64) -> $name { $name(self.0 / divisor) }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: $name) -> f64 { self.0 / other.0 }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = $name>>(items: I) -> $name {
                $name(items.map(|item| item.0).sum())
            }
        }
        impl<'a> Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a $name>>(items: I) -> $name {
                $name(items.map(|item| item.0).sum())
            }
        }
    )*};
}

additive! {
    Kilograms Days Hours KilogramsPerDay Watts KilowattHours
    KilowattHoursPerKilogram CubicMetres HoursPerDay Volts PerDay
    KilogramsPerKilogram HoursPerKilogram CubicMetresPerHour Metres
    KilogramsPerKilowatt KilogramsPerCubicMetre KilogramsPerHour
}

impl Mul for Fraction {
    type Output = Fraction;
    fn mul(self, other: Fraction) -> Fraction {
        Fraction(self.0 * other.0)
    }
}

/// `a * b = c` in either order, `c / a = b` and `c / b = a`, where one of the
/// canonical units may need a factor: `c = a · b · factor`.
macro_rules! products {
    ($($left:ident * $right:ident = $product:ident by $factor:expr;)*) => {$(
        impl Mul<$right> for $left {
            type Output = $product;
            fn mul(self, other: $right) -> $product { $product(self.0 * other.0 * $factor) }
        }
        impl Mul<$left> for $right {
            type Output = $product;
            fn mul(self, other: $left) -> $product { $product(self.0 * other.0 * $factor) }
        }
        impl Div<$left> for $product {
            type Output = $right;
            fn div(self, other: $left) -> $right { $right(self.0 / (other.0 * $factor)) }
        }
        impl Div<$right> for $product {
            type Output = $left;
            fn div(self, other: $right) -> $left { $left(self.0 / (other.0 * $factor)) }
        }
    )*};
}

products! {
    KilogramsPerDay * Days = Kilograms by 1.0;
    HoursPerDay * Days = Hours by 1.0;
    Kilograms * PerDay = KilogramsPerDay by 1.0;
    Hours * PerDay = HoursPerDay by 1.0;
    KilowattHoursPerKilogram * Kilograms = KilowattHours by 1.0;
    // kWh/kg · kg/d = kWh/d = 1000/24 W
    KilowattHoursPerKilogram * KilogramsPerDay = Watts by 1000.0 / 24.0;
    // W · h = kWh/1000
    Watts * Hours = KilowattHours by 0.001;
    HoursPerKilogram * Kilograms = Hours by 1.0;
    HoursPerKilogram * KilogramsPerDay = HoursPerDay by 1.0;
    KilogramsPerKilowatt * Watts = Kilograms by 0.001;
    KilogramsPerCubicMetre * CubicMetres = Kilograms by 1.0;
    KilogramsPerHour * Hours = Kilograms by 1.0;
    CubicMetresPerHour * Hours = CubicMetres by 1.0;
}

// A mass per mass keeps the sort of what it multiplies.
impl Mul<Kilograms> for KilogramsPerKilogram {
    type Output = Kilograms;
    fn mul(self, mass: Kilograms) -> Kilograms {
        Kilograms(self.0 * mass.0)
    }
}

impl Mul<KilogramsPerDay> for KilogramsPerKilogram {
    type Output = KilogramsPerDay;
    fn mul(self, rate: KilogramsPerDay) -> KilogramsPerDay {
        KilogramsPerDay(self.0 * rate.0)
    }
}

impl Days {
    /// The same time in hours.
    pub fn hours(self) -> Hours {
        Hours(self.0 * 24.0)
    }
}

impl Hours {
    /// The same time in days.
    pub fn days(self) -> Days {
        Days(self.0 / 24.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_carry_their_units() {
        assert_eq!(KilogramsPerDay(2.5) * Days(4.0), Kilograms(10.0));
        assert_eq!(Days(4.0) * KilogramsPerDay(2.5), Kilograms(10.0));
        assert_eq!(Kilograms(10.0) / Days(4.0), KilogramsPerDay(2.5));
        assert_eq!(Kilograms(10.0) / KilogramsPerDay(2.5), Days(4.0));
        assert_eq!(
            KilowattHoursPerKilogram(6.0) * KilogramsPerDay(4.0),
            Watts(1000.0)
        );
        assert_eq!(Watts(500.0) * Hours(4.0), KilowattHours(2.0));
        assert_eq!(Watts(1000.0) * Days(1.0).hours(), KilowattHours(24.0));
        assert_eq!(KilogramsPerKilowatt(60.0) * Watts(500.0), Kilograms(30.0));
        assert_eq!(Kilograms(9.0) / Kilograms(3.0), 3.0);
        assert_eq!(Fraction(0.5) * Kilograms(9.0), Kilograms(4.5));
        assert_eq!(Days(2.0).hours().days(), Days(2.0));
        assert_eq!(
            [Kilograms(1.0), Kilograms(2.0)].iter().sum::<Kilograms>(),
            Kilograms(3.0)
        );
    }
}
