//! Which number a study moves, and through which values: `ADDRESS = VALUES`, the
//! same grammar for every study.

use crate::design::Design;
use crate::diagnostic::{Diagnostic, Place, SourceId, codes, nearest};
use crate::quantity::{Dimension, parse};

/// The address of the mission's length, which no single number of a file holds.
pub const MISSION_LENGTH: &str = "mission.length";

/// Values of one study at most.
const MOST_VALUES: usize = 1_000_000;

/// A number that moves, and the values that it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Which number.
    pub address: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Its values in the canonical unit, in the order asked for.
    pub values: Vec<f64>,
}

impl Axis {
    /// Reads `ADDRESS = VALUES`, a source of its own, for a design.
    ///
    /// Values are a list separated by semicolons or commas followed by a space; each
    /// item is a number with its unit, or a range: `FROM .. TO by STEP`,
    /// `FROM .. TO in COUNT` (evenly spaced) or `FROM .. TO log COUNT`. Numbers
    /// without a unit have that of the next one that has. Days and whole numbers
    /// go by 1 where no step is stated.
    ///
    /// ```
    /// # use loopwright::design::{self, Edits};
    /// # use loopwright::diagnostic::Sources;
    /// # let mut sources = Sources::new();
    /// # let file = sources.add("x", include_str!("../../designs/classroom.ron"));
    /// # let design = design::read(&sources, file, &Edits::default()).unwrap();
    /// use loopwright::study::axis::Axis;
    /// let text = "mission.length = 30 .. 90 by 30 d, 1 yr";
    /// let source = sources.add("--over", text);
    /// let axis = Axis::read(source, text, &design).unwrap();
    /// assert_eq!(axis.values, [30.0, 60.0, 90.0, 365.25]);
    /// ```
    ///
    /// # Errors
    ///
    /// An address that holds no number, or values that cannot be read.
    pub fn read(source: SourceId, text: &str, design: &Design) -> Result<Axis, Diagnostic> {
        let place = |part: &str| part_of(source, text, part);
        let Some((address, values)) = text.split_once('=') else {
            return Err(range(
                place(text),
                format!("{text} is not ADDRESS = VALUES"),
            ));
        };
        let address = address.trim();
        let Some(dimension) = dimension_of(address, design) else {
            let known = design.numbers.iter().map(|number| number.address.as_str());
            let help = match nearest(address, known.chain([MISSION_LENGTH])) {
                Some(near) => format!("did you mean {near}?"),
                None => format!("give the address of a number of the design, or {MISSION_LENGTH}"),
            };
            let words = format!("{address} is no number of the design");
            return Err(Diagnostic::error(codes::UNKNOWN_ADDRESS, words)
                .at(place(address), "")
                .help(help));
        };
        let reader = Reader {
            source,
            text,
            dimension,
            day_by_day: dimension == Dimension::Time,
        };
        Ok(Axis {
            address: address.to_owned(),
            dimension,
            values: reader.values(values)?,
        })
    }
}

/// What the number at an address measures.
fn dimension_of(address: &str, design: &Design) -> Option<Dimension> {
    if address == MISSION_LENGTH {
        return Some(Dimension::Time);
    }
    let mut numbers = design.numbers.iter();
    numbers
        .find(|number| number.address == address)
        .map(|number| number.dimension)
}

struct Reader<'a> {
    source: SourceId,
    text: &'a str,
    dimension: Dimension,
    /// Whether a range without a step goes by one day.
    day_by_day: bool,
}

impl Reader<'_> {
    fn values(&self, text: &str) -> Result<Vec<f64>, Diagnostic> {
        let mut values = Vec::new();
        let items: Vec<&str> = items(text);
        for (index, &item) in items.iter().enumerate() {
            let later = items[index..].iter().copied();
            let unit = later.map(unit_of).find(|unit| !unit.is_empty());
            self.item(item.trim(), unit.unwrap_or(""), &mut values)?;
            if values.len() > MOST_VALUES {
                let words = format!("more than {MOST_VALUES} values");
                return Err(range(part_of(self.source, self.text, item), words));
            }
        }
        Ok(values)
    }

    /// Reads one item of the list, a value or a range.
    fn item(&self, item: &str, unit: &str, values: &mut Vec<f64>) -> Result<(), Diagnostic> {
        let wrong = |words: String| range(part_of(self.source, self.text, item), words);
        if item.is_empty() {
            return Err(wrong("a value is missing".to_owned()));
        }
        let Some((from, rest)) = item.split_once("..") else {
            values.push(self.number(item, unit)?);
            return Ok(());
        };
        let (to, how) = match split_word(rest, &["by", "in", "log"]) {
            Some((to, word, number)) => (to, Some((word, number))),
            None => (rest, None),
        };
        // The unit mostly stands with the last one, so its mistakes come first.
        let last = self.number(to, unit)?;
        let first = self.number(from, unit)?;
        let goes_by_one = self.dimension == Dimension::Whole || self.day_by_day;
        let spaced = match how {
            Some(("by", step)) => by_steps(first, last, self.step(step, unit)?),
            None if goes_by_one => by_steps(first, last, 1.0),
            None => Err(format!(
                "how far apart are the values from {} to {}?",
                from.trim(),
                to.trim()
            )),
            Some((word, count)) => match count.trim().parse::<usize>() {
                Ok(count) if (2..=MOST_VALUES).contains(&count) => {
                    evenly(first, last, count, word == "log")
                }
                _ => Err(format!("{} is not a count of values", count.trim())),
            },
        };
        values.extend(spaced.map_err(wrong)?);
        Ok(())
    }

    fn number(&self, text: &str, unit: &str) -> Result<f64, Diagnostic> {
        let text = text.trim();
        let with_unit = match unit_of(text).is_empty() && !self.dimension.is_bare() {
            true => format!("{text} {unit}"),
            false => text.to_owned(),
        };
        parse(with_unit.trim(), self.dimension).map_err(|error| {
            let place = part_of(self.source, self.text, text);
            Diagnostic::error(error.code(), error.to_string())
                .at(place, "")
                .help(error.help())
        })
    }

    /// A step is a difference: of temperatures, 2 °C is 2 K.
    fn step(&self, text: &str, unit: &str) -> Result<f64, Diagnostic> {
        match self.dimension {
            Dimension::Temperature => {
                let zero = self.number("0", "K")?;
                let unit = if unit.is_empty() { "K" } else { unit };
                Ok(self.number(text, &unit.replace("°C", "K"))? - zero)
            }
            _ => self.number(text, unit),
        }
    }
}

fn by_steps(first: f64, last: f64, step: f64) -> Result<Vec<f64>, String> {
    if step <= 0.0 || last < first {
        return Err("a range goes up, by steps above zero".to_owned());
    }
    let steps = ((last - first) / step + 1e-9).floor();
    if steps >= MOST_VALUES as f64 {
        return Err(format!("more than {MOST_VALUES} values"));
    }
    Ok((0..=steps as usize)
        .map(|index| tidy(first + index as f64 * step))
        .collect())
}

fn evenly(first: f64, last: f64, count: usize, logarithmic: bool) -> Result<Vec<f64>, String> {
    if last <= first || logarithmic && first <= 0.0 {
        return Err(match logarithmic {
            true => "a logarithmic range goes up from above zero".to_owned(),
            false => "a range goes up".to_owned(),
        });
    }
    let share = |index: usize| index as f64 / (count - 1) as f64;
    Ok((0..count)
        .map(|index| match (index + 1 == count, logarithmic) {
            (true, _) => last,
            (false, true) => tidy(first * (last / first).powf(share(index))),
            (false, false) => tidy(first + (last - first) * share(index)),
        })
        .collect())
}

/// A number without the last digits, which sums and powers leave behind.
pub(crate) fn tidy(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

/// Items of a list: between semicolons, and commas that do not group thousands.
fn items(text: &str) -> Vec<&str> {
    let mut items = Vec::new();
    let mut start = 0;
    for (at, separator) in text.match_indices([';', ',']) {
        let grouped = separator == "," && {
            let digits = |part: &str| part.bytes().take_while(u8::is_ascii_digit).count();
            let before = text[..at].ends_with(|one: char| one.is_ascii_digit());
            before && digits(&text[at + 1..]) == 3
        };
        if !grouped {
            items.push(&text[start..at]);
            start = at + 1;
        }
    }
    items.push(&text[start..]);
    items
}

/// The unit of an item: what follows its last number.
fn unit_of(item: &str) -> &str {
    let item = match split_word(item, &["in", "log"]) {
        Some((before, _, _)) => before,
        None => item,
    };
    let last = match split_word(item, &["by"]) {
        Some((_, _, step)) => step,
        None => item.split_once("..").map_or(item, |(_, to)| to),
    };
    let rest = last.trim().trim_start_matches(is_of_a_number);
    let unit = match rest.strip_prefix(['e', 'E']) {
        Some(power) if power.starts_with(is_of_a_number) => {
            power.trim_start_matches(is_of_a_number)
        }
        _ => rest,
    };
    let unit = unit.trim();
    if unit.contains(char::is_whitespace) {
        ""
    } else {
        unit
    }
}

fn is_of_a_number(one: char) -> bool {
    one.is_ascii_digit() || "+-.,_".contains(one)
}

/// Splits at a word that stands by itself.
fn split_word<'a>(
    text: &'a str,
    words: &[&'static str],
) -> Option<(&'a str, &'static str, &'a str)> {
    words.iter().find_map(|word| {
        let spaced = format!(" {word} ");
        let (before, after) = text.split_once(&spaced)?;
        Some((before, *word, after))
    })
}

fn part_of(source: SourceId, text: &str, part: &str) -> Place {
    let start = (part.as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
    let start = start.min(text.len());
    Place {
        source,
        start,
        end: (start + part.len()).min(text.len()),
    }
}

fn range(place: Place, words: String) -> Diagnostic {
    Diagnostic::error(codes::VALUES, words).at(place, "").help(
        "write values such as \"mission.length = 1 .. 1500 d\", \"30, 60, 90 d\", \
         \"0.7 .. 0.95 by 0.05\" or \"10 .. 1000 kg log 9\"",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{self, Edits};
    use crate::diagnostic::Sources;

    fn axis(text: &str) -> Result<Axis, Diagnostic> {
        let mut sources = Sources::new();
        let file = sources.add("classroom", include_str!("../../designs/classroom.ron"));
        let design = design::read(&sources, file, &Edits::default()).unwrap();
        let source = sources.add("--over", text);
        Axis::read(source, text, &design)
    }

    fn values(text: &str) -> Vec<f64> {
        axis(text)
            .unwrap_or_else(|error| panic!("{error:?}"))
            .values
    }

    #[test]
    fn lists_and_ranges_mix_and_share_the_unit_that_follows() {
        assert_eq!(
            values("mission.length = 30, 60, 1 yr"),
            [30.0, 60.0, 365.25].map(|days| if days == 365.25 { days } else { days * 365.25 })
        );
        assert_eq!(values("mission.length=30 d; 60 d"), [30.0, 60.0]);
        assert_eq!(values("mission.length = 1,000, 1,100 d"), [1000.0, 1100.0]);
        assert_eq!(values("mission.length = 1 .. 4 d"), [1.0, 2.0, 3.0, 4.0]);
        assert_eq!(values("mission.length = 2 .. 9 by 3 d"), [2.0, 5.0, 8.0]);
        assert_eq!(values("mission.length = 1 .. 3 d in 3"), [1.0, 2.0, 3.0]);
        assert_eq!(
            values("mission.length = 1 .. 100 d log 3"),
            [1.0, 10.0, 100.0]
        );
        assert_eq!(
            values("mission.length = 1e1 .. 1e2 by 9e1 d"),
            [10.0, 100.0]
        );
    }

    #[test]
    fn steps_do_not_gather_rounding() {
        let shares: Vec<f64> = by_steps(0.0, 1.0, 0.1).unwrap();
        assert_eq!(shares.len(), 11);
        assert_eq!(shares[3], 0.3);
        assert_eq!(shares[7], 0.7);
    }

    #[test]
    fn what_cannot_be_read_says_where() {
        for (text, found) in [
            ("mission.length", "mission.length"),
            ("mission.lenth = 1 d", "mission.lenth"),
            ("mission.length = 1 .. x d", "x d"),
            ("mission.length = 3 .. 1 d", "3 .. 1 d"),
            ("mission.length = 1 .. 5 d log 1", "1 .. 5 d log 1"),
            ("mission.length = 1 .. 5 by 0 d", "1 .. 5 by 0 d"),
            ("mission.length = 1, 2", "1"),
            ("mission.length = 1 kg", "1 kg"),
            ("mission.length = 1 .. 99999999 d", "1 .. 99999999 d"),
        ] {
            let complaint = axis(text).expect_err(text);
            let place = complaint.primary.clone().expect(text).0;
            assert_eq!(&text[place.start..place.end], found, "{complaint:?}");
            assert!(complaint.help.is_some(), "{text}");
        }
    }
}
