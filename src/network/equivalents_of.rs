//! Equivalency factors of a design, phase by phase.

use crate::catalogue::{EquivalentsSetting, Factor, equivalents_settings};
use crate::design;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::written::Named;

use super::Phase;

/// What loads weigh in equivalent system mass.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalents {
    /// By phase.
    pub phases: Vec<PhaseFactors>,
    /// Volume, kg/m³.
    pub volume_kg_per_m3: f64,
    /// Where the factors come from, for the report.
    pub sources: Vec<String>,
}

/// Factors of one phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhaseFactors {
    /// Electric power, kg/kW.
    pub power_kg_per_kw: f64,
    /// Heat to the coolant, kg/kW.
    pub cooling_kg_per_kw: f64,
    /// Crew time, kg/h.
    pub crew_time_kg_per_h: f64,
}

/// Resolves what a design writes about equivalents.
pub(super) fn equivalents(
    written: Option<&design::Equivalents>,
    phases: &[Phase],
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<Equivalents> {
    let written = written?;
    let setting = match &written.setting {
        Some(name) => Some(published(name, diagnostics)?),
        None => None,
    };
    let nominal = |factors: fn(&EquivalentsSetting) -> &Vec<Factor>| -> f64 {
        setting
            .and_then(|setting| factors(setting).first())
            .map_or(0.0, |factor| factor.value)
    };
    let power = written
        .power
        .map_or_else(|| nominal(|one| &one.power_kg_per_kw), |factor| factor.0);
    let cooling = written
        .cooling
        .map_or_else(|| nominal(|one| &one.cooling_kg_per_kw), |factor| factor.0);
    let crew_time = written
        .crew_time
        .map_or_else(|| nominal(|one| &one.crew_time_kg_per_h), |factor| factor.0);
    for name in written.phases.keys() {
        if phases.iter().any(|phase| phase.name == name.text) {
            continue;
        }
        let known = phases.iter().map(|phase| phase.name.as_str());
        let help = match nearest(&name.text, known.clone()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("phases: {}", known.collect::<Vec<_>>().join(", ")),
        };
        diagnostics.push(
            Diagnostic::error(
                codes::UNKNOWN_PHASE,
                format!("equivalents: no phase is called \"{name}\""),
            )
            .at(name.place, "")
            .help(help),
        );
    }
    Some(Equivalents {
        phases: phases
            .iter()
            .map(|phase| {
                let own = written.phases.get(&phase.name);
                PhaseFactors {
                    power_kg_per_kw: own
                        .and_then(|own| own.power)
                        .map_or(power, |factor| factor.0),
                    cooling_kg_per_kw: own
                        .and_then(|own| own.cooling)
                        .map_or(cooling, |factor| factor.0),
                    crew_time_kg_per_h: own
                        .and_then(|own| own.crew_time)
                        .map_or(crew_time, |factor| factor.0),
                }
            })
            .collect(),
        volume_kg_per_m3: written
            .volume
            .map_or_else(|| nominal(|one| &one.volume_kg_per_m3), |factor| factor.0),
        sources: setting
            .map(|setting| {
                format!(
                    "equivalency factors of \"{}\": {}",
                    setting.name, setting.citation
                )
            })
            .into_iter()
            .collect(),
    })
}

fn published(
    name: &Named,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<&'static EquivalentsSetting> {
    let settings = equivalents_settings();
    let found = settings.iter().find(|setting| setting.name == name.text);
    if found.is_none() {
        let known = settings.iter().map(|setting| setting.name.as_str());
        let list = known.clone().collect::<Vec<_>>().join("; ");
        let help = match nearest(&name.text, known) {
            Some(near) => format!("did you mean \"{near}\"? settings: {list}"),
            None => format!("settings: {list}"),
        };
        diagnostics.push(
            Diagnostic::error(
                codes::UNKNOWN_SETTING,
                format!("equivalents: no published setting is called \"{name}\""),
            )
            .at(name.place, "")
            .help(help),
        );
    }
    found
}
