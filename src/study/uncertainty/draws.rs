//! Draws of numbers with spreads: a scrambled low-discrepancy sequence through the
//! inverse of each distribution.

use statrs::distribution::{ContinuousCDF, Normal};

use super::super::moved::Movable;
use crate::written::Spread;

/// Draws of one study at most: the length of the sequence.
pub const MOST_DRAWS: usize = 1 << 16;

/// Dimensions that the sequence has; further numbers use it again, shuffled anew.
pub const DIMENSIONS: usize = sobol_burley::NUM_DIMENSIONS as usize;

/// The 95th percentile of the standard normal distribution.
const NORMAL_95: f64 = 1.644_853_626_951_472_6;

/// Draw `index` (below [`MOST_DRAWS`]) in a dimension, strictly between 0 and 1: Sobol'
/// points with Owen's scrambling (Burley, Practical Hash-based Owen Scrambling, Journal
/// of Computer Graphics Techniques 9(4), 2020), in steps of 2⁻²⁴.
pub fn uniform(index: usize, dimension: usize, seed: u32) -> f64 {
    const HALF_A_STEP: f64 = 1.0 / (1 << 25) as f64;
    let round = (dimension / DIMENSIONS) as u32;
    let seed = seed.wrapping_add(round.wrapping_mul(0x9E37_79B9));
    let index = (index % MOST_DRAWS) as u32;
    let dimension = (dimension % DIMENSIONS) as u32;
    f64::from(sobol_burley::sample(index, dimension, seed)) + HALF_A_STEP
}

/// A distribution of a number, cut to the values that the number can have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distribution {
    spread: Spread,
    number: f64,
    /// Probability below the lowest value that there can be, and up to the highest.
    within: (f64, f64),
    range: (f64, f64),
}

impl Distribution {
    /// The spread of a number.
    pub fn of(number: &Movable, spread: Spread) -> Self {
        let mut whole = Distribution {
            spread,
            number: number.value,
            within: (0.0, 1.0),
            range: number.range(),
        };
        whole.within = (
            whole.probability_up_to(whole.range.0),
            whole.probability_up_to(whole.range.1),
        );
        whole
    }

    /// The share of the spread that lies where the number cannot be; it is cut off,
    /// and the rest scaled up.
    pub fn cut_off(&self) -> f64 {
        1.0 - (self.within.1 - self.within.0)
    }

    /// The value below which the number lies with a probability in (0, 1).
    ///
    /// ```
    /// # use loopwright::quantity::Dimension;
    /// # use loopwright::study::moved::Movable;
    /// use loopwright::study::uncertainty::draws::Distribution;
    /// use loopwright::written::Spread;
    /// # let number = Movable {
    /// #     address: String::new(), dimension: Dimension::Mass, value: 120.0, taker: None };
    /// let spread = Spread::Triangular { low: 110.0, high: 160.0 };
    /// let distribution = Distribution::of(&number, spread);
    /// // F(120) = 10/50; F(140) = 1 − 20²/(50·40)
    /// assert!((distribution.quantile(0.2) - 120.0).abs() < 1e-12);
    /// assert!((distribution.quantile(0.8) - 140.0).abs() < 1e-12);
    /// let spread = Spread::Lognormal { factor: 1.5 };
    /// let distribution = Distribution::of(&number, spread);
    /// assert!((distribution.quantile(0.95) - 180.0).abs() < 1e-6);
    /// ```
    pub fn quantile(&self, probability: f64) -> f64 {
        let (below, up_to) = self.within;
        let value = self.plain_quantile(below + probability * (up_to - below));
        // What rounding leaves outside belongs to the end of the range.
        value.clamp(self.range.0, self.range.1)
    }

    fn plain_quantile(&self, probability: f64) -> f64 {
        match self.spread {
            Spread::Uniform { low, high } => low + probability * (high - low),
            Spread::Triangular { low, high } => {
                let (rise, fall, width) = (self.number - low, high - self.number, high - low);
                match probability * width < rise {
                    true => low + (probability * width * rise).sqrt(),
                    false => high - ((1.0 - probability) * width * fall).sqrt(),
                }
            }
            Spread::Normal { standard_deviation } => {
                self.number + standard_deviation * standard_normal(probability)
            }
            Spread::Lognormal { factor } => {
                self.number * (factor.ln() / NORMAL_95 * standard_normal(probability)).exp()
            }
        }
    }

    fn probability_up_to(&self, value: f64) -> f64 {
        match self.spread {
            Spread::Uniform { low, high } => ((value - low) / (high - low)).clamp(0.0, 1.0),
            Spread::Triangular { low, high } => {
                let (rise, fall, width) = (self.number - low, high - self.number, high - low);
                match value {
                    _ if value <= low => 0.0,
                    _ if value >= high => 1.0,
                    _ if value < self.number => (value - low).powi(2) / (width * rise),
                    _ => 1.0 - (high - value).powi(2) / (width * fall),
                }
            }
            Spread::Normal { standard_deviation } => {
                Normal::standard().cdf((value - self.number) / standard_deviation)
            }
            Spread::Lognormal { factor } => match value > 0.0 {
                true => {
                    let deviation = factor.ln() / NORMAL_95;
                    Normal::standard().cdf((value / self.number).ln() / deviation)
                }
                false => 0.0,
            },
        }
    }
}

fn standard_normal(probability: f64) -> f64 {
    Normal::standard().inverse_cdf(probability)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Dimension;

    fn number(value: f64, dimension: Dimension) -> Movable {
        Movable {
            address: "a".to_owned(),
            dimension,
            value,
            taker: None,
        }
    }

    #[test]
    fn quantiles_undo_probabilities() {
        let number = number(120.0, Dimension::Mass);
        for spread in [
            Spread::Uniform {
                low: 100.0,
                high: 180.0,
            },
            Spread::Triangular {
                low: 120.0,
                high: 180.0,
            },
            Spread::Triangular {
                low: 90.0,
                high: 120.0,
            },
            Spread::Normal {
                standard_deviation: 7.0,
            },
            Spread::Lognormal { factor: 1.3 },
        ] {
            let distribution = Distribution::of(&number, spread);
            assert!(distribution.cut_off().abs() < 1e-12, "{spread:?}");
            for probability in [1e-6, 0.01, 0.25, 0.5, 0.77, 0.999] {
                let value = distribution.quantile(probability);
                let back = distribution.probability_up_to(value);
                assert!(
                    (back - probability).abs() < 1e-9,
                    "{spread:?} {probability}"
                );
            }
        }
    }

    #[test]
    fn a_fraction_stays_one_and_says_what_is_cut_off() {
        let spread = Spread::Normal {
            standard_deviation: 0.02,
        };
        let distribution = Distribution::of(&number(0.98, Dimension::Fraction), spread);
        // One standard deviation below 1: 15.87 % lie above it.
        assert!((distribution.cut_off() - 0.158_655_25).abs() < 1e-7);
        let draws: Vec<f64> = (0..256)
            .map(|index| distribution.quantile(uniform(index, 0, 1)))
            .collect();
        assert!(draws.iter().all(|&value| value > 0.8 && value < 1.0));
        // Mean of a normal cut at one standard deviation: −σ φ(1)/Φ(1).
        let mean = draws.iter().sum::<f64>() / 256.0;
        assert!((mean - (0.98 - 0.02 * 0.241_970_72 / 0.841_344_75)).abs() < 2e-4);
    }

    #[test]
    fn every_dimension_is_even_and_differs_by_seed() {
        for dimension in [0, 1, 7, DIMENSIONS - 1, DIMENSIONS, 3 * DIMENSIONS + 5] {
            let mut draws: Vec<f64> = (0..512).map(|i| uniform(i, dimension, 3)).collect();
            assert_ne!(draws[5], uniform(5, dimension, 4));
            draws.sort_by(f64::total_cmp);
            for (rank, value) in draws.iter().enumerate() {
                let cell = (value * 512.0).floor() as usize;
                assert_eq!(cell, rank, "dimension {dimension}");
            }
        }
        assert_ne!(uniform(5, 0, 3), uniform(5, DIMENSIONS, 3));
    }
}
