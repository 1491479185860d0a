//! Percentiles, and how much of a variance one number explains.

/// Mean and percentiles of masses.
#[derive(Clone, Debug, PartialEq)]
pub struct Percentiles {
    /// How many masses.
    pub count: usize,
    /// Their mean, kg.
    pub mean: f64,
    /// The values at [`PERCENTS`], kg.
    pub at: [f64; 5],
}

/// Which percentiles are given.
pub const PERCENTS: [u32; 5] = [5, 25, 50, 75, 95];

impl Percentiles {
    /// Of some masses; none of nothing.
    ///
    /// ```
    /// use loopwright::study::uncertainty::Percentiles;
    /// let of = Percentiles::of(vec![3.0, 1.0, 2.0]).unwrap();
    /// assert_eq!((of.mean, of.at[0], of.at[2]), (2.0, 1.1, 2.0));
    /// ```
    pub fn of(mut masses: Vec<f64>) -> Option<Percentiles> {
        if masses.is_empty() {
            return None;
        }
        masses.sort_by(f64::total_cmp);
        let count = masses.len();
        Some(Percentiles {
            count,
            mean: mean(&masses),
            at: PERCENTS.map(|percent| percentile(&masses, f64::from(percent) / 100.0)),
        })
    }
}

/// The percentile of sorted values, straight between the two next to it.
pub(super) fn percentile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len() - 1;
    let at = share * last as f64;
    let below = (at.floor() as usize).min(last);
    let above = (below + 1).min(last);
    sorted[below] + (at - below as f64) * (sorted[above] - sorted[below])
}

pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Draws in bins of equal size by the value of a number, each bin sorted by it.
pub(super) fn bins(values: &[f64], draws: &[usize], count: usize) -> Vec<Vec<usize>> {
    let mut sorted = draws.to_vec();
    sorted.sort_by(|&a, &b| values[a].total_cmp(&values[b]).then(a.cmp(&b)));
    let end = |bin: usize| bin * sorted.len() / count;
    (0..count)
        .map(|bin| sorted[end(bin)..end(bin + 1)].to_vec())
        .collect()
}

/// The share of the variance of masses that lies between bins, less what chance alone
/// puts there: `(Q_b − (k − 1) Q_w/(n − k)) / (Q_b + Q_w)` of `n` masses in `k` bins,
/// `Q_b` and `Q_w` the sums of squares between and within them. None where nothing
/// varies. It may come out a little below zero.
///
/// ```
/// # use loopwright::study::uncertainty::explained;
/// // All of the variance is between the two bins.
/// let share = explained(&[vec![1.0, 1.0, 1.0], vec![4.0, 4.0, 4.0]]).unwrap();
/// assert_eq!(share, 1.0);
/// ```
pub fn explained(bins: &[Vec<f64>]) -> Option<f64> {
    let all: Vec<f64> = bins.iter().flatten().copied().collect();
    if all.len() <= bins.len() {
        return None;
    }
    let overall = mean(&all);
    let (mut between, mut within) = (0.0, 0.0);
    for bin in bins.iter().filter(|bin| !bin.is_empty()) {
        let middle = mean(bin);
        between += bin.len() as f64 * (middle - overall).powi(2);
        within += bin.iter().map(|one| (one - middle).powi(2)).sum::<f64>();
    }
    let total = between + within;
    if total <= 1e-18 * all.len() as f64 * overall.powi(2) {
        return None;
    }
    let chance = (bins.len() - 1) as f64 * within / (all.len() - bins.len()) as f64;
    Some((between - chance) / total)
}
