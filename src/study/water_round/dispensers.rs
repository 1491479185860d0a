//! A dispenser that is fed from containers.

use super::flows::{by_phase, flow, largest, stated};
use super::{Budget, Figure, Sheet, Station, Value, given, named};
use crate::audit::Plan;
use crate::network::Dispenser;
use crate::quantity::Dimension;

const DAYS_PER_WEEK: f64 = 7.0;
/// Less than this of a container is rounding.
const ROUNDING: f64 = 1e-6;

/// Containers and crew time a week, by phase.
pub(super) fn station(plan: &Plan, dispenser: &Dispenser) -> Station {
    let network = plan.network();
    let water = by_phase(plan, |phase| flow(plan, &dispenser.streams, phase));
    let containers = |kg: f64| DAYS_PER_WEEK * kg / dispenser.container_kg;
    let each = |value: &dyn Fn(f64) -> f64| water.iter().map(|&kg| value(kg)).collect();
    let lasts = |kg: f64| match kg > 0.0 {
        true => Value::Number(dispenser.container_kg / kg),
        false => Value::No("nothing is drawn".to_owned()),
    };
    let most_h_per_day = containers(largest(&water)) * dispenser.change_h / DAYS_PER_WEEK;
    let crew_time = stated(most_h_per_day, Dimension::CrewTime);
    let figures = vec![
        Figure::each("water m", "kg/d", "from the plan", water.clone()),
        Figure::each(
            "containers a week n",
            "",
            "n = 7 m / content of one",
            each(&containers),
        ),
        Figure::each(
            "whole containers a week",
            "",
            "n rounded up",
            each(&|kg| (containers(kg) - ROUNDING).ceil().max(0.0)),
        ),
        Figure {
            values: water.iter().map(|&kg| lasts(kg)).collect(),
            ..Figure::each("days that one lasts", "d", "content of one / m", Vec::new())
        },
        Figure::each(
            "crew time a week",
            "h",
            "n × time to change one",
            each(&|kg| containers(kg) * dispenser.change_h),
        )
        .in_budget(Budget::NotCounted(format!(
            "crew_time: \"{crew_time}\" in the unit of a node would"
        ))),
    ];
    let feeds: Vec<&str> = dispenser
        .feeds
        .iter()
        .map(|&node| network.name(node))
        .collect();
    Station {
        sort: "dispenser",
        name: dispenser.name.clone(),
        inputs: vec![
            named("feeds", feeds.join(", ")),
            given("content of a container", dispenser.container_kg, "kg"),
            given("time to change one", dispenser.change_h, "h"),
        ],
        sheets: vec![Sheet::by_phase(plan, figures)],
        remarks: vec![
            "Mass and containers of the water itself are those of its cargo in the ledger, where it \
             is brought."
                .to_owned(),
        ],
        cautions: Vec::new(),
    }
}
