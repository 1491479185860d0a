//! The substances a design may use: built in, and declared.

mod error;
mod family;
pub mod names;

pub use error::SubstanceError;
pub use family::Family;

use super::contents::Contents;
use super::crew::CrewProfile;
use crate::diagnostic::Place;
use crate::physics::Formula;
use indexmap::IndexMap;

/// The pure built-in substances and their formulas.
const PURE: [(&str, &str); 7] = [
    (names::WATER, "H2O"),
    (names::OXYGEN, "O2"),
    (names::NITROGEN, "N2"),
    (names::HYDROGEN, "H2"),
    (names::CARBON_DIOXIDE, "CO2"),
    (names::METHANE, "CH4"),
    (names::CARBON, "C"),
];

/// The built-in grades of water: what they carry is too little to weigh.
const GRADES: [&str; 6] = [
    names::HUMIDITY,
    names::CONDENSATE,
    names::POTABLE_WATER,
    names::HYGIENE_WATER,
    names::FLUSH_WATER,
    names::GREY_WATER,
];

/// Solids of a profile substance, as an opaque part.
const URINE_SOLIDS: &str = "urine solids";
const FAECAL_SOLIDS: &str = "faecal solids";

/// Mixture fractions may miss 1, and a repeated declaration may differ, by this.
const AGREES: f64 = 1e-6;

/// A substance of a [`Substances`] table; ids count up in order of declaration.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct SubstanceId(pub usize);

/// What a substance is said to be made of.
#[derive(Clone, PartialEq, Debug)]
pub enum Makeup {
    /// A chemical compound or element.
    Pure(Formula),
    /// Mass fractions of other substances; they sum to 1.
    Mixture(Vec<(SubstanceId, f64)>),
    /// As the crew profile has it.
    Profile,
    /// Not stated: may be anything.
    Opaque,
}

#[derive(Clone, Debug)]
struct Substance {
    makeup: Makeup,
    contents: Contents,
    water_fraction: f64,
    place: Option<Place>,
}

/// All substances of a design.
#[derive(Clone, Debug)]
pub struct Substances {
    entries: IndexMap<String, Substance>,
}

impl Substances {
    /// The built-in substances; food, urine, faeces and skin solids are those
    /// of the profile.
    ///
    /// ```
    /// use loopwright::catalogue::{Substances, crew_profile};
    /// let substances = Substances::builtin(crew_profile("2022").unwrap());
    /// let urine = substances.find("urine").unwrap();
    /// assert!((substances.water_fraction(urine) - 0.9588).abs() < 5e-5);
    /// ```
    #[must_use]
    pub fn builtin(profile: &CrewProfile) -> Self {
        let mut table = Self {
            entries: IndexMap::new(),
        };
        for (name, formula) in PURE {
            if let Ok(formula) = Formula::parse(formula) {
                let contents = Contents::of_formula(&formula);
                let water_fraction = if name == names::WATER { 1.0 } else { 0.0 };
                table.add(name, Makeup::Pure(formula), contents, water_fraction, None);
            }
        }
        let contents_of = |table: &Self, name| {
            table
                .find(name)
                .map(|id| table.contents(id).clone())
                .unwrap_or_default()
        };
        let water = contents_of(&table, names::WATER);
        let oxygen = contents_of(&table, names::OXYGEN);
        let carbon_dioxide = contents_of(&table, names::CARBON_DIOXIDE);
        if let Some(id) = table.find(names::CARBON_DIOXIDE) {
            let makeup = Makeup::Mixture(vec![(id, 1.0)]);
            let name = names::CONCENTRATED_CARBON_DIOXIDE;
            table.add(name, makeup, carbon_dioxide.clone(), 0.0, None);
        }
        if let Some(id) = table.find(names::WATER) {
            for name in GRADES {
                table.add(
                    name,
                    Makeup::Mixture(vec![(id, 1.0)]),
                    water.clone(),
                    1.0,
                    None,
                );
            }
        }

        let rates = &profile.published;
        let [urine, faecal, skin] =
            [URINE_SOLIDS, FAECAL_SOLIDS, names::SKIN_SOLIDS].map(Contents::of_opaque);
        // Food burns to carbon dioxide and water with the oxygen breathed in;
        // the solids pass through.
        let food = [
            (rates.food_water + rates.water_of_burning(), &water),
            (rates.carbon_dioxide, &carbon_dioxide),
            (-rates.oxygen, &oxygen),
            (rates.urine_solids, &urine),
            (rates.faecal_solids, &faecal),
            (rates.skin_solids, &skin),
        ];
        table.add_profile(names::FOOD, &food, rates.food_water);
        table.add_profile(
            names::URINE,
            &[(rates.urine_water, &water), (rates.urine_solids, &urine)],
            rates.urine_water,
        );
        table.add_profile(
            names::FAECES,
            &[(rates.faecal_water, &water), (rates.faecal_solids, &faecal)],
            rates.faecal_water,
        );
        table.add_profile(names::SKIN_SOLIDS, &[(rates.skin_solids, &skin)], 0.0);
        table
    }

    /// Declares a substance. A name that is already known keeps its id, and
    /// what is declared must agree with what is known. Mixture fractions that
    /// miss 1 by no more than 1e-6 are rescaled.
    ///
    /// # Errors
    /// See [`SubstanceError`].
    pub fn declare(
        &mut self,
        name: &str,
        makeup: Makeup,
        place: Place,
    ) -> Result<SubstanceId, SubstanceError> {
        let (makeup, contents, water_fraction) = match makeup {
            Makeup::Pure(formula) => {
                let contents = Contents::of_formula(&formula);
                let is_water = self.of_formula(&formula) == self.find(names::WATER);
                (
                    Makeup::Pure(formula),
                    contents,
                    if is_water { 1.0 } else { 0.0 },
                )
            }
            Makeup::Mixture(parts) => {
                let parts = self.rescaled(name, parts)?;
                let contents =
                    Contents::sum(parts.iter().map(|(id, share)| (*share, self.contents(*id))));
                let water = parts
                    .iter()
                    .map(|(id, share)| share * self.water_fraction(*id))
                    .sum();
                (Makeup::Mixture(parts), contents, water)
            }
            // A profile substance is what the table already knows it to be.
            Makeup::Profile => match self.find(name) {
                Some(id) => return Ok(id),
                None => {
                    return Err(SubstanceError::NotOfProfile {
                        name: name.to_owned(),
                    });
                }
            },
            Makeup::Opaque => (Makeup::Opaque, Contents::unstated(), 0.0),
        };
        match self.entries.get(name) {
            None => Ok(self.add(name, makeup, contents, water_fraction, Some(place))),
            Some(known) if known.contents.distance(&contents) > AGREES => {
                Err(SubstanceError::Disagrees {
                    name: name.to_owned(),
                    declared: contents.to_string(),
                    known: known.contents.to_string(),
                    earlier: known.place,
                })
            }
            Some(_) => Ok(SubstanceId(
                self.entries.get_index_of(name).unwrap_or_default(),
            )),
        }
    }

    /// The substance of a name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<SubstanceId> {
        self.entries.get_index_of(name).map(SubstanceId)
    }

    /// The first substance declared as pure and of this formula, so the
    /// built-in one if there is one.
    #[must_use]
    pub fn of_formula(&self, formula: &Formula) -> Option<SubstanceId> {
        self.entries
            .values()
            .position(|known| matches!(&known.makeup, Makeup::Pure(other) if other == formula))
            .map(SubstanceId)
    }

    /// Ids in order of declaration, the built-in ones first.
    pub fn ids(&self) -> impl Iterator<Item = SubstanceId> + use<> {
        (0..self.entries.len()).map(SubstanceId)
    }

    /// Names in order of declaration, the built-in ones first.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.entries.keys().map(String::as_str)
    }

    /// The name of a substance of this table.
    #[must_use]
    pub fn name(&self, id: SubstanceId) -> &str {
        self.entries.get_index(id.0).map_or("", |(name, _)| name)
    }

    /// What it is said to be made of.
    #[must_use]
    pub fn makeup(&self, id: SubstanceId) -> &Makeup {
        &self.entries[id.0].makeup
    }

    /// What one kilogram of it holds.
    #[must_use]
    pub fn contents(&self, id: SubstanceId) -> &Contents {
        &self.entries[id.0].contents
    }

    /// Where it was declared; `None` if it is built in.
    #[must_use]
    pub fn place(&self, id: SubstanceId) -> Option<Place> {
        self.entries[id.0].place
    }

    /// Whether some of it may be anything.
    #[must_use]
    pub fn is_opaque(&self, id: SubstanceId) -> bool {
        self.contents(id).unstated > 0.0
    }

    /// Whether it is a grade of water: water and nothing else.
    #[must_use]
    pub fn is_water_alone(&self, id: SubstanceId) -> bool {
        self.water_fraction(id) > 1.0 - AGREES
    }

    /// Molar mass, g/mol, of a mixture the mean `1 / Σ (fraction / M)`; none where some
    /// part has no formula.
    ///
    /// ```
    /// use loopwright::catalogue::{Substances, crew_profile};
    /// let substances = Substances::builtin(crew_profile("2022").unwrap());
    /// let nitrogen = substances.find("nitrogen").unwrap();
    /// assert_eq!(substances.molar_mass_g_per_mol(nitrogen), Some(28.014));
    /// ```
    #[must_use]
    pub fn molar_mass_g_per_mol(&self, id: SubstanceId) -> Option<f64> {
        match &self.entries[id.0].makeup {
            Makeup::Pure(formula) => Some(formula.molar_mass_g_per_mol()),
            Makeup::Mixture(parts) => {
                let mut moles = 0.0;
                for &(part, fraction) in parts {
                    moles += fraction / self.molar_mass_g_per_mol(part)?;
                }
                (moles > 0.0).then(|| 1.0 / moles)
            }
            Makeup::Profile | Makeup::Opaque => None,
        }
    }

    /// Water as such that it holds, kg/kg; what is not stated counts as none.
    #[must_use]
    pub fn water_fraction(&self, id: SubstanceId) -> f64 {
        self.entries[id.0].water_fraction
    }

    fn add(
        &mut self,
        name: &str,
        makeup: Makeup,
        contents: Contents,
        water_fraction: f64,
        place: Option<Place>,
    ) -> SubstanceId {
        let substance = Substance {
            makeup,
            contents,
            water_fraction,
            place,
        };
        SubstanceId(self.entries.insert_full(name.to_owned(), substance).0)
    }

    /// Adds a profile substance from its daily parts, kg.
    fn add_profile(&mut self, name: &str, parts: &[(f64, &Contents)], water_kg: f64) {
        let whole = parts.iter().map(|(kg, _)| kg).sum::<f64>();
        let contents = Contents::sum(parts.iter().map(|(kg, part)| (kg / whole, *part)));
        self.add(name, Makeup::Profile, contents, water_kg / whole, None);
    }

    fn rescaled(
        &self,
        name: &str,
        parts: Vec<(SubstanceId, f64)>,
    ) -> Result<Vec<(SubstanceId, f64)>, SubstanceError> {
        for (part, value) in &parts {
            if !(*value > 0.0 && *value <= 1.0 + AGREES) {
                let part = self.name(*part).to_owned();
                return Err(SubstanceError::Fraction {
                    name: name.to_owned(),
                    part,
                    value: *value,
                });
            }
        }
        let sum = parts.iter().map(|(_, share)| share).sum::<f64>();
        if (sum - 1.0).abs() > AGREES {
            return Err(SubstanceError::Sum {
                name: name.to_owned(),
                sum,
            });
        }
        Ok(parts
            .into_iter()
            .map(|(id, share)| (id, share / sum))
            .collect())
    }
}

#[cfg(test)]
mod tests;
