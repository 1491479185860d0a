//! Factors of random bases, sparse and full, against elimination with nothing left out.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::{Factored, Factors};

/// What a residual may be, as a share of the largest number in it.
const ROUNDING: f64 = 1e-9;

type Column = Vec<(usize, f64)>;

struct Dice(ChaCha8Rng);

impl Dice {
    fn of(seed: u64) -> Self {
        Dice(ChaCha8Rng::seed_from_u64(seed))
    }

    fn below(&mut self, end: usize) -> usize {
        (self.0.next_u64() % end as u64) as usize
    }

    /// From 0.5 to 2, of either sign: products of many stay within reach.
    fn entry(&mut self) -> f64 {
        let size = 0.5 + 1.5 * self.below(1_000_000) as f64 / 1e6;
        if self.below(2) == 0 { size } else { -size }
    }

    fn vector(&mut self, size: usize, filled: usize) -> Vec<f64> {
        let mut vector = vec![0.0; size];
        for _ in 0..filled {
            vector[self.below(size)] = self.entry();
        }
        vector
    }

    fn column(&mut self, size: usize, filled: usize) -> Column {
        sparse(&self.vector(size, filled))
    }

    /// A basis whose columns have an entry in a row of their own, so that few are
    /// singular by their pattern, and `filled` others at most.
    fn basis(&mut self, size: usize, filled: usize) -> Vec<Column> {
        let mut rows: Vec<usize> = (0..size).collect();
        for last in (1..size).rev() {
            rows.swap(last, self.below(last + 1));
        }
        rows.into_iter()
            .map(|row| {
                let others = self.below(filled + 1);
                let mut column = self.vector(size, others);
                column[row] = 2.0 * self.entry();
                sparse(&column)
            })
            .collect()
    }
}

fn sparse(column: &[f64]) -> Column {
    let entries = column.iter().copied().enumerate();
    entries.filter(|&(_, entry)| entry != 0.0).collect()
}

fn factored(basis: &[Column]) -> Factored {
    let columns: Vec<&[(usize, f64)]> = basis.iter().map(Vec::as_slice).collect();
    Factors::of(&columns)
}

/// Factors of a basis in which no column depends on the others.
fn factors(basis: &[Column]) -> Factors {
    let Factored { factors, replaced } = factored(basis);
    assert_eq!(replaced, [], "none depends on the others");
    factors
}

/// How many columns do not depend on those before them, by elimination with the
/// largest pivot of the whole; and the solution of `B x = right` where all do not.
fn eliminated(basis: &[Column], right: &[f64]) -> (usize, Option<Vec<f64>>) {
    let size = basis.len();
    let mut rows = vec![vec![0.0; size + 1]; size];
    for (place, column) in basis.iter().enumerate() {
        for &(row, entry) in column {
            rows[row][place] = entry;
        }
    }
    for (row, value) in rows.iter_mut().zip(right) {
        row[size] = *value;
    }
    let mut places: Vec<usize> = (0..size).collect();
    for step in 0..size {
        let left = (step..size).flat_map(|row| (step..size).map(move |at| (row, at)));
        let size_of = |&(row, at): &(usize, usize)| rows[row][places[at]].abs();
        let largest = left.max_by(|one, other| size_of(one).total_cmp(&size_of(other)));
        let Some((row, at)) = largest.filter(|largest| size_of(largest) > 1e-9) else {
            return (step, None);
        };
        rows.swap(step, row);
        places.swap(step, at);
        let pivot = rows[step].clone();
        for (other, row) in rows.iter_mut().enumerate() {
            let factor = row[places[step]] / pivot[places[step]];
            if other != step && factor != 0.0 {
                for (entry, pivot) in row.iter_mut().zip(&pivot) {
                    *entry -= factor * pivot;
                }
            }
        }
    }
    let mut solved = vec![0.0; size];
    for (row, &place) in rows.iter().zip(&places) {
        solved[place] = row[size] / row[place];
    }
    (size, Some(solved))
}

fn transposed(basis: &[Column]) -> Vec<Column> {
    let mut turned = vec![Vec::new(); basis.len()];
    for (place, column) in basis.iter().enumerate() {
        for &(row, entry) in column {
            turned[row].push((place, entry));
        }
    }
    turned
}

/// `B x = right` but for rounding.
fn assert_solves(basis: &[Column], solved: &[f64], right: &[f64], what: &str) {
    let mut left: Vec<f64> = right.iter().map(|value| -value).collect();
    let mut scale = right.iter().fold(1.0_f64, |most, one| most.max(one.abs()));
    for (column, value) in basis.iter().zip(solved) {
        for &(row, entry) in column {
            left[row] += entry * value;
            scale = scale.max((entry * value).abs());
        }
    }
    let most = left.iter().fold(0.0_f64, |most, one| most.max(one.abs()));
    assert!(most <= ROUNDING * scale, "{what}: {most} of {scale}");
}

fn solve(factors: &Factors, mut right: Vec<f64>) -> Vec<f64> {
    let mut solved = Vec::new();
    factors.solve(&mut right, &mut solved);
    solved
}

fn solve_left(factors: &Factors, mut left: Vec<f64>) -> Vec<f64> {
    let mut solved = Vec::new();
    factors.solve_left(&mut left, &mut solved);
    solved
}

/// Both ways to solve with these factors leave no residual in this basis.
fn assert_factors(factors: &Factors, basis: &[Column], dice: &mut Dice, what: &str) {
    let size = basis.len();
    // Of one entry, as the search asks most, and full.
    for filled in [1, 3 * size] {
        let right = dice.vector(size, filled);
        let solved = solve(factors, right.clone());
        assert_solves(basis, &solved, &right, what);
        let left = dice.vector(size, filled);
        let solved = solve_left(factors, left.clone());
        assert_solves(&transposed(basis), &solved, &left, what);
    }
}

/// Every entry of one is that of the other, but for rounding.
fn assert_alike(one: &[f64], other: &[f64]) {
    let scale = other.iter().fold(1.0_f64, |most, one| most.max(one.abs()));
    for (one, other) in one.iter().zip(other) {
        assert!((one - other).abs() <= 1e-7 * scale, "{one} or {other}");
    }
}

#[test]
fn random_bases_are_solved_from_both_sides() {
    let mut full = 0;
    for seed in 0..300 {
        let mut dice = Dice::of(seed);
        let size = 1 + dice.below(30);
        // From lone entries to columns that leave nothing to take first.
        let filled = [0, 1, 3, 2 * size][dice.below(4)];
        let basis = dice.basis(size, filled);
        let right = dice.vector(size, size);
        let (rank, wanted) = eliminated(&basis, &right);
        let Some(wanted) = wanted else {
            assert!(rank < size);
            continue;
        };
        full += 1;
        let factors = factors(&basis);
        assert_factors(&factors, &basis, &mut dice, &format!("seed {seed}"));
        assert_alike(&solve(&factors, right), &wanted);
    }
    assert!(full > 250, "only {full} bases can be solved");
}

#[test]
fn columns_replaced_one_after_the_other_are_followed_until_new_factors_pay() {
    let mut heavy = 0;
    for seed in 0..40 {
        let mut dice = Dice::of(1000 + seed);
        let size = 5 + dice.below(30);
        let mut basis = dice.basis(size, 3);
        if eliminated(&basis, &vec![0.0; size]).0 < size {
            continue;
        }
        let first = basis.clone();
        let mut current = factors(&basis);
        let copied = current.clone();
        let (mut changes, mut renewed) = (0, 0);
        for step in 0..150 {
            let place = dice.below(size);
            let filled = 1 + dice.below(6);
            let entering = dice.column(size, filled);
            let mut right = vec![0.0; size];
            entering.iter().for_each(|&(row, entry)| right[row] = entry);
            let column = solve(&current, right);
            // What the kernel would not pivot on either.
            if column[place].abs() < 0.05 {
                continue;
            }
            current.replace(place, &column);
            basis[place] = entering;
            changes += 1;
            assert_eq!(current.changes(), changes);
            let what = format!("seed {seed}, step {step}");
            assert_factors(&current, &basis, &mut dice, &what);
            if current.is_heavy() || changes == 40 {
                let renew = factors(&basis);
                assert_eq!((renew.changes(), renew.is_heavy()), (0, false));
                let right = dice.vector(size, size);
                assert_alike(&solve(&current, right.clone()), &solve(&renew, right));
                let left = dice.vector(size, size);
                assert_alike(
                    &solve_left(&current, left.clone()),
                    &solve_left(&renew, left),
                );
                current = renew;
                heavy += usize::from(changes < 40);
                changes = 0;
                renewed += 1;
            }
        }
        assert!(renewed > 0, "seed {seed}: no new factors in 150 steps");
        // A copy knows nothing of what became of the other.
        assert_eq!(copied.changes(), 0);
        assert_factors(&copied, &first, &mut dice, "the copy");
    }
    assert!(heavy > 0, "changes never became too many entries");
}

#[test]
fn as_many_columns_are_told_as_depend_on_others_and_units_take_their_place() {
    let mut told = [0; 4];
    for seed in 0..200 {
        let mut dice = Dice::of(2000 + seed);
        let size = 4 + dice.below(20);
        let mut basis = dice.basis(size, 4);
        for _ in 0..dice.below(4) {
            let (place, one, other) = (dice.below(size), dice.below(size), dice.below(size));
            // Nothing, another or the sum of two, times two.
            let mut sum = vec![0.0; size];
            let parts = &[one, other][..dice.below(3)];
            for &part in parts.iter().filter(|&&part| part != place) {
                for &(row, entry) in &basis[part] {
                    sum[row] += 2.0 * entry;
                }
            }
            basis[place] = sparse(&sum);
        }
        let (rank, _) = eliminated(&basis, &vec![0.0; size]);
        let Factored { factors, replaced } = factored(&basis);
        assert_eq!(replaced.len(), size - rank, "seed {seed}: {replaced:?}");
        for (at, &(place, row)) in replaced.iter().enumerate() {
            let before = &replaced[..at];
            assert!(before.iter().all(|two| two.0 != place && two.1 != row));
            basis[place] = vec![(row, 1.0)];
        }
        assert_factors(&factors, &basis, &mut dice, &format!("seed {seed}"));
        told[replaced.len().min(3)] += 1;
    }
    assert!(told.iter().all(|&times| times > 5), "{told:?}");
}

#[test]
fn a_column_that_all_but_depends_on_another_is_told_too() {
    let basis = |differs: f64| {
        vec![
            vec![(0, 1.0), (1, 2.0), (2, 1.0)],
            vec![(0, 1.0), (1, 2.0), (2, 1.0 + differs)],
            vec![(0, 1.0), (1, -1.0), (2, 3.0)],
        ]
    };
    assert_eq!(factored(&basis(1e-4)).replaced, []);
    assert_eq!(factored(&basis(1e-10)).replaced.len(), 1);
    // Alone in its row and in its column, and still as good as nothing.
    let lone = vec![vec![(0, 1.0)], vec![(1, 1e-9)], vec![(2, -3.0)]];
    assert_eq!(factored(&lone).replaced, [(1, 1)]);
}

#[test]
fn a_basis_of_nothing_has_nothing_to_solve() {
    let factors = factors(&[]);
    assert!(solve(&factors, Vec::new()).is_empty());
    assert!(solve_left(&factors, Vec::new()).is_empty());
}
