//! How wide words are at most, so that labels keep clear of each other whatever font of
//! the usual kind a reader has.

/// Advance widths of the letters from space to tilde, in thousandths of the size: the
/// wider of DejaVu Sans 2.37 and Liberation Sans 1.07 (the metrics of Arial), read from the
/// fonts themselves. Hardly any usual sans-serif font is wider.
const ASCII: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 557, 1016, 685, 687, 723, 771, 667,
    611, 778, 752, 295, 500, 667, 558, 863, 749, 788, 667, 788, 723, 667, 611, 732, 685, 989, 686,
    667, 686, 391, 337, 391, 838, 557, 500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
];
/// Any other letter of an alphabet, arrows and signs of arithmetic.
const OTHER: u16 = 860;
/// Ideographs, emoji and the like.
const WIDE: u16 = 1300;
/// The first letter of the East Asian blocks.
const FIRST_WIDE: char = '\u{1100}';
/// Bold words are wider by this; the mean over the same two fonts is 1.11.
const BOLD: f64 = 1.16;

/// The most that words of a size take, px.
pub fn text_width(words: &str, size: f64, bold: bool) -> f64 {
    let thousandths: f64 = words.chars().map(|letter| f64::from(advance(letter))).sum();
    let weight = if bold { BOLD } else { 1.0 };
    thousandths / 1000.0 * size * weight
}

fn advance(letter: char) -> u16 {
    match u32::from(letter).checked_sub(32) {
        Some(index) if index < 95 => ASCII[index as usize],
        _ if letter == '·' || letter == '\u{a0}' => 318,
        // Superior and inferior digits.
        _ if matches!(letter, '²' | '³' | '¹' | '⁰'..='₎') => 420,
        _ if letter >= FIRST_WIDE && !('\u{2000}'..'\u{2c00}').contains(&letter) => WIDE,
        _ => OTHER,
    }
}

/// Words that take no more than `most` px: cut, with an ellipsis, where they would.
pub fn clipped(words: &str, size: f64, bold: bool, most: f64) -> String {
    if text_width(words, size, bold) <= most {
        return words.to_owned();
    }
    let mut kept = String::new();
    for letter in words.chars() {
        kept.push(letter);
        if text_width(&format!("{kept}…"), size, bold) > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_never_taken_for_narrower_than_they_are() {
        // Sums of the advance widths of DejaVu Sans 2.37 and of Liberation Sans 1.07 at 16 px,
        // whichever is more, read with fontTools from the files of the fonts.
        let measured = [
            ("grey water filter", 129.02),
            ("OXYGEN BOTTLES", 145.81),
            ("12.34 kg/d", 85.86),
            ("WWWWWW", 94.92),
        ];
        for (words, least) in measured {
            let width = text_width(words, 16.0, false);
            assert!(width >= least * 0.999, "{words}: {width} < {least}");
            assert!(
                width <= least * 1.08,
                "{words}: {width} is far more than {least}"
            );
        }
    }

    #[test]
    fn long_words_are_cut_to_fit() {
        assert_eq!(clipped("still", 12.0, false, 100.0), "still");
        let cut = clipped("a very long name of a still", 12.0, true, 100.0);
        assert!(cut.ends_with('…') && text_width(&cut, 12.0, true) <= 100.0);
        assert_eq!(clipped("still", 12.0, false, 0.0), "…");
    }

    #[test]
    fn letters_of_other_scripts_have_room() {
        assert!(text_width("循環", 10.0, false) >= 20.0);
        assert!(text_width("контур", 10.0, false) >= 35.0);
    }
}
