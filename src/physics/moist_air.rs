//! Moist air as a mixture of ideal gases, and the water a cold coil takes out
//! of it.
//!
//! The ideal mixture holds 0.4 to 0.5 % less vapour at saturation than real
//! air does at one atmosphere.

use super::ZERO_CELSIUS_K;
use super::range::{OutOfRange, within};

/// Molar mass of water over that of dry air (ASHRAE Handbook – Fundamentals,
/// 2017, chapter 1, second-hand).
pub const WATER_TO_AIR: f64 = 0.621_945;

/// Gas constant of dry air, J/(kg·K) (same source).
pub const DRY_AIR_J_PER_KG_K: f64 = 287.042;

/// Critical point of water: K, Pa, kg/m³ (IAPWS SR1-86(1992), from memory).
const CRITICAL: (f64, f64, f64) = (647.096, 22.064e6, 322.0);

/// Air temperatures in °C between which the functions for moist air hold.
pub const AIR_RANGE_C: (f64, f64) = (0.0, 60.0);

/// Total pressures in Pa between which they hold.
pub const PRESSURE_RANGE_PA: (f64, f64) = (20_000.0, 200_000.0);

/// A sum of `coefficient × x^power`.
fn series<const N: usize>(x: f64, terms: [(f64, f64); N]) -> f64 {
    terms
        .iter()
        .map(|(coefficient, power)| coefficient * x.powf(*power))
        .sum()
}

/// Coefficients and powers of `τ` in the saturation pressure.
const SATURATION: [(f64, f64); 6] = [
    (-7.859_517_83, 1.0),
    (1.844_082_59, 1.5),
    (-11.786_649_7, 3.0),
    (22.680_741_1, 3.5),
    (-15.961_871_9, 4.0),
    (1.801_225_02, 7.5),
];

/// `p` and `dp/dT` of saturation, Pa and Pa/K, at a temperature in K.
fn saturation(kelvin: f64) -> (f64, f64) {
    let (critical_k, critical_pa, _) = CRITICAL;
    let tau = 1.0 - kelvin / critical_k;
    let log = critical_k / kelvin * series(tau, SATURATION);
    let pressure = critical_pa * log.exp();
    let slope = series(
        tau,
        SATURATION.map(|(coefficient, power)| (coefficient * power, power - 1.0)),
    );
    (pressure, -pressure / kelvin * (log + slope))
}

/// Saturation pressure of water vapour over liquid water, Pa:
/// `ln(p/p_c) = T_c/T · Σ aᵢ τ^nᵢ`, `τ = 1 - T/T_c`.
///
/// Source: IAPWS SR1-86(1992), equation 1 (Wagner and Pruß 1993), from memory;
/// checked against IAPWS-95.
///
/// # Errors
/// Outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::moist_air::saturation_pressure_pa;
/// // 2339.318 Pa by IAPWS-95 (iapws 1.5.5)
/// assert!((saturation_pressure_pa(20.0).unwrap() - 2339.3).abs() < 0.5);
/// ```
pub fn saturation_pressure_pa(temperature_c: f64) -> Result<f64, OutOfRange> {
    let celsius = within("temperature in °C", temperature_c, 0.0, 100.0)?;
    Ok(saturation(celsius + ZERO_CELSIUS_K).0)
}

/// Latent heat of vaporisation, J/kg: `T (1/ρ″ - 1/ρ′) dp/dT` (Clapeyron).
///
/// Source: densities and pressure of IAPWS SR1-86(1992), equations 1 to 3,
/// from memory; checked against IAPWS-95.
///
/// # Errors
/// Outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::moist_air::latent_heat_j_per_kg;
/// // 2477.187 kJ/kg by IAPWS-95 (iapws 1.5.5)
/// assert!((latent_heat_j_per_kg(10.0).unwrap() / 2_477_187.0 - 1.0).abs() < 5e-4);
/// ```
pub fn latent_heat_j_per_kg(temperature_c: f64) -> Result<f64, OutOfRange> {
    let kelvin = within("temperature in °C", temperature_c, 0.0, 100.0)? + ZERO_CELSIUS_K;
    let (critical_k, _, critical_density) = CRITICAL;
    let tau = 1.0 - kelvin / critical_k;
    let liquid = 1.0
        + series(
            tau,
            [
                (1.992_740_64, 1.0 / 3.0),
                (1.099_653_42, 2.0 / 3.0),
                (-0.510_839_303, 5.0 / 3.0),
                (-1.754_934_79, 16.0 / 3.0),
                (-45.517_035_2, 43.0 / 3.0),
                (-6.746_944_50e5, 110.0 / 3.0),
            ],
        );
    let vapour = series(
        tau,
        [
            (-2.031_502_40, 2.0 / 6.0),
            (-2.683_029_40, 4.0 / 6.0),
            (-5.386_264_92, 8.0 / 6.0),
            (-17.299_160_5, 18.0 / 6.0),
            (-44.758_658_1, 37.0 / 6.0),
            (-63.920_106_3, 71.0 / 6.0),
        ],
    )
    .exp();
    let (_, slope) = saturation(kelvin);
    Ok(kelvin * slope * (1.0 / vapour - 1.0 / liquid) / critical_density)
}

/// Latent heat that a coil takes up, W, from water condensed on it in kg/d.
///
/// # Errors
/// A coil outside 0 to 100 °C.
///
/// ```
/// use loopwright::physics::moist_air::latent_w;
/// // 28.7534 W per kg/d at 7 °C (IAPWS-95): 316.3 W for 11 kg/d
/// assert!((latent_w(11.0, 7.0).unwrap() - 316.3).abs() < 0.2);
/// ```
pub fn latent_w(condensed_kg_per_day: f64, coil_c: f64) -> Result<f64, OutOfRange> {
    const SECONDS_PER_DAY: f64 = 86_400.0;
    Ok(latent_heat_j_per_kg(coil_c)? * condensed_kg_per_day / SECONDS_PER_DAY)
}

/// A state of moist air.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct MoistAir {
    kelvin: f64,
    total_pa: f64,
    vapour_pa: f64,
}

impl MoistAir {
    /// Air of a temperature (°C), relative humidity (in [0, 1]) and total
    /// pressure (Pa).
    ///
    /// # Errors
    /// Outside 0 to 60 °C, 0 to 1, or 20 to 200 kPa.
    pub fn new(
        temperature_c: f64,
        relative_humidity: f64,
        total_pressure_pa: f64,
    ) -> Result<Self, OutOfRange> {
        let celsius = within(
            "air temperature in °C",
            temperature_c,
            AIR_RANGE_C.0,
            AIR_RANGE_C.1,
        )?;
        let humidity = within("relative humidity", relative_humidity, 0.0, 1.0)?;
        let total_pa = within(
            "total pressure in Pa",
            total_pressure_pa,
            PRESSURE_RANGE_PA.0,
            PRESSURE_RANGE_PA.1,
        )?;
        let vapour_pa = humidity * saturation_pressure_pa(celsius)?;
        Ok(Self {
            kelvin: celsius + ZERO_CELSIUS_K,
            total_pa,
            vapour_pa,
        })
    }

    /// Partial pressure of the vapour, Pa: `φ p_sat(T)`.
    #[must_use]
    pub fn vapour_pressure_pa(&self) -> f64 {
        self.vapour_pa
    }

    /// Humidity ratio, kg of vapour per kg of dry air: `0.621945 p_v/(p - p_v)`.
    ///
    /// ```
    /// use loopwright::physics::moist_air::MoistAir;
    /// let air = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
    /// // 0.00874672 (PsychroLib 2.5.0)
    /// assert!((air.humidity_ratio() / 0.00874672 - 1.0).abs() < 5e-4);
    /// ```
    #[must_use]
    pub fn humidity_ratio(&self) -> f64 {
        WATER_TO_AIR * self.vapour_pa / (self.total_pa - self.vapour_pa)
    }

    /// Volume per kg of dry air, m³/kg: `R T / (p - p_v)`.
    ///
    /// ```
    /// use loopwright::physics::moist_air::MoistAir;
    /// let air = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
    /// assert!((air.volume_m3_per_kg() - 0.85076).abs() < 1e-5); // PsychroLib 2.5.0
    /// ```
    #[must_use]
    pub fn volume_m3_per_kg(&self) -> f64 {
        DRY_AIR_J_PER_KG_K * self.kelvin / (self.total_pa - self.vapour_pa)
    }

    /// Dew point, °C: where `p_sat(T) = p_v`.
    ///
    /// # Errors
    /// Air so dry that its dew point lies below 0 °C.
    ///
    /// ```
    /// use loopwright::physics::moist_air::MoistAir;
    /// let air = MoistAir::new(25.0, 0.7, 101_325.0).unwrap();
    /// assert!((air.dew_point_c().unwrap() - 19.15).abs() < 3e-3); // PsychroLib 2.5.0
    /// ```
    pub fn dew_point_c(&self) -> Result<f64, OutOfRange> {
        let least = saturation(ZERO_CELSIUS_K).0;
        within("vapour pressure in Pa", self.vapour_pa, least, f64::MAX)?;
        let (mut low, mut high) = (ZERO_CELSIUS_K, self.kelvin);
        while high - low > 1e-9 {
            let middle = 0.5 * (low + high);
            *(if saturation(middle).0 < self.vapour_pa {
                &mut low
            } else {
                &mut high
            }) = middle;
        }
        Ok(0.5 * (low + high) - ZERO_CELSIUS_K)
    }
}

/// Water that a coil takes out of an air flow, kg/d: dry air times the drop of
/// humidity ratio, the air leaving saturated at the coil's temperature; zero
/// if the coil is above the dew point.
///
/// `air_m3_per_h`: volume of moist air that enters, m³/h.
///
/// # Errors
/// A negative flow, or a coil outside 0 to 60 °C.
///
/// ```
/// use loopwright::physics::moist_air::{MoistAir, condensed_kg_per_day};
/// let cabin = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
/// // 153.81 m³/h give 11 kg/d on a coil at 7 °C (PsychroLib 2.5.0)
/// assert!((condensed_kg_per_day(153.81, cabin, 7.0).unwrap() / 11.0 - 1.0).abs() < 1e-3);
/// ```
pub fn condensed_kg_per_day(
    air_m3_per_h: f64,
    cabin: MoistAir,
    coil_c: f64,
) -> Result<f64, OutOfRange> {
    const HOURS_PER_DAY: f64 = 24.0;
    let air = within("air flow in m³/h", air_m3_per_h, 0.0, f64::INFINITY)?;
    let leaving = MoistAir::new(coil_c, 1.0, cabin.total_pa).map_err(|error| OutOfRange {
        what: "coil temperature in °C",
        ..error
    })?;
    let dry_air_kg_per_day = air * HOURS_PER_DAY / cabin.volume_m3_per_kg();
    Ok(dry_air_kg_per_day * (cabin.humidity_ratio() - leaving.humidity_ratio()).max(0.0))
}

#[cfg(test)]
mod tests;
