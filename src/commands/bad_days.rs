//! Faults that are named on the command line.

use crate::design;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::network::{BadDays, Network};
use crate::written::{Read, Reading, parse};

use super::failure::Failure;
use super::session::Session;

/// The faults of some texts, together; none if there are no texts.
pub(super) fn bad_days(
    texts: &[String],
    network: &Network,
    session: &mut Session,
) -> Result<Option<BadDays>, Failure> {
    let mut faults = Vec::new();
    let mut complaints = Vec::new();
    for text in texts {
        let named = network.bad_days.iter().find(|days| days.name == *text);
        if let Some(days) = named {
            faults.extend(days.faults.iter().cloned());
            complaints.extend(days.cannot_be.iter().cloned());
            continue;
        }
        match written(text, session) {
            Ok(fault) => match network.fault(&fault, "--fault") {
                Ok(fault) => faults.push(fault),
                Err(complaint) => complaints.push(*complaint),
            },
            Err(_) if !text.contains('(') => complaints.push(unknown(text, network)),
            Err(more) => complaints.extend(more),
        }
    }
    if !complaints.is_empty() {
        return Err(Failure::bad_input(complaints));
    }
    Ok((!texts.is_empty()).then(|| BadDays {
        name: texts.join("; "),
        faults,
        cannot_be: Vec::new(),
    }))
}

/// A fault as the design file writes it.
fn written(text: &str, session: &mut Session) -> Result<design::Fault, Vec<Diagnostic>> {
    let source = session.sources.add("--fault", text);
    let value = parse(source, text).map_err(|complaint| vec![complaint])?;
    let mut reading = Reading::new();
    let fault = design::Fault::read(&value, &mut reading);
    let errors: Vec<Diagnostic> = reading
        .diagnostics
        .into_iter()
        .filter(Diagnostic::is_error)
        .collect();
    match fault {
        Some(fault) if errors.is_empty() => Ok(fault),
        _ => Err(errors),
    }
}

fn unknown(text: &str, network: &Network) -> Diagnostic {
    let names = network.bad_days.iter().map(|days| days.name.as_str());
    let help = match nearest(text, names) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => {
            "write one such as Late(flight: 1, by: \"30 d\"), or name one of the design's faults"
                .to_owned()
        }
    };
    let words = format!("--fault: the design names no fault \"{text}\"");
    Diagnostic::error(codes::UNKNOWN_NAME, words).help(help)
}
