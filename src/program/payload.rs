//! Payload: what a flight may carry.

use super::builder::{Builder, Sum};
use super::{Family, Form, Sense};

/// Flight by flight: every kilogram charged to a flight, before its gear
/// ratio, `≤ payload`. The totals form leaves these rows out.
pub(super) fn rows(builder: &mut Builder) {
    if builder.form == Form::Totals {
        return;
    }
    for (index, flight) in builder.network.calendar.flights.iter().enumerate() {
        let Some(payload) = flight.payload_kg else {
            continue;
        };
        let mut sum = Sum::default();
        for charge in &builder.charges {
            if charge.flight == Some(index) {
                match charge.column {
                    Some(column) => sum.add(column, charge.kg),
                    None => sum.add_constant(charge.kg),
                }
            }
        }
        sum.add_constant(-payload);
        let label = format!("payload of flight {index} on day {}", flight.day);
        builder
            .row(Family::Payload, label, flight.place, sum, Sense::AtMost)
            .by_flight(index);
    }
}
