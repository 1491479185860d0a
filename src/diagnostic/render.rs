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
        let here = || marks.iter().filter(|(_, place, _)| place.source == id);
        let (lines, first_line) = sources.lines_about(id, here().map(|(_, place, _)| *place));
        let mut snippet = Snippet::source(sources.text(id).get(lines.clone()).unwrap_or(""))
            .line_start(first_line)
            .path(sources.name(id))
            .fold(true);
        for (primary, place, label) in here() {
            let bytes = sources.bytes(*place);
            let bytes = bytes.start - lines.start..bytes.end - lines.start;
            let kind = if *primary {
                AnnotationKind::Primary
            } else {
                AnnotationKind::Context
            };
            let mut annotation = kind.span(bytes);
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
/// `place` (`source`, `line`, `column`, `end_line`, `end_column` one past the end,
/// `quote`, `label`), `further` (a list
/// of such places) and `help`.
pub fn render_json(diagnostics: &[Diagnostic], sources: &Sources) -> Value {
    let place = |place: super::Place, label: &str| {
        let (line, column) = sources.line_column(place);
        let end = super::Place {
            start: sources.bytes(place).end,
            ..place
        };
        let (end_line, end_column) = sources.line_column(end);
        let mut entry = json!({
            "source": sources.name(place.source),
            "line": line,
            "column": column,
            "end_line": end_line,
            "end_column": end_column,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::{Place, SourceId, codes};

    fn example() -> (Vec<Diagnostic>, Sources) {
        let mut sources = Sources::new();
        let file = sources.add(
            "loop.ron",
            "Unit(\n    mass: \"62 kgs\", // m³\n    mass: \"5 kg\",\n)\n",
        );
        let setting = sources.add("--set", "unit.mas=5 kg");
        let place = |source: SourceId, start: usize, end: usize| Place { source, start, end };
        let doubled = Diagnostic::error(codes::DUPLICATE_FIELD, "the field mass is given twice")
            .at(place(file, 37, 41), "given again here")
            .also(place(file, 10, 14), "first given here")
            .help("keep one of them");
        let unknown = Diagnostic::warning(codes::UNKNOWN_FIELD, "no field mas")
            .at(place(setting, 0, 8), "")
            .also(place(file, 0, 4), "this record");
        let bare = Diagnostic::error(codes::SYNTAX, "nothing was read").help("name a file");
        (vec![doubled, unknown, bare], sources)
    }

    #[test]
    fn text_shows_the_places() {
        let (diagnostics, sources) = example();
        assert_eq!(
            render_text(&diagnostics, &sources, false),
            "\
error[LW0105]: the field mass is given twice
 --> loop.ron:3:5
  |
2 |     mass: \"62 kgs\", // m³
  |     ---- first given here
3 |     mass: \"5 kg\",
  |     ^^^^ given again here
  |
  = help: keep one of them

warning[LW0103]: no field mas
 --> --set:1:1
  |
1 | unit.mas=5 kg
  | ^^^^^^^^
  |
 ::: loop.ron:1:1
  |
1 | Unit(
  | ---- this record

error[LW0101]: nothing was read
 |
 = help: name a file
"
        );
    }

    #[test]
    fn columns_count_characters_and_a_mark_is_not_shown() {
        let mut sources = Sources::new();
        let source = sources.add("a.ron", "\u{feff}m³: \u{1b}[31m\u{7}x\r\nlast");
        let at = |start, end| Place { source, start, end };
        let complaints = [
            Diagnostic::error(codes::SYNTAX, "x\u{1b}[31m").at(at(14, 15), ""),
            Diagnostic::error(codes::SYNTAX, "the end").at(at(21, 21), ""),
            Diagnostic::error(codes::SYNTAX, "the start").at(at(0, 0), ""),
        ];
        let text = render_text(&complaints, &sources, false);
        assert!(
            !text.contains('\u{1b}') && !text.contains('\u{feff}'),
            "{text:?}"
        );
        let spots: Vec<&str> = text
            .lines()
            .filter_map(|line| line.split_once("--> "))
            .map(|(_, spot)| spot)
            .collect();
        assert_eq!(spots, ["a.ron:1:11", "a.ron:2:5", "a.ron:1:1"], "{text}");
    }

    #[test]
    fn colour_adds_only_colour() {
        let (diagnostics, sources) = example();
        let plain = render_text(&diagnostics, &sources, false);
        let styled = render_text(&diagnostics, &sources, true);
        assert!(styled.contains('\u{1b}') && !plain.contains('\u{1b}'));
        assert_eq!(anstream::adapter::strip_str(&styled).to_string(), plain);
    }

    #[test]
    fn json_leaves_out_what_is_absent() {
        let (diagnostics, sources) = example();
        let json = render_json(&diagnostics, &sources);
        assert_eq!(
            json,
            json!([
                {
                    "code": "LW0105",
                    "severity": "error",
                    "headline": "the field mass is given twice",
                    "place": {
                        "source": "loop.ron", "line": 3, "column": 5,
                        "end_line": 3, "end_column": 9, "quote": "mass",
                        "label": "given again here",
                    },
                    "further": [{
                        "source": "loop.ron", "line": 2, "column": 5,
                        "end_line": 2, "end_column": 9, "quote": "mass",
                        "label": "first given here",
                    }],
                    "help": "keep one of them",
                },
                {
                    "code": "LW0103",
                    "severity": "warning",
                    "headline": "no field mas",
                    "place": {
                        "source": "--set", "line": 1, "column": 1,
                        "end_line": 1, "end_column": 9, "quote": "unit.mas",
                    },
                    "further": [{
                        "source": "loop.ron", "line": 1, "column": 1,
                        "end_line": 1, "end_column": 5, "quote": "Unit",
                        "label": "this record",
                    }],
                },
                {
                    "code": "LW0101",
                    "severity": "error",
                    "headline": "nothing was read",
                    "help": "name a file",
                },
            ])
        );
    }
}
