//! Moist air as a mixture of ideal gases, and the water a cold coil takes out
//! of it.
//!
//! The ideal mixture holds 0.4 to 0.5 % less vapour at saturation than real
//! air does at one atmosphere.

mod coil;

pub use coil::{coil_temperature_c, condensed_kg_per_day, latent_w, sensible_w};

use super::ZERO_CELSIUS_K;
use super::range::{OutOfRange, within};

/// Molar mass of water over that of dry air (ASHRAE Handbook – Fundamentals,
/// 2017, chapter 1, second-hand).
pub const WATER_TO_AIR: f64 = 0.621_945;

/// Gas constant of dry air, J/(kg·K) (same source).
pub const DRY_AIR_J_PER_KG_K: f64 = 287.042;

/// Critical point of water: K, Pa, kg/m³ (IAPWS SR1-86(1992), from memory).
const CRITICAL: (f64, f64, f64) = (647.096, 22.064e6, 322.0);

/// Heat capacity of dry air, J/(kg·K); of vapour; heat of vaporisation at 0 °C, J/kg
/// (same source).
const DRY_AIR_HEAT_J_PER_KG_K: f64 = 1006.0;
const VAPOUR_HEAT_J_PER_KG_K: f64 = 1860.0;
const VAPORISATION_AT_ZERO_J_PER_KG: f64 = 2_501_000.0;

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

    /// Air of a temperature and dew point (°C) and total pressure (Pa):
    /// `p_v = p_sat(dew point)`.
    ///
    /// # Errors
    /// Outside 0 to 60 °C or 20 to 200 kPa, or a dew point above the temperature
    /// or below 0 °C.
    ///
    /// ```
    /// use loopwright::physics::moist_air::MoistAir;
    /// let air = MoistAir::of_dew_point(22.0, 11.1101, 101_325.0).unwrap();
    /// assert!((air.relative_humidity() - 0.5).abs() < 1e-4); // PsychroLib 2.5.0
    /// ```
    pub fn of_dew_point(
        temperature_c: f64,
        dew_point_c: f64,
        total_pressure_pa: f64,
    ) -> Result<Self, OutOfRange> {
        let saturated = Self::new(temperature_c, 1.0, total_pressure_pa)?;
        let dew_point = within("dew point in °C", dew_point_c, AIR_RANGE_C.0, temperature_c)?;
        Ok(Self {
            vapour_pa: saturation_pressure_pa(dew_point)?,
            ..saturated
        })
    }

    /// Temperature, °C.
    #[must_use]
    pub fn temperature_c(&self) -> f64 {
        self.kelvin - ZERO_CELSIUS_K
    }

    /// Total pressure, Pa.
    #[must_use]
    pub fn total_pressure_pa(&self) -> f64 {
        self.total_pa
    }

    /// Relative humidity, in [0, 1]: `p_v / p_sat(T)`.
    #[must_use]
    pub fn relative_humidity(&self) -> f64 {
        self.vapour_pa / saturation(self.kelvin).0
    }

    /// Enthalpy per kg of dry air, J/kg, zero for dry air and liquid water at 0 °C:
    /// `1006 t + W (2 501 000 + 1860 t)`.
    ///
    /// Source: ASHRAE Handbook – Fundamentals, 2017, chapter 1, second-hand.
    ///
    /// ```
    /// use loopwright::physics::moist_air::MoistAir;
    /// let air = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
    /// assert!((air.enthalpy_j_per_kg() / 45_388.0 - 1.0).abs() < 5e-4); // PsychroLib 2.5.0
    /// ```
    #[must_use]
    pub fn enthalpy_j_per_kg(&self) -> f64 {
        let celsius = self.temperature_c();
        DRY_AIR_HEAT_J_PER_KG_K * celsius
            + self.humidity_ratio()
                * (VAPORISATION_AT_ZERO_J_PER_KG + VAPOUR_HEAT_J_PER_KG_K * celsius)
    }

    /// Wet-bulb temperature, °C: the `t*` at which
    /// `W = ((2501 − 2.326 t*) W_s(t*) − 1.006 (t − t*)) / (2501 + 1.86 t − 4.186 t*)`.
    ///
    /// Source: as above.
    ///
    /// # Errors
    /// Air so dry that its wet bulb lies below 0 °C.
    ///
    /// ```
    /// use loopwright::physics::moist_air::MoistAir;
    /// let air = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
    /// assert!((air.wet_bulb_c().unwrap() - 16.2469).abs() < 3e-3); // PsychroLib 2.5.0
    /// ```
    pub fn wet_bulb_c(&self) -> Result<f64, OutOfRange> {
        let celsius = self.temperature_c();
        let ratio = |wet: f64| {
            let saturated = self.saturated_at(wet + ZERO_CELSIUS_K).humidity_ratio();
            ((2501.0 - 2.326 * wet) * saturated - 1.006 * (celsius - wet))
                / (2501.0 + 1.86 * celsius - 4.186 * wet)
        };
        let wanted = self.humidity_ratio();
        within("humidity ratio", wanted, ratio(0.0), f64::MAX)?;
        Ok(rising(0.0, celsius, |wet| ratio(wet) < wanted))
    }

    /// Saturated air of another temperature, K, and the same pressure.
    fn saturated_at(&self, kelvin: f64) -> Self {
        Self {
            kelvin,
            vapour_pa: saturation(kelvin).0,
            total_pa: self.total_pa,
        }
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
        let kelvin = rising(ZERO_CELSIUS_K, self.kelvin, |kelvin| {
            saturation(kelvin).0 < self.vapour_pa
        });
        Ok(kelvin - ZERO_CELSIUS_K)
    }
}

/// The temperature between two up to which `before` holds.
fn rising(mut low: f64, mut high: f64, before: impl Fn(f64) -> bool) -> f64 {
    while high - low > 1e-9 {
        let middle = 0.5 * (low + high);
        *(if before(middle) { &mut low } else { &mut high }) = middle;
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests;
