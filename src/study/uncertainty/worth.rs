//! Which number is worth measuring first: the expected value of knowing it before
//! the portfolio is chosen.

use super::figures::{bins, explained, mean};

/// Fewest draws that say anything.
const FEWEST: usize = 32;
/// Draws in a bin, about.
const BIN: usize = 100;
/// Bins at most.
const MOST_BINS: usize = 20;

/// Masses of a portfolio held at every draw that is looked at, kg; none where it has
/// no plan there.
pub type Masses = Vec<Option<f64>>;

/// What knowing numbers is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Worth {
    /// Draws that are looked at.
    pub draws: usize,
    /// Bins by the value of a number.
    pub bins: usize,
    /// By number, the share of the variance of the lightest mass that it explains
    /// alone; none where nothing varies.
    pub explained: Vec<Option<f64>>,
    /// What knowledge is worth in mass; none where no portfolio compared has a plan
    /// in every draw.
    pub choice: Option<Choice>,
}

/// What knowledge is worth when one portfolio is to be chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The best portfolio without any, by its place among those compared.
    pub best: usize,
    /// Its mean mass, kg.
    pub mean_kg: f64,
    /// What it is worth to know every number, kg.
    pub everything_kg: f64,
    /// What it is worth to know one, by number.
    pub numbers: Vec<Value>,
}

/// What it is worth to know a number, kg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    /// Portfolios chosen and weighed on the same draws: too high by chance.
    pub same_draws_kg: f64,
    /// Chosen on one half of the draws of each bin and weighed on the other: too low
    /// by chance.
    pub other_draws_kg: f64,
}

/// What knowing each number is worth.
///
/// With masses `m_p` of the portfolios `p` compared, the expected value of perfect
/// information about number `i` is
///
/// `min over p of E[m_p] − E[min over p of E[m_p | x_i]]`,
///
/// the conditional mean taken over bins of equally many draws by `x_i`. A portfolio
/// without a plan in a draw weighs infinitely much there. Bins make the value a
/// little too low, for within a bin nothing is known; choosing and weighing on the
/// same draws makes it too high, so it is given beside the value by halves.
///
/// `numbers`: values by number, then draw. `lightest`: the lightest mass by draw.
/// `masses`: by portfolio compared, then draw. None below 32 draws.
pub fn worth(numbers: &[Vec<f64>], lightest: &[f64], masses: &[Masses]) -> Option<Worth> {
    let draws: Vec<usize> = (0..lightest.len()).collect();
    if draws.len() < FEWEST {
        return None;
    }
    let count = (draws.len() / BIN).clamp(4, MOST_BINS);
    let binned: Vec<Vec<Vec<usize>>> = numbers
        .iter()
        .map(|values| bins(values, &draws, count))
        .collect();
    let explained = binned.iter().map(|bins| {
        let masses = bins.iter().map(|bin| picked(lightest, bin));
        explained(&masses.collect::<Vec<_>>())
    });
    Some(Worth {
        draws: draws.len(),
        bins: count,
        explained: explained.collect(),
        choice: choice(&binned, &draws, lightest, masses),
    })
}

fn choice(
    binned: &[Vec<Vec<usize>>],
    draws: &[usize],
    lightest: &[f64],
    masses: &[Masses],
) -> Option<Choice> {
    let (best, mean_kg) = best(masses, draws)?;
    let numbers = binned.iter().map(|bins| {
        let (mut same, mut other) = (0.0, 0.0);
        for bin in bins {
            // Within every bin the overall best has a plan, so there is a best.
            let Some((_, kg)) = self::best(masses, bin) else {
                continue;
            };
            same += kg * bin.len() as f64;
            other += by_halves(masses, bin, best);
        }
        let saved = |sum: f64| mean_kg - sum / draws.len() as f64;
        Value {
            same_draws_kg: saved(same),
            other_draws_kg: saved(other),
        }
    });
    Some(Choice {
        best,
        mean_kg,
        everything_kg: mean_kg - mean(lightest),
        numbers: numbers.collect(),
    })
}

/// The portfolio with the least mean mass over some draws, the first of equals.
fn best(masses: &[Masses], draws: &[usize]) -> Option<(usize, f64)> {
    let means = masses.iter().enumerate().filter_map(|(index, masses)| {
        let held: Option<Vec<f64>> = draws.iter().map(|&draw| masses[draw]).collect();
        Some((index, mean(&held.filter(|held| !held.is_empty())?)))
    });
    means.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The mass of a bin where each half is weighed with the choice of the other half;
/// a choice without a plan somewhere in the bin gives way to the overall best one.
fn by_halves(masses: &[Masses], bin: &[usize], overall: usize) -> f64 {
    let half = |odd: usize| bin.iter().copied().skip(odd).step_by(2).collect::<Vec<_>>();
    let halves = [half(0), half(1)];
    let mut sum = 0.0;
    for (own, other) in [(0, 1), (1, 0)] {
        let chosen = best(masses, &halves[other]).map_or(overall, |(index, _)| index);
        let weigh = |portfolio: usize| -> Option<f64> {
            let draws = halves[own].iter();
            draws.map(|&draw| masses[portfolio][draw]).sum()
        };
        sum += weigh(chosen).or_else(|| weigh(overall)).unwrap_or(0.0);
    }
    sum
}

fn picked(values: &[f64], draws: &[usize]) -> Vec<f64> {
    draws.iter().map(|&draw| values[draw]).collect()
}

#[cfg(test)]
mod tests {
    use super::super::draws::uniform;
    use super::*;

    /// Two portfolios whose masses cross at x = 1/2, and a number that does nothing:
    /// `m_A = 100 + 10 x`, `m_B = 105`. Knowing x saves `E[(10 x − 5)⁺] = 1.25` kg.
    #[test]
    fn a_choice_between_two_lines() {
        let draws = 4000;
        let number = |dimension: usize| -> Vec<f64> {
            (0..draws)
                .map(|index| uniform(index, dimension, 1))
                .collect()
        };
        let (x, idle) = (number(0), number(1));
        let a: Masses = x.iter().map(|x| Some(100.0 + 10.0 * x)).collect();
        let b: Masses = x.iter().map(|_| Some(105.0)).collect();
        let lightest: Vec<f64> = x.iter().map(|x| (100.0 + 10.0 * x).min(105.0)).collect();
        let worth = worth(&[x, idle], &lightest, &[a, b]).unwrap();
        let choice = worth.choice.unwrap();
        assert!((choice.everything_kg - 1.25).abs() < 0.01, "{choice:?}");
        let [x, idle] = [choice.numbers[0], choice.numbers[1]];
        assert!((x.same_draws_kg - 1.25).abs() < 0.02, "{x:?}");
        assert!((x.other_draws_kg - 1.25).abs() < 0.02, "{x:?}");
        assert!(idle.same_draws_kg >= 0.0 && idle.same_draws_kg < 0.05);
        assert!(idle.other_draws_kg < idle.same_draws_kg + 1e-12);
        assert!(worth.explained[0].unwrap() > 0.98);
        assert!(worth.explained[1].unwrap().abs() < 0.02);
    }

    #[test]
    fn a_portfolio_without_a_plan_somewhere_is_not_the_best() {
        let x: Vec<f64> = (0..64).map(|index| uniform(index, 0, 1)).collect();
        let sure: Masses = vec![Some(10.0); 64];
        let mut light: Masses = vec![Some(9.0); 64];
        let worst = (0..64).max_by(|&a, &b| x[a].total_cmp(&x[b])).unwrap();
        light[worst] = None;
        let mut lightest = vec![9.0; 64];
        lightest[worst] = 10.0;
        let found = worth(std::slice::from_ref(&x), &lightest, &[sure, light.clone()]).unwrap();
        let choice = found.choice.unwrap();
        assert_eq!((choice.best, choice.mean_kg), (0, 10.0));
        // Three of four bins may take the light one.
        assert!((choice.numbers[0].same_draws_kg - 0.75).abs() < 1e-12);
        assert!(choice.numbers[0].other_draws_kg <= 0.75 + 1e-12);
        // Alone it is no choice at all.
        assert_eq!(worth(&[x], &lightest, &[light]).unwrap().choice, None);
        assert_eq!(worth(&[vec![0.5; 3]], &[1.0; 3], &[]), None);
    }
}
