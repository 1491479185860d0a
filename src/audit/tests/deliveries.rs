//! Deliveries, reserves and tanks that do not last.

use super::*;

#[test]
fn cargo_that_comes_too_late() {
    // 288 kg of rations are eaten by day 90, 336 by day 100, 720 by day 180.
    for (kg, families, name) in [
        (
            [287.0, 433.0],
            &[Family::Stock, Family::LateFlights][..],
            "stock of ration cargo on day 90",
        ),
        (
            [335.0, 385.0],
            &[Family::LateFlights],
            "stock of ration cargo while flight 1 is late, to day 100",
        ),
        (
            [336.0, 383.0],
            &[Family::Stock],
            "stock of ration cargo on day 180",
        ),
    ] {
        let result = changed(|_, decisions| decisions.cargo[3].kg = kg.to_vec());
        rejected(result, families, name);
    }
}

#[test]
fn overfull_containers() {
    let result = changed(|_, decisions| decisions.cargo[0].kg = vec![20.1, 4.476]);
    rejected(
        result,
        &[Family::Containers],
        "containers hold water cargo on flight 0",
    );
}

/// The reserve covers what the manifold hands on, 16 kg/d, and the 3 kg/d of
/// the electrolyser, but not what the other junction dumps.
#[test]
fn reserves() {
    let result = changed(|_, decisions| {
        decisions.stores[0].reserve_kg = 189.9;
    });
    rejected(
        result,
        &[Family::Reserves],
        "reserve of water tank lasts 10 d, operations",
    );
    let result = changed(|_, decisions| decisions.stores[1].reserve_kg = 19.0);
    rejected(result, &[Family::Reserves], "reserve of oxygen bottle");
    // A dump line that also leads to a user counts.
    let result = changed(|network, decisions| {
        let [from, to] = ["dump line", "washing"].map(|name| node(network, name));
        let stream = fixture::stream(network, "potable water", "manifold", "washing");
        let stream = network.graph[crate::network::StreamId::new(stream)].clone();
        network.graph.add_edge(from, to, stream);
        decisions.flows.push(vec![0.0, 0.0]);
    });
    rejected(
        result,
        &[Family::Reserves],
        "reserve of water tank lasts 10 d, operations",
    );
}

#[test]
fn tanks_too_small() {
    let result = changed(|_, decisions| decisions.stores[0].holds_kg = 197.0);
    rejected(
        result,
        &[Family::Tanks],
        "water tank holds what is aboard on day 90",
    );
    let result = changed(|_, decisions| decisions.stores[0].tanks = Some(1));
    rejected(result, &[Family::Tanks], "whole tanks of water tank");
    let result = changed(|_, decisions| decisions.stores[1].holds_kg = 19.0);
    rejected(
        result,
        &[Family::Tanks],
        "oxygen bottle holds what is aboard on day 0",
    );
}

#[test]
fn cartridges_and_consumables_that_run_out() {
    let result = changed(|_, decisions| decisions.cartridges[0].by_flight = vec![3, 7]);
    rejected(
        result,
        &[Family::Consumables],
        "cartridges of urine still last to day 90",
    );
    let result = changed(|_, decisions| decisions.consumables[0].expendables_kg[1] = 5.7);
    rejected(
        result,
        &[Family::Consumables],
        "expendables of urine still last to day 180",
    );
    let result = changed(|_, decisions| decisions.consumables[0].upkeep_kg = vec![1.7, 1.9]);
    rejected(
        result,
        &[Family::Consumables],
        "upkeep of urine still last to day 90",
    );
}

/// Stores without a tank and cargo without an `into` need no room.
#[test]
fn what_is_not_asked_for_is_not_missed() {
    let result = changed(|network, decisions| {
        let Some(Stock::Kept { reserve, tank, .. }) = &mut duties(network, "oxygen bottle").stock
        else {
            panic!("a store");
        };
        (*reserve, *tank) = (None, None::<Tank>);
        decisions.stores[1].reserve_kg = 0.0;
        decisions.stores[1].holds_kg = 0.0;
        let Some(Stock::Delivered { into, .. }) = &mut duties(network, "tanker water").stock else {
            panic!("a cargo");
        };
        *into = None;
        decisions.stores[0].holds_kg = 190.0;
        network.spares = None;
        decisions.spares.clear();
        network.limits = crate::network::Limits::default();
    });
    assert!(result.unwrap().worst_residual <= TOLERANCE);
}
