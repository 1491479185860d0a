use super::*;

/// Water at 20 °C: density by IAPWS-95 (iapws 1.5.5), viscosity by CoolProp 8.0.0.
const WATER: Liquid = Liquid {
    density_kg_per_m3: 998.207,
    viscosity_pa_s: 1.001_596_1e-3,
};

fn line(bore_mm: f64) -> Line {
    Line {
        length_m: 5.0,
        bore_m: bore_mm / 1000.0,
        roughness_m: 1.5e-6,
        fittings: 0.0,
    }
}

fn close(got: f64, expected: f64, relative: f64, what: &str) {
    assert!(
        (got / expected - 1.0).abs() < relative,
        "{what}: {got}, expected {expected}"
    );
}

/// Molar mass; gas in 200 L at half an atmosphere gauge, ideal; the same as a
/// real gas (CoolProp 8.0.0); how much of it is above cabin pressure. kg.
#[test]
fn gas_to_push_two_hundred_litres() {
    for (molar_mass, ideal, real, above_cabin) in [
        (28.014, 0.349_373, 0.349_491, 0.116_458),
        (31.998, 0.399_059, 0.399_495, 0.133_020),
        (MOLAR_MASS_AIR_G_PER_MOL, 0.361_229, 0.361_440, 0.120_410),
    ] {
        close(
            pressurising_gas_kg(0.2, 151_987.5, molar_mass),
            ideal,
            3e-6,
            "ideal gas",
        );
        close(
            pressurising_gas_kg(0.2, 151_987.5, molar_mass),
            real,
            1.2e-3,
            "real gas",
        );
        close(
            pressurising_gas_kg(0.2, 50_662.5, molar_mass),
            above_cabin,
            1e-5,
            "above cabin pressure",
        );
    }
}

/// Pa at 10, 30, 60 and 100 L/h through 5 m of a bore in mm, and the Reynolds
/// numbers: fluids 1.3.1.
#[test]
fn pressure_drops_agree_with_a_fluids_library() {
    for (bore_mm, drops, numbers) in [
        (
            4.0,
            [2214.0, 12_504.0, 40_854.0, 99_022.0],
            [881.0, 2644.0, 5287.0, 8812.0],
        ),
        (
            6.0,
            [437.34, 1312.0, 6023.5, 14_458.0],
            [587.0, 1762.0, 3525.0, 5875.0],
        ),
        (
            7.75,
            [157.11, 471.34, 1807.9, 4314.1],
            [455.0, 1364.0, 2729.0, 4548.0],
        ),
        (
            10.0,
            [56.68, 170.04, 547.11, 1298.1],
            [352.0, 1057.0, 2115.0, 3525.0],
        ),
    ] {
        for ((litres_per_h, drop), number) in [10.0, 30.0, 60.0, 100.0]
            .into_iter()
            .zip(drops)
            .zip(numbers)
        {
            let flow = litres_per_h / 3.6e6;
            close(
                line(bore_mm).pressure_drop_pa(flow, WATER),
                drop,
                2e-4,
                "pressure drop",
            );
            assert!(
                (line(bore_mm).reynolds(flow, WATER) - number).abs() < 1.0,
                "Reynolds number {number}"
            );
        }
    }
}

/// Half an atmosphere across the line: L/min, and minutes for 200 L
/// (fluids 1.3.1).
#[test]
fn flows_agree_with_a_fluids_library() {
    for (bore_mm, litres_per_min, minutes) in [
        (4.0, 1.1328, 176.5),
        (6.0, 3.4295, 58.32),
        (8.0, 7.4869, 26.71),
        (10.0, 13.683, 14.62),
    ] {
        let found = line(bore_mm).flow_m3_per_s(50_662.5, WATER) * 60_000.0;
        close(found, litres_per_min, 2e-4, "flow");
        close(200.0 / found, minutes, 5e-4, "time");
        let back = line(bore_mm).pressure_drop_pa(found / 60_000.0, WATER);
        close(back, 50_662.5, 1e-9, "the drop that was asked for");
    }
}

/// Work of pushing 200 L out against half an atmosphere: 10 132.5 J.
#[test]
fn work_is_pressure_times_volume() {
    close(
        pump_power_w(50_662.5, 0.2, 1.0),
        10_132.5,
        1e-12,
        "work in one second",
    );
}

/// Loss coefficients add velocity heads: at 60 L/h in 6 mm, v = 0.589463 m/s and
/// ρ v²/2 = 173.42 Pa.
#[test]
fn fittings_add_velocity_heads() {
    let flow = 60.0 / 3.6e6;
    let bent = Line {
        fittings: 4.5,
        ..line(6.0)
    };
    let more = bent.pressure_drop_pa(flow, WATER) - line(6.0).pressure_drop_pa(flow, WATER);
    close(more, 4.5 * 173.42, 1e-4, "fittings");
    close(bent.speed_m_per_s(flow), 0.589_463, 1e-5, "speed");
    let drop = bent.pressure_drop_pa(flow, WATER);
    close(bent.flow_m3_per_s(drop, WATER), flow, 1e-9, "flow");
}

#[test]
fn laminar_flow_is_found_again() {
    let flow = 10.0 / 3.6e6;
    let drop = line(6.0).pressure_drop_pa(flow, WATER);
    close(line(6.0).flow_m3_per_s(drop, WATER), flow, 1e-9, "flow");
    assert_eq!(line(6.0).flow_m3_per_s(0.0, WATER), 0.0);
    assert_eq!(line(6.0).pressure_drop_pa(0.0, WATER), 0.0);
}

/// Between the last of laminar flow and the first of turbulent flow no steady
/// flow has the drop: the flow at Re 2040 stands for it.
#[test]
fn a_drop_in_the_gap_gives_the_flow_of_transition() {
    let pipe = line(6.0);
    let transition = LAMINAR * std::f64::consts::PI * pipe.bore_m * WATER.viscosity_pa_s
        / (4.0 * WATER.density_kg_per_m3);
    let below = pipe.pressure_drop_pa(transition * 0.999, WATER);
    let above = pipe.pressure_drop_pa(transition * 1.001, WATER);
    assert!(above > 1.3 * below);
    close(
        pipe.flow_m3_per_s(0.5 * (below + above), WATER),
        transition,
        1e-9,
        "flow",
    );
}

/// Reynolds number, relative roughness, Darcy friction factor: fluids 1.3.1.
#[test]
fn friction_factors_agree_with_a_fluids_library() {
    for (reynolds, roughness, factor) in [
        (1e3, 0.0, 0.064),
        (1e4, 0.0, 0.030_883_0),
        (1e5, 0.0, 0.017_989_8),
        (1e5, 1e-4, 0.018_513_9),
        (1e6, 1e-3, 0.019_943_5),
    ] {
        close(
            friction_factor(reynolds, roughness),
            factor,
            1e-5,
            "friction factor",
        );
    }
}
