//! Random faults of a network.

use loopwright::kinds::Role;
use loopwright::network::{Fault, Network, Window};

use super::generator::dice::Dice;

/// One to three faults of a seed.
pub fn thrown(network: &Network, seed: u64) -> Vec<Fault> {
    let mut dice = Dice::new(seed);
    let number = 1 + dice.below(3);
    let mut faults = Vec::new();
    while faults.len() < number {
        faults.extend(one(network, &mut dice));
    }
    faults
}

/// One fault; none if the network has nothing of what was thrown.
fn one(network: &Network, dice: &mut Dice) -> Option<Fault> {
    let calendar = &network.calendar;
    let arrivals = calendar.flights.len() - 1;
    let window = window(network, dice);
    match dice.below(6) {
        0 if arrivals > 0 => Some(Fault::Lost {
            flight: 1 + dice.below(arrivals),
        }),
        1 if arrivals > 0 => Some(Fault::Late {
            flight: 1 + dice.below(arrivals),
            days: dice.between(1.0, 0.5 * calendar.mission_days()),
        }),
        2 | 3 => {
            let node = any(
                dice,
                network.nodes().filter(|&node| network.can_be_down(node)),
            )?;
            let has_units = network.duties(node).hardware.is_some();
            let units = (has_units && dice.below(3) == 0).then_some(1);
            Some(Fault::Down {
                node,
                units,
                window,
            })
        }
        4 => {
            let holding = network.nodes().flat_map(|node| {
                let passes = network.duties(node).passes.clone();
                passes.into_iter().map(move |substance| (node, substance))
            });
            let (node, substance) = any(dice, holding)?;
            Some(Fault::Leak {
                node,
                substance,
                kg_per_day: dice.between(0.01, 2.0),
                window,
            })
        }
        _ if dice.below(2) == 0 => Some(Fault::MoreCrew {
            people: 1.0 + dice.below(3) as f64,
            window,
        }),
        _ => {
            let products = network.nodes().flat_map(|node| {
                let activities = network.duties(node).activities.iter();
                let made: Vec<_> = activities
                    .filter(|activity| activity.role == Role::Convert && activity.gives.len() > 1)
                    .flat_map(|activity| activity.gives.iter().map(|give| give.substance))
                    .collect();
                made.into_iter().map(move |substance| (node, substance))
            });
            let (node, product) = any(dice, products)?;
            Some(Fault::LessYield {
                node,
                product,
                lost: dice.between(0.05, 1.0),
                window,
            })
        }
    }
}

fn any<T: Copy>(dice: &mut Dice, things: impl Iterator<Item = T>) -> Option<T> {
    let things: Vec<T> = things.collect();
    (!things.is_empty()).then(|| things[dice.below(things.len())])
}

/// From some day to another, or to the end.
fn window(network: &Network, dice: &mut Dice) -> Window {
    let end = network.calendar.mission_days();
    let from = match dice.below(3) {
        0 => 0.0,
        _ => dice.between(0.0, 0.9 * end),
    };
    let to = match dice.below(2) {
        0 => end,
        _ => dice.between(from, end).max(from + 0.01 * end).min(end),
    };
    Window { from, to }
}
