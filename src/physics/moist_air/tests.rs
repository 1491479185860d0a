use super::*;
use crate::physics::ATMOSPHERE_PA;
use crate::physics::moist_air::coil::dry_air_kg_per_day;

fn close(got: f64, expected: f64, relative: f64, what: &str) {
    assert!(
        (got / expected - 1.0).abs() < relative,
        "{what}: {got}, expected {expected}"
    );
}

fn saturated(celsius: f64) -> MoistAir {
    MoistAir::new(celsius, 1.0, ATMOSPHERE_PA).expect("in range")
}

/// °C; Pa by IAPWS-95, IAPWS-IF97 (iapws 1.5.5) and PsychroLib 2.5.0; kJ/kg and
/// W per kg/d by IAPWS-95 (iapws 1.5.5); saturated humidity ratio at 101 325 Pa
/// of ideal gases (PsychroLib 2.5.0) and of real air (CoolProp 8.0.0).
const SATURATED: [[f64; 8]; 5] = [
    [
        5.0,
        872.575,
        872.575,
        872.487,
        2489.042,
        28.8084,
        0.005_401_9,
        0.005_424_7,
    ],
    [
        10.0,
        1228.199,
        1228.184,
        1227.995,
        2477.187,
        28.6711,
        0.007_630_1,
        0.007_662_6,
    ],
    [
        15.0,
        1705.793,
        1705.745,
        1705.448,
        2465.352,
        28.5342,
        0.010_647_5,
        0.010_693_8,
    ],
    [
        20.0,
        2339.318,
        2339.215,
        2338.804,
        2453.519,
        28.3972,
        0.014_695_1,
        0.014_760_5,
    ],
    [
        25.0,
        3169.929,
        3169.747,
        3169.216,
        2441.676,
        28.2601,
        0.020_081_1,
        0.020_173_4,
    ],
];

#[test]
fn saturation_agrees_with_property_libraries() {
    for [celsius, iapws95, if97, psychro, latent, watts, ideal, real] in SATURATED {
        let pressure = saturation_pressure_pa(celsius).expect("in range");
        for other in [iapws95, if97, psychro] {
            close(pressure, other, 5e-4, "saturation pressure");
        }
        close(
            latent_heat_j_per_kg(celsius).expect("in range"),
            latent * 1e3,
            5e-4,
            "latent heat",
        );
        close(
            latent_w(1.0, celsius).expect("in range"),
            watts,
            5e-4,
            "latent heat of 1 kg/d",
        );
        close(
            saturated(celsius).humidity_ratio(),
            ideal,
            5e-4,
            "humidity ratio, ideal gases",
        );
        close(
            saturated(celsius).humidity_ratio(),
            real,
            5e-3,
            "humidity ratio, real air",
        );
    }
}

/// ASHRAE Handbook – Fundamentals, 2017, chapter 1, second-hand: Table 3,
/// saturation pressure; Table 2, saturated humidity ratio at 101 325 Pa.
#[test]
fn saturation_agrees_with_a_printed_handbook() {
    for (celsius, pascals) in [
        (5.0, 872.6),
        (25.0, 3169.7),
        (50.0, 12_351.3),
        (100.0, 101_418.0),
    ] {
        close(
            saturation_pressure_pa(celsius).expect("in range"),
            pascals,
            5e-4,
            "Table 3",
        );
    }
    for (celsius, ratio) in [(5.0, 0.005_425), (25.0, 0.020_173)] {
        close(saturated(celsius).humidity_ratio(), ratio, 5e-3, "Table 2");
    }
}

/// °C, relative humidity; humidity ratio, dew point (°C), wet bulb (°C), vapour
/// pressure (Pa), enthalpy (kJ/kg) and m³ per kg of dry air at 101 325 Pa:
/// PsychroLib 2.5.0.
#[rustfmt::skip]
const CABIN_AIR: [[f64; 8]; 6] = [
    [20.0, 0.40, 0.005_795_86,  6.0043, 12.3551,  935.52, 34.831, 0.838_20],
    [22.0, 0.50, 0.008_224_24, 11.1101, 15.4254, 1322.38, 43.037, 0.847_18],
    [23.0, 0.50, 0.008_746_72, 12.0284, 16.2469, 1405.22, 45.388, 0.850_76],
    [25.0, 0.50, 0.009_881_04, 13.8640, 17.8894, 1584.61, 50.322, 0.858_04],
    [25.0, 0.70, 0.013_921_93, 19.1499, 20.9656, 2218.45, 60.616, 0.863_53],
    [27.0, 0.60, 0.013_421_47, 18.5767, 21.2056, 2140.39, 61.403, 0.868_64],
];

#[test]
fn cabin_air_agrees_with_a_psychrometric_library() {
    for [
        celsius,
        humidity,
        ratio,
        dew_point,
        wet_bulb,
        pascals,
        enthalpy,
        volume,
    ] in CABIN_AIR
    {
        let air = MoistAir::new(celsius, humidity, ATMOSPHERE_PA).expect("in range");
        close(air.humidity_ratio(), ratio, 5e-4, "humidity ratio");
        close(air.vapour_pressure_pa(), pascals, 5e-4, "vapour pressure");
        close(air.volume_m3_per_kg(), volume, 2e-5, "volume");
        let found = air.dew_point_c().expect("above freezing");
        assert!(
            (found - dew_point).abs() < 3e-3,
            "dew point: {found}, expected {dew_point}"
        );
        let found = air.wet_bulb_c().expect("above freezing");
        assert!((found - wet_bulb).abs() < 3e-3, "wet bulb: {found}");
        close(air.enthalpy_j_per_kg(), enthalpy * 1e3, 5e-4, "enthalpy");
        let again = MoistAir::of_dew_point(celsius, dew_point, ATMOSPHERE_PA).expect("in range");
        close(
            again.relative_humidity(),
            humidity,
            5e-4,
            "relative humidity",
        );
    }
}

/// ASHRAE Handbook – Fundamentals, 2017, chapter 1, second-hand: Example 1, air at
/// 40 °C with a wet bulb of 20 °C; Table 2, enthalpy at saturation.
#[test]
fn a_printed_example_and_table_come_out() {
    let of = |humidity: f64| MoistAir::new(40.0, humidity, ATMOSPHERE_PA).expect("in range");
    let humidity = rising(0.1, 1.0, |humidity| {
        of(humidity).wet_bulb_c().expect("above freezing") < 20.0
    });
    let air = of(humidity);
    assert!((humidity - 0.14).abs() < 0.005, "{humidity}");
    // Read off a chart in the source.
    assert!((air.humidity_ratio() - 0.0065).abs() < 1e-4);
    assert!((air.dew_point_c().expect("above freezing") - 7.0).abs() < 0.5);
    assert!((air.enthalpy_j_per_kg() - 56_700.0).abs() < 100.0);
    assert!((air.volume_m3_per_kg() - 0.896).abs() < 5e-4);
    for (celsius, joules) in [(5.0, 18_639.0), (25.0, 76_504.0)] {
        close(
            saturated(celsius).enthalpy_j_per_kg(),
            joules,
            5e-3,
            "enthalpy",
        );
    }
}

/// Vapour in 100 m³ at 23 °C and 50 %: 1.0281 kg (PsychroLib 2.5.0).
#[test]
fn a_cabin_holds_a_kilogram_of_vapour() {
    let air = MoistAir::new(23.0, 0.5, ATMOSPHERE_PA).expect("in range");
    close(
        100.0 / air.volume_m3_per_kg() * air.humidity_ratio(),
        1.0281,
        5e-4,
        "vapour",
    );
}

/// 11 kg/d from 23 °C and 50 % to saturation at 7 °C: humidity ratio 0.00621157
/// (PsychroLib 2.5.0), 153.81 m³/h at the inlet, 28.7534 W per kg/d, 316.3 W
/// (IAPWS-95 by iapws 1.5.5). At 70.3 kPa the ratio is 0.00899252.
#[test]
fn a_condenser_is_sized_by_its_air_flow() {
    let cabin = MoistAir::new(23.0, 0.5, ATMOSPHERE_PA).expect("in range");
    close(
        saturated(7.0).humidity_ratio(),
        0.006_211_57,
        5e-4,
        "leaving air",
    );
    let per_day = condensed_kg_per_day(153.81, cabin, 7.0).expect("in range");
    close(per_day, 11.0, 1e-3, "condensed");
    close(
        latent_w(per_day, 7.0).expect("in range"),
        316.3,
        1e-3,
        "latent heat",
    );
    let thin = MoistAir::new(7.0, 1.0, 70_300.0).expect("in range");
    close(thin.humidity_ratio(), 0.008_992_52, 5e-4, "at 70.3 kPa");
}

#[test]
fn a_coil_temperature_takes_out_what_it_was_found_for() {
    for (celsius, humidity, flow, condensed) in [
        (23.0, 0.5, 153.81, 11.0),
        (19.0, 0.42, 260.0, 4.0),
        (27.0, 0.65, 80.0, 20.0),
    ] {
        let cabin = MoistAir::new(celsius, humidity, ATMOSPHERE_PA).expect("in range");
        let coil = coil_temperature_c(flow, cabin, condensed).expect("enough air");
        assert!(coil < cabin.dew_point_c().expect("above freezing"));
        let back = condensed_kg_per_day(flow, cabin, coil).expect("in range");
        close(back, condensed, 1e-6, "condensed");
        // Sensible and latent heat together are the enthalpy that the air leaves, less
        // that of the water at the coil's temperature; the two ways of counting the
        // vapour's heat agree to some per mille.
        let latent = latent_w(condensed, coil).expect("in range");
        let sensible = sensible_w(flow, cabin, coil).expect("in range");
        let leaving = MoistAir::new(coil, 1.0, ATMOSPHERE_PA).expect("in range");
        let dry_air = dry_air_kg_per_day(flow, cabin).expect("a flow") / 86_400.0;
        let drop = cabin.enthalpy_j_per_kg() - leaving.enthalpy_j_per_kg();
        let water = condensed / 86_400.0 * 4186.0 * coil;
        close(latent + sensible, dry_air * drop - water, 1e-2, "duty");
    }
    let cabin = MoistAir::new(23.0, 0.5, ATMOSPHERE_PA).expect("in range");
    assert!(
        coil_temperature_c(50.0, cabin, 11.0).is_err(),
        "too little air"
    );
    assert!(coil_temperature_c(0.0, cabin, 0.1).is_err(), "no air");
    let nothing = coil_temperature_c(50.0, cabin, 0.0).expect("nothing to do");
    assert!((nothing - cabin.dew_point_c().expect("above freezing")).abs() < 1e-6);
}

#[test]
fn a_warm_coil_condenses_nothing() {
    let cabin = MoistAir::new(23.0, 0.5, ATMOSPHERE_PA).expect("in range");
    assert_eq!(condensed_kg_per_day(500.0, cabin, 13.0), Ok(0.0));
    assert!(condensed_kg_per_day(500.0, cabin, 11.0).expect("in range") > 0.0);
}

#[test]
fn arguments_out_of_range_are_named() {
    let named = |error: OutOfRange| error.to_string();
    let cabin = MoistAir::new(23.0, 0.5, ATMOSPHERE_PA).expect("in range");
    let error = MoistAir::new(23.0, 50.0, ATMOSPHERE_PA).expect_err("percent");
    assert_eq!(named(error), "relative humidity is 50, outside 0 to 1");
    assert!(
        named(MoistAir::new(95.0, 0.5, ATMOSPHERE_PA).expect_err("hot"))
            .contains("air temperature")
    );
    assert!(named(MoistAir::new(23.0, 0.5, 101.3).expect_err("kPa")).contains("total pressure"));
    assert!(
        named(condensed_kg_per_day(1.0, cabin, -2.0).expect_err("ice"))
            .contains("coil temperature")
    );
    assert!(named(condensed_kg_per_day(-1.0, cabin, 7.0).expect_err("flow")).contains("below 0"));
    assert!(
        MoistAir::new(23.0, 0.1, ATMOSPHERE_PA)
            .expect("in range")
            .dew_point_c()
            .is_err()
    );
    assert!(saturation_pressure_pa(f64::NAN).is_err());
    let error = MoistAir::of_dew_point(20.0, 21.0, ATMOSPHERE_PA).expect_err("too wet");
    assert_eq!(named(error), "dew point in °C is 21, outside 0 to 20");
}
