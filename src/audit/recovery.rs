//! Recovery figures, worked out again from the levels.

use crate::catalogue::SubstanceId;
use crate::kinds::{Activity, Portion, Role};

use super::checks::{Checks, Family};
use super::facts::Facts;

/// Every recovery figure is what its definition gives, and absent where it is
/// a share of nothing.
pub(super) fn check(facts: &Facts, checks: &mut Checks) {
    let substances = &facts.network.substances;
    let is_made_of = |substance: SubstanceId, symbol: &str| {
        let contents = substances.contents(substance);
        let elements = contents.elements.iter();
        contents.unstated == 0.0
            && contents.opaque.is_empty()
            && elements
                .filter(|(_, share)| **share > 0.0)
                .all(|(element, _)| element.symbol() == symbol)
            && !contents.elements.is_empty()
    };
    let grade_of_water = |portion: &Portion| match substances.is_water_alone(portion.substance) {
        true => portion.amount,
        false => 0.0,
    };
    let water = |portion: &Portion| portion.amount * substances.water_fraction(portion.substance);
    let oxygen = |portion: &Portion| match is_made_of(portion.substance, "O") {
        true => portion.amount,
        false => 0.0,
    };
    let all = |portion: &Portion| portion.amount;

    // Over the mission: what activities of a role take or give, as counted.
    let over = |wanted: &dyn Fn(&Role) -> bool,
                side: fn(&Activity) -> &[Portion],
                counted: &dyn Fn(&Portion) -> f64| {
        let mut sum = 0.0;
        for (node, _) in facts.nodes() {
            let per_day = facts.by_phase(node, |activity| match wanted(&activity.role) {
                true => side(activity).iter().map(counted).sum(),
                false => 0.0,
            });
            sum += facts.over_mission(&per_day);
        }
        sum
    };
    let takes: fn(&Activity) -> &[Portion] = |activity| &activity.takes;
    let gives: fn(&Activity) -> &[Portion] = |activity| &activity.gives;
    let using = |role: &Role| *role == Role::Use;
    let bringing = |role: &Role| *role == Role::Bring;
    let leaving = |role: &Role| matches!(role, Role::Leave(_));

    let mut water_split = 0.0;
    for (node, _) in facts.nodes() {
        let per_day = facts.by_phase(node, |activity| {
            let mut portions = activity.takes.iter().chain(&activity.gives);
            let with_hydrogen = portions.any(|portion| is_made_of(portion.substance, "H"));
            if activity.role != Role::Convert || !with_hydrogen {
                return 0.0;
            }
            let taken: f64 = activity.takes.iter().map(grade_of_water).sum();
            let given: f64 = activity.gives.iter().map(grade_of_water).sum();
            taken - given
        });
        water_split += facts.over_mission(&per_day);
    }

    let found = &facts.answer.recovery;
    let water_drawn = over(&bringing, gives, &grade_of_water);
    let oxygen_drawn = over(&bringing, gives, &oxygen);
    let mut figure = |name: &str, stated: Option<f64>, whole: f64, figure: &dyn Fn() -> f64| {
        checks.holds(Family::Recovery, stated.is_some() == (whole > 0.0), || {
            format!("whether there is a {name}")
        });
        if let (Some(stated), true) = (stated, whole > 0.0) {
            checks.equal(Family::Recovery, stated, figure(), || name.to_owned());
        }
    };
    let used = over(&using, takes, &grade_of_water);
    figure("water recovery", found.water_recovery, used, &|| {
        (used - water_drawn + water_split) / used
    });
    let given_back = over(&using, gives, &water);
    figure(
        "water lost share",
        found.water_lost_share,
        given_back,
        &|| over(&leaving, takes, &water) / given_back,
    );
    let used = over(&using, takes, &oxygen);
    figure("oxygen closure", found.oxygen_closure, used, &|| {
        (used - oxygen_drawn - 0.888_093 * water_split) / used
    });
    let used = over(&using, takes, &all);
    figure(
        "loop closure by mass",
        found.loop_closure_by_mass,
        used,
        &|| (used - over(&bringing, gives, &all)) / used,
    );
}
