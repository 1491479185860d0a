//! Formulas as a spreadsheet writes them.

use super::layout::{Layout, Spot};
use crate::study::live::{Book, CellId, Comparison, Formula, Function};

/// Arguments that one call of a spreadsheet function may have.
const MOST_ARGUMENTS: usize = 250;

/// Writes formulas of a book whose cells have their spots.
pub(super) struct Scribe<'a> {
    pub book: &'a Book,
    pub layout: &'a Layout,
}

impl Scribe<'_> {
    /// A formula on a sheet, without the leading sign of equality.
    pub fn formula(&self, formula: &Formula, on: usize) -> String {
        match formula {
            Formula::Number(number) => format!("{number}"),
            Formula::Words(words) => format!("\"{}\"", words.replace('"', "\"\"")),
            Formula::Cell(cell) => self.cell(*cell, on),
            Formula::Sum(terms) => {
                let mut text = String::new();
                for term in terms {
                    let (sign, term) = match term {
                        Formula::Negative(inner) => ('-', self.factor(inner, on)),
                        Formula::Number(number) if *number < 0.0 => ('-', format!("{}", -number)),
                        term => ('+', self.formula(term, on)),
                    };
                    if sign == '-' || !text.is_empty() {
                        text.push(sign);
                    }
                    text.push_str(&term);
                }
                text
            }
            Formula::Negative(inner) => format!("-{}", self.factor(inner, on)),
            Formula::Product(factors) => {
                let factors: Vec<String> = factors
                    .iter()
                    .map(|factor| self.factor(factor, on))
                    .collect();
                factors.join("*")
            }
            Formula::Quotient(first, second) => {
                let second = match **second {
                    Formula::Product(_) | Formula::Quotient(..) => {
                        format!("({})", self.formula(second, on))
                    }
                    _ => self.factor(second, on),
                };
                format!("{}/{second}", self.factor(first, on))
            }
            Formula::Call(function, arguments) => self.call(*function, arguments, on),
            Formula::Compare(first, how, second) => {
                let sign = match how {
                    Comparison::AtMost => "<=",
                    Comparison::AtLeast => ">=",
                    Comparison::Above => ">",
                    Comparison::Equal => "=",
                };
                format!(
                    "{}{sign}{}",
                    self.formula(first, on),
                    self.formula(second, on)
                )
            }
        }
    }

    /// A factor of a product: sums and signs in parentheses.
    fn factor(&self, formula: &Formula, on: usize) -> String {
        let text = self.formula(formula, on);
        match formula {
            Formula::Sum(_) | Formula::Negative(_) | Formula::Compare(..) => format!("({text})"),
            Formula::Number(number) if *number < 0.0 => format!("({text})"),
            _ => text,
        }
    }

    /// A cell by its name or its place.
    pub fn cell(&self, cell: CellId, on: usize) -> String {
        match (&self.book.cells[cell.0].name, self.layout.spot(cell)) {
            (Some(name), _) => name.clone(),
            (None, Some(spot)) => self.layout.reference(spot, on),
            // A cell that no table shows is a number or a short formula.
            (None, None) => match &self.book.cells[cell.0].content {
                crate::study::live::Content::Formula(formula) => {
                    format!("({})", self.formula(formula, on))
                }
                _ => format!("{}", self.book.number(cell)),
            },
        }
    }

    fn call(&self, function: Function, arguments: &[Formula], on: usize) -> String {
        let plain = |name: &str| {
            let arguments: Vec<String> =
                arguments.iter().map(|one| self.formula(one, on)).collect();
            format!("{name}({})", arguments.join(","))
        };
        match function {
            Function::Sum => self.of_many("SUM", arguments, on),
            Function::Max => self.of_many("MAX", arguments, on),
            Function::Min => self.of_many("MIN", arguments, on),
            Function::Abs => plain("ABS"),
            Function::If => plain("IF"),
            Function::And => plain("AND"),
            Function::RoundUp => {
                let inner = arguments.iter().map(|one| self.formula(one, on));
                format!("ROUNDUP({},0)", inner.collect::<Vec<String>>().join(","))
            }
            Function::Poisson | Function::Beta => {
                let name = match function {
                    Function::Poisson => "POISSON",
                    _ => "BETADIST",
                };
                let mut arguments: Vec<String> =
                    arguments.iter().map(|one| self.formula(one, on)).collect();
                if function == Function::Poisson {
                    arguments.push("TRUE()".to_owned());
                }
                format!("{name}({})", arguments.join(","))
            }
            Function::CountBelow => {
                let Some((limit, counted)) = arguments.split_last() else {
                    return "0".to_owned();
                };
                let limit = self.formula(limit, on);
                let spots: Vec<Spot> = counted.iter().filter_map(|one| self.spot(one)).collect();
                match (spots.first(), spots.last()) {
                    (Some(&first), Some(&last)) => {
                        let range = self.layout.range(first, last, on);
                        format!("COUNTIF({range},\"<\"&{limit})")
                    }
                    _ => "0".to_owned(),
                }
            }
        }
    }

    fn spot(&self, formula: &Formula) -> Option<Spot> {
        match formula {
            Formula::Cell(cell) => self.layout.spot(*cell),
            _ => None,
        }
    }

    /// A function of many arguments, neighbouring cells as ranges; in groups where
    /// there are more than a spreadsheet takes.
    fn of_many(&self, name: &str, arguments: &[Formula], on: usize) -> String {
        let mut texts: Vec<String> = Vec::new();
        let mut run: Option<(Spot, Spot)> = None;
        let close = |run: &mut Option<(Spot, Spot)>, texts: &mut Vec<String>| {
            if let Some((first, last)) = run.take() {
                texts.push(match first == last {
                    true => self.layout.reference(first, on),
                    false => self.layout.range(first, last, on),
                });
            }
        };
        for argument in arguments {
            let named =
                matches!(argument, Formula::Cell(cell) if self.book.cells[cell.0].name.is_some());
            match self.spot(argument).filter(|_| !named) {
                Some(spot) => match &mut run {
                    Some((first, last)) if last.is_followed_by(spot, *first) => *last = spot,
                    _ => {
                        close(&mut run, &mut texts);
                        run = Some((spot, spot));
                    }
                },
                None => {
                    close(&mut run, &mut texts);
                    texts.push(self.formula(argument, on));
                }
            }
        }
        close(&mut run, &mut texts);
        while texts.len() > MOST_ARGUMENTS {
            let groups = texts.chunks(MOST_ARGUMENTS);
            texts = groups
                .map(|group| format!("{name}({})", group.join(",")))
                .collect();
        }
        format!("{name}({})", texts.join(","))
    }
}
