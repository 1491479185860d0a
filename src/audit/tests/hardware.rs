//! Counts and feeds that no units bear.

use super::*;

#[test]
fn counts_out_of_bounds() {
    let result = changed(|network, _| duties(network, "polisher").count.upper = 1);
    let name = "2 units of polisher, where 1 to 1 may fly";
    rejected(result, &[Family::Counts], name);
    let result = changed(|network, _| duties(network, "condenser").count.lower = 2);
    let name = "1 units of condenser, where 2 to 2 may fly";
    rejected(result, &[Family::Counts], name);
    let result = changed(|network, decisions| {
        decisions.counts[node(network, "crew").index()] = 2;
    });
    rejected(
        result,
        &[Family::Counts],
        "2 units of crew, where 1 to 1 may fly",
    );
}

#[test]
fn exclusive_groups() {
    let result = changed(|network, decisions| {
        decisions.counts[node(network, "other still").index()] = 1;
    });
    let name = "at most one of an exclusive group: urine still, other still";
    rejected(result, &[Family::Counts], name);
}

#[test]
fn capacity_availability_and_turndown() {
    let full = Some(8.7);
    let result = changed(|network, _| hardware(network, "condenser").capacity_kg_per_day = full);
    rejected(
        result,
        &[Family::Capacity],
        "capacity of condenser, operations",
    );
    // 2 · 15 · 0.64 = 19.2 for a feed of 19.27
    let result = changed(|network, _| hardware(network, "polisher").availability = 0.64);
    rejected(
        result,
        &[Family::Capacity],
        "capacity of polisher, operations",
    );
    // 15 · 0.6 = 9 for a feed of 8.96
    let result = changed(|network, _| hardware(network, "polisher").turndown = Some(0.6));
    rejected(
        result,
        &[Family::Capacity],
        "turndown of polisher, shakedown",
    );
    let result = changed(|network, decisions| {
        decisions.running[node(network, "polisher").index()] = Some(vec![1, 3]);
    });
    rejected(
        result,
        &[Family::Capacity],
        "units of polisher that run, operations",
    );
}

#[test]
fn work_without_a_unit() {
    let result = changed(|network, decisions| {
        hardware(network, "other still").capacity_kg_per_day = None;
        for (stream, flow) in [
            (("urine", "crew", "urine still"), 3.1),
            (("urine", "crew", "other still"), 0.1),
            (("distillate", "urine still", "polisher"), 2.48),
            (("distillate", "other still", "polisher"), 0.08),
            (("brine", "urine still", "stowage"), 0.62),
            (("brine", "other still", "stowage"), 0.02),
        ] {
            set_flow(network, decisions, stream, 0, flow);
        }
        set_level(network, decisions, ("urine still", "urine"), 0, 3.1);
        set_level(network, decisions, ("other still", "urine"), 0, 0.1);
    });
    let name = "other still: urine needs a unit, shakedown";
    rejected(result, &[Family::Capacity], name);
}
