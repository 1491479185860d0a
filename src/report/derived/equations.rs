//! Equations in words and with numbers.

use crate::program::{Family, Sense};
use crate::quantity::shown_number;
use crate::report::page::Page;
use crate::study::derivation::{Equation, Side};

/// Lines are no longer than this.
const WIDTH: usize = 96;

/// Every equation, family by family: in words, with numbers, and what is left.
pub(super) fn equations(page: &mut Page, equations: &[Equation]) {
    if equations.is_empty() {
        return;
    }
    page.heading("Equations");
    page.paragraph(
        "Each in words, then with the numbers of this plan; of an inequality, what is left between \
         its sides. Flows and levels are in kg/d, unless the level counts people or times.",
    );
    let mut families: Vec<Family> = equations.iter().map(|one| one.family).collect();
    families.dedup();
    for family in families {
        let (name, says) = family.words();
        page.paragraph(format!("{name}: {says}"));
        let of_family = equations.iter().filter(|one| one.family == family);
        let texts: Vec<String> = of_family.map(text).collect();
        page.verbatim(texts.join("\n"));
    }
}

fn text(equation: &Equation) -> String {
    let sense = sense(equation.sense);
    let verdict = match (equation.sense, equation.binds()) {
        (Sense::Equal, _) => String::new(),
        (_, true) => "    nothing is left: it binds\n".to_owned(),
        (_, false) => format!("    {} is left\n", shown_number(equation.slack())),
    };
    format!(
        "{}\n{}{}{verdict}",
        equation.label,
        line(&format!(
            "{} {sense} {}",
            words(&equation.left),
            words(&equation.right)
        )),
        line(&format!(
            "{} {sense} {}",
            numbers(&equation.left),
            numbers(&equation.right)
        )),
    )
}

fn line(words: &str) -> String {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent("    ")
        .subsequent_indent("        ");
    textwrap::fill(words, options) + "\n"
}

/// How the sides compare.
pub(super) fn sense(sense: Sense) -> &'static str {
    match sense {
        Sense::Equal => "=",
        Sense::AtMost => "≤",
        Sense::AtLeast => "≥",
    }
}

/// A side in words.
pub(super) fn words(side: &Side) -> String {
    let terms = side.terms.iter().map(|term| match term.factor == 1.0 {
        true => term.words.clone(),
        false => format!("{} × {}", shown_number(term.factor), term.words),
    });
    sum(terms, side)
}

/// A side with numbers, and what it comes to where that is not plain.
fn numbers(side: &Side) -> String {
    let terms = side.terms.iter().map(|term| match term.factor == 1.0 {
        true => shown_number(term.value),
        false => format!(
            "{} × {}",
            shown_number(term.factor),
            shown_number(term.value)
        ),
    });
    let plain = side.constant == 0.0 && side.terms.iter().all(|term| term.factor == 1.0);
    match (plain, side.terms.len()) {
        (_, 0) | (true, 1) => sum(terms, side),
        _ => format!("{} = {}", sum(terms, side), shown_number(side.value())),
    }
}

fn sum(terms: impl Iterator<Item = String>, side: &Side) -> String {
    let mut terms: Vec<String> = terms.collect();
    if side.constant != 0.0 || terms.is_empty() {
        terms.push(shown_number(side.constant));
    }
    terms.join(" + ")
}
