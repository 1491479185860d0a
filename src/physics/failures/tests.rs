use super::*;
use crate::physics::gamma_rate::shape_of_error_factor;
use statrs::distribution::{DiscreteCDF, NegativeBinomial, Poisson};

fn poisson(mean: f64) -> FailureCount {
    FailureCount::new(mean, None)
}

/// Mean, confidence; spares, and the probability that they and one fewer
/// suffice (computed with scipy 1.17.1 `poisson.cdf`). The first exercise's and
/// the drives' inputs and answers are published: a textbook exercise in
/// logistics engineering, second-hand; the second example of the same book,
/// from memory; the drives of a paper whose normal approximation gives 2 in the
/// last case, where the exact answer is 1.
#[test]
fn spares_of_published_exercises() {
    for (mean, confidence, spares, suffice, one_fewer) in [
        (6.48, 0.95, 11, 0.966_775, 0.934_271),
        (4.32, 0.95, 8, 0.967_508, 0.927_496),
        (8.0, 0.90, 12, 0.936_203, 0.888_076),
    ] {
        assert_eq!(poisson(mean).spares_for(confidence), spares);
        assert!((poisson(mean).log_probability(spares).exp() - suffice).abs() < 1e-6);
        assert!((poisson(mean).log_probability(spares - 1).exp() - one_fewer).abs() < 1e-6);
    }
    for (mean, confidence, spares, suffice) in [
        (0.972, 0.95, 3, 0.982_681),
        (0.486, 0.95, 2, 0.986_652),
        (0.324, 0.95, 1, 0.957_583),
        (720.0 * 24.0 / 26_000.0, 0.99, 3, 0.995_194),
        (2.0 * 720.0 * 24.0 / 26_000.0, 0.99, 5, 0.997_512),
        (3.0 * 720.0 * 24.0 / 26_000.0, 0.99, 6, 0.995_540),
    ] {
        assert_eq!(poisson(mean).spares_for(confidence), spares, "mean {mean}");
        assert!(
            (poisson(mean).log_probability(spares).exp() - suffice).abs() < 1e-6,
            "mean {mean}"
        );
    }
}

/// Smallest number of spares by confidence and mean: scipy 1.17.1.
#[test]
fn spares_by_confidence_and_mean() {
    const MEANS: [f64; 10] = [0.05, 0.1, 0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0];
    for (confidence, spares) in [
        (0.90, [0, 0, 1, 1, 2, 3, 4, 5, 8, 14]),
        (0.95, [0, 1, 1, 2, 3, 4, 5, 6, 9, 15]),
        (0.99, [1, 1, 2, 3, 4, 5, 6, 8, 11, 18]),
        (0.995, [1, 1, 2, 3, 4, 5, 6, 8, 12, 19]),
        (0.999, [2, 2, 3, 4, 5, 6, 8, 10, 13, 21]),
    ] {
        assert_eq!(
            MEANS.map(|mean| poisson(mean).spares_for(confidence)),
            spares,
            "{confidence}"
        );
    }
}

/// Computed with scipy 1.17.1.
#[test]
fn probabilities_that_spares_suffice() {
    for (spares, mean, probability) in [
        (0, 0.1, 0.904_837_42),
        (2, 1.0, 0.919_698_60),
        (5, 2.0, 0.983_436_39),
        (5, 3.0, 0.916_082_06),
    ] {
        assert!((poisson(mean).log_probability(spares).exp() - probability).abs() < 1e-8);
    }
}

/// `poisson.sf` of scipy 1.17.1: what a plain logarithm of 1 - 1e-10 loses.
#[test]
fn the_logarithm_keeps_its_digits_near_certainty() {
    for (mean, spares, shortage) in [
        (0.1, 5, 1.274_898_692_229_791_2e-9),
        (1.0, 12, 6.359_777_327_134_151e-11_f64),
    ] {
        let expected = (-shortage).ln_1p();
        assert!(
            (poisson(mean).log_probability(spares) / expected - 1.0).abs() < 1e-12,
            "mean {mean}"
        );
    }
}

/// `poisson.logcdf` of scipy 1.17.1; the first is -2000 by hand.
#[test]
fn the_logarithm_keeps_its_digits_far_from_certainty() {
    for (mean, spares, expected) in [
        (2000.0, 0, -2000.0),
        (2000.0, 1900, -4.378_319_571_003_504),
        (1e6, 1_000_500, -0.368_628_335_420_959_96),
    ] {
        let found = poisson(mean).log_probability(spares);
        assert!(
            (found / expected - 1.0).abs() < 1e-8,
            "mean {mean}: {found}"
        );
    }
}

#[test]
fn probabilities_agree_with_the_statistics_library() {
    for mean in [0.01, 0.7, 3.3, 12.0, 80.0] {
        let other = Poisson::new(mean).expect("mean above zero");
        for spares in 0..120 {
            let found = poisson(mean).log_probability(spares).exp();
            assert!(
                (found - other.cdf(u64::from(spares))).abs() < 1e-12,
                "mean {mean}, {spares}"
            );
        }
    }
    for (mean, error_factor) in [(0.1, 2.0), (1.0, 3.0), (5.0, 10.0)] {
        let shape = shape_of_error_factor(error_factor);
        let other = NegativeBinomial::new(shape, shape / (shape + mean)).expect("proper");
        for spares in 0..60 {
            let found = FailureCount::new(mean, Some(error_factor))
                .log_probability(spares)
                .exp();
            assert!(
                (found - other.cdf(u64::from(spares))).abs() < 1e-11,
                "mean {mean}, {spares}"
            );
        }
    }
}

/// Error factor and shape of the gamma distribution: scipy 1.17.1, root of the
/// ratio of `gamma.ppf`.
#[test]
fn shapes_of_error_factors() {
    for (error_factor, shape) in [
        (1.2, 76.801_959_518_863_6),
        (2.0, 4.693_425_422_939_811),
        (3.0, 1.781_908_502_840_543),
        (4.0, 1.112_668_172_280_228),
        (5.0, 0.832_925_102_813_639_6),
        (10.0, 0.439_524_036_497_363_7),
    ] {
        let found = shape_of_error_factor(error_factor);
        assert!(
            (found / shape - 1.0).abs() < 1e-9,
            "{error_factor}: {found}"
        );
    }
}

/// Error factor, mean; spares for 0.90, 0.95, 0.99, 0.999; probability that 0
/// and 8 suffice; probability that 20 do not: scipy 1.17.1 `nbinom`.
#[test]
fn spares_under_an_uncertain_rate() {
    for (factor, mean, spares, none, eight, shortage) in [
        (
            2.0,
            0.1,
            [0, 1, 1, 2],
            0.905_788_381_862_093_5,
            0.999_999_999_999_646_1,
            3.481_413_000_424_646e-32,
        ),
        (
            2.0,
            1.0,
            [2, 3, 4, 6],
            0.403_922_494_941_041_6,
            0.999_957_185_457_790_8,
            5.135_255_034_787_155e-13,
        ),
        (
            3.0,
            5.0,
            [11, 14, 20, 28],
            0.092_397_827_834_121_57,
            0.822_727_370_308_455_1,
            0.007_717_903_780_740_366,
        ),
        (
            5.0,
            1.0,
            [3, 4, 7, 10],
            0.518_430_879_189_976,
            0.997_078_867_925_484_6,
            1.787_812_846_572_598e-6,
        ),
        (
            10.0,
            5.0,
            [14, 21, 37, 61],
            0.330_967_682_346_030_25,
            0.805_496_720_928_246_6,
            0.051_323_299_065_136_13,
        ),
    ] {
        let count = FailureCount::new(mean, Some(factor));
        assert_eq!(
            [0.90, 0.95, 0.99, 0.999].map(|confidence| count.spares_for(confidence)),
            spares,
            "{factor}, {mean}"
        );
        assert!(
            (count.log_probability(0).exp() - none).abs() < 1e-9,
            "{factor}, {mean}"
        );
        assert!(
            (count.log_probability(8).exp() - eight).abs() < 1e-9,
            "{factor}, {mean}"
        );
        let expected = f64::ln_1p(-shortage);
        assert!(
            (count.log_probability(20) / expected - 1.0).abs() < 1e-7,
            "{factor}, {mean}"
        );
    }
}

#[test]
fn an_error_factor_near_one_is_a_known_rate() {
    assert_eq!(FailureCount::new(2.0, Some(1.0)), poisson(2.0));
    let near = FailureCount::new(2.0, Some(1.002)).log_probability(5);
    assert!((near - poisson(2.0).log_probability(5)).abs() < 1e-5);
}

#[test]
fn nothing_fails_without_failures_and_nothing_hangs() {
    assert_eq!(poisson(0.0).log_probability(0), 0.0);
    assert_eq!(poisson(0.0).spares_for(0.999), 0);
    assert!(poisson(1e9).spares_for(0.99) > 1_000_000_000);
    assert_eq!(poisson(1e12).spares_for(0.99), u32::MAX);
    assert!(poisson(3.0).spares_for(1.0) > 100);
    assert_eq!(poisson(3.0).spares_for(f64::NAN), u32::MAX);
    assert!(FailureCount::new(1.0, Some(1e9)).spares_for(0.99) >= 1);
}
