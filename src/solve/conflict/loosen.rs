//! Which statements the rows of a program make, and how each gives way.

use petgraph::Direction;

use super::elastic::Elastic;
use super::statement::What;
use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Level, Portion, Role};
use crate::network::NodeId;
use crate::program::{About, Family, Row, Sense};

impl Elastic<'_> {
    /// Gives a row the slacks of the statements it makes.
    pub(super) fn loosen(&mut self, index: usize) {
        let Row {
            family,
            about,
            sense,
            right,
            ..
        } = self.program.rows[index];
        let About {
            node,
            substance,
            phase,
            flight,
            ..
        } = about;
        let at_most = if sense == Sense::AtLeast { 1.0 } else { -1.0 };
        let scale = right.abs();
        match (family, node, substance, phase, flight) {
            (Family::Balance, Some(node), Some(substance), Some(phase), _) => {
                self.balance(index, node, substance, phase);
            }
            (Family::Conversion, Some(node), Some(substance), Some(phase), _) => {
                let what = What::Conversion {
                    node,
                    substance,
                    phase,
                };
                self.slack(index, what, at_most, f64::INFINITY, 1.0);
            }
            (Family::Capacity, Some(node), _, Some(phase), _) => {
                let what = match sense {
                    Sense::AtLeast => What::Turndown { node, phase },
                    _ => What::Capacity { node, phase },
                };
                self.slack(index, what, at_most, f64::INFINITY, 1.0);
            }
            (Family::Limits, None, _, _, _) => {
                if let Some(what) = self.limit(index, phase) {
                    self.slack(index, what, at_most, f64::INFINITY, scale);
                }
            }
            (Family::Removal, Some(node), _, _, flight) => {
                let what = match flight {
                    Some(flight) => What::Removed { node, flight },
                    None => What::Stowed { node },
                };
                self.slack(index, what, at_most, f64::INFINITY, scale);
            }
            (Family::Payload, _, _, _, Some(flight)) => {
                let what = What::Payload { flight };
                self.slack(index, what, at_most, f64::INFINITY, scale);
            }
            (_, Some(node), _, _, _) if self.weighs && sense != Sense::Equal => {
                let what = match (family, sense, flight) {
                    (Family::Deliveries, Sense::AtLeast, Some(flight)) => What::Late { flight },
                    (Family::Deliveries, ..) => What::Containers { node },
                    (Family::Reserves, Sense::AtLeast, _) => What::Reserve { node },
                    (Family::Reserves, ..) => What::Tank { node },
                    (Family::Cartridges, ..) => What::Cartridges { node },
                    (Family::Consumables, ..) => What::Consumables { node },
                    _ => return,
                };
                self.slack(index, what, at_most, f64::INFINITY, 1.0);
            }
            _ => {}
        }
    }

    /// A balance holds unless a need goes unmet or is exceeded, a product is not
    /// given, or the substance leaves by no stream.
    fn balance(&mut self, index: usize, node: NodeId, substance: SubstanceId, phase: usize) {
        let duties = self.network.duties(node);
        let portion = |portions: &[Portion]| -> f64 {
            portions
                .iter()
                .filter(|portion| portion.substance == substance)
                .map(|portion| portion.amount)
                .sum()
        };
        let fixed = |portions: fn(&Activity) -> &[Portion]| -> f64 {
            duties
                .activities
                .iter()
                .map(|activity| match &activity.level {
                    Level::Fixed(levels) => levels[phase] * portion(portions(activity)),
                    Level::Free => 0.0,
                })
                .sum()
        };
        let need = fixed(|activity| &activity.takes);
        let product = fixed(|activity| &activity.gives);
        let freely = |role: fn(&Role) -> bool| {
            duties
                .activities
                .iter()
                .any(|activity| activity.level == Level::Free && role(&activity.role))
        };
        let side = self.program.rows[index].about.side;
        if need > 0.0 && side != Some(Direction::Outgoing) {
            let what = What::Need {
                node,
                substance,
                phase,
            };
            self.slack(index, what, 1.0, need, need);
            if side.is_some() {
                let slack = self.slack(index, what, -1.0, f64::INFINITY, need);
                self.slacks[slack].beyond = true;
            }
        }
        let leaves = if side == Some(Direction::Outgoing) {
            1.0
        } else {
            -1.0
        };
        if product > 0.0 && side != Some(Direction::Incoming) {
            let what = What::Product {
                node,
                substance,
                phase,
            };
            self.slack(index, what, leaves, product, product);
        }
        let is_outlet = match side {
            None => true,
            Some(Direction::Incoming) => {
                need == 0.0 && !freely(|role| matches!(role, Role::Leave(_)))
            }
            Some(Direction::Outgoing) => {
                product == 0.0 && !freely(|role| matches!(role, Role::Bring))
            }
        };
        if is_outlet {
            let what = What::Outlet {
                node,
                substance,
                phase,
                made: side == Some(Direction::Outgoing),
            };
            self.slack(index, what, leaves, f64::INFINITY, 1.0);
        }
    }

    /// Which limit of the design a row is.
    fn limit(&self, index: usize, phase: Option<usize>) -> Option<What> {
        let place = self.program.rows[index].place?;
        let limits = &self.network.limits;
        let is =
            |limit: Option<crate::network::Limit>| limit.is_some_and(|limit| limit.place == place);
        match phase {
            Some(phase) if is(limits.power_w) => Some(What::Power { phase }),
            Some(phase) if is(limits.heat_w) => Some(What::Heat { phase }),
            Some(phase) if is(limits.crew_time_h_per_day) => Some(What::CrewTime { phase }),
            None if is(limits.volume_m3) => Some(What::Volume),
            None if is(limits.stowage_kg) => Some(What::Stowage),
            _ => None,
        }
    }
}
