//! What a kilogram of launch mass costs.

use crate::design;
use crate::diagnostic::{Diagnostic, codes};

/// What a kilogram of launch mass costs.
#[derive(Clone, Debug, PartialEq)]
pub struct LaunchPrice {
    /// Money per kilogram of launch mass.
    pub per_kg: f64,
    /// What the money is called.
    pub currency: String,
}

/// Checks what a design writes about the price.
pub(super) fn launch_price(
    written: Option<&design::LaunchPrice>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<LaunchPrice> {
    let written = written?;
    let price = written.per_kilogram;
    if price.value < 0.0 {
        diagnostics.push(
            Diagnostic::error(
                codes::OUT_OF_RANGE,
                format!("a launch price of {} per kilogram", price.value),
            )
            .at(price.place, "")
            .help("state what a kilogram at launch costs, 0 or more"),
        );
    }
    Some(LaunchPrice {
        per_kg: price.value,
        currency: written.currency.text.clone(),
    })
}
