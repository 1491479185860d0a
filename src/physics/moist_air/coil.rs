//! A cold coil in a flow of moist air: what condenses on it, and its heat.

use super::{
    AIR_RANGE_C, DRY_AIR_HEAT_J_PER_KG_K, MoistAir, OutOfRange, VAPOUR_HEAT_J_PER_KG_K,
    ZERO_CELSIUS_K, latent_heat_j_per_kg, rising, within,
};

const SECONDS_PER_DAY: f64 = 86_400.0;

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
    Ok(latent_heat_j_per_kg(coil_c)? * condensed_kg_per_day / SECONDS_PER_DAY)
}

/// Dry air in a flow of moist air, kg/d: `24 q / v`.
///
/// `air_m3_per_h`: volume of moist air, m³/h.
///
/// # Errors
/// A negative flow.
pub(super) fn dry_air_kg_per_day(air_m3_per_h: f64, air: MoistAir) -> Result<f64, OutOfRange> {
    const HOURS_PER_DAY: f64 = 24.0;
    let flow = within("air flow in m³/h", air_m3_per_h, 0.0, f64::INFINITY)?;
    Ok(flow * HOURS_PER_DAY / air.volume_m3_per_kg())
}

/// Temperature of a coil, °C, that takes so much water out of an air flow, kg/d: the
/// `t` at which `W_s(t) = W − condensed / dry air`, the air leaving saturated.
///
/// # Errors
/// A negative flow, or one so small that even a coil at 0 °C takes out less.
///
/// ```
/// use loopwright::physics::moist_air::{MoistAir, coil_temperature_c};
/// let cabin = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
/// // 11 kg/d from 153.81 m³/h: 7 °C (PsychroLib 2.5.0)
/// assert!((coil_temperature_c(153.81, cabin, 11.0).unwrap() - 7.0).abs() < 0.02);
/// ```
pub fn coil_temperature_c(
    air_m3_per_h: f64,
    cabin: MoistAir,
    condensed_kg_per_day: f64,
) -> Result<f64, OutOfRange> {
    let most = self::condensed_kg_per_day(air_m3_per_h, cabin, 0.0)?;
    let condensed = within("condensed water in kg/d", condensed_kg_per_day, 0.0, most)?;
    let dry_air = dry_air_kg_per_day(air_m3_per_h, cabin)?;
    let wanted = cabin.humidity_ratio() - condensed / dry_air;
    let kelvin = rising(ZERO_CELSIUS_K, cabin.kelvin, |kelvin| {
        cabin.saturated_at(kelvin).humidity_ratio() < wanted
    });
    Ok(kelvin - ZERO_CELSIUS_K)
}

/// Heat that a coil takes up by cooling the air that passes it, W, beside the latent
/// heat of what condenses: `dry air (1006 + 1860 W_leaving) (T − t)`.
///
/// # Errors
/// As [`condensed_kg_per_day`].
///
/// ```
/// use loopwright::physics::moist_air::{MoistAir, sensible_w};
/// let cabin = MoistAir::new(23.0, 0.5, 101_325.0).unwrap();
/// // 0.0502199 kg/s of dry air · (1006 + 1860 · 0.00621157) J/(kg·K) · 16 K
/// assert!((sensible_w(153.81, cabin, 7.0).unwrap() - 817.6).abs() < 0.5);
/// ```
pub fn sensible_w(air_m3_per_h: f64, cabin: MoistAir, coil_c: f64) -> Result<f64, OutOfRange> {
    let coil = within(
        "coil temperature in °C",
        coil_c,
        AIR_RANGE_C.0,
        AIR_RANGE_C.1,
    )?;
    let dry_air = dry_air_kg_per_day(air_m3_per_h, cabin)? / SECONDS_PER_DAY;
    let saturated = cabin.saturated_at(coil + ZERO_CELSIUS_K).humidity_ratio();
    let leaving = saturated.min(cabin.humidity_ratio());
    let heat = DRY_AIR_HEAT_J_PER_KG_K + VAPOUR_HEAT_J_PER_KG_K * leaving;
    Ok(dry_air * heat * (cabin.temperature_c() - coil).max(0.0))
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
    let leaving = MoistAir::new(coil_c, 1.0, cabin.total_pa).map_err(|error| OutOfRange {
        what: "coil temperature in °C",
        ..error
    })?;
    let dry_air = dry_air_kg_per_day(air_m3_per_h, cabin)?;
    Ok(dry_air * (cabin.humidity_ratio() - leaving.humidity_ratio()).max(0.0))
}
