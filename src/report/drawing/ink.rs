//! What a mark is drawn in: a meaning, never a colour.

use crate::catalogue::Family;

/// What a mark means; [`super::palette`] knows its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Matter of a family.
    Family(Family),
    /// The same, as the pale ground of something.
    Pale(Family),
    /// A series of a plot, counted from 0; after the seventh the colours come again, with
    /// another [`Dash`].
    Series(usize),
    /// Words, and the outline of what the words stand in.
    Text,
    /// Words and lines of less weight, still read without effort.
    Quiet,
    /// What is possible but not used. Too pale for words.
    Faint,
    /// Lines behind everything.
    Grid,
    /// The ground.
    Paper,
    /// As asked for.
    Good,
    /// Usable, with something to look at.
    Doubtful,
    /// A fault, a limit passed.
    Warning,
}

/// The pattern of a line, so that lines are told apart without colours.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Long strokes.
    Long,
    /// Short strokes.
    Short,
    /// Dots.
    Dots,
    /// Long strokes and dots by turns.
    LongDot,
    /// A long stroke and two dots.
    LongDotDot,
}

impl Dash {
    /// The pattern of a series: six, beside seven colours, so that 42 series differ.
    pub fn of_series(series: usize) -> Dash {
        match series % 6 {
            0 => Dash::Solid,
            1 => Dash::Long,
            2 => Dash::Dots,
            3 => Dash::LongDot,
            4 => Dash::Short,
            _ => Dash::LongDotDot,
        }
    }

    /// The pattern of a family of substances: neighbours in grey have different ones.
    pub fn of_family(family: Family) -> Dash {
        match family {
            Family::Water | Family::Oxygen => Dash::Solid,
            Family::WasteWater => Dash::Long,
            Family::Gas => Dash::LongDot,
            Family::Hydrogen => Dash::Dots,
            Family::Solids => Dash::Short,
            Family::Unstated => Dash::LongDotDot,
        }
    }

    /// Lengths of strokes and gaps as SVG has them, for a line of this width; none for an
    /// unbroken one.
    pub fn pattern(self, width: f64) -> Option<Vec<f64>> {
        let units: &[f64] = match self {
            Dash::Solid => return None,
            Dash::Long => &[7.0, 3.0],
            Dash::Short => &[3.0, 2.5],
            Dash::Dots => &[1.0, 2.0],
            Dash::LongDot => &[7.0, 2.5, 1.0, 2.5],
            Dash::LongDotDot => &[7.0, 2.0, 1.0, 2.0, 1.0, 2.0],
        };
        let unit = width.clamp(1.0, 3.0);
        Some(units.iter().map(|length| length * unit).collect())
    }
}
