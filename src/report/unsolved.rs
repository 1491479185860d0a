//! The pages of designs without a plan.

use serde_json::{Value, json};

use crate::quantity::shown_number;

use super::findings::Origin;
use super::number::fixed;
use super::page::{Block, Page, Tone};

/// Why a design has no balance: statements that cannot all hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// The stable code of its sort.
    pub code: String,
    /// In words that stand alone.
    pub words: String,
    /// What to do next.
    pub help: Option<String>,
    /// The statements.
    pub statements: Vec<Statement>,
}

/// A statement of a design that cannot hold together with the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement {
    /// In design words.
    pub words: String,
    /// Where it is written: name of the text, line, column.
    pub place: Option<(String, usize, usize)>,
    /// How far it would have to give way for the others to hold.
    pub slack: f64,
    /// The unit of the slack; empty where units are counted.
    pub unit: &'static str,
}

/// The page of a design that has no balance, with its causes and the statements
/// that conflict.
pub fn no_balance(title: &str, causes: &[Cause], origin: &Origin) -> Page {
    let mut page = Page::new(title);
    page.blocks.push(Block::Outcome {
        tone: Tone::Bad,
        words: format!(
            "No balance: nothing that \"{title}\" allows keeps its loop going, so there is no mass to report."
        ),
    });
    let several = causes.len() > 1;
    let mut conflict = Vec::new();
    for (number, cause) in (1_usize..).zip(causes) {
        let words = match several {
            true => format!("{number}. {} [{}]", sentence(&cause.words), cause.code),
            false => format!("{} [{}]", sentence(&cause.words), cause.code),
        };
        page.paragraph(words);
        if !cause.statements.is_empty() {
            page.paragraph(TOGETHER);
        }
        page.points(cause.statements.iter().map(Statement::line).collect());
        if let Some(help) = &cause.help {
            page.paragraph(sentence(&format!("to mend it: {help}")));
        }
        conflict.extend(cause.statements.iter().map(|one| one.data(number)));
    }
    page.data = json!({
        "status": "infeasible",
        "title": title,
        "causes": causes.iter().map(Cause::data).collect::<Vec<Value>>(),
        "conflict": conflict,
    });
    origin.sign(&mut page.data);
    page
}

/// The page of a search that was stopped before it found anything.
pub fn nothing_found(title: &str, bound_kg: f64, origin: &Origin) -> Page {
    let mut page = Page::new(title);
    let mut words = format!(
        "Stopped with nothing found: \"{title}\" may or may not have an answer. Try a longer time limit."
    );
    page.data = json!({"status": "unknown", "title": title});
    if bound_kg.is_finite() && bound_kg > 0.0 {
        words.push_str(&format!(
            " Any answer weighs at least {} kg.",
            fixed(bound_kg, 2)
        ));
        page.data["bound_kg"] = json!(bound_kg);
    }
    page.blocks.push(Block::Outcome {
        tone: Tone::Bad,
        words,
    });
    origin.sign(&mut page.data);
    page
}

/// What the list of statements says.
const TOGETHER: &str =
    "These statements cannot all hold; beside each, how far it alone would have to give way:";

/// Words that end and begin as a sentence does; a name at the start keeps its
/// own letters.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}

impl Cause {
    fn data(&self) -> Value {
        let mut data = json!({"code": self.code, "message": self.words});
        if let Some(help) = &self.help {
            data["help"] = json!(help);
        }
        data
    }
}

impl Statement {
    /// The statement, where it is written, and how far it would have to give way.
    fn line(&self) -> String {
        let place = match &self.place {
            Some((name, line, column)) => format!(" ({name}:{line}:{column})"),
            None => String::new(),
        };
        let amount = shown_number(self.slack);
        let amount = [amount.as_str(), self.unit].join(" ");
        format!("{}{place}: {}", self.words, amount.trim_end())
    }

    fn data(&self, cause: usize) -> Value {
        let mut data = json!({"cause": cause, "statement": self.words});
        if let Some((name, line, column)) = &self.place {
            data["place"] = json!({"source": name, "line": line, "column": column});
        }
        data["slack"] = json!(self.slack);
        if !self.unit.is_empty() {
            data["unit"] = json!(self.unit);
        }
        data
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_design_without_balance_reports_statements_and_no_mass() {
        let cause = Cause {
            code: "LW0702".into(),
            words: "too little oxygen reaches crew".into(),
            help: Some("bring more".into()),
            statements: vec![Statement {
                words: "crew takes 3.3 kg/d of oxygen".into(),
                place: Some(("loop.ron".into(), 12, 9)),
                slack: 1.2,
                unit: "kg/d",
            }],
        };
        let page = no_balance("Loop", &[cause], &Origin::default());
        let text = crate::report::render_text(&page);
        assert!(text.contains("Too little oxygen reaches crew. [LW0702]"));
        assert!(text.contains("crew takes 3.3 kg/d of oxygen (loop.ron:12:9): 1.2 kg/d"));
        assert_eq!(page.data["conflict"][0]["place"]["line"], 12);
        assert_eq!(page.data["conflict"][0]["cause"], 1);
        assert_eq!(page.data["causes"][0]["code"], "LW0702");
        assert!(page.data.get("launch_mass_kg").is_none());
    }

    #[test]
    fn a_bound_that_says_nothing_is_left_out() {
        let page = nothing_found("Loop", f64::NEG_INFINITY, &Origin::default());
        assert!(page.data.get("bound_kg").is_none());
        let page = nothing_found("Loop", 812.5, &Origin::default());
        assert_eq!(page.data["bound_kg"], 812.5);
    }
}
