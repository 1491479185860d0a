//! Splitting water: 2 H2O → 2 H2 + O2, two electrons per molecule of water.

/// Faraday constant, C/mol: the exact product of elementary charge and
/// Avogadro constant (SI Brochure, 9th edition, 2019).
pub const FARADAY_C_PER_MOL: f64 = 96_485.332_12;

/// Enthalpy of formation of liquid water at 298.15 K, J/mol, negative.
///
/// Source: Active Thermochemical Tables, as the chemicals 1.5.2 library gives
/// it; the JANAF tables have -285 830.
pub const FORMATION_ENTHALPY_WATER_J_PER_MOL: f64 = -285_825.0;

/// Electrons that pass per molecule of water.
const ELECTRONS: f64 = 2.0;

/// Molar mass of water, g/mol, from the abridged standard atomic weights.
pub const MOLAR_MASS_WATER_G_PER_MOL: f64 = 2.0 * 1.008 + 15.999;

/// Cell voltage at which all electric energy is stored as chemical energy, V:
/// `-ΔfH / (2 F)`.
///
/// ```
/// use loopwright::physics::electrolysis::THERMONEUTRAL_VOLTAGE_V;
/// assert!((THERMONEUTRAL_VOLTAGE_V - 1.48118).abs() < 5e-6);
/// ```
pub const THERMONEUTRAL_VOLTAGE_V: f64 =
    -FORMATION_ENTHALPY_WATER_J_PER_MOL / (ELECTRONS * FARADAY_C_PER_MOL);

/// Electric energy to split a kilogram of water, kWh/kg: `2 F V / M`, every
/// electron splitting water (current efficiency 1).
///
/// `cell_voltage_v`: V, in practice 1.3 to 2.5.
///
/// ```
/// use loopwright::physics::electrolysis::kwh_per_kg_water;
/// // 4.4067 at 1.481 V, computed with the Faraday constant of scipy 1.17.1
/// assert!((kwh_per_kg_water(1.481) - 4.4067).abs() < 5e-5);
/// ```
#[must_use]
pub fn kwh_per_kg_water(cell_voltage_v: f64) -> f64 {
    const JOULES_PER_KWH: f64 = 3.6e6;
    ELECTRONS * FARADAY_C_PER_MOL * cell_voltage_v
        / (MOLAR_MASS_WATER_G_PER_MOL / 1000.0)
        / JOULES_PER_KWH
}

/// Power that ends up in hydrogen and oxygen, W, at a rate of water in kg/d:
/// the enthalpy of splitting, whatever the cell voltage.
///
/// ```
/// use loopwright::physics::electrolysis::stored_w;
/// // 206.747 W per kg/d of oxygen at 1.481 V; 1.126008 kg of water give 1 kg of oxygen
/// assert!((stored_w(1.126008) - 206.77).abs() < 0.01);
/// ```
#[must_use]
pub fn stored_w(water_kg_per_day: f64) -> f64 {
    cell_power_w(THERMONEUTRAL_VOLTAGE_V, water_kg_per_day)
}

/// Electric power of the cells, W, at a rate of water in kg/d.
///
/// ```
/// use loopwright::physics::electrolysis::cell_power_w;
/// assert!((cell_power_w(1.85, 1.126008) - 258.260).abs() < 5e-4);
/// ```
#[must_use]
pub fn cell_power_w(cell_voltage_v: f64, water_kg_per_day: f64) -> f64 {
    const HOURS_PER_DAY: f64 = 24.0;
    kwh_per_kg_water(cell_voltage_v) * 1000.0 / HOURS_PER_DAY * water_kg_per_day
}

/// Current through one cell, A, at a rate of water in kg/d: `2 F ṁ / M`. Cells in series
/// share it: with `n` of them each takes the `n`-th part of the water.
///
/// ```
/// use loopwright::physics::electrolysis::cell_current_a;
/// // 139.5998 A per kg/d of oxygen (Faraday constant of scipy 1.17.1)
/// assert!((cell_current_a(1.126008) - 139.5998).abs() < 2e-4);
/// ```
#[must_use]
pub fn cell_current_a(water_kg_per_day: f64) -> f64 {
    cell_power_w(1.0, water_kg_per_day)
}

/// Cell voltage, V, that needs so much energy per kilogram of water, kWh/kg: the
/// inverse of [`kwh_per_kg_water`].
///
/// ```
/// use loopwright::physics::electrolysis::voltage_of;
/// assert!((voltage_of(5.5046) - 1.85).abs() < 2e-5);
/// ```
#[must_use]
pub fn voltage_of(kwh_per_kg: f64) -> f64 {
    kwh_per_kg / kwh_per_kg_water(1.0)
}

/// Heat of the cells to the coolant, W, at a rate of water in kg/d: cell power
/// less what is stored. Below 1.481 V the cells draw heat and it is negative.
///
/// ```
/// use loopwright::physics::electrolysis::cell_heat_w;
/// assert!((cell_heat_w(1.85, 1.126008) - 51.49).abs() < 0.01);
/// ```
#[must_use]
pub fn cell_heat_w(cell_voltage_v: f64, water_kg_per_day: f64) -> f64 {
    cell_power_w(cell_voltage_v, water_kg_per_day) - stored_w(water_kg_per_day)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::Reaction;

    /// Cell voltage against kWh per kg of hydrogen, oxygen and water, and W per
    /// kg/d of oxygen: computed with scipy 1.17.1 (Faraday constant) and
    /// periodictable 2.1.0 (molar masses). 1.229 V, the reversible voltage, is
    /// from memory.
    const ENERGY: [(f64, f64, f64, f64, f64); 6] = [
        (1.229, 32.6776, 4.1176, 3.6568, 171.568),
        (1.481, 39.3780, 4.9619, 4.4067, 206.747),
        (1.70, 45.2009, 5.6957, 5.0583, 237.320),
        (1.80, 47.8598, 6.0307, 5.3558, 251.280),
        (1.85, 49.1892, 6.1982, 5.5046, 258.260),
        (2.00, 53.1775, 6.7008, 5.9509, 279.200),
    ];

    #[test]
    fn energy_follows_the_cell_voltage() {
        let splitting = Reaction::parse("2 H2O -> 2 H2 + O2").expect("splitting");
        let [hydrogen, oxygen] = [0, 1].map(|at| splitting.products[at].kg_per_kg);
        for (volts, per_hydrogen, per_oxygen, per_water, watts) in ENERGY {
            let energy = kwh_per_kg_water(volts);
            assert!(
                (energy / hydrogen - per_hydrogen).abs() < 6e-5,
                "{volts} V, hydrogen: {}",
                energy / hydrogen
            );
            assert!(
                (energy / oxygen - per_oxygen).abs() < 6e-5,
                "{volts} V, oxygen: {}",
                energy / oxygen
            );
            assert!(
                (energy - per_water).abs() < 6e-5,
                "{volts} V, water: {energy}"
            );
            assert!(
                (cell_power_w(volts, 1.0 / oxygen) - watts).abs() < 6e-4,
                "{volts} V"
            );
        }
    }

    /// Computed with scipy 1.17.1: 3350.3945 A·h per kg of oxygen, 139.5998 A
    /// per kg/d of oxygen in one cell.
    #[test]
    fn power_over_voltage_is_the_charge() {
        let water_per_oxygen = 2.0 * MOLAR_MASS_WATER_G_PER_MOL / (2.0 * 15.999);
        assert!((kwh_per_kg_water(1.0) * 1000.0 * water_per_oxygen - 3350.3945).abs() < 5e-5);
        assert!((cell_power_w(1.0, water_per_oxygen) - 139.5998).abs() < 5e-5);
    }

    /// (V - 1.481)/V of the cell power, 51.51 W per kg/d of oxygen at 1.85 V,
    /// computed with the voltage rounded to 1.481: within 0.1 %.
    #[test]
    fn what_is_not_stored_is_heat() {
        let water_per_oxygen = 1.126_008;
        assert!((cell_heat_w(1.85, water_per_oxygen) / 51.51 - 1.0).abs() < 1e-3);
        assert_eq!(cell_heat_w(THERMONEUTRAL_VOLTAGE_V, 3.0), 0.0);
        assert!(cell_heat_w(1.3, 1.0) < 0.0);
    }

    /// Elementary charge, Boltzmann and Avogadro constants as the SI fixes them.
    #[test]
    fn constants_are_products_of_exact_ones() {
        let avogadro = 6.022_140_76e23;
        assert!((FARADAY_C_PER_MOL / (1.602_176_634e-19 * avogadro) - 1.0).abs() < 1e-10);
        let gas_constant = crate::physics::GAS_CONSTANT_J_PER_MOL_K;
        assert!((gas_constant / (1.380_649e-23 * avogadro) - 1.0).abs() < 1e-14);
    }

    #[test]
    fn the_molar_mass_is_that_of_the_table() {
        let water = crate::physics::Formula::parse("H2O").expect("water");
        assert!((water.molar_mass_g_per_mol() - MOLAR_MASS_WATER_G_PER_MOL).abs() < 1e-12);
    }

    /// JANAF's enthalpy, second source, differs by 2e-5.
    #[test]
    fn the_thermoneutral_voltage_agrees_between_data_sets() {
        let janaf = 285_830.0 / (2.0 * FARADAY_C_PER_MOL);
        assert!((THERMONEUTRAL_VOLTAGE_V - janaf).abs() < 5e-5);
    }
}
