//! A gamma-distributed failure rate, described by its error factor.

use statrs::function::gamma::checked_gamma_lr;

/// Shapes between which a shape is sought: error factors from 1.002 to 1e26.
const SHAPES: (f64, f64) = (1e-2, 1e6);

/// Halvings of a bracket: enough to use up the digits of any of them.
const HALVINGS: usize = 80;

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
    let wanted = error_factor.ln();
    // The spread falls as the shape grows.
    let spread = |log_shape: f64| {
        let shape = log_shape.exp();
        log_percentile(shape, 0.95) - log_percentile(shape, 0.5)
    };
    bisect(SHAPES.0.ln(), SHAPES.1.ln(), |log_shape| {
        spread(log_shape) > wanted
    })
    .exp()
}

/// The logarithm of the `p`-th percentile of a gamma distribution of scale 1.
fn log_percentile(shape: f64, p: f64) -> f64 {
    // Within a factor of e^4 of the shape above; far below it for small shapes.
    let below = |log_x: f64| checked_gamma_lr(shape, log_x.exp()).unwrap_or(0.0) < p;
    bisect(-600.0, shape.ln().max(0.0) + 4.0, below)
}

/// The point in `[low, high]` up to which `before` holds.
fn bisect(mut low: f64, mut high: f64, before: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        *(if before(middle) { &mut low } else { &mut high }) = middle;
    }
    0.5 * (low + high)
}
