//! Published equivalency factors: what a cubic metre, a kilowatt of power or
//! cooling and an hour of crew time weigh in equivalent system mass.

use super::citation::Citation;
use serde::Deserialize;
use std::sync::LazyLock;

/// The factors of one published setting.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EquivalentsSetting {
    /// Where people live, and the edition.
    pub name: String,
    /// The document.
    pub citation: Citation,
    /// Volume, kg/m³; the first is the one to take unless its case does not fit.
    pub volume_kg_per_m3: Vec<Factor>,
    /// Electric power, kg/kW.
    pub power_kg_per_kw: Vec<Factor>,
    /// Cooling, kg/kW.
    pub cooling_kg_per_kw: Vec<Factor>,
    /// Crew time, kg per hour of a person's work; empty where not published.
    pub crew_time_kg_per_h: Vec<Factor>,
}

/// A factor and the case it is for.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Factor {
    /// The factor, in the unit its list names.
    pub value: f64,
    /// The case: "nominal", "shielded".
    pub case: String,
}

/// All published settings.
///
/// ```
/// use loopwright::catalogue::equivalents_settings;
/// let transit = equivalents_settings().iter().find(|s| s.name == "deep-space transit, 2003").unwrap();
/// assert_eq!(transit.power_kg_per_kw[0].value, 237.0);
/// ```
#[must_use]
pub fn equivalents_settings() -> &'static [EquivalentsSetting] {
    static SETTINGS: LazyLock<Vec<EquivalentsSetting>> =
        LazyLock::new(|| super::embedded(include_str!("equivalents.ron")));
    &SETTINGS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Mark;

    fn setting(name: &str) -> &'static EquivalentsSetting {
        equivalents_settings()
            .iter()
            .find(|setting| setting.name == name)
            .expect(name)
    }

    /// The method of NASA/TM-2003-212278 as npj Microgravity 8 (2022), doi
    /// 10.1038/s41526-022-00214-7, equation 1, gives it: mass and the four
    /// products. Item: kg, m³, kW of power, kW of cooling, h/d over so many days.
    fn equivalent_mass_kg(setting: &EquivalentsSetting, item: [f64; 5], days: f64) -> f64 {
        let [mass, volume, power, cooling, crew_time] = item;
        let first = |factors: &[Factor]| factors.first().map_or(0.0, |factor| factor.value);
        mass + volume * first(&setting.volume_kg_per_m3)
            + power * first(&setting.power_kg_per_kw)
            + cooling * first(&setting.cooling_kg_per_kw)
            + crew_time * days * first(&setting.crew_time_kg_per_h)
    }

    /// Computed by hand from the rows of the settings.
    #[test]
    fn an_item_weighs_differently_in_two_settings() {
        let item = [100.0, 0.5, 1.0, 1.0, 0.1];
        let transit = equivalent_mass_kg(setting("deep-space transit, 2003"), item, 600.0);
        let surface = equivalent_mass_kg(setting("planetary surface, 2015"), item, 600.0);
        assert!((transit - 573.15).abs() < 1e-9, "{transit}");
        assert!((surface - 393.98).abs() < 1e-9, "{surface}");
    }

    /// Inputs after the open data of a bioreactor study (reference architecture
    /// values of an agency), second-hand; results computed by hand, no cooling
    /// and no crew time: a plant for water from regolith, one for carbon
    /// dioxide from the atmosphere.
    #[test]
    fn two_published_plants() {
        let surface = setting("planetary surface, 2015");
        let water = equivalent_mass_kg(
            surface,
            [1400.0, 1400.0 * 9.92 / 413.14, 45.0, 0.0, 0.0],
            0.0,
        );
        assert!((water - 5622.92).abs() < 5e-3, "{water}");
        assert!((water / 43_070.0 - 0.130_553).abs() < 5e-7);
        let dioxide = equivalent_mass_kg(surface, [492.12, 0.66, 17.863, 0.0, 0.0], 0.0);
        assert!((dioxide - 2052.247).abs() < 5e-4, "{dioxide}");
        assert!((dioxide / 35_192.0 - 0.058_316).abs() < 5e-7);
    }

    #[test]
    fn every_setting_is_whole_and_marked() {
        for setting in equivalents_settings() {
            let lists = [
                &setting.volume_kg_per_m3,
                &setting.power_kg_per_kw,
                &setting.cooling_kg_per_kw,
            ];
            assert!(
                lists.iter().all(|list| !list.is_empty()),
                "{}",
                setting.name
            );
            let factors = lists
                .into_iter()
                .chain([&setting.crew_time_kg_per_h])
                .flatten();
            assert!(
                factors
                    .into_iter()
                    .all(|factor| factor.value > 0.0 && !factor.case.is_empty())
            );
            assert!(
                setting.citation.document.starts_with("NASA/"),
                "{}",
                setting.name
            );
        }
        let names: std::collections::BTreeSet<_> =
            equivalents_settings().iter().map(|s| &s.name).collect();
        assert_eq!(names.len(), equivalents_settings().len(), "a name twice");
        assert_eq!(setting("lunar outpost, 2004").citation.mark, Mark::Memory);
        assert!(
            setting("lunar outpost, 2004")
                .citation
                .to_string()
                .ends_with("from memory")
        );
    }
}
