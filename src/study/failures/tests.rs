//! Pools made by hand: closed forms, and the same missions however they are cut.

use super::pool::{FlownPool, Group};
use super::tally::Tally;

fn pool(units: u32, mean_life_days: f64, spares: u32, error_factor: Option<f64>) -> FlownPool {
    let group = Group {
        units,
        start_day: 40.0,
        mean_life_days,
    };
    FlownPool::new(vec![group], spares, error_factor, 340.0)
}

#[test]
fn missions_go_the_same_way_however_they_are_cut_into_blocks() {
    let pools = [
        pool(3, 200.0, 4, None),
        pool(1, 90.0, 2, Some(3.0)),
        pool(2, 400.0, 0, None),
    ];
    let days = [100.0, 340.0];
    let fly = |missions| Tally::of(&pools, &days, 11, missions);
    let whole = fly(0..400);
    let cut = fly(0..1)
        .and(&fly(1..7))
        .and(&fly(7..399))
        .and(&fly(399..400));
    assert!(whole.parts.iter().all(|part| part.short > 0));
    for (one, other) in whole.parts.iter().zip(&cut.parts) {
        // The order of a sum is its rounding.
        assert!((one.unit_days_down / other.unit_days_down - 1.0).abs() < 1e-12);
    }
    let counts = |tally: &Tally| {
        let parts = tally.parts.iter();
        let parts = parts.map(|part| (part.short, part.first, part.spares_used));
        (
            tally.missions,
            tally.short_by_day.clone(),
            parts.collect::<Vec<_>>(),
        )
    };
    assert_eq!(counts(&whole), counts(&cut));
    let other_seed = Tally::of(&pools, &days, 12, 0..400);
    assert_ne!(counts(&whole), counts(&other_seed));
}

/// One unit without spares over `D = 300` days at a mean life of `L = 150` days is
/// down for `D − L (1 − e^(−D/L)) = 170.300` days on average, and lasts with
/// `e^(−2) = 0.135335`.
#[test]
fn a_unit_without_spares_stays_down() {
    let missions = 40_000;
    let tally = Tally::of(&[pool(1, 150.0, 0, None)], &[340.0], 3, 0..missions);
    let part = tally.parts[0];
    let down = part.unit_days_down / missions as f64;
    // Down times spread by about 105 days: three standard errors are 1.6 days.
    assert!((down - 170.300).abs() < 1.6, "{down}");
    let lasted = 1.0 - part.short as f64 / missions as f64;
    assert!((lasted - 0.135_335).abs() < 3.0 * (0.135_335 * 0.864_665 / missions as f64).sqrt());
    assert_eq!(part.short, part.first);
    assert_eq!(tally.short_by_day, [part.short]);
}

/// Two units of the same part on one mission are not two parts: with an error
/// factor of ln 20 / ln 2 the rate is exponentially distributed, both units share it,
/// and none of both fails with `1 / (1 + 2 m)` (each by itself: `1 / (1 + m)²`).
#[test]
fn an_uncertain_rate_is_the_same_for_all_units_of_a_part() {
    let factor = 20.0_f64.ln() / 2.0_f64.ln();
    let missions = 40_000;
    let tally = Tally::of(&[pool(2, 300.0, 0, Some(factor))], &[], 5, 0..missions);
    let lasted = 1.0 - tally.parts[0].short as f64 / missions as f64;
    let (wanted, alone): (f64, f64) = (1.0 / 3.0, 0.25);
    let error = (wanted * (1.0 - wanted) / missions as f64).sqrt();
    assert!((lasted - wanted).abs() < 3.0 * error, "{lasted}");
    assert!((lasted - alone).abs() > 10.0 * error);
}
