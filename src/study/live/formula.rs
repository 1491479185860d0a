//! Formulas of cells: written for a spreadsheet, and worked out here.

use statrs::distribution::{Beta, ContinuousCDF, DiscreteCDF, Poisson};

/// A cell of the book, by its place in the order in which cells are worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct CellId(pub usize);

/// What a cell shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// Words.
    Words(String),
}

impl Value {
    /// The number; words count as nothing.
    pub fn number(&self) -> f64 {
        match self {
            Value::Number(number) => *number,
            Value::Words(_) => 0.0,
        }
    }
}

/// What a formula calls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// Sum of all arguments.
    Sum,
    /// Largest argument.
    Max,
    /// Smallest argument.
    Min,
    /// The argument rounded up to a whole number.
    RoundUp,
    /// The size of the argument.
    Abs,
    /// The second argument where the first is true, else the third.
    If,
    /// Whether all arguments are true.
    And,
    /// Probability of at most so many (first) Poisson events of a mean (second).
    Poisson,
    /// Beta distribution: at a point (first), of two shapes.
    Beta,
    /// How many arguments lie below the last one.
    CountBelow,
}

/// How two sides compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// First at most second.
    AtMost,
    /// First at least second.
    AtLeast,
    /// First above second.
    Above,
    /// The same.
    Equal,
}

/// A formula over cells.
#[derive(Clone, Debug, PartialEq)]
pub enum Formula {
    /// A number.
    Number(f64),
    /// Words.
    Words(String),
    /// Another cell.
    Cell(CellId),
    /// A sum; terms may be negative.
    Sum(Vec<Formula>),
    /// The same with the other sign.
    Negative(Box<Formula>),
    /// A product.
    Product(Vec<Formula>),
    /// A quotient.
    Quotient(Box<Formula>, Box<Formula>),
    /// A function of arguments.
    Call(Function, Vec<Formula>),
    /// A comparison.
    Compare(Box<Formula>, Comparison, Box<Formula>),
}

impl From<CellId> for Formula {
    fn from(cell: CellId) -> Self {
        Formula::Cell(cell)
    }
}

impl From<f64> for Formula {
    fn from(number: f64) -> Self {
        Formula::Number(number)
    }
}

/// A sum without terms that are nothing.
pub fn sum(terms: impl IntoIterator<Item = Formula>) -> Formula {
    let mut kept = Vec::new();
    for term in terms {
        match term {
            Formula::Sum(inner) => kept.extend(inner),
            term if term.is_number(0.0) => {}
            term => kept.push(term),
        }
    }
    match (kept.pop(), kept.is_empty()) {
        (None, _) => Formula::Number(0.0),
        (Some(only), true) => only,
        (Some(last), false) => {
            kept.push(last);
            Formula::Sum(kept)
        }
    }
}

/// A product without factors of one; nothing where a factor is nothing.
pub fn product(factors: impl IntoIterator<Item = Formula>) -> Formula {
    let mut kept = Vec::new();
    let mut positive = true;
    for factor in factors {
        match factor {
            Formula::Product(inner) => kept.extend(inner),
            Formula::Negative(inner) => {
                positive = !positive;
                match *inner {
                    Formula::Product(inner) => kept.extend(inner),
                    inner => kept.push(inner),
                }
            }
            factor if factor.is_number(1.0) => {}
            factor => kept.push(factor),
        }
    }
    if kept.iter().any(|factor| factor.is_number(0.0)) {
        return Formula::Number(0.0);
    }
    let product = match (kept.pop(), kept.is_empty()) {
        (None, _) => Formula::Number(1.0),
        (Some(only), true) => only,
        (Some(last), false) => {
            kept.push(last);
            Formula::Product(kept)
        }
    };
    match positive {
        true => product,
        false => negative(product),
    }
}

/// The same with the other sign.
pub fn negative(formula: Formula) -> Formula {
    match formula {
        Formula::Number(0.0) => Formula::Number(0.0),
        Formula::Number(number) => Formula::Number(-number),
        Formula::Negative(inner) => *inner,
        Formula::Sum(terms) => Formula::Sum(terms.into_iter().map(negative).collect()),
        formula => Formula::Negative(Box::new(formula)),
    }
}

/// First minus second.
pub fn difference(first: Formula, second: Formula) -> Formula {
    sum([first, negative(second)])
}

/// First over second.
pub fn quotient(first: Formula, second: Formula) -> Formula {
    match second {
        second if second.is_number(1.0) || first.is_number(0.0) => first,
        second => Formula::Quotient(Box::new(first), Box::new(second)),
    }
}

/// A function of arguments; of one alone, the largest, smallest or sum is that.
pub fn call(function: Function, arguments: impl IntoIterator<Item = Formula>) -> Formula {
    let mut arguments: Vec<Formula> = arguments.into_iter().collect();
    let of_many = matches!(function, Function::Sum | Function::Max | Function::Min);
    match (of_many, arguments.len()) {
        (true, 0) => Formula::Number(0.0),
        (true, 1) => arguments.remove(0),
        _ => Formula::Call(function, arguments),
    }
}

/// A comparison.
pub fn compare(first: Formula, how: Comparison, second: Formula) -> Formula {
    Formula::Compare(Box::new(first), how, Box::new(second))
}

/// One thing where a condition holds, else another.
pub fn either(condition: Formula, then: Formula, otherwise: Formula) -> Formula {
    call(Function::If, [condition, then, otherwise])
}

impl Formula {
    /// Whether it is this number, whatever cells show.
    pub fn is_number(&self, number: f64) -> bool {
        matches!(self, Formula::Number(own) if *own == number)
    }

    /// What it comes to, given what the cells show.
    pub fn value(&self, cells: &[Value]) -> Value {
        match self {
            Formula::Words(words) => Value::Words(words.clone()),
            Formula::Cell(cell) => cells
                .get(cell.0)
                .cloned()
                .unwrap_or(Value::Number(f64::NAN)),
            Formula::Call(Function::If, arguments) => {
                let condition = arguments.first().map_or(0.0, |one| one.number(cells));
                let chosen = arguments.get(if condition != 0.0 { 1 } else { 2 });
                chosen.map_or(Value::Number(f64::NAN), |one| one.value(cells))
            }
            _ => Value::Number(self.number(cells)),
        }
    }

    /// What it comes to as a number; true is 1.
    pub fn number(&self, cells: &[Value]) -> f64 {
        match self {
            Formula::Number(number) => *number,
            Formula::Words(_) => 0.0,
            Formula::Cell(cell) => cells.get(cell.0).map_or(f64::NAN, Value::number),
            Formula::Sum(terms) => terms.iter().map(|term| term.number(cells)).sum(),
            Formula::Negative(inner) => -inner.number(cells),
            Formula::Product(factors) => factors.iter().map(|one| one.number(cells)).product(),
            Formula::Quotient(first, second) => first.number(cells) / second.number(cells),
            Formula::Call(function, arguments) => self::called(*function, arguments, cells),
            Formula::Compare(first, how, second) => {
                let (first, second) = (first.number(cells), second.number(cells));
                f64::from(u8::from(match how {
                    Comparison::AtMost => first <= second,
                    Comparison::AtLeast => first >= second,
                    Comparison::Above => first > second,
                    Comparison::Equal => first == second,
                }))
            }
        }
    }
}

fn called(function: Function, arguments: &[Formula], cells: &[Value]) -> f64 {
    let numbers = || arguments.iter().map(|one| one.number(cells));
    let at = |index: usize| {
        arguments
            .get(index)
            .map_or(f64::NAN, |one| one.number(cells))
    };
    match function {
        Function::Sum => numbers().sum(),
        Function::Max => numbers().fold(f64::NEG_INFINITY, f64::max),
        Function::Min => numbers().fold(f64::INFINITY, f64::min),
        Function::RoundUp => match at(0) {
            number if number < 0.0 => number.floor(),
            number => number.ceil(),
        },
        Function::Abs => at(0).abs(),
        Function::If => at(if at(0) != 0.0 { 1 } else { 2 }),
        Function::And => f64::from(u8::from(numbers().all(|number| number != 0.0))),
        Function::Poisson => match Poisson::new(at(1)) {
            Ok(events) => events.cdf(at(0) as u64),
            // No failures at all: any number of spares suffices.
            Err(_) => 1.0,
        },
        Function::Beta => match Beta::new(at(1), at(2)) {
            Ok(beta) => beta.cdf(at(0)),
            Err(_) => f64::NAN,
        },
        Function::CountBelow => {
            let limit = at(arguments.len().saturating_sub(1));
            let below = numbers().take(arguments.len().saturating_sub(1));
            below.filter(|number| *number < limit).count() as f64
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_nothing_or_one_leaves_no_trace() {
        let cell = || Formula::Cell(CellId(0));
        assert_eq!(product([cell(), 1.0.into()]), cell());
        assert_eq!(product([cell(), 0.0.into()]), 0.0.into());
        assert_eq!(sum([0.0.into(), cell()]), cell());
        assert_eq!(difference(0.0.into(), negative(cell())), cell());
        assert_eq!(quotient(cell(), 1.0.into()), cell());
    }

    #[test]
    fn formulas_come_to_numbers() {
        let cells = [Value::Number(3.0), Value::Number(-0.5)];
        let (a, b) = (|| Formula::Cell(CellId(0)), || Formula::Cell(CellId(1)));
        assert_eq!(sum([a(), negative(b())]).number(&cells), 3.5);
        assert_eq!(call(Function::RoundUp, [b()]).number(&cells), -1.0);
        let many = call(Function::CountBelow, [a(), b(), 1.0.into()]);
        assert_eq!(many.number(&cells), 1.0);
        let words = either(
            compare(a(), Comparison::Above, 2.0.into()),
            Formula::Words("more".into()),
            Formula::Words("less".into()),
        );
        assert_eq!(words.value(&cells), Value::Words("more".into()));
        // P(X ≤ 2; 1) = 0.91969860, scipy.stats.poisson.cdf(2, 1)
        let poisson = call(Function::Poisson, [2.0.into(), 1.0.into()]);
        assert!((poisson.number(&cells) - 0.919_698_6).abs() < 1e-7);
    }
}
