//! Equivalent system mass: launch mass and what loads weigh beside it.

use crate::network::Network;

/// Equivalent system mass and its parts beside the launch mass.
///
/// By the published method, `M + V·V_eq + P·P_eq + C·C_eq + CT·D·CT_eq`, with
/// power and cooling at the phase where factor × load is largest and crew time
/// over the mission.
#[derive(Clone, Debug, PartialEq)]
pub struct EquivalentMass {
    /// Launch mass plus every line times the departure's gear ratio, kg.
    pub equivalent_system_mass_kg: f64,
    /// Power, cooling, volume, crew time.
    pub lines: Vec<EquivalentLine>,
    /// Gear ratio of the departure.
    pub gear_ratio: f64,
}

/// What one load weighs.
#[derive(Clone, Debug, PartialEq)]
pub struct EquivalentLine {
    /// "power", "cooling", "volume" or "crew time".
    pub item: &'static str,
    /// Equivalent mass before the gear ratio, kg.
    pub kg: f64,
    /// How it came about: "237 kg/kW × 1.2 kW in operations".
    pub how: String,
}

/// Loads of an answer.
pub(super) struct Loads<'a> {
    /// By phase, W.
    pub power_w: &'a [f64],
    /// By phase, W.
    pub heat_w: &'a [f64],
    /// By phase, h/d.
    pub crew_time_h_per_day: &'a [f64],
    /// m³.
    pub volume_m3: f64,
}

/// Works out the equivalent system mass, where factors are given.
pub(super) fn mass(
    network: &Network,
    launch_mass_kg: f64,
    loads: Loads<'_>,
) -> Option<EquivalentMass> {
    let factors = network.equivalents.as_ref()?;
    let phases = &network.calendar.phases;
    let peak = |item: &'static str, factor: &dyn Fn(usize) -> f64, load_w: &[f64]| {
        let mut line = EquivalentLine {
            item,
            kg: 0.0,
            how: "no factor or no load".to_owned(),
        };
        for (phase, load_w) in load_w.iter().enumerate() {
            let kg = factor(phase) * load_w / 1000.0;
            if kg > line.kg {
                line.kg = kg;
                line.how = format!(
                    "{} kg/kW × {:.3} kW in {}",
                    factor(phase),
                    load_w / 1000.0,
                    phases[phase].name
                );
            }
        }
        line
    };
    let by_phase = &factors.phases;
    let crew_time_kg: f64 = by_phase
        .iter()
        .zip(loads.crew_time_h_per_day)
        .zip(phases)
        .map(|((factors, hours), phase)| factors.crew_time_kg_per_h * hours * phase.days)
        .sum();
    let crew_hours: f64 = loads
        .crew_time_h_per_day
        .iter()
        .zip(phases)
        .map(|(hours, phase)| hours * phase.days)
        .sum();
    let lines = vec![
        peak(
            "power",
            &|phase| by_phase[phase].power_kg_per_kw,
            loads.power_w,
        ),
        peak(
            "cooling",
            &|phase| by_phase[phase].cooling_kg_per_kw,
            loads.heat_w,
        ),
        EquivalentLine {
            item: "volume",
            kg: factors.volume_kg_per_m3 * loads.volume_m3,
            how: format!(
                "{} kg/m³ × {:.3} m³",
                factors.volume_kg_per_m3, loads.volume_m3
            ),
        },
        EquivalentLine {
            item: "crew time",
            kg: crew_time_kg,
            how: format!("{crew_hours:.1} h over the mission"),
        },
    ];
    let gear_ratio = network.calendar.flights[0].gear_ratio;
    let beside: f64 = lines.iter().map(|line| line.kg).sum();
    Some(EquivalentMass {
        equivalent_system_mass_kg: launch_mass_kg + gear_ratio * beside,
        lines,
        gear_ratio,
    })
}
