//! Electrolysis: power by voltage.

use super::flows::{by_phase, feed, largest, sum};
use super::{Budget, Figure, Sheet, Station};
use crate::audit::Plan;
use crate::kinds::Portion;
use crate::network::Cells;
use crate::physics::electrolysis::{
    cell_current_a, cell_heat_w, cell_power_w, kwh_per_kg_water, voltage_of,
};
use crate::quantity::{Dimension, shown, shown_number};

/// The plan's own cells, then other voltages.
pub(super) fn station(plan: &Plan, cells: &Cells) -> Station {
    let network = plan.network();
    let name = network.name(cells.node);
    let water = by_phase(plan, |phase| feed(plan, cells.node, phase));
    let given = |formula: &str| {
        let wanted = network.substances.find(formula);
        by_phase(plan, |phase| {
            sum(plan, cells.node, phase, |activity| {
                let gives = activity.gives.iter();
                let of_it = gives.filter(|portion: &&Portion| Some(portion.substance) == wanted);
                of_it.map(|portion| portion.amount).sum()
            })
        })
    };
    let power = by_phase(plan, |phase| {
        sum(plan, cells.node, phase, |activity| activity.power_w)
    });
    let heat = by_phase(plan, |phase| {
        sum(plan, cells.node, phase, |activity| activity.heat_w)
    });
    let most = largest(&water);
    let counted = |what: &str| {
        Budget::Counted(format!(
            "in the {what} of the plan, beside what each unit draws"
        ))
    };
    let currents = water.iter().map(|&kg| cell_current_a(kg)).collect();
    let by_the_day = vec![
        Figure::each("water ṁ", "kg/d", "from the plan", water.clone()),
        Figure::each("oxygen", "kg/d", "0.888093 ṁ", given("oxygen")),
        Figure::each("hydrogen", "kg/d", "0.111907 ṁ", given("hydrogen")),
        Figure::each("current if one cell took all", "A", "2 F ṁ / M", currents),
        Figure::each(
            "power of the cells",
            "W",
            "2 F V ṁ / M, by the design's voltage",
            power,
        )
        .in_budget(counted("power")),
        Figure::each("heat of the cells", "W", "power − 2 F 1.481 V ṁ / M", heat)
            .in_budget(counted("heat")),
    ];
    let each =
        |value: &dyn Fn(f64) -> f64| cells.voltages.iter().map(|&volts| value(volts)).collect();
    let by_voltage = vec![
        Figure::each(
            "energy per kg of water",
            "kWh/kg",
            "2 F V / M",
            each(&kwh_per_kg_water),
        ),
        Figure::each(
            "energy per kg of oxygen",
            "kWh/kg",
            "2 F V / (0.888093 M)",
            each(&|volts| kwh_per_kg_water(volts) / OXYGEN_SHARE),
        ),
        Figure::each(
            "energy per kg of hydrogen",
            "kWh/kg",
            "2 F V / (0.111907 M)",
            each(&|volts| kwh_per_kg_water(volts) / (1.0 - OXYGEN_SHARE)),
        ),
        Figure::each(
            "power of the cells at the largest feed",
            "W",
            "2 F V ṁ / M",
            each(&|volts| cell_power_w(volts, most)),
        ),
        Figure::each(
            "heat of the cells at the largest feed",
            "W",
            "2 F (V − 1.481 V) ṁ / M",
            each(&|volts| cell_heat_w(volts, most)),
        ),
    ];
    let mut remarks = vec![
        "F is the Faraday constant, 96 485.33 C/mol; M the molar mass of water, 18.015 g/mol; V the \
         voltage of a cell; every electron splits water."
            .to_owned(),
    ];
    let powers = by_phase(plan, |phase| {
        sum(plan, cells.node, phase, |activity| activity.power_w)
    });
    if most > 0.0 {
        let kwh_per_kg = largest(&powers) * 24.0 / 1000.0 / most;
        remarks.push(format!(
            "What the design states comes to {}, as of cells at {}.",
            shown(kwh_per_kg, Dimension::SpecificEnergy),
            shown(voltage_of(kwh_per_kg), Dimension::Voltage)
        ));
    } else {
        remarks.push("The plan splits no water.".to_owned());
    }
    let mut sheets = vec![Sheet::by_phase(plan, by_the_day)];
    if !cells.voltages.is_empty() {
        let volts = cells.voltages.iter();
        sheets.push(Sheet {
            cases: volts
                .map(|volts| format!("{} V", shown_number(*volts)))
                .collect(),
            figures: by_voltage,
        });
    }
    Station {
        sort: "electrolyser",
        name: name.to_owned(),
        inputs: Vec::new(),
        sheets,
        remarks,
        cautions: vec![
            "Oxygen: it feeds fire; where it gathers, grease and dust ignite.".to_owned(),
            "Hydrogen: it burns in air from about 4 % by volume, and with oxygen over a far wider \
             range; the two gases must be kept apart, watched and vented."
                .to_owned(),
        ],
    }
}

/// Oxygen in water by the abridged standard atomic weights, kg/kg.
const OXYGEN_SHARE: f64 = 15.999 / 18.015;
