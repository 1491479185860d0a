//! The air of the cabin.

use super::{Figure, Sheet, Station, given};
use crate::physics::moist_air::MoistAir;

/// What the air's temperature, humidity and pressure come to.
pub(super) fn station(air: MoistAir) -> Station {
    let mut figures = vec![
        Figure::one(
            "vapour pressure",
            "Pa",
            "p_v = p_sat(dew point) = φ p_sat(T)",
            air.vapour_pressure_pa(),
        ),
        Figure::one(
            "relative humidity",
            "",
            "φ = p_v / p_sat(T)",
            air.relative_humidity(),
        ),
    ];
    // Checked to be above freezing.
    if let Ok(dew_point) = air.dew_point_c() {
        figures.push(Figure::one(
            "dew point",
            "°C",
            "p_sat(dew point) = p_v",
            dew_point,
        ));
    }
    if let Ok(wet_bulb) = air.wet_bulb_c() {
        figures.push(Figure::one(
            "wet bulb",
            "°C",
            "W = ((2501 − 2.326 t*) W_s(t*) − 1.006 (T − t*)) / (2501 + 1.86 T − 4.186 t*)",
            wet_bulb,
        ));
    }
    figures.extend([
        Figure::one(
            "humidity ratio",
            "kg/kg",
            "W = 0.621945 p_v / (p − p_v), vapour per dry air",
            air.humidity_ratio(),
        ),
        Figure::one(
            "volume",
            "m³/kg",
            "v = R T / (p − p_v), per dry air",
            air.volume_m3_per_kg(),
        ),
        Figure::one(
            "enthalpy",
            "kJ/kg",
            "h = 1.006 T + W (2501 + 1.86 T), per dry air, T in °C",
            air.enthalpy_j_per_kg() / 1000.0,
        ),
    ]);
    Station {
        sort: "cabin air",
        name: String::new(),
        inputs: vec![
            given("temperature T", air.temperature_c(), "°C"),
            given("total pressure p", air.total_pressure_pa(), "Pa"),
        ],
        sheets: vec![Sheet::throughout(figures)],
        remarks: Vec::new(),
        cautions: Vec::new(),
    }
}
