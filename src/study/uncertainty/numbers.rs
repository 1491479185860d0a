//! The numbers that are uncertain: those with spreads in the design, and others by
//! the word of the command line.

use super::super::axis::MISSION_LENGTH;
use super::super::moved::{Movable, Unmovable};
use super::draws::Distribution;
use crate::design::Design;
use crate::diagnostic::{Diagnostic, Place, SourceId, Sources, codes, nearest};
use crate::quantity::Dimension;
use crate::written::Spread;

/// A number with its spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertain {
    /// The number, and the share that takes its difference.
    pub number: Movable,
    /// How sure it is.
    pub spread: Spread,
    /// Whether the design itself says so.
    pub of_the_design: bool,
}

impl Uncertain {
    /// Its distribution, cut to the values that it can have.
    pub fn distribution(&self) -> Distribution {
        Distribution::of(&self.number, self.spread)
    }
}

/// Every number with a spread: those of the design in file order, then those of
/// texts `ADDRESS = SPREAD`, each a source of its own; a text replaces the spread
/// that the design states.
///
/// # Errors
///
/// Every text that cannot be read, and shares of which none is left to take the
/// difference; and that there is none at all.
pub fn uncertain(
    design: &Design,
    sources: &Sources,
    texts: &[SourceId],
) -> Result<Vec<Uncertain>, Vec<Diagnostic>> {
    let mut complaints = Vec::new();
    let stated = design
        .figures
        .iter()
        .filter_map(|figure| Some((figure.address.as_str(), figure.spread?, figure.place, true)));
    let mut spreads: Vec<(&str, Spread, Place, bool)> = stated.collect();
    for &source in texts {
        match of_text(design, source, sources.text(source)) {
            Ok((address, spread, place)) => {
                spreads.retain(|(known, ..)| *known != address);
                spreads.push((address, spread, place, false));
            }
            Err(more) => complaints.extend(more),
        }
    }
    let moving: Vec<&str> = spreads.iter().map(|(address, ..)| *address).collect();
    let mut found = Vec::new();
    for &(address, spread, place, of_the_design) in &spreads {
        match Movable::of(design, address, &moving) {
            Ok(number) => found.push(Uncertain {
                number,
                spread,
                of_the_design,
            }),
            Err(Unmovable::Unknown) => complaints.push(unknown(design, address, place)),
            Err(Unmovable::NoTaker) => complaints.push(
                Diagnostic::error(
                    codes::SPREAD,
                    format!("{address}: all the shares beside it have spreads too"),
                )
                .at(place, "")
                .help("leave one of them without, to take the difference"),
            ),
        }
    }
    if found.is_empty() && complaints.is_empty() {
        complaints.push(
            Diagnostic::error(codes::SPREAD, "no number of the design has a spread").help(
                "write Figure(value: .., spread: Triangular(.., ..)) in the design, or give \
                 --spread \"nodes.still.unit.mass = Triangular(110 kg, 160 kg)\"",
            ),
        );
    }
    match complaints.is_empty() {
        true => Ok(found),
        false => Err(complaints),
    }
}

fn of_text<'a>(
    design: &Design,
    source: SourceId,
    text: &'a str,
) -> Result<(&'a str, Spread, Place), Vec<Diagnostic>> {
    let whole = Place {
        source,
        start: 0,
        end: text.len(),
    };
    let Some((address, spread)) = text.split_once('=') else {
        let words = format!("{text} is not ADDRESS = SPREAD");
        return Err(vec![
            Diagnostic::error(codes::SPREAD, words)
                .at(whole, "")
                .help("write it such as \"nodes.still.unit.mass = Triangular(110 kg, 160 kg)\""),
        ]);
    };
    let address = address.trim();
    let number =
        Movable::of(design, address, &[]).map_err(|_| vec![unknown(design, address, whole)])?;
    if number.dimension == Dimension::Whole {
        let words = format!("{address} is a whole number, which has no spread");
        return Err(vec![
            Diagnostic::error(codes::SPREAD, words)
                .at(whole, "")
                .help("solve each of its values with loopwright sweep"),
        ]);
    }
    let start = text.len() - spread.trim_start().len();
    let spread = spread.trim();
    let part = Place {
        source,
        start,
        end: start + spread.len(),
    };
    let spread = Spread::from_text(part, spread, address, number.dimension, number.value)?;
    Ok((address, spread, part))
}

fn unknown(design: &Design, address: &str, place: Place) -> Diagnostic {
    let known = design.numbers.iter().map(|number| number.address.as_str());
    let help = match nearest(address, known.chain([MISSION_LENGTH])) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("give the address of a number of the design, or {MISSION_LENGTH}"),
    };
    let words = format!("{address} is no number of the design");
    Diagnostic::error(codes::UNKNOWN_ADDRESS, words)
        .at(place, "")
        .help(help)
}
