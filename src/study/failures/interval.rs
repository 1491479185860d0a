//! How sure a share counted in many trials is.

/// The 97.5th percentile of the standard normal distribution.
const TWO_SIDED_95: f64 = 1.959_963_984_540_054;

/// Wilson's score interval of 95 % for a probability of which `hits` of
/// `trials` (≥ 1) are known: with `p = hits / trials`, `n = trials` and
/// `z = 1.96`,
///
/// `(p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n)`.
///
/// It never leaves 0 to 1 and has a width even where every trial hit. Source:
/// Wilson, Journal of the American Statistical Association 22 (1927), 209–212,
/// from memory.
///
/// ```
/// use loopwright::study::failures::wilson_interval;
/// // 81 of 263: 0.255289 to 0.366210, by the formula worked in decimal arithmetic
/// let [low, high] = wilson_interval(81, 263);
/// assert!((low - 0.255_289).abs() < 5e-7 && (high - 0.366_210).abs() < 5e-7);
/// ```
#[must_use]
pub fn wilson_interval(hits: u64, trials: u64) -> [f64; 2] {
    let n = trials.max(1) as f64;
    let p = hits as f64 / n;
    let z2 = TWO_SIDED_95 * TWO_SIDED_95;
    let middle = p + z2 / (2.0 * n);
    let half = TWO_SIDED_95 * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    let whole = 1.0 + z2 / n;
    [
        ((middle - half) / whole).max(0.0),
        ((middle + half) / whole).min(1.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::wilson_interval;

    /// The ends are the two probabilities `q` from which the share is 1.96
    /// standard errors away: `(p − q)² = z² q (1 − q) / n`.
    #[test]
    fn the_ends_are_as_far_away_as_the_level_says() {
        for (hits, trials) in [
            (0, 50),
            (1, 50),
            (25, 50),
            (19_998, 20_000),
            (20_000, 20_000),
        ] {
            let share = hits as f64 / trials as f64;
            for end in wilson_interval(hits, trials) {
                let error = (end * (1.0 - end) / trials as f64).sqrt();
                let away = (share - end).abs();
                assert!((away - 1.959_963_985 * error).abs() < 1e-9, "{hits}: {end}");
            }
        }
        assert!(wilson_interval(0, 50)[0] < 1e-15);
        assert!(1.0 - wilson_interval(50, 50)[1] < 1e-15);
    }
}
