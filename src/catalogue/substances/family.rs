//! Families of substances: what pictures tell apart at a glance.

use super::{Makeup, SubstanceId, Substances, names};
use crate::physics::Formula;

/// A family of substances.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Water alone, of any grade but used water; as vapour too.
    Water,
    /// Used water, urine, brine: at least half water.
    WasteWater,
    /// Oxygen.
    Oxygen,
    /// Carbon dioxide and other gases.
    Gas,
    /// Hydrogen.
    Hydrogen,
    /// Food, solids and whatever else has a stated makeup.
    Solids,
    /// What the design does not say the makeup of.
    Unstated,
}

/// Compounds that are gases in a cabin (25 °C, 1 atm; from memory of the normal boiling points
/// in the CRC Handbook of Chemistry and Physics, all far below 0 °C).
const GASES: [&str; 14] = [
    "CO2", "N2", "CH4", "CO", "C2H2", "C2H4", "C2H6", "C3H8", "NH3", "N2O", "NO", "H2S", "He", "Ar",
];

/// More than this share makes a mixture one of its family.
const MOST: f64 = 0.5;

impl Family {
    /// All of them, in the order in which a key lists them.
    pub const ALL: [Family; 7] = [
        Family::Water,
        Family::WasteWater,
        Family::Oxygen,
        Family::Gas,
        Family::Hydrogen,
        Family::Solids,
        Family::Unstated,
    ];

    /// Its name in a key.
    pub fn words(self) -> &'static str {
        match self {
            Family::Water => "water",
            Family::WasteWater => "waste water and brine",
            Family::Oxygen => "oxygen",
            Family::Gas => "carbon dioxide and other gases",
            Family::Hydrogen => "hydrogen",
            Family::Solids => "food and solids",
            Family::Unstated => "makeup not stated",
        }
    }
}

impl Substances {
    /// The family of a substance, by its makeup: a mixture goes with what is most of it.
    ///
    /// ```
    /// use loopwright::catalogue::{Family, Substances, crew_profile};
    /// let substances = Substances::builtin(crew_profile("2022").unwrap());
    /// let family = |name| substances.family(substances.find(name).unwrap());
    /// assert_eq!(family("potable water"), Family::Water);
    /// assert_eq!(family("urine"), Family::WasteWater);
    /// assert_eq!(family("methane"), Family::Gas);
    /// assert_eq!(family("food"), Family::Solids);
    /// ```
    #[must_use]
    pub fn family(&self, id: SubstanceId) -> Family {
        match self.name(id) {
            names::GREY_WATER | names::URINE => return Family::WasteWater,
            _ if self.is_water_alone(id) => return Family::Water,
            _ if self.water_fraction(id) > MOST && self.place(id).is_some() => {
                return Family::WasteWater;
            }
            _ => {}
        }
        match self.makeup(id) {
            Makeup::Opaque => Family::Unstated,
            Makeup::Profile => Family::Solids,
            Makeup::Pure(formula) => of_formula(formula),
            Makeup::Mixture(parts) => {
                let share = |family: Family| -> f64 {
                    let parts = parts
                        .iter()
                        .filter(|(part, _)| self.family(*part) == family);
                    parts.map(|(_, share)| share).sum()
                };
                let main = Family::ALL.into_iter().find(|&family| share(family) > MOST);
                main.unwrap_or(match self.is_opaque(id) {
                    true => Family::Unstated,
                    false => Family::Solids,
                })
            }
        }
    }
}

fn of_formula(formula: &Formula) -> Family {
    let is = |text: &str| Formula::parse(text).is_ok_and(|other| other.atoms() == formula.atoms());
    if is("O2") {
        Family::Oxygen
    } else if is("H2") {
        Family::Hydrogen
    } else if GASES.into_iter().any(is) {
        Family::Gas
    } else {
        Family::Solids
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::crew_profile;
    use crate::diagnostic::Place;

    #[test]
    fn declared_substances_go_by_their_makeup() {
        let mut table = Substances::builtin(crew_profile("2022").unwrap());
        let [water, carbon, gas, oxygen] =
            ["water", "carbon", "carbon dioxide", "oxygen"].map(|name| table.find(name).unwrap());
        let place = Place::NOWHERE;
        let mut family = |name: &str, makeup| {
            let id = table.declare(name, makeup, place).unwrap();
            table.family(id)
        };
        let mixture = |parts: &[(SubstanceId, f64)]| Makeup::Mixture(parts.to_vec());
        assert_eq!(
            family("distillate", mixture(&[(water, 1.0)])),
            Family::Water
        );
        let brine = mixture(&[(water, 0.7), (carbon, 0.3)]);
        assert_eq!(family("brine", brine), Family::WasteWater);
        let cake = mixture(&[(water, 0.3), (carbon, 0.7)]);
        assert_eq!(family("cake", cake), Family::Solids);
        assert_eq!(
            family("off-gas", mixture(&[(gas, 0.9), (oxygen, 0.1)])),
            Family::Gas
        );
        assert_eq!(family("residue", Makeup::Opaque), Family::Unstated);
        let acetylene = Makeup::Pure(Formula::parse("C2H2").unwrap());
        assert_eq!(family("acetylene", acetylene), Family::Gas);
    }

    #[test]
    fn what_is_built_in_has_the_family_one_expects() {
        let table = Substances::builtin(crew_profile("2022").unwrap());
        let of = |name: &str| table.family(table.find(name).unwrap());
        for name in [
            names::WATER,
            names::HUMIDITY,
            names::CONDENSATE,
            names::FLUSH_WATER,
        ] {
            assert_eq!(of(name), Family::Water, "{name}");
        }
        for name in [
            names::NITROGEN,
            names::CARBON_DIOXIDE,
            names::CONCENTRATED_CARBON_DIOXIDE,
        ] {
            assert_eq!(of(name), Family::Gas, "{name}");
        }
        for name in [names::FAECES, names::SKIN_SOLIDS, names::CARBON] {
            assert_eq!(of(name), Family::Solids, "{name}");
        }
        assert_eq!(of(names::GREY_WATER), Family::WasteWater);
        assert_eq!(of(names::OXYGEN), Family::Oxygen);
        assert_eq!(of(names::HYDROGEN), Family::Hydrogen);
    }
}
