//! The pages of designs without a plan.

use serde_json::{Value, json};

use super::findings::Origin;
use super::number::fixed;
use super::page::{Block, Page, Tone};

/// A statement of a design that cannot hold together with the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement {
    /// In design words.
    pub words: String,
    /// Where it is written: name of the text, line, column.
    pub place: Option<(String, usize, usize)>,
    /// How far it is from holding, in its own unit.
    pub slack: Option<f64>,
}

/// The page of a design that has no balance, with the statements that conflict.
pub fn no_balance(title: &str, conflict: &[Statement], origin: &Origin) -> Page {
    let mut page = Page::new(title);
    page.blocks.push(Block::Outcome {
        tone: Tone::Bad,
        words: format!(
            "No balance: nothing that \"{title}\" allows keeps its loop going, so there is no mass to report."
        ),
    });
    if !conflict.is_empty() {
        page.paragraph("What stands in the way, by the least amounts that would have to give:");
        page.points(conflict.iter().map(Statement::with_place).collect());
    }
    page.data = json!({
        "status": "infeasible",
        "title": title,
        "conflict": conflict.iter().map(Statement::data).collect::<Vec<Value>>(),
    });
    sign(&mut page, origin);
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
    sign(&mut page, origin);
    page
}

fn sign(page: &mut Page, origin: &Origin) {
    if let Some(variant) = &origin.variant {
        page.data["variant"] = json!(variant);
    }
    if !origin.edits.is_empty() {
        page.data["edits"] = json!(origin.edits);
    }
    page.data["input_sha256"] = json!(origin.input_sha256);
    page.data["tool_version"] = json!(env!("CARGO_PKG_VERSION"));
}

impl Statement {
    fn with_place(&self) -> String {
        match &self.place {
            Some((name, line, column)) => format!("{} ({name}:{line}:{column})", self.words),
            None => self.words.clone(),
        }
    }

    fn data(&self) -> Value {
        let mut data = json!({"statement": self.words});
        if let Some((name, line, column)) = &self.place {
            data["place"] = json!({"source": name, "line": line, "column": column});
        }
        if let Some(slack) = self.slack {
            data["slack"] = json!(slack);
        }
        data
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_design_without_balance_reports_statements_and_no_mass() {
        let statement = Statement {
            words: "crew needs 3.3 kg/d of oxygen".into(),
            place: Some(("loop.ron".into(), 12, 9)),
            slack: Some(1.2),
        };
        let page = no_balance("Loop", &[statement], &Origin::default());
        let text = crate::report::render_text(&page);
        assert!(text.contains("crew needs 3.3 kg/d of oxygen (loop.ron:12:9)"));
        assert_eq!(page.data["conflict"][0]["place"]["line"], 12);
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
