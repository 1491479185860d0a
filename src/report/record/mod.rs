//! A plan as data: one object with stable keys, units in the key. What a
//! design does not have is left out, never zero.

mod shape;

use indexmap::IndexMap;

use shape::{
    AuditRecord, ByName, CostRecord, DeliveryRecord, EquivalentRecord, FamilyRecord, FlightRecord,
    FlowRecord, LevelRecord, LineRecord, Record, RecoveryRecord, ReferenceRecord, SolverRecord,
    SourceRecord, StoreRecord,
};

use super::findings::{Findings, status_words};
use super::totals;
use crate::answer::{Answer, EquivalentMass, FlightsForm, Recovery};
use crate::audit::{Plan, Reference};
use crate::kinds::{Stock, Tank};
use crate::network::Network;

/// A flow or draw below this is noise of the linear solver, kg/d.
pub(super) const NOISE_KG_PER_DAY: f64 = 1e-9;

/// Everything that is known about a plan.
pub(super) fn record<'a>(findings: &Findings<'a>) -> Record<'a> {
    let plan = findings.plan;
    let (network, answer) = (plan.network(), plan.answer());
    let calendar = &network.calendar;
    let decisions = &answer.decisions;
    Record {
        status: status_words(answer.proof.status),
        title: &network.title,
        variant: findings.origin.variant.as_deref(),
        edits: &findings.origin.edits,
        launch_mass_kg: answer.launch_mass_kg,
        equivalent_system_mass_kg: answer
            .equivalents
            .as_ref()
            .map(|equivalents| equivalents.equivalent_system_mass_kg),
        equivalents: answer
            .equivalents
            .as_ref()
            .map_or_else(Vec::new, lines_beside),
        launch_cost: network.launch_price.as_ref().zip(plan.launch_cost()).map(
            |(price, amount)| CostRecord {
                amount,
                currency: &price.currency,
                per_kg: price.per_kg,
            },
        ),
        by_category: plan
            .by_category()
            .into_iter()
            .map(|(category, kg)| (category.words(), kg))
            .collect(),
        by_flight: flights(plan),
        ledger: answer
            .ledger
            .iter()
            .map(|line| LineRecord {
                flight: line.flight,
                day: calendar.flights[line.flight].day,
                item: &line.item,
                category: line.category.words(),
                kg: line.kg,
                gear_ratio: calendar.flights[line.flight].gear_ratio,
                how: &line.how,
            })
            .collect(),
        units: network
            .nodes()
            .filter(|&node| network.duties(node).hardware.is_some())
            .map(|node| (name(network, node), decisions.counts[node.index()]))
            .collect(),
        throughput: by_phase(network, |phase| {
            network
                .nodes()
                .filter(|&node| network.duties(node).hardware.is_some())
                .map(|node| (name(network, node), answer.throughput[node.index()][phase]))
                .collect()
        }),
        flows: by_phase(network, |phase| flows(network, answer, phase)),
        draws: match answer.draws.is_empty() {
            true => IndexMap::new(),
            false => by_phase(network, |phase| {
                let draws = answer.draws.iter();
                draws
                    .map(|draw| (name(network, draw.node), draw.kg_per_day[phase]))
                    .collect()
            }),
        },
        cargo: cargo(network, answer),
        stock: answer
            .stock
            .iter()
            .map(|stock| {
                let levels = calendar.intervals.iter().zip(&stock.levels);
                let levels = levels.map(|(interval, level)| LevelRecord {
                    day: interval.start,
                    start_kg: level.start_kg,
                    end_kg: level.end_kg,
                });
                (name(network, stock.node), levels.collect())
            })
            .collect(),
        cartridges: decisions
            .cartridges
            .iter()
            .map(|plan| (name(network, plan.node), plan.by_flight.as_slice()))
            .collect(),
        expendables_kg: consumables(network, answer, |plan| &plan.expendables_kg),
        upkeep_kg: consumables(network, answer, |plan| &plan.upkeep_kg),
        spares: decisions
            .spares
            .iter()
            .map(|plan| (plan.part.clone(), plan.spares))
            .collect(),
        spares_confidence: decisions
            .spares
            .iter()
            .map(|plan| (plan.part.clone(), plan.confidence))
            .collect(),
        spares_risk_share: totals::risk_shares(&decisions.spares)
            .unwrap_or_default()
            .into_iter()
            .zip(&decisions.spares)
            .map(|(share, plan)| (plan.part.clone(), share))
            .collect(),
        system_confidence: (!decisions.spares.is_empty())
            .then(|| totals::system_confidence(&decisions.spares)),
        tanks: stores(network, answer),
        disposed_kg: answer
            .waste
            .iter()
            .map(|waste| (name(network, waste.node), waste.kg))
            .collect(),
        power_w: phase_values(network, &answer.power_w),
        heat_w: phase_values(network, &answer.heat_w),
        crew_time_h_per_d: phase_values(network, &answer.crew_time_h_per_day),
        volume_m3: (answer.volume_m3 > 0.0).then_some(answer.volume_m3),
        recovery: recovery(&answer.recovery),
        reference: plan.reference().map(|reference| compared(reference, plan)),
        audit: audit(plan),
        solver: SolverRecord {
            backend: answer.proof.backend,
            version: answer.proof.backend_version,
            gap: answer.proof.gap,
            bound_kg: answer.proof.bound_kg,
            relaxations: answer.proof.relaxations,
            flights_form: flights_form(answer.proof.flights_form),
            seconds: findings
                .timings
                .unwrap_or(&[])
                .iter()
                .map(|timing| (timing.step, timing.seconds))
                .collect(),
        },
        notes: &network.notes,
        sources: findings
            .origin
            .sources
            .iter()
            .map(|source| SourceRecord {
                figure: &source.figure,
                source: &source.words,
            })
            .collect(),
        input_sha256: &findings.origin.input_sha256,
        tool_version: env!("CARGO_PKG_VERSION"),
    }
}

fn lines_beside(equivalents: &EquivalentMass) -> Vec<EquivalentRecord<'_>> {
    let lines = equivalents.lines.iter();
    lines
        .map(|line| EquivalentRecord {
            item: line.item,
            kg: line.kg,
            gear_ratio: equivalents.gear_ratio,
            how: &line.how,
        })
        .collect()
}

fn flights_form(form: FlightsForm) -> &'static str {
    match form {
        FlightsForm::TotalsSplit => "totals split",
        FlightsForm::PerFlight => "per flight",
    }
}

fn name(network: &Network, node: crate::network::NodeId) -> String {
    network.name(node).to_owned()
}

fn by_phase<T>(network: &Network, of: impl Fn(usize) -> T) -> ByName<T> {
    let phases = network.calendar.phases.iter().enumerate();
    phases
        .map(|(index, phase)| (phase.name.clone(), of(index)))
        .collect()
}

/// A value per phase, or nothing where no phase has any.
fn phase_values(network: &Network, values: &[f64]) -> ByName<f64> {
    match values.iter().any(|value| *value != 0.0) {
        true => by_phase(network, |phase| values[phase]),
        false => IndexMap::new(),
    }
}

fn flights(plan: &Plan) -> Vec<FlightRecord> {
    totals::by_flight(plan)
        .into_iter()
        .map(|total| FlightRecord {
            flight: total.flight,
            day: total.day,
            kg: total.kg,
            gear_ratio: total.gear_ratio,
            launch_mass_kg: total.launch_mass_kg(),
            payload_kg: total.payload_kg,
            spare_payload_kg: total.spare_payload_kg(),
        })
        .collect()
}

fn flows<'a>(network: &'a Network, answer: &Answer, phase: usize) -> Vec<FlowRecord<'a>> {
    network
        .streams()
        .filter(|stream| answer.decisions.flows[stream.index()][phase] > NOISE_KG_PER_DAY)
        .map(|stream| {
            let (from, to) = network.ends(stream);
            FlowRecord {
                substance: network.substances.name(network.graph[stream].substance),
                from: network.name(from),
                to: network.name(to),
                kg_per_d: answer.decisions.flows[stream.index()][phase],
            }
        })
        .collect()
}

/// Deliveries of every cargo node; flights that bring nothing are left out.
fn cargo(network: &Network, answer: &Answer) -> ByName<Vec<DeliveryRecord>> {
    let flights = &network.calendar.flights;
    answer
        .decisions
        .cargo
        .iter()
        .map(|plan| {
            let deliveries = flights.iter().enumerate().map(|(index, flight)| {
                let containers = plan.containers.as_ref().map(|by_flight| by_flight[index]);
                DeliveryRecord {
                    flight: index,
                    day: flight.day,
                    kg: plan.kg[index],
                    containers,
                }
            });
            let brought = deliveries
                .filter(|delivery| delivery.kg != 0.0 || delivery.containers.unwrap_or(0) > 0);
            (name(network, plan.node), brought.collect())
        })
        .collect()
}

fn consumables<'a>(
    network: &Network,
    answer: &'a Answer,
    of: impl Fn(&'a crate::answer::ConsumablePlan) -> &'a [f64],
) -> ByName<&'a [f64]> {
    answer
        .decisions
        .consumables
        .iter()
        .map(|plan| (name(network, plan.node), of(plan)))
        .filter(|(_, by_flight)| by_flight.iter().any(|kg| *kg != 0.0))
        .collect()
}

/// Stores with a reserve or a tank.
fn stores(network: &Network, answer: &Answer) -> ByName<StoreRecord> {
    answer
        .decisions
        .stores
        .iter()
        .filter_map(|plan| {
            let Some(Stock::Kept { reserve, tank, .. }) = &network.duties(plan.node).stock else {
                return None;
            };
            if reserve.is_none() && tank.is_none() {
                return None;
            }
            let whole = matches!(tank, Some(Tank::Whole { .. }));
            Some((
                name(network, plan.node),
                StoreRecord {
                    reserve_kg: reserve.map(|_| plan.reserve_kg),
                    holds_kg: plan.holds_kg,
                    tanks: plan.tanks.filter(|_| whole),
                },
            ))
        })
        .collect()
}

fn recovery(recovery: &Recovery) -> RecoveryRecord {
    RecoveryRecord {
        water_recovery: recovery.water_recovery,
        water_lost_share: recovery.water_lost_share,
        oxygen_closure: recovery.oxygen_closure,
        loop_closure_by_mass: recovery.loop_closure_by_mass,
    }
}

fn compared<'a>(reference: &'a Reference, plan: &Plan) -> ReferenceRecord<'a> {
    ReferenceRecord {
        name: reference.name(),
        status: reference.status(),
        launch_mass_kg: reference.launch_mass_kg(),
        flights: reference.flights(),
        payload_used: reference.payload_used(),
        flights_by_mass: reference.flights_by_mass(),
        plan_flights_by_mass: plan.flights_by_mass(),
        launch_cost: plan
            .saving_cost()
            .and(reference.launch_cost())
            .map(|(cost, _)| cost),
        saving_kg: plan.saving_kg(),
        saving_flights: plan.saving_flights(),
        saving_cost: plan.saving_cost(),
    }
}

fn audit(plan: &Plan) -> AuditRecord<'_> {
    let report = plan.report();
    AuditRecord {
        worst_residual: report.worst_residual,
        checks: report.checks,
        families: report
            .families
            .iter()
            .map(|family| {
                let record = FamilyRecord {
                    worst_residual: family.worst.residual,
                    checks: family.checks,
                };
                (family.family.words(), record)
            })
            .collect(),
        unchecked: &report.unchecked,
    }
}
