//! Reading of formulas.

use super::{BTreeMap, Element, FormulaError, MOST_ATOMS};

type Atoms = BTreeMap<Element, u32>;

fn wrong<T>(at: std::ops::Range<usize>, message: impl Into<String>) -> Result<T, FormulaError> {
    Err(FormulaError {
        at,
        message: message.into(),
    })
}

/// The text, how far it has been read, and the groups that are open.
struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<char> {
        self.text.get(self.at..)?.chars().next()
    }

    fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> &str {
        let rest = self.text.get(self.at..).unwrap_or_default();
        let taken = rest.find(|c| !wanted(c)).unwrap_or(rest.len());
        self.at += taken;
        rest.get(..taken).unwrap_or_default()
    }

    /// A count after an element or group, 1 if none is written.
    fn count(&mut self) -> Result<u32, FormulaError> {
        let start = self.at;
        let digits: String = self
            .take_while(|c| digit(c).is_some())
            .chars()
            .filter_map(digit)
            .collect();
        let at = start..self.at;
        if digits.is_empty() {
            return Ok(1);
        }
        match digits.parse::<u32>() {
            Ok(0) => wrong(at, "a count of zero says nothing: leave the element out"),
            Ok(count) if count <= MOST_ATOMS => Ok(count),
            _ => wrong(at, format!("more than {MOST_ATOMS} atoms of one element")),
        }
    }

    /// An element symbol: a capital and the small letters after it.
    fn element(&mut self) -> Result<Element, FormulaError> {
        let start = self.at;
        self.at += 1;
        self.take_while(|c| c.is_ascii_lowercase());
        let symbol = self.text.get(start..self.at).unwrap_or_default();
        match Element::of_symbol(symbol) {
            Some(element) => Ok(element),
            None => wrong(
                start..self.at,
                format!("`{symbol}` is no element with a standard atomic weight"),
            ),
        }
    }
}

fn digit(c: char) -> Option<char> {
    match c {
        '0'..='9' => Some(c),
        '₀'..='₉' => char::from_digit(u32::from(c) - u32::from('₀'), 10),
        _ => None,
    }
}

fn add(
    into: &mut Atoms,
    what: Atoms,
    times: u32,
    at: std::ops::Range<usize>,
) -> Result<(), FormulaError> {
    for (element, count) in what {
        let sum = into.entry(element).or_insert(0);
        match count
            .checked_mul(times)
            .and_then(|more| more.checked_add(*sum))
        {
            Some(total) if total <= MOST_ATOMS => *sum = total,
            _ => return wrong(at, format!("more than {MOST_ATOMS} atoms of {element}")),
        }
    }
    Ok(())
}

pub(super) fn atoms(text: &str) -> Result<Atoms, FormulaError> {
    let mut reader = Reader { text, at: 0 };
    let mut done = Atoms::new();
    let mut open: Vec<(usize, Atoms)> = Vec::new(); // where each group opened, and what stood before it
    while let Some(c) = reader.peek() {
        let start = reader.at;
        match c {
            'A'..='Z' => {
                let element = reader.element()?;
                let count = reader.count()?;
                add(
                    &mut done,
                    Atoms::from([(element, count)]),
                    1,
                    start..reader.at,
                )?;
            }
            '(' => {
                reader.at += 1;
                open.push((start, std::mem::take(&mut done)));
            }
            ')' => {
                reader.at += 1;
                let Some((_, before)) = open.pop() else {
                    return wrong(start..reader.at, "`)` without `(`");
                };
                let group = std::mem::replace(&mut done, before);
                if group.is_empty() {
                    return wrong(start..reader.at, "nothing between the parentheses");
                }
                let count = reader.count()?;
                add(&mut done, group, count, start..reader.at)?;
            }
            'a'..='z' => {
                return wrong(
                    start..start + 1,
                    format!("`{c}` starts no element: symbols start with a capital"),
                );
            }
            _ if digit(c).is_some() => {
                return wrong(
                    start..start + c.len_utf8(),
                    "a count stands after its element, not before",
                );
            }
            '.' => return wrong(start..start + 1, "counts are whole numbers"),
            _ => {
                return wrong(
                    start..start + c.len_utf8(),
                    format!("`{c}` has no place in a formula"),
                );
            }
        }
    }
    if let Some((at, _)) = open.pop() {
        return wrong(at..at + 1, "`(` without `)`");
    }
    if done.is_empty() {
        return wrong(0..text.len(), "a formula names at least one element");
    }
    Ok(done)
}
