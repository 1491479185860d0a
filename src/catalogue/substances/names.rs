//! Names of the built-in substances.

/// Pure water.
pub const WATER: &str = "water";
/// Oxygen gas.
pub const OXYGEN: &str = "oxygen";
/// Nitrogen gas.
pub const NITROGEN: &str = "nitrogen";
/// Hydrogen gas.
pub const HYDROGEN: &str = "hydrogen";
/// Carbon dioxide.
pub const CARBON_DIOXIDE: &str = "carbon dioxide";
/// Methane.
pub const METHANE: &str = "methane";
/// Carbon dioxide alone, taken out of cabin air.
pub const CONCENTRATED_CARBON_DIOXIDE: &str = "concentrated carbon dioxide";
/// Solid carbon.
pub const CARBON: &str = "carbon";
/// Water vapour in cabin air.
pub const HUMIDITY: &str = "humidity";
/// Water condensed from cabin air.
pub const CONDENSATE: &str = "condensate";
/// Water fit to drink.
pub const POTABLE_WATER: &str = "potable water";
/// Water for washing.
pub const HYGIENE_WATER: &str = "hygiene water";
/// Water that flushes urine.
pub const FLUSH_WATER: &str = "flush water";
/// Used washing water.
pub const GREY_WATER: &str = "grey water";
/// Food as eaten, its water included.
pub const FOOD: &str = "food";
/// Urine: water and solids.
pub const URINE: &str = "urine";
/// Faeces: water and solids.
pub const FAECES: &str = "faeces";
/// Solids of sweat and skin.
pub const SKIN_SOLIDS: &str = "skin solids";
