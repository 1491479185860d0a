//! The colours of inks. Chosen by a search for colours that keep apart for readers who see
//! red and green, or blue and yellow, alike, and in grey print; the tests measure it.

use super::ink::Ink;
use crate::catalogue::Family;

/// A colour: red, green and blue as sRGB has them.
pub type Colour = [u8; 3];

/// Colours of a series of a plot, in order. The same seven as for families, since no
/// other seven keep apart as well; a plot's legend says what they stand for.
const SERIES: [Colour; 7] = [
    of_family(Family::Water),
    of_family(Family::WasteWater),
    of_family(Family::Hydrogen),
    of_family(Family::Oxygen),
    of_family(Family::Gas),
    of_family(Family::Solids),
    of_family(Family::Unstated),
];

const fn of_family(family: Family) -> Colour {
    match family {
        Family::Water => [0x18, 0x61, 0xad],
        Family::WasteWater => [0xad, 0x76, 0x39],
        Family::Oxygen => [0x34, 0xa0, 0xb6],
        Family::Gas => [0x5c, 0x22, 0xc4],
        Family::Hydrogen => [0x53, 0x1d, 0x3d],
        Family::Solids => [0x22, 0x49, 0x0f],
        Family::Unstated => [0x73, 0x70, 0x70],
    }
}

/// How much of a colour is left in its pale form.
const PALE: f64 = 0.16;

/// The colour of an ink.
pub fn colour(ink: Ink) -> Colour {
    match ink {
        Ink::Family(family) => of_family(family),
        Ink::Pale(family) => of_family(family).map(|part| {
            let part = f64::from(part);
            // Between a part and 255: it fits.
            (255.0 - PALE * (255.0 - part)).round() as u8
        }),
        Ink::Series(series) => SERIES[series % SERIES.len()],
        Ink::Text => [0x1e, 0x25, 0x30],
        Ink::Quiet => [0x4f, 0x5b, 0x68],
        Ink::Faint => [0x9a, 0xa3, 0xac],
        Ink::Grid => [0xdc, 0xe1, 0xe6],
        Ink::Paper => [0xff, 0xff, 0xff],
        Ink::Good => [0x1a, 0x61, 0x36],
        Ink::Doubtful => [0x74, 0x46, 0x00],
        Ink::Warning => [0x97, 0x20, 0x1c],
    }
}

/// The colour of an ink as style sheets write it: "#1861ad".
pub fn hex(ink: Ink) -> String {
    let [red, green, blue] = colour(ink);
    format!("#{red:02x}{green:02x}{blue:02x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A part of sRGB as light, IEC 61966-2-1.
    fn light(part: u8) -> f64 {
        let part = f64::from(part) / 255.0;
        match part <= 0.04045 {
            true => part / 12.92,
            false => ((part + 0.055) / 1.055).powf(2.4),
        }
    }

    /// Relative luminance, WCAG 2.2, section "relative luminance".
    fn luminance(colour: Colour) -> f64 {
        let [red, green, blue] = colour.map(light);
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    /// Contrast ratio, WCAG 2.2, section "contrast ratio".
    fn contrast(one: Ink, other: Ink) -> f64 {
        let [one, other] = [one, other].map(|ink| luminance(colour(ink)));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    /// CIE 1976 L*, a*, b* of linear sRGB under D65.
    fn lab([red, green, blue]: [f64; 3]) -> [f64; 3] {
        let x = 0.4124564 * red + 0.3575761 * green + 0.1804375 * blue;
        let y = 0.2126729 * red + 0.7151522 * green + 0.0721750 * blue;
        let z = 0.0193339 * red + 0.1191920 * green + 0.9503041 * blue;
        let bent = |t: f64| match t > 216.0 / 24389.0 {
            true => t.cbrt(),
            false => (24389.0 / 27.0 * t + 16.0) / 116.0,
        };
        let [x, y, z] = [x / 0.95047, y, z / 1.08883].map(bent);
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    /// G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for
    /// Simulation of Color Vision Deficiency", IEEE TVCG 15 (6), 2009, severity 1.0, on
    /// linear sRGB. The matrices are from memory; each row sums to 1, which the test checks.
    const SIGHTS: [(&str, [[f64; 3]; 3]); 4] = [
        ("usual", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
        (
            "protanopia",
            [
                [0.152286, 1.052583, -0.204868],
                [0.114503, 0.786281, 0.099216],
                [-0.003882, -0.048116, 1.051998],
            ],
        ),
        (
            "deuteranopia",
            [
                [0.367322, 0.860646, -0.227968],
                [0.280085, 0.672501, 0.047413],
                [-0.011820, 0.042940, 0.968881],
            ],
        ),
        (
            "tritanopia",
            [
                [1.255528, -0.076749, -0.178779],
                [-0.078411, 0.930809, 0.147602],
                [0.004733, 0.691367, 0.303900],
            ],
        ),
    ];

    fn seen(colour: Colour, sight: &[[f64; 3]; 3]) -> [f64; 3] {
        let lights = colour.map(light);
        let rows = sight.map(|row| {
            let sum: f64 = row
                .iter()
                .zip(lights)
                .map(|(factor, light)| factor * light)
                .sum();
            sum.clamp(0.0, 1.0)
        });
        lab(rows)
    }

    #[test]
    fn families_keep_apart_for_every_sight_and_in_grey() {
        for (name, sight) in &SIGHTS {
            for row in sight {
                assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-4, "{name}");
            }
            for (index, one) in Family::ALL.iter().enumerate() {
                for other in &Family::ALL[..index] {
                    let [one_seen, other_seen] =
                        [one, other].map(|family| seen(of_family(*family), sight));
                    let apart = one_seen
                        .iter()
                        .zip(other_seen)
                        .map(|(a, b)| (a - b).powi(2))
                        .sum::<f64>()
                        .sqrt();
                    // A difference of 2.3 is just noticed (M. Mahy, L. Van Eycken,
                    // A. Oosterlinck, Color Res. Appl. 19, 1994; from memory).
                    assert!(apart > 20.0, "{one:?} and {other:?} by {name}: {apart:.1}");
                    // Lightness alone is what grey print keeps.
                    let grey = (one_seen[0] - other_seen[0]).abs();
                    let dashes = [one, other].map(|family| super::super::Dash::of_family(*family));
                    let told = grey > 5.0 || dashes[0] != dashes[1];
                    assert!(*name != "usual" || told, "{one:?} and {other:?}: {grey:.1}");
                    assert!(
                        *name != "usual" || grey > 5.0,
                        "{one:?} and {other:?}: {grey:.1}"
                    );
                }
            }
        }
    }

    #[test]
    fn words_and_lines_stand_out_from_the_paper() {
        // WCAG 2.2, 1.4.3: words 4.5 to 1; 1.4.11: graphics 3 to 1.
        for ink in [
            Ink::Text,
            Ink::Quiet,
            Ink::Good,
            Ink::Doubtful,
            Ink::Warning,
        ] {
            assert!(contrast(ink, Ink::Paper) >= 4.5, "{ink:?}");
        }
        for family in Family::ALL {
            assert!(
                contrast(Ink::Family(family), Ink::Paper) >= 3.0,
                "{family:?}"
            );
            assert!(contrast(Ink::Text, Ink::Pale(family)) >= 4.5, "{family:?}");
            assert!(contrast(Ink::Quiet, Ink::Pale(family)) >= 4.5, "{family:?}");
        }
        for series in 0..SERIES.len() {
            assert!(contrast(Ink::Series(series), Ink::Paper) >= 3.0, "{series}");
        }
    }

    #[test]
    fn colours_are_written_as_style_sheets_read_them() {
        assert_eq!(hex(Ink::Family(Family::Water)), "#1861ad");
        assert_eq!(hex(Ink::Paper), "#ffffff");
    }

    #[test]
    fn series_differ_by_colour_or_pattern() {
        let looks: std::collections::BTreeSet<_> = (0..42)
            .map(|series| {
                (
                    colour(Ink::Series(series)),
                    super::super::Dash::of_series(series),
                )
            })
            .collect();
        assert_eq!(looks.len(), 42);
    }
}
