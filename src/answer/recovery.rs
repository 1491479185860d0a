//! How much of what is used comes back.

use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Portion, Role};
use crate::network::Network;

/// Oxygen in a kilogram of water, kg.
const OXYGEN_IN_WATER: f64 = 0.888_093;

/// Recovery figures of an answer, over the whole mission. A figure is absent
/// where nothing is used that it could be a share of.
///
/// A *grade of water* is a substance that is water alone. `G` is the water
/// that hardware splits into hydrogen less the water it makes from hydrogen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Recovery {
    /// 1 − (grades of water drawn from cargo − G) / grades of water taken by
    /// people and equipment. It may pass 1, because food brings water and
    /// people make some.
    pub water_recovery: Option<f64>,
    /// Water content reaching disposals over water content given back by people
    /// and equipment.
    pub water_lost_share: Option<f64>,
    /// 1 − (oxygen drawn from cargo + 0.888093 G) / oxygen taken by people and
    /// equipment.
    pub oxygen_closure: Option<f64>,
    /// 1 − cargo drawn / everything people and equipment take.
    pub loop_closure_by_mass: Option<f64>,
}

/// The figures of all levels: node, activity, phase.
pub(super) fn figures(network: &Network, levels: &[Vec<Vec<f64>>]) -> Recovery {
    let mut sums = Sums::default();
    for node in network.nodes() {
        let activities = &network.duties(node).activities;
        for (activity, level) in activities.iter().zip(&levels[node.index()]) {
            let total: f64 = network
                .calendar
                .phases
                .iter()
                .zip(level)
                .map(|(phase, level)| phase.days * level)
                .sum();
            sums.add(network, activity, total);
        }
    }
    let share = |part: f64, whole: f64| (whole > 0.0).then(|| part / whole);
    let kept = |part: f64, whole: f64| share(part, whole).map(|lost| 1.0 - lost);
    Recovery {
        water_recovery: kept(sums.water_drawn - sums.water_split, sums.water_used),
        water_lost_share: share(sums.water_lost, sums.water_given_back),
        oxygen_closure: kept(
            sums.oxygen_drawn + OXYGEN_IN_WATER * sums.water_split,
            sums.oxygen_used,
        ),
        loop_closure_by_mass: kept(sums.drawn, sums.used),
    }
}

/// Masses over the mission, kg.
#[derive(Default)]
struct Sums {
    water_drawn: f64,
    water_split: f64,
    water_used: f64,
    water_given_back: f64,
    water_lost: f64,
    oxygen_drawn: f64,
    oxygen_used: f64,
    drawn: f64,
    used: f64,
}

impl Sums {
    fn add(&mut self, network: &Network, activity: &Activity, level: f64) {
        let substances = &network.substances;
        let of = |portions: &[Portion], share: &dyn Fn(SubstanceId) -> f64| -> f64 {
            let sum: f64 = portions
                .iter()
                .map(|portion| portion.amount * share(portion.substance))
                .sum();
            sum * level
        };
        let all = |_: SubstanceId| 1.0;
        let grade_of_water = |substance| f64::from(u8::from(substances.is_water_alone(substance)));
        let water = |substance| substances.water_fraction(substance);
        let oxygen = |substance| f64::from(u8::from(is_alone(network, substance, "O")));
        match activity.role {
            Role::Use => {
                self.water_used += of(&activity.takes, &grade_of_water);
                self.water_given_back += of(&activity.gives, &water);
                self.oxygen_used += of(&activity.takes, &oxygen);
                self.used += of(&activity.takes, &all);
            }
            Role::Bring => {
                self.water_drawn += of(&activity.gives, &grade_of_water);
                self.oxygen_drawn += of(&activity.gives, &oxygen);
                self.drawn += of(&activity.gives, &all);
            }
            Role::Convert => {
                let mut portions = activity.takes.iter().chain(&activity.gives);
                if portions.any(|portion| is_alone(network, portion.substance, "H")) {
                    self.water_split +=
                        of(&activity.takes, &grade_of_water) - of(&activity.gives, &grade_of_water);
                }
            }
            Role::Leave(_) => self.water_lost += of(&activity.takes, &water),
            Role::Lose => {}
        }
    }
}

/// Whether a substance is one element and nothing else.
fn is_alone(network: &Network, substance: SubstanceId, symbol: &str) -> bool {
    let contents = network.substances.contents(substance);
    let share = contents
        .elements
        .iter()
        .find(|(element, _)| element.symbol() == symbol)
        .map_or(0.0, |(_, share)| *share);
    share > 1.0 - 1e-9
}
