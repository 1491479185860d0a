//! Liquid water near atmospheric pressure.
//!
//! Source of all three: IAPWS SR6-08(2011), supplementary release on properties
//! of liquid water at 0.1 MPa, coefficients as the iapws 1.5.5 library has them.
//! Against IAPWS-95 at 101 325 Pa they are within 5e-6 (density), 1e-4 (heat
//! capacity) and 1e-3 (viscosity) from 0 to 95 °C.

use super::ZERO_CELSIUS_K;
use super::range::{OutOfRange, within};

/// Temperatures in °C between which these properties hold.
pub const RANGE_C: (f64, f64) = (0.0, 100.0);

/// Specific gas constant of the source, J/(kg·K).
const GAS_CONSTANT: f64 = 461.518_05;
/// Reduced temperatures are `10 K / (593 K - T)` and `10 K / (T - 232 K)`.
const REDUCING_K: f64 = 10.0;

/// A sum of `coefficient × x^power`.
fn series<const N: usize>(x: f64, terms: [(f64, i32); N]) -> f64 {
    terms
        .iter()
        .map(|(coefficient, power)| coefficient * x.powi(*power))
        .sum()
}

/// The temperature in K and its two reduced forms.
fn reduced(temperature_c: f64) -> Result<(f64, f64, f64), OutOfRange> {
    let kelvin = within(
        "water temperature in °C",
        temperature_c,
        RANGE_C.0,
        RANGE_C.1,
    )? + ZERO_CELSIUS_K;
    Ok((
        kelvin,
        REDUCING_K / (593.0 - kelvin),
        REDUCING_K / (kelvin - 232.0),
    ))
}

/// Density, kg/m³: `1 / (R · 10 K / 0.1 MPa · (a₅ + Σ aᵢ αⁿ + Σ bᵢ βᵐ))`.
///
/// # Errors
/// Outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::liquid_water::density_kg_per_m3;
/// // 998.20715 by IAPWS-95 at 101 325 Pa (iapws 1.5.5)
/// assert!((density_kg_per_m3(20.0).unwrap() - 998.207).abs() < 1e-3);
/// ```
pub fn density_kg_per_m3(temperature_c: f64) -> Result<f64, OutOfRange> {
    const PRESSURE_PA: f64 = 1e5;
    let (_, alpha, beta) = reduced(temperature_c)?;
    let hot = series(
        alpha,
        [
            (6.744_584_46e3, 4),
            (-2.225_216_04e5, 5),
            (1.002_312_47e8, 7),
            (-1.635_521_18e9, 8),
            (8.322_996_58e9, 9),
        ],
    );
    let cold = series(
        beta,
        [
            (5.785_452_92e-3, 1),
            (-1.531_956_65e-2, 2),
            (3.113_378_59e-2, 3),
            (-4.235_462_41e-2, 4),
            (3.387_135_07e-2, 5),
            (-1.199_467_61e-2, 6),
        ],
    );
    Ok(PRESSURE_PA / (GAS_CONSTANT * REDUCING_K * (1.937_631_57e-2 + hot + cold)))
}

/// Heat capacity at constant pressure, J/(kg·K):
/// `-R (c₃ + τ Σ n(n+1) aᵢ αⁿ⁺² + τ Σ m(m+1) bᵢ βᵐ⁺²)`, `τ = T / 10 K`.
///
/// # Errors
/// Outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::liquid_water::heat_capacity_j_per_kg_k;
/// // 4184.05 by IAPWS-95 at 101 325 Pa (iapws 1.5.5)
/// assert!((heat_capacity_j_per_kg_k(20.0).unwrap() - 4184.05).abs() < 0.5);
/// ```
pub fn heat_capacity_j_per_kg_k(temperature_c: f64) -> Result<f64, OutOfRange> {
    let (kelvin, alpha, beta) = reduced(temperature_c)?;
    // n(n+1) and m(m+1) written out.
    let hot = series(
        alpha,
        [
            (20.0 * -1.661_470_539e5, 6),
            (30.0 * 2.708_781_640e6, 7),
            (56.0 * -1.557_191_544e8, 9),
        ],
    );
    let cold = series(
        beta,
        [
            (6.0 * -8.237_426_256e-1, 4),
            (12.0 * 1.908_956_353, 5),
            (20.0 * -2.017_597_384, 6),
            (30.0 * 8.546_361_348e-1, 7),
        ],
    );
    Ok(-GAS_CONSTANT * (-8.983_025_854 + kelvin / REDUCING_K * (hot + cold)))
}

/// Heat to warm a volume of water, J: `ρ(from) V c (to − from)`, with the heat capacity
/// at the mean of both temperatures; below zero where it cools.
///
/// `volume_m3`: at the first temperature, m³.
///
/// # Errors
/// A temperature outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::liquid_water::heating_j;
/// // 0.2 L from 20 to 70 °C: 0.199641 kg · 4180.9 J/(kg·K) · 50 K
/// assert!((heating_j(2e-4, 20.0, 70.0).unwrap() - 41_734.0).abs() < 10.0);
/// ```
pub fn heating_j(volume_m3: f64, from_c: f64, to_c: f64) -> Result<f64, OutOfRange> {
    let mass = density_kg_per_m3(from_c)? * volume_m3;
    within("water temperature in °C", to_c, RANGE_C.0, RANGE_C.1)?;
    let heat_capacity = heat_capacity_j_per_kg_k(0.5 * (from_c + to_c))?;
    Ok(mass * heat_capacity * (to_c - from_c))
}

/// Dynamic viscosity, Pa·s: `1e-6 Σ aᵢ (T / 300 K)^bᵢ`.
///
/// # Errors
/// Outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::liquid_water::viscosity_pa_s;
/// // 1.00160e-3 (CoolProp 8.0.0)
/// assert!((viscosity_pa_s(20.0).unwrap() - 1.0016e-3).abs() < 1e-6);
/// ```
pub fn viscosity_pa_s(temperature_c: f64) -> Result<f64, OutOfRange> {
    const TERMS: [(f64, f64); 4] = [
        (280.68, -1.9),
        (511.45, -7.7),
        (61.131, -19.6),
        (0.459_03, -40.0),
    ];
    let (kelvin, _, _) = reduced(temperature_c)?;
    Ok(TERMS
        .iter()
        .map(|(coefficient, power)| coefficient * (kelvin / 300.0).powf(*power))
        .sum::<f64>()
        * 1e-6)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// °C, kg/m³, mPa·s, kJ/(kg·K) at 101 325 Pa: density and heat capacity
    /// computed with iapws 1.5.5 (IAPWS-95), viscosity with CoolProp 8.0.0;
    /// the last two rows with iapws 1.5.5 alone.
    const WATER: [(f64, f64, f64, f64); 10] = [
        (5.0, 999.966_63, 1.518_17, 4.205_04),
        (10.0, 999.702_47, 1.305_90, 4.195_16),
        (15.0, 999.102_62, 1.137_57, 4.188_46),
        (20.0, 998.207_15, 1.001_60, 4.184_05),
        (25.0, 997.047_64, 0.890_02, 4.181_31),
        (30.0, 995.649_45, 0.797_22, 4.179_82),
        (35.0, 994.033_31, 0.719_13, 4.179_26),
        (40.0, 992.216_35, 0.652_73, 4.179_41),
        (60.0, 983.195_82, 0.466_035, 4.184_95),
        (95.0, 961.887_92, 0.297_085, 4.210_17),
    ];

    #[test]
    fn properties_agree_with_a_property_library() {
        for (celsius, density, viscosity, heat_capacity) in WATER {
            let off = density_kg_per_m3(celsius).expect("in range") / density - 1.0;
            assert!(off.abs() < 5e-6, "density at {celsius} °C: {off}");
            let off = viscosity_pa_s(celsius).expect("in range") / (viscosity * 1e-3) - 1.0;
            assert!(off.abs() < 1e-3, "viscosity at {celsius} °C: {off}");
            let off =
                heat_capacity_j_per_kg_k(celsius).expect("in range") / (heat_capacity * 1e3) - 1.0;
            assert!(off.abs() < 1e-4, "heat capacity at {celsius} °C: {off}");
        }
    }

    /// By the trapezoid rule over the whole way in steps of a degree.
    #[test]
    fn one_heat_capacity_stands_for_the_whole_way() {
        for (from, to) in [(5, 95), (20, 80), (60, 20)] {
            let steps = i32::abs(to - from);
            let step = f64::from(to - from) / f64::from(steps);
            let at = |index: i32| {
                heat_capacity_j_per_kg_k(f64::from(from) + step * f64::from(index))
                    .expect("in range")
            };
            let heats = (0..steps).map(|index| 0.5 * (at(index) + at(index + 1)) * step);
            let mass = density_kg_per_m3(f64::from(from)).expect("in range") * 1e-3;
            let wanted: f64 = mass * heats.sum::<f64>();
            let found = heating_j(1e-3, from.into(), to.into()).expect("in range");
            assert!(
                (found / wanted - 1.0).abs() < 2e-3,
                "{from} to {to}: {found} {wanted}"
            );
        }
        assert!(heating_j(1e-3, 20.0, 120.0).is_err());
    }

    #[test]
    fn ice_and_steam_are_refused() {
        for celsius in [-1.0, 101.0, f64::NAN] {
            assert!(density_kg_per_m3(celsius).is_err());
            assert!(viscosity_pa_s(celsius).is_err());
            assert!(heat_capacity_j_per_kg_k(celsius).is_err());
        }
    }
}
