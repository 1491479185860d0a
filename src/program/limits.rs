//! Limits on the whole design: power, heat, volume, crew time.

use crate::kinds::{Activity, Hardware};
use crate::network::Limit;

use super::builder::{Builder, Sum};
use super::deliveries::transfer_hours;
use super::{Family, Sense};

/// In every phase, `Σ (per unit × u) + Σ (per kg/d × x) ≤ limit` for power,
/// heat and crew time; over all units, `Σ volume × u ≤ limit`. Crew time counts
/// the transfers of the flights that arrive in the phase, `Σ h/kg · b[g,k] / D_p`,
/// flight by flight; the totals form leaves them out.
pub(super) fn rows(builder: &mut Builder) {
    let limits = builder.network.limits;
    let by_phase: [(_, Option<Limit>, PerUnit, PerLevel); 3] = [
        (
            "power",
            limits.power_w,
            |unit| unit.power_w,
            |activity| activity.power_w,
        ),
        (
            "heat",
            limits.heat_w,
            |unit| unit.heat_w,
            |activity| activity.heat_w,
        ),
        (
            "crew time",
            limits.crew_time_h_per_day,
            |unit| unit.crew_time_h_per_day,
            |_| 0.0,
        ),
    ];
    for (what, limit, per_unit, per_level) in by_phase {
        let Some(limit) = limit else { continue };
        for phase in 0..builder.network.calendar.phases.len() {
            let mut sum = load(builder, phase, per_unit, per_level);
            if what == "crew time" {
                let days = builder.network.calendar.phases[phase].days;
                sum.add_sum(&transfer_hours(builder, phase), 1.0 / days);
            }
            sum.add_constant(-limit.value);
            let label = format!("{what}, {}", builder.phase_name(phase));
            builder
                .row(Family::Limits, label, Some(limit.place), sum, Sense::AtMost)
                .during(phase);
        }
    }
    if let Some(limit) = limits.volume_m3 {
        let mut sum = Sum::default();
        for node in builder.network.nodes() {
            if let (Some(hardware), Some(count)) = (
                &builder.network.duties(node).hardware,
                builder.handles.count[node.index()],
            ) {
                sum.add(count, hardware.volume_m3);
            }
        }
        sum.add_constant(-limit.value);
        let label = "volume of all units".to_owned();
        builder.row(Family::Limits, label, Some(limit.place), sum, Sense::AtMost);
    }
}

type PerUnit = fn(&Hardware) -> f64;
type PerLevel = fn(&Activity) -> f64;

/// `Σ (per unit × u) + Σ (per level × x)` in a phase.
pub(super) fn load(builder: &Builder, phase: usize, unit: PerUnit, level: PerLevel) -> Sum {
    let network = builder.network;
    let mut sum = Sum::default();
    for node in network.nodes() {
        if !network.works(node, phase) {
            continue;
        }
        let duties = network.duties(node);
        if let (Some(hardware), Some(count)) =
            (&duties.hardware, builder.handles.count[node.index()])
        {
            sum.add(count, unit(hardware));
        }
        for (index, activity) in duties.activities.iter().enumerate() {
            sum.add_amount(builder.level(node, index, phase), level(activity));
        }
    }
    sum
}
