//! Spares: how sure it is that they suffice.

use statrs::function::gamma::checked_gamma_lr;

use crate::kinds::SparePart;
use crate::network::{NodeId, SparesPolicy};

use super::checks::{Checks, Family};
use super::facts::Facts;

/// Nodes that draw on the same spares.
pub(super) struct Pool<'a> {
    pub name: String,
    pub nodes: Vec<NodeId>,
    pub mass_kg: f64,
    pub spares: u32,
    /// Mean number of failures over the mission.
    mean: f64,
    part: &'a SparePart,
    /// Whether the answer says how many spares there are.
    stated: Option<f64>,
}

/// Every pool with what the answer says of it.
pub(super) fn pools<'a>(facts: &Facts<'a>) -> Vec<Pool<'a>> {
    let mut pools: Vec<Pool> = Vec::new();
    for (node, duties, unit, units) in facts.hardware() {
        let Some(part) = &unit.spares else { continue };
        let days = facts.end() - facts.start(duties);
        let mean = units * part.duty * days / part.mtbf_days;
        let shared = part.part.as_ref().map(|name| &name.text);
        let known = pools.iter_mut().find(|pool| {
            shared.is_some() && pool.part.part.as_ref().map(|name| &name.text) == shared
        });
        match known {
            Some(pool) => {
                pool.nodes.push(node);
                pool.mean += mean;
            }
            None => pools.push(Pool {
                name: shared.map_or(facts.name(node), |name| name).to_owned(),
                nodes: vec![node],
                mass_kg: part.mass_kg,
                spares: 0,
                mean,
                part,
                stated: None,
            }),
        }
    }
    for pool in &mut pools {
        let mut plans = facts.decisions.spares.iter();
        if let Some(plan) = plans.find(|plan| plan.nodes == pool.nodes) {
            pool.spares = plan.spares;
            pool.stated = Some(plan.confidence);
        }
    }
    pools
}

/// Every part, or all together, reach the confidence asked for, and the answer
/// states the confidence of each. Where none is asked for, none are carried.
pub(super) fn check(facts: &Facts, checks: &mut Checks) {
    let pools = pools(facts);
    for plan in &facts.decisions.spares {
        let known = pools
            .iter()
            .any(|pool| pool.nodes == plan.nodes && pool.name == plan.part);
        checks.holds(Family::Spares, known, || {
            format!("{} is a part of the design", plan.part)
        });
    }
    let Some(policy) = facts.network.spares else {
        for plan in &facts.decisions.spares {
            checks.holds(Family::Spares, plan.spares == 0, || {
                format!("no spares of {} are asked for", plan.part)
            });
        }
        return;
    };
    let mut all = 0.0;
    for pool in &pools {
        let log = log_probability(pool.spares, pool.mean, pool.part.error_factor);
        all += log;
        checks.holds(Family::Spares, pool.stated.is_some(), || {
            format!("spares of {} are stated", pool.name)
        });
        if let Some(stated) = pool.stated {
            checks.equal(Family::Spares, stated, log.exp(), || {
                format!("confidence stated for spares of {}", pool.name)
            });
        }
        if let SparesPolicy::EachNode { confidence } = policy {
            let words = || format!("confidence of the spares of {}", pool.name);
            reach(checks, log, confidence, words);
        }
    }
    if let SparesPolicy::WholeSystem { confidence } = policy {
        reach(checks, all, confidence, || {
            "confidence of all spares together".to_owned()
        });
    }
}

/// A confidence is reached. What counts is the chance to run out, so a miss is
/// measured against that: 0.9990 against 0.9999 is ten times too much.
fn reach(checks: &mut Checks, log: f64, confidence: f64, words: impl FnOnce() -> String) {
    let (risk, allowed) = (-log.exp_m1(), 1.0 - confidence);
    let off = (risk - allowed).max(0.0) / allowed.max(1e-12);
    checks.record(Family::Spares, off, 1.0, words);
}

/// `ln P(failures ≤ spares)` by summing the probabilities of 0, 1, 2 … failures.
///
/// Poisson: `p₀ = e^{−m}`, `p_{j+1} = p_j · m / (j + 1)`. With an uncertain rate
/// (gamma of shape `α`, mean held): `p₀ = (α / (α + m))^α`,
/// `p_{j+1} = p_j · (α + j) / (j + 1) · m / (α + m)`.
fn log_probability(spares: u32, mean: f64, error_factor: Option<f64>) -> f64 {
    if mean <= 0.0 {
        return 0.0;
    }
    // A factor of 1 is a known rate.
    let shape = error_factor.filter(|factor| *factor > 1.0).map(gamma_shape);
    let mut log = match shape {
        None => -mean,
        Some(shape) => -shape * (mean / shape).ln_1p(),
    };
    // The sum is e^top · sum, so that neither end of the range matters.
    let (mut top, mut sum) = (log, 1.0);
    for failures in 0..spares {
        let step = match shape {
            None => mean / f64::from(failures + 1),
            Some(shape) => {
                let more = (shape + f64::from(failures)) / f64::from(failures + 1);
                more * mean / (shape + mean)
            }
        };
        log += step.ln();
        if log > top {
            sum *= (top - log).exp();
            top = log;
        }
        let term = (log - top).exp();
        sum += term;
        if step < 1.0 && term < 1e-18 * sum {
            break;
        }
    }
    (top + f64::ln(sum)).min(0.0)
}

/// Shape of the gamma distribution whose 95th percentile is `error_factor`
/// times its median: with `P` the regularised lower incomplete gamma function,
/// `P(α, median) = 1/2` and `P(α, error factor · median) = 0.95`.
fn gamma_shape(error_factor: f64) -> f64 {
    let below = |shape: f64, x: f64| checked_gamma_lr(shape, x).unwrap_or(f64::NAN);
    // ln of the median, which is less than the mean, α.
    let median = |shape: f64| {
        root(
            |log| below(shape, log.exp()) - 0.5,
            shape.ln() - 5.0 / shape,
            shape.ln(),
        )
    };
    let log_factor = error_factor.ln();
    let log_shape = root(
        |log| {
            let shape = f64::exp(log);
            below(shape, (median(shape) + log_factor).exp()) - 0.95
        },
        f64::ln(0.01),
        f64::ln(1e6),
    );
    log_shape.exp()
}

/// A root of a rising function between two ends, by false position with the
/// weight of an end that stays halved. Outside, the nearer end.
fn root(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let (mut at_low, mut at_high) = (f(low), f(high));
    if at_low >= 0.0 {
        return low;
    }
    if at_high <= 0.0 {
        return high;
    }
    let mut stayed = 0;
    for _ in 0..200 {
        let mut middle = (low * at_high - high * at_low) / (at_high - at_low);
        if !(middle > low && middle < high) {
            middle = 0.5 * (low + high);
        }
        let value = f(middle);
        if value == 0.0 || high - low <= 1e-14 * (1.0 + middle.abs()) {
            return middle;
        }
        if value < 0.0 {
            (low, at_low) = (middle, value);
            if stayed == 1 {
                at_high *= 0.5;
            }
            stayed = 1;
        } else {
            (high, at_high) = (middle, value);
            if stayed == -1 {
                at_low *= 0.5;
            }
            stayed = -1;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::{gamma_shape, log_probability};

    /// Shape 1 is the exponential distribution: median ln 2, 95th percentile
    /// ln 20, so a factor of 4.321928. Shape 1/2 is half a squared normal
    /// variable: (1.959964 / 0.674490)² = 8.443922. Shape 30 is half of a
    /// chi-squared variable with 60 degrees of freedom: 79.0819 / 59.3347.
    #[test]
    fn shapes_of_known_distributions() {
        for (factor, shape) in [
            (20.0_f64.ln() / 2.0_f64.ln(), 1.0),
            ((1.959_963_985 / 0.674_489_750_f64).powi(2), 0.5),
            (79.081_94 / 59.334_66, 30.0),
        ] {
            let found = gamma_shape(factor);
            assert!((found / shape - 1.0).abs() < 1e-4, "{factor}: {found}");
        }
    }

    /// With shape 1 the count is geometric: P(X ≤ j) = 1 − (m / (1 + m))^(j+1).
    #[test]
    fn an_uncertain_rate_of_shape_one_is_geometric() {
        let factor = 20.0_f64.ln() / 2.0_f64.ln();
        for spares in 0..5 {
            let wanted = 1.0 - (0.6_f64 / 1.6).powi(spares + 1);
            let found = log_probability(spares.unsigned_abs(), 0.6, Some(factor)).exp();
            assert!((found - wanted).abs() < 1e-9, "{spares}: {found} {wanted}");
        }
    }

    /// `m = 0.3`: e^−0.3 = 0.7408182; with one spare × 1.3 = 0.9630637; with
    /// two × 1.345 = 0.9964005.
    #[test]
    fn poisson_by_hand() {
        for (spares, probability) in [(0, 0.740_818_2), (1, 0.963_063_7), (2, 0.996_400_5)] {
            let found = log_probability(spares, 0.3, None).exp();
            assert!((found - probability).abs() < 5e-8, "{spares}: {found}");
        }
        assert_eq!(log_probability(0, 0.0, None), 0.0);
    }

    /// A mean so large that e^−m is no number a machine holds: the median of a
    /// Poisson count lies within 1 of its mean.
    #[test]
    fn large_means_do_not_vanish() {
        let below = log_probability(4_998, 5_000.0, None).exp();
        let above = log_probability(5_001, 5_000.0, None).exp();
        assert!(below < 0.5 && above > 0.5, "{below} {above}");
        assert!(log_probability(u32::MAX, 5_000.0, None) > -1e-9);
    }
}
