use super::{Diagnostic, Severity, Sources};
use annotate_snippets::{
    AnnotationKind, Element, Group, Level, Padding, Renderer, Snippet, renderer::DecorStyle,
};
use serde_json::{Value, json};

/// The width at which long source lines are cut.
const WIDTH: usize = 120;

/// All complaints as a terminal shows them: headline, source lines with the
/// places marked, and the next act; one blank line between complaints.
pub fn render_text(diagnostics: &[Diagnostic], sources: &Sources, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.decor_style(DecorStyle::Ascii).term_width(WIDTH);
    let mut text = String::new();
    for (index, diagnostic) in diagnostics.iter().enumerate() {
        if index > 0 {
            text.push('\n');
        }
        text.push_str(&renderer.render(&[group(diagnostic, sources)]));
        text.push('\n');
    }
    text
}

fn group<'a>(diagnostic: &'a Diagnostic, sources: &'a Sources) -> Group<'a> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let mut group = level
        .primary_title(diagnostic.headline.as_str())
        .id(diagnostic.code.0)
        .elements(Vec::<Element<'a>>::new());
    // One snippet for each text, the text of the primary place first.
    let mut marks: Vec<(bool, super::Place, &str)> = Vec::new();
    if let Some((place, label)) = &diagnostic.primary {
        marks.push((true, *place, label));
    }
    marks.extend(
        diagnostic
            .further
            .iter()
            .map(|(place, label)| (false, *place, label.as_str())),
    );
    let mut texts = Vec::new();
    for (_, place, _) in &marks {
        if !texts.contains(&place.source) {
            texts.push(place.source);
        }
    }
    for id in texts {
        let mut snippet = Snippet::source(sources.text(id))
            .path(sources.name(id))
            .fold(true);
        for (primary, place, label) in marks.iter().filter(|(_, place, _)| place.source == id) {
            let kind = if *primary {
                AnnotationKind::Primary
            } else {
                AnnotationKind::Context
            };
            let mut annotation = kind.span(sources.bytes(*place));
            if !label.is_empty() {
                annotation = annotation.label(*label);
            }
            snippet = snippet.annotation(annotation);
        }
        group = group.element(snippet);
    }
    if let Some(help) = &diagnostic.help {
        if !marks.is_empty() {
            group = group.element(Padding);
        }
        group = group.element(Level::HELP.message(help.as_str()));
    }
    group
}

/// All complaints as one JSON list; absent parts are left out.
///
/// Each entry has `code`, `severity`, `headline` and, where they are known,
/// `place` (`source`, `line`, `column`, `quote`, `label`), `further` (a list
/// of such places) and `help`.
pub fn render_json(diagnostics: &[Diagnostic], sources: &Sources) -> Value {
    let place = |place: super::Place, label: &str| {
        let (line, column) = sources.line_column(place);
        let mut entry = json!({
            "source": sources.name(place.source),
            "line": line,
            "column": column,
            "quote": sources.quote(place),
        });
        if !label.is_empty() {
            entry["label"] = json!(label);
        }
        entry
    };
    diagnostics
        .iter()
        .map(|diagnostic| {
            let mut entry = json!({
                "code": diagnostic.code.0,
                "severity": diagnostic.severity.word(),
                "headline": diagnostic.headline,
            });
            if let Some((primary, label)) = &diagnostic.primary {
                entry["place"] = place(*primary, label);
            }
            if !diagnostic.further.is_empty() {
                entry["further"] = diagnostic
                    .further
                    .iter()
                    .map(|(further, label)| place(*further, label))
                    .collect();
            }
            if let Some(help) = &diagnostic.help {
                entry["help"] = json!(help);
            }
            entry
        })
        .collect()
}
