//! The kernel with a limit, against the library's simplex without one.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::{Kernel, Limited};
use crate::program::Sense;
use crate::solve::mixed::{Column, Mixed, Row};
use crate::solve::relaxation::{Relaxed, relax};
use crate::solve::tighten::Bounds;

/// A number between two others, invented.
fn between(dice: &mut ChaCha8Rng, low: f64, high: f64) -> f64 {
    low + (high - low) * f64::from(dice.next_u32()) / f64::from(u32::MAX)
}

/// Demands that several sources share: every source costs and has an end, every demand
/// wants more than nothing.
fn program(dice: &mut ChaCha8Rng) -> Mixed {
    let sources = 12;
    let mut mixed = Mixed {
        constant: between(dice, -50.0, 50.0),
        ..Mixed::default()
    };
    for _ in 0..sources {
        mixed.columns.push(Column {
            lower: 0.0,
            upper: between(dice, 2.0, 20.0),
            whole: false,
            kept: false,
            integral: false,
            cost: between(dice, 0.5, 9.0),
        });
    }
    for _ in 0..8 {
        let mut terms = Vec::new();
        for column in 0..sources {
            if between(dice, 0.0, 1.0) < 0.4 {
                terms.push((column, between(dice, 0.1, 3.0)));
            }
        }
        mixed.rows.push(Row {
            terms,
            sense: Sense::AtLeast,
            right: between(dice, 0.5, 14.0),
        });
    }
    mixed
}

/// Whatever the limit, no bound is above the optimum that the library finds, none below
/// the limit is called beyond it, and below the limit the optimum is found.
#[test]
fn a_limit_ends_a_program_only_where_nothing_is_below_it() {
    let mut dice = ChaCha8Rng::seed_from_u64(1);
    let (mut beyond, mut found, mut empty) = (0, 0, 0);
    for _ in 0..300 {
        let mixed = program(&mut dice);
        let bounds = Bounds::of(&mixed);
        let Relaxed::Optimal { objective, .. } =
            relax(&mixed, &bounds.lower, &bounds.upper).unwrap()
        else {
            let mut kernel = Kernel::new(&mixed, &bounds);
            let limited = kernel.solve_below(&mixed, &bounds.lower, &bounds.upper, 1e9);
            let nothing = matches!(limited, Ok(Limited::Relaxed(Relaxed::Infeasible)));
            assert!(nothing, "{limited:?}");
            empty += 1;
            continue;
        };
        for share in [0.5, 0.9, 0.999, 1.001, 1.5] {
            let limit = mixed.constant + share * (objective - mixed.constant);
            let mut kernel = Kernel::new(&mixed, &bounds);
            let limited = kernel.solve_below(&mixed, &bounds.lower, &bounds.upper, limit);
            match limited.unwrap() {
                Limited::Beyond(bound) => {
                    assert!(bound >= limit && bound <= objective + 1e-7);
                    beyond += 1;
                }
                Limited::Relaxed(Relaxed::Optimal { objective: own, .. }) => {
                    approx::assert_relative_eq!(own, objective, epsilon = 1e-7);
                    found += 1;
                }
                Limited::Relaxed(Relaxed::Infeasible) => panic!("the library has an optimum"),
            }
        }
    }
    assert!(
        beyond > 100 && found > 100 && empty > 0,
        "{beyond} {found} {empty}"
    );
}
