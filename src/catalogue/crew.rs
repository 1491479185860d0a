//! Published crew profiles: what one person takes in and gives off in a day.

use super::citation::Citation;
use super::substances::names;
use serde::Deserialize;
use std::sync::LazyLock;

/// The profile taken where a design names none.
pub const DEFAULT_PROFILE: &str = "2022";

/// A published balance that misses closure by more than this is said to be
/// rescaled, kg per person and day: half of the last printed digit.
const CLOSES_KG: f64 = 5e-4;

/// A published edition of daily crew rates.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrewProfile {
    /// The name a design uses: the year of the edition.
    pub name: String,
    /// The document.
    pub citation: Citation,
    /// The rates as published; [`CrewProfile::takes`] and
    /// [`CrewProfile::gives`] close to the last bit, these may not.
    pub published: PublishedRates,
    /// Water made in the body as published, kg per person and day.
    pub metabolic_water: f64,
    /// Heat given off, W per person, latent heat of the vapour included.
    pub metabolic_heat_w: Option<f64>,
    /// What a reader must know about the edition.
    note: Option<String>,
}

/// Published rates, kg per person and day.
#[derive(Clone, Copy, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PublishedRates {
    /// Oxygen used.
    pub oxygen: f64,
    /// Dry food.
    pub food_solids: f64,
    /// Water in food.
    pub food_water: f64,
    /// Water to drink and to prepare food.
    pub potable_water: f64,
    /// Carbon dioxide given off.
    pub carbon_dioxide: f64,
    /// Respiration and perspiration water.
    pub vapour: f64,
    /// Water in urine.
    pub urine_water: f64,
    /// Solids in urine.
    pub urine_solids: f64,
    /// Water in faeces.
    pub faecal_water: f64,
    /// Solids in faeces.
    pub faecal_solids: f64,
    /// Sweat and other skin solids.
    pub skin_solids: f64,
}

impl PublishedRates {
    /// All taken in less all given off, kg per person and day.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let taken = self.oxygen + self.food_solids + self.food_water + self.potable_water;
        let given = self.carbon_dioxide + self.water_given() + self.solids_given();
        taken - given
    }

    fn water_given(&self) -> f64 {
        self.vapour + self.urine_water + self.faecal_water
    }

    /// Food that leaves unburnt, kg per person and day.
    fn solids_given(&self) -> f64 {
        self.urine_solids + self.faecal_solids + self.skin_solids
    }

    /// Water made by burning food: what closes the dry side,
    /// food solids + oxygen = carbon dioxide + metabolic water + solids.
    pub(super) fn water_of_burning(&self) -> f64 {
        self.food_solids + self.oxygen - self.carbon_dioxide - self.solids_given()
    }
}

impl CrewProfile {
    /// What one person takes, kg/d, by built-in substance.
    ///
    /// Potable water is what closes the water side, so that an edition which
    /// misses closure is rescaled on it; [`CrewProfile::notes`] says so.
    ///
    /// ```
    /// use loopwright::catalogue::crew_profile;
    /// let profile = crew_profile("2022").unwrap();
    /// let (takes, gives) = (profile.takes(), profile.gives());
    /// assert_eq!(takes[0], ("oxygen", 0.895));
    /// let sum = |rates: &[(&str, f64)]| rates.iter().map(|(_, kg)| kg).sum::<f64>();
    /// assert!((sum(&takes) - 5.672).abs() < 1e-12 && (sum(&gives) - 5.672).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn takes(&self) -> Vec<(&'static str, f64)> {
        let rates = &self.published;
        vec![
            (names::OXYGEN, rates.oxygen),
            (names::FOOD, rates.food_solids + rates.food_water),
            (names::POTABLE_WATER, rates.potable_water - rates.residual()),
        ]
    }

    /// What one person gives off, kg/d, by built-in substance.
    #[must_use]
    pub fn gives(&self) -> Vec<(&'static str, f64)> {
        let rates = &self.published;
        vec![
            (names::CARBON_DIOXIDE, rates.carbon_dioxide),
            (names::HUMIDITY, rates.vapour),
            (names::URINE, rates.urine_water + rates.urine_solids),
            (names::FAECES, rates.faecal_water + rates.faecal_solids),
            (names::SKIN_SOLIDS, rates.skin_solids),
        ]
    }

    /// What a reader of results must know: rescaling, and how the edition
    /// counts its water.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let residual = self.published.residual();
        let rescaled = (residual.abs() > CLOSES_KG).then(|| {
            format!(
                "the published balance misses closure by {residual:+.3} kg per person and day; \
                 potable water is taken as {:.3} instead of {:.3}",
                self.published.potable_water - residual,
                self.published.potable_water,
            )
        });
        rescaled.into_iter().chain(self.note.clone()).collect()
    }
}

/// All profiles, the default one first.
#[must_use]
pub fn crew_profiles() -> &'static [CrewProfile] {
    static PROFILES: LazyLock<Vec<CrewProfile>> =
        LazyLock::new(|| super::embedded(include_str!("crew.ron")));
    &PROFILES
}

/// The profile of a name.
#[must_use]
pub fn crew_profile(name: &str) -> Option<&'static CrewProfile> {
    crew_profiles().iter().find(|profile| profile.name == name)
}

#[cfg(test)]
mod tests;
