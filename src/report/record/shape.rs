//! The shape of a plan as data: every key, in the order in which it is written.

use indexmap::IndexMap;
use serde::Serialize;

/// By name, in the order of the design file.
pub type ByName<T> = IndexMap<String, T>;

#[derive(Serialize)]
pub struct Record<'a> {
    pub status: &'static str,
    pub title: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub variant: Option<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pub edits: &'a [String],
    pub launch_mass_kg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub equivalent_system_mass_kg: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub equivalents: Vec<EquivalentRecord<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub launch_cost: Option<CostRecord<'a>>,
    pub by_category: IndexMap<&'static str, f64>,
    pub by_flight: Vec<FlightRecord>,
    pub ledger: Vec<LineRecord<'a>>,
    pub units: ByName<u32>,
    pub throughput: ByName<ByName<f64>>,
    pub flows: ByName<Vec<FlowRecord<'a>>>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub draws: ByName<ByName<f64>>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub cargo: ByName<Vec<DeliveryRecord>>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub stock: ByName<Vec<LevelRecord>>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub cartridges: ByName<&'a [u32]>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub expendables_kg: ByName<&'a [f64]>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub upkeep_kg: ByName<&'a [f64]>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub spares: ByName<u32>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub spares_confidence: ByName<f64>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub spares_risk_share: ByName<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub system_confidence: Option<f64>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub tanks: ByName<StoreRecord>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub disposed_kg: ByName<f64>,
    #[serde(rename = "power_W", skip_serializing_if = "IndexMap::is_empty")]
    pub power_w: ByName<f64>,
    #[serde(rename = "heat_W", skip_serializing_if = "IndexMap::is_empty")]
    pub heat_w: ByName<f64>,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub crew_time_h_per_d: ByName<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub volume_m3: Option<f64>,
    pub recovery: RecoveryRecord,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reference: Option<ReferenceRecord<'a>>,
    pub audit: AuditRecord<'a>,
    pub solver: SolverRecord,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pub notes: &'a [String],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<SourceRecord<'a>>,
    pub input_sha256: &'a str,
    pub tool_version: &'static str,
}

#[derive(Serialize)]
pub struct CostRecord<'a> {
    pub amount: f64,
    pub currency: &'a str,
    pub per_kg: f64,
}

#[derive(Serialize)]
pub struct EquivalentRecord<'a> {
    pub item: &'a str,
    pub kg: f64,
    pub gear_ratio: f64,
    pub how: &'a str,
}

#[derive(Serialize)]
pub struct FlightRecord {
    pub flight: usize,
    pub day: f64,
    pub kg: f64,
    pub gear_ratio: f64,
    pub launch_mass_kg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub payload_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare_payload_kg: Option<f64>,
}

#[derive(Serialize)]
pub struct LineRecord<'a> {
    pub flight: usize,
    pub day: f64,
    pub item: &'a str,
    pub category: &'static str,
    pub kg: f64,
    pub gear_ratio: f64,
    pub how: &'a str,
}

#[derive(Serialize)]
pub struct FlowRecord<'a> {
    pub substance: &'a str,
    pub from: &'a str,
    pub to: &'a str,
    pub kg_per_d: f64,
}

#[derive(Serialize)]
pub struct DeliveryRecord {
    pub flight: usize,
    pub day: f64,
    pub kg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub containers: Option<u32>,
}

#[derive(Serialize)]
pub struct LevelRecord {
    pub day: f64,
    pub start_kg: f64,
    pub end_kg: f64,
}

#[derive(Serialize)]
pub struct StoreRecord {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reserve_kg: Option<f64>,
    pub holds_kg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tanks: Option<u32>,
}

#[derive(Serialize)]
pub struct RecoveryRecord {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_recovery: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_lost_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub oxygen_closure: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loop_closure_by_mass: Option<f64>,
}

#[derive(Serialize)]
pub struct ReferenceRecord<'a> {
    pub name: &'a str,
    pub status: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub launch_mass_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flights: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub payload_used: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flights_by_mass: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan_flights_by_mass: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub launch_cost: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saving_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saving_flights: Option<i64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saving_cost: Option<f64>,
}

#[derive(Serialize)]
pub struct AuditRecord<'a> {
    pub worst_residual: f64,
    pub checks: usize,
    pub families: IndexMap<&'static str, FamilyRecord>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pub unchecked: &'a [String],
}

#[derive(Serialize)]
pub struct FamilyRecord {
    pub worst_residual: f64,
    pub checks: usize,
}

#[derive(Serialize)]
pub struct SolverRecord {
    pub backend: &'static str,
    pub version: &'static str,
    pub gap: f64,
    pub bound_kg: f64,
    pub relaxations: usize,
    pub flights_form: &'static str,
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub seconds: IndexMap<&'static str, f64>,
}

#[derive(Serialize)]
pub struct SourceRecord<'a> {
    pub figure: &'a str,
    pub source: &'a str,
}
