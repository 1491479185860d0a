//! The substances of a design: built in, and declared.

use crate::catalogue::{self, CrewProfile, Makeup, SubstanceError, Substances};
use crate::design::Declared;
use crate::diagnostic::{Diagnostic, codes, nearest};
use crate::physics::Formula;
use crate::written::{Entries, Named};

/// Declares what a design declares; a mixture may name what is declared later.
pub(super) fn substances(
    written: &Entries<Named, Declared>,
    profile: Option<&'static CrewProfile>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Substances {
    let profile = profile.unwrap_or(&catalogue::crew_profiles()[0]);
    let mut table = Substances::builtin(profile);
    let mut waiting: Vec<&(Named, Declared)> = written.iter().collect();
    loop {
        let before = waiting.len();
        waiting.retain(|(name, declared)| {
            let Declared::Mixture(parts) = declared else {
                declare(&mut table, name, declared, diagnostics);
                return false;
            };
            if parts.keys().all(|part| table.find(&part.text).is_some()) {
                declare(&mut table, name, declared, diagnostics);
                return false;
            }
            true
        });
        if waiting.len() == before {
            break;
        }
    }
    for (name, declared) in waiting {
        let Declared::Mixture(parts) = declared else {
            continue;
        };
        for part in parts.keys().filter(|part| table.find(&part.text).is_none()) {
            let declared_too = written.get(&part.text).is_some();
            if declared_too {
                diagnostics.push(
                    Diagnostic::error(
                        codes::SUBSTANCE,
                        format!("substances.{name}: is made of \"{part}\", which leads back to it"),
                    )
                    .at(part.place, "")
                    .help("mixtures must not hold each other in a circle: state one of them otherwise"),
                );
                continue;
            }
            let help = match nearest(&part.text, table.names()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "declare it too".to_owned(),
            };
            diagnostics.push(
                Diagnostic::error(
                    codes::UNKNOWN_SUBSTANCE,
                    format!("substances.{name}: \"{part}\" is not known"),
                )
                .at(part.place, "")
                .help(help),
            );
        }
        // So that its uses do not complain a second time.
        let _ = table.declare(&name.text, Makeup::Opaque, name.place);
    }
    table
}

fn declare(
    table: &mut Substances,
    name: &Named,
    declared: &Declared,
    diagnostics: &mut Vec<Diagnostic>,
) {
    let makeup = match declared {
        Declared::Opaque => Makeup::Opaque,
        Declared::Pure(formula) => match Formula::parse(&formula.text) {
            Ok(formula) => Makeup::Pure(formula),
            Err(error) => {
                diagnostics.push(
                    Diagnostic::error(codes::REACTION, format!("substances.{name}: {error}"))
                        .at(formula.place, "")
                        .help("write a chemical formula such as Pure(\"C2H2\")"),
                );
                Makeup::Opaque
            }
        },
        Declared::Mixture(parts) => Makeup::Mixture(
            parts
                .iter()
                .filter_map(|(part, fraction)| Some((table.find(&part.text)?, fraction.0)))
                .collect(),
        ),
    };
    if let Err(error) = table.declare(&name.text, makeup, name.place) {
        let help = match &error {
            SubstanceError::Sum { .. } | SubstanceError::Fraction { .. } => {
                "mass fractions lie above 0 and sum to 1"
            }
            _ => "take the declaration out to use what is known, or choose another name",
        };
        let mut complaint =
            Diagnostic::error(codes::SUBSTANCE, format!("substances.{name}: {error}"))
                .at(name.place, "")
                .help(help);
        if let SubstanceError::Disagrees {
            earlier: Some(earlier),
            ..
        } = &error
        {
            complaint = complaint.also(*earlier, "declared here before");
        }
        diagnostics.push(complaint);
        // So that its uses do not complain a second time.
        let _ = table.declare(&name.text, Makeup::Opaque, name.place);
    }
}
