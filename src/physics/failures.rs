//! How many spares suffice: counts of random failures.

use super::gamma_rate;
use statrs::function::gamma::ln_gamma;

/// The number of failures in a stretch of time.
///
/// With a known failure rate it is Poisson with mean `m`. With an uncertain
/// one the rate is gamma distributed with the mean held, and the number is
/// negative-binomial: with the gamma's shape `a` and `q = m/(a + m)`,
///
/// `P(j) = Γ(a + j) / (Γ(a) j!) · (1 - q)^a · q^j`.
///
/// ```
/// use loopwright::physics::failures::FailureCount;
/// // Poisson, computed with scipy 1.17.1: P(X ≤ 2; 1) = 0.91969860
/// let known = FailureCount::new(1.0, None);
/// assert!((known.log_probability(2).exp() - 0.91969860).abs() < 5e-9);
/// assert_eq!(known.spares_for(0.95), 3);
/// // an uncertain rate wants more
/// assert_eq!(FailureCount::new(1.0, Some(4.0)).spares_for(0.95), 4);
/// ```
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct FailureCount {
    mean: f64,
    /// Shape of the rate's gamma distribution; `None` for a known rate.
    shape: Option<f64>,
}

/// A sum of probabilities ends where a term no longer changes it.
const NEGLIGIBLE: f64 = 1e-17;

impl FailureCount {
    /// Failures with a mean number of `mean` (≥ 0).
    ///
    /// `error_factor`: 95th over 50th percentile of the rate, > 1; 1 is a
    /// known rate.
    #[must_use]
    pub fn new(mean: f64, error_factor: Option<f64>) -> Self {
        let shape = error_factor
            .filter(|factor| *factor > 1.0)
            .map(gamma_rate::shape_of_error_factor);
        Self { mean, shape }
    }

    /// The same with another mean number (≥ 0), the rate as uncertain as it was.
    ///
    /// ```
    /// use loopwright::physics::failures::FailureCount;
    /// let month = FailureCount::new(0.1, Some(4.0));
    /// assert_eq!(month.with_mean(1.0), FailureCount::new(1.0, Some(4.0)));
    /// ```
    #[must_use]
    pub fn with_mean(self, mean: f64) -> Self {
        Self { mean, ..self }
    }

    /// Mean number of failures.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// `ln P(X ≤ spares)`: the logarithm of the probability that so many
    /// spares suffice, in (-∞, 0]. Near certainty it keeps the digits of the
    /// small probability that they do not.
    ///
    /// ```
    /// use loopwright::physics::failures::FailureCount;
    /// // P(X > 5; 0.1) = 1.27489869e-9, computed with scipy 1.17.1 `poisson.sf`
    /// let log = FailureCount::new(0.1, None).log_probability(5);
    /// assert!((log / -1.274_898_69e-9 - 1.0).abs() < 1e-8);
    /// ```
    #[must_use]
    pub fn log_probability(&self, spares: u32) -> f64 {
        if self.mean <= 0.0 {
            return 0.0;
        }
        let spares = f64::from(spares);
        if spares >= self.mean {
            // Σ P(j), j > spares: terms fall from the first on, as j > mean.
            let first = self.log_term(spares + 1.0);
            let mut term = 1.0;
            let mut sum = 1.0;
            let mut count = spares + 1.0;
            while term > NEGLIGIBLE * sum {
                term *= self.ratio(count);
                count += 1.0;
                sum += term;
            }
            (-(first.exp() * sum).min(1.0)).ln_1p()
        } else {
            // Σ P(j), j = spares … 0.
            let first = self.log_term(spares);
            let mut term = 1.0;
            let mut sum = 1.0;
            let mut count = spares;
            while count > 0.0 && term > NEGLIGIBLE * sum {
                count -= 1.0;
                term /= self.ratio(count);
                sum += term;
            }
            (first + f64::ln(sum)).min(0.0)
        }
    }

    /// The smallest number of spares that suffices with a probability of at
    /// least `confidence`, in (0, 1).
    ///
    /// ```
    /// use loopwright::physics::failures::FailureCount;
    /// // 45 drives, 90 d at 24 h/d, mean time between failures 100 000 h, 95 %
    /// assert_eq!(FailureCount::new(0.972, None).spares_for(0.95), 3);
    /// ```
    #[must_use]
    pub fn spares_for(&self, confidence: f64) -> u32 {
        let target = confidence.ln();
        let suffices = |spares: u32| self.log_probability(spares) >= target;
        if suffices(0) {
            return 0;
        }
        let mut enough = 1;
        while enough < u32::MAX && !suffices(enough) {
            enough = enough.saturating_mul(2);
        }
        let mut short = enough / 2; // does not suffice, `enough` does
        while enough - short > 1 {
            let middle = short + (enough - short) / 2;
            *(if suffices(middle) {
                &mut enough
            } else {
                &mut short
            }) = middle;
        }
        enough
    }

    /// `ln P(count)`, for a whole count ≥ 0.
    fn log_term(&self, count: f64) -> f64 {
        let log_factorial = ln_gamma(count + 1.0);
        match self.shape {
            None => count * self.mean.ln() - self.mean - log_factorial,
            Some(shape) => {
                ln_gamma(shape + count)
                    - ln_gamma(shape)
                    - log_factorial
                    - shape * (self.mean / shape).ln_1p()
                    - count * (shape / self.mean).ln_1p()
            }
        }
    }

    /// `P(count + 1) / P(count)`.
    fn ratio(&self, count: f64) -> f64 {
        match self.shape {
            None => self.mean / (count + 1.0),
            Some(shape) => (shape + count) / (count + 1.0) * self.mean / (shape + self.mean),
        }
    }
}

#[cfg(test)]
mod tests;
