//! The manifest as data.

use serde::Serialize;

use crate::report::findings::{Findings, status_words};
use crate::timeline::{Item, Leaving, Load, Loading, Manifest};

#[derive(Serialize)]
pub(in crate::report) struct Record<'a> {
    status: &'static str,
    title: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    variant: Option<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    edits: &'a [String],
    launch_mass_kg: f64,
    flights: Vec<FlightRecord<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    taken_away_at_end: Vec<LeavingRecord<'a>>,
    input_sha256: &'a str,
    tool_version: &'static str,
}

#[derive(Serialize)]
struct FlightRecord<'a> {
    flight: usize,
    day: f64,
    until_day: f64,
    days_to_next: f64,
    kg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    payload_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spare_payload_kg: Option<f64>,
    gear_ratio: f64,
    launch_mass_kg: f64,
    items: Vec<ItemRecord<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    taken_away: Vec<LeavingRecord<'a>>,
}

#[derive(Serialize)]
struct ItemRecord<'a> {
    item: &'a str,
    load: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    substance: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shared_by: Option<&'a [String]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pieces: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    kg_each: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    content_kg_each: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tare_kg_each: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    content_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    packaging_kg: Option<f64>,
    kg: f64,
}

#[derive(Serialize)]
struct LeavingRecord<'a> {
    item: &'a str,
    substance: &'a str,
    kg: f64,
}

pub(in crate::report) fn record<'a>(findings: &Findings<'a>, manifest: &'a Manifest) -> Record<'a> {
    let (plan, origin) = (findings.plan, findings.origin);
    Record {
        status: status_words(plan.answer().proof.status),
        title: &plan.network().title,
        variant: origin.variant.as_deref(),
        edits: &origin.edits,
        launch_mass_kg: plan.answer().launch_mass_kg,
        flights: manifest.flights.iter().map(flight).collect(),
        taken_away_at_end: manifest.leaving_at_end.iter().map(leaving).collect(),
        input_sha256: &origin.input_sha256,
        tool_version: env!("CARGO_PKG_VERSION"),
    }
}

fn flight(loading: &Loading) -> FlightRecord<'_> {
    FlightRecord {
        flight: loading.flight,
        day: loading.day,
        until_day: loading.until_day,
        days_to_next: loading.days_to_next(),
        kg: loading.kg,
        payload_kg: loading.payload_kg,
        spare_payload_kg: loading.spare_payload_kg(),
        gear_ratio: loading.gear_ratio,
        launch_mass_kg: loading.launch_mass_kg(),
        items: loading.items.iter().map(item).collect(),
        taken_away: loading.leaving.iter().map(leaving).collect(),
    }
}

fn item(item: &Item) -> ItemRecord<'_> {
    let mut record = ItemRecord {
        item: &item.name,
        load: item.load.key(),
        substance: item.load.substance(),
        shared_by: None,
        pieces: item.pieces.map(|pieces| pieces.number),
        kg_each: item.pieces.map(|pieces| pieces.kg_each),
        content_kg_each: None,
        tare_kg_each: None,
        content_kg: None,
        packaging_kg: None,
        kg: item.kg,
    };
    match &item.load {
        Load::SparePart { shared_by } if !shared_by.is_empty() => {
            record.shared_by = Some(shared_by);
        }
        Load::Container {
            content_kg,
            tare_kg,
            ..
        } => {
            record.content_kg_each = Some(*content_kg);
            record.tare_kg_each = Some(*tare_kg);
        }
        Load::Packed {
            content_kg,
            packaging_kg,
            ..
        } => {
            record.content_kg = Some(*content_kg);
            record.packaging_kg = Some(*packaging_kg);
        }
        _ => {}
    }
    record
}

fn leaving(waste: &Leaving) -> LeavingRecord<'_> {
    LeavingRecord {
        item: &waste.name,
        substance: &waste.substance,
        kg: waste.kg,
    }
}
