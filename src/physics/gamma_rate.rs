//! A gamma-distributed failure rate, described by its error factor.

use statrs::function::gamma::{checked_gamma_lr, ln_gamma};

/// Shapes between which a shape is sought: error factors from 1.002 to 1e26.
const SHAPES: (f64, f64) = (1e-2, 1e6);

/// Looks at most: halvings alone use up the digits of any bracket in as many.
const LOOKS: usize = 80;
/// Steps below this share of where they lead change nothing.
const STILL: f64 = 4.0 * f64::EPSILON;
/// Steps below this share may be rounding, which need not become less.
const ROUNDING: f64 = 1e-9;
/// Step over which a slope is estimated.
const DIFFERENCE: f64 = 1e-6;

/// The shape `a` of the gamma distribution whose 95th over 50th percentile is
/// `error_factor` (> 1): the root of `x₀.₉₅(a) / x₀.₅(a) = error_factor` with
/// `P(a, x_p) = p`, `P` the regularised lower incomplete gamma function. The
/// mean does not enter: the percentiles scale with it.
///
/// ```
/// use loopwright::physics::gamma_rate::shape_of_error_factor;
/// // for shape 1 (exponential) the percentiles are ln 20 and ln 2
/// assert!((shape_of_error_factor(20_f64.ln() / 2_f64.ln()) - 1.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn shape_of_error_factor(error_factor: f64) -> f64 {
    let wanted = error_factor.ln().ln();
    // The spread falls as the shape grows, as a power that changes slowly.
    let beyond = |log_shape: f64| {
        let shape = log_shape.exp();
        (log_percentile(shape, 0.95) - log_percentile(shape, 0.5)).ln() - wanted
    };
    let look = |log_shape: f64| {
        let left = beyond(log_shape);
        Look {
            left,
            slope: (beyond(log_shape + DIFFERENCE) - left) / DIFFERENCE,
        }
    };
    root(SHAPES.0.ln(), SHAPES.1.ln(), look).exp()
}

/// The logarithm of the `p`-th percentile of a gamma distribution of scale 1.
fn log_percentile(shape: f64, p: f64) -> f64 {
    let look = |log_x: f64| {
        let x = log_x.exp();
        Look {
            left: p - checked_gamma_lr(shape, x).unwrap_or(0.0),
            slope: -(shape * log_x - x - ln_gamma(shape)).exp(),
        }
    };
    // Within a factor of e^4 of the shape above; far below it for small shapes.
    root(-600.0, shape.ln().max(0.0) + 4.0, look)
}

/// What is left of a falling function at a point, and its slope there.
struct Look {
    left: f64,
    slope: f64,
}

/// Where a function that falls within `[low, high]` passes zero: along its slope, or
/// by halves where that leads out of the bracket or gains too little.
fn root(mut low: f64, mut high: f64, look: impl Fn(f64) -> Look) -> f64 {
    let mut at = 0.5 * (low + high);
    let mut last_step = high - low;
    for _ in 0..LOOKS {
        let Look { left, slope } = look(at);
        *(if left > 0.0 { &mut low } else { &mut high }) = at;
        let along = at - left / slope;
        let gains = (along - at).abs() <= (0.5 * last_step).max(ROUNDING * at.abs());
        let next = if along > low && along < high && gains {
            along
        } else {
            0.5 * (low + high)
        };
        last_step = (next - at).abs();
        at = next;
        if last_step <= STILL * at.abs() {
            break;
        }
    }
    at
}
