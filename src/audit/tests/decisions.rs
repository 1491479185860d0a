//! Decisions that break one promise each.

use super::*;
use crate::answer::SparesPlan;

#[test]
fn negative_flows() {
    // 0.05 kg/d flow back from overboard, which spares as much cargo.
    let result = changed(|network, decisions| {
        for (stream, flow) in [
            (("potable water", "water tank", "dump line"), -0.05),
            (("potable water", "dump line", "overboard"), -0.05),
            (("potable water", "water cargo", "water tank"), 0.1596),
        ] {
            set_flow(network, decisions, stream, 0, flow);
        }
        set_level(network, decisions, ("overboard", "potable water"), 0, -0.05);
        set_level(network, decisions, ("water cargo", ""), 0, 0.1596);
    });
    let name = "potable water from dump line to overboard, shakedown";
    rejected(result, &[Family::Nonnegativity], name);
}

#[test]
fn balances() {
    for (stream, name) in [
        (
            ("potable water", "polisher", "water tank"),
            "potable water through water tank, operations",
        ),
        (
            ("potable water", "polisher", "water tank"),
            "potable water out of polisher, operations",
        ),
        (
            ("grey water", "washing", "polisher"),
            "grey water into polisher, operations",
        ),
    ] {
        let result = changed(|network, decisions| set_flow(network, decisions, stream, 1, 20.0));
        rejected(result, &[Family::Balance], name);
    }
}

/// A stream of something that the node neither takes nor hands through.
#[test]
fn streams_to_nowhere() {
    let result = changed(|network, decisions| {
        let [from, to] = ["condenser", "washing"].map(|name| node(network, name));
        let stream = network.graph[fixture_stream(network)].clone();
        network.graph.add_edge(from, to, stream);
        decisions.flows.push(vec![0.0, 1.0]);
    });
    rejected(
        result,
        &[Family::Balance],
        "condensate into washing, operations",
    );
}

fn fixture_stream(network: &Network) -> crate::network::StreamId {
    let stream = fixture::stream(network, "condensate", "condenser", "polisher");
    crate::network::StreamId::new(stream)
}

#[test]
fn levels_that_the_design_fixes() {
    // The cabin is said to leak more, and more oxygen is brought for it.
    let result = changed(|network, decisions| {
        let [drawn, _] = fixture::oxygen_drawn();
        set_level(network, decisions, ("cabin", ""), 0, 0.05);
        set_level(network, decisions, ("oxygen cargo", ""), 0, drawn + 0.01);
        for stream in [
            ("oxygen", "oxygen cargo", "oxygen bottle"),
            ("oxygen", "oxygen bottle", "cabin"),
        ] {
            set_flow(network, decisions, stream, 0, drawn + 0.01);
        }
        decisions.cargo[2].kg[0] += 0.6;
    });
    rejected(result, &[Family::FixedLevels], "level of cabin, shakedown");
}

#[test]
fn work_before_the_start() {
    let result = changed(|network, decisions| {
        for (stream, flow) in [
            (("carbon dioxide", "cabin", "methanator"), 0.5),
            (("carbon dioxide", "cabin", "overboard"), 1.5),
            (("carbon dioxide", "methanator", "overboard"), 0.5),
        ] {
            set_flow(network, decisions, stream, 0, flow);
        }
        let activity = ("methanator", "left-over carbon dioxide");
        set_level(network, decisions, activity, 0, 0.5);
    });
    let name = "methanator is idle before it starts, shakedown";
    rejected(result, &[Family::Starts], name);
}

#[test]
fn more_conversion_than_allowed() {
    let result = changed(|network, _| {
        for limit in &mut duties(network, "methanator").activities[0].feed_limits {
            limit.share = 0.89;
        }
    });
    let name = "share of hydrogen used by methanator: reaction, operations";
    rejected(result, &[Family::FeedLimits], name);
}

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

#[test]
fn spares_of_the_whole_system() {
    // One pump less: 0.9630637 · 0.9824769 = 0.946.
    let result = changed(|_, decisions| {
        decisions.spares[0].spares = 1;
        decisions.spares[0].confidence = 1.3 * f64::exp(-0.3);
    });
    rejected(
        result,
        &[Family::Spares],
        "confidence of all spares together",
    );
    let result = changed(|_, decisions| decisions.spares[0].confidence = 0.9965);
    rejected(
        result,
        &[Family::Spares],
        "confidence stated for spares of pump",
    );
    let result = changed(|_, decisions| {
        decisions.spares.remove(1);
    });
    rejected(
        result,
        &[Family::Spares],
        "spares of urine still are stated",
    );
    let result = changed(|network, decisions| {
        decisions.spares.push(SparesPlan {
            part: "belt".to_owned(),
            nodes: vec![node(network, "washing")],
            spares: 0,
            confidence: 1.0,
        });
    });
    rejected(result, &[Family::Spares], "belt is a part of the design");
}

#[test]
fn spares_of_each_node() {
    let each = |confidence| {
        changed(|network, _| network.spares = Some(SparesPolicy::EachNode { confidence }))
    };
    // The still's one spare suffices with 1.2 · e^−0.2 = 0.98248.
    assert!(each(0.9824).is_ok());
    rejected(
        each(0.9826),
        &[Family::Spares],
        "confidence of the spares of urine still",
    );
    let result = changed(|network, _| network.spares = None);
    rejected(result, &[Family::Spares], "no spares of pump are asked for");
}

#[test]
fn waste_beyond_what_there_is_room_for() {
    let ways = |network: &mut Network, name: &str, way: Way| {
        for activity in &mut duties(network, name).activities {
            activity.role = Role::Leave(way.clone());
        }
    };
    let result = changed(|network, _| {
        let limit_kg = Some(244.4);
        ways(network, "stowage", Way::Stowed { limit_kg });
    });
    rejected(result, &[Family::Waste], "waste stowed in stowage");
    let result = changed(|network, _| {
        let per_flight_kg = 71.9;
        ways(network, "removal", Way::Removed { per_flight_kg });
    });
    rejected(
        result,
        &[Family::Waste],
        "waste removed from removal, day 90 to 180",
    );
    let result = changed(|network, _| network.limits.stowage_kg = fixture::limit(244.4));
    rejected(result, &[Family::Waste], "stowage of all stowed waste");
}

#[test]
fn limits_of_the_whole_design() {
    let result = changed(|network, _| network.limits.power_w = fixture::limit(1499.0));
    rejected(result, &[Family::Limits], "power, operations");
    let result = changed(|network, _| network.limits.heat_w = fixture::limit(1276.0));
    rejected(result, &[Family::Limits], "heat, operations");
    let result = changed(|network, _| network.limits.crew_time_h_per_day = fixture::limit(0.19));
    rejected(result, &[Family::Limits], "crew time, shakedown");
    let result = changed(|network, _| network.limits.volume_m3 = fixture::limit(1.34));
    rejected(result, &[Family::Limits], "volume of all units");
}

/// 645.86536 kg and 1.45 · 80 · 0.5757 kg of oxygen with its packaging.
#[test]
fn overloaded_flights() {
    let payload = |kg| changed(|network, _| network.calendar.flights[1].payload_kg = Some(kg));
    assert!(payload(712.7).is_ok());
    rejected(
        payload(712.6),
        &[Family::Payload],
        "payload of flight 1 on day 90",
    );
}

#[test]
fn elements_that_vanish_or_appear() {
    // Methane turned out to be carbon: its hydrogen is lost.
    let result = changed(|network, _| replace(network, "methane", "carbon"));
    rejected(result, &[Family::Elements], "H at methanator: reaction");
    // Urine leaves nothing but water and other solids behind.
    let result = changed(|network, _| replace(network, "brine", "skin solids"));
    rejected(
        result,
        &[Family::Elements],
        "urine solids at urine still: urine",
    );
    // A distillate of more water than the urine holds; nothing can hide it.
    let result = changed(|network, decisions| {
        let still = &mut duties(network, "urine still").activities[0];
        still.gives[0].amount = 0.97;
        still.gives[1].amount = 0.03;
        let polisher = &mut duties(network, "polisher").activities[1];
        let made = polisher.gives[0].amount;
        let mut deliver = |phase: usize, feed: f64| {
            let distillate = ("distillate", "urine still", "polisher");
            let more = 0.17 * feed;
            set_flow(network, decisions, distillate, phase, 0.97 * feed);
            set_flow(
                network,
                decisions,
                ("brine", "urine still", "stowage"),
                phase,
                0.03 * feed,
            );
            set_level(network, decisions, ("stowage", "brine"), phase, 0.03 * feed);
            set_level(
                network,
                decisions,
                ("polisher", "distillate"),
                phase,
                0.97 * feed,
            );
            for stream in [
                ("potable water", "polisher", "water tank"),
                ("potable water", "water tank", "dump line"),
                ("potable water", "dump line", "overboard"),
            ] {
                let index = fixture::stream(network, stream.0, stream.1, stream.2);
                let flow = decisions.flows[index][phase] + made * more;
                set_flow(network, decisions, stream, phase, flow);
            }
            let dumped = [0.0, 0.1][phase] + made * more;
            set_level(
                network,
                decisions,
                ("overboard", "potable water"),
                phase,
                dumped,
            );
            let reject = [0.1696, 0.3527][phase] + 0.01 * more;
            set_flow(
                network,
                decisions,
                ("reject", "polisher", "stowage"),
                phase,
                reject,
            );
            set_level(network, decisions, ("stowage", "reject"), phase, reject);
        };
        deliver(0, 3.2);
        deliver(1, 6.4);
    });
    rejected(result, &[Family::Elements], "H at urine still: urine");
}

/// Rations of known composition leave the faecal matter no room for all that
/// does not come out elsewhere: 4.8 kg/d of carbon against 0.8 kg/d.
#[test]
fn opaque_matter_holds_no_more_than_its_mass() {
    let result = changed(|network, _| replace(network, "ration", "carbon"));
    let name = "what crew gives without composition holds what is missing there";
    rejected(result, &[Family::Elements], name);
    // Nitrogen burns no rations: what appears in the carbon dioxide is more
    // than the 0.72 kg of unknown matter in them.
    let result = changed(|network, _| replace(network, "oxygen", "nitrogen"));
    let fault = result.unwrap_err();
    let name = "what crew takes without composition holds what appears there";
    assert!(
        fault.failures().iter().any(|check| check.name == name),
        "{fault}"
    );
}

#[test]
fn mass_made_from_nothing() {
    let result = changed(|network, _| {
        duties(network, "washing").activities[0].gives[0].amount = 1.001;
    });
    rejected(
        result,
        &[Family::Balance, Family::Elements],
        "mass at washing",
    );
    let result = changed(|network, decisions| {
        set_level(network, decisions, ("overboard", "potable water"), 1, 0.2);
    });
    let name = "mass in and out of the whole loop, operations";
    rejected(result, &[Family::Balance, Family::WholeMass], name);
}

/// Crew rates of the design's own need not close, and that is said.
#[test]
fn rates_that_need_not_close() {
    let open = |conserves: bool| {
        changed(|network, decisions| {
            // A tenth less faecal matter than the rations leave.
            let crew = &mut duties(network, "crew").activities[0];
            crew.conserves = conserves;
            crew.gives[3].amount = 0.18;
            for (phase, kg) in [0.36, 0.72].into_iter().enumerate() {
                set_flow(
                    network,
                    decisions,
                    ("faecal matter", "crew", "removal"),
                    phase,
                    kg,
                );
                set_level(network, decisions, ("removal", "faecal matter"), phase, kg);
            }
        })
    };
    let unchecked = open(false).unwrap().unchecked;
    assert_eq!(
        unchecked[0],
        "mass and elements at crew: its rates are the design's own"
    );
    rejected(
        open(true),
        &[Family::Elements, Family::WholeMass],
        "mass at crew",
    );
}

/// An answer that leaves something out is rejected before anything is summed.
#[test]
fn incomplete_answers() {
    type Cut = fn(&mut Answer);
    let cuts: [(&str, Cut); 17] = [
        ("a count for every node", |a| {
            a.decisions.counts.pop();
        }),
        ("units running for every node with a turndown", |a| {
            a.decisions
                .running
                .iter_mut()
                .for_each(|running| *running = None);
        }),
        ("a level for every activity and phase", |a| {
            a.decisions.levels[0].pop();
        }),
        ("a flow for every stream and phase", |a| {
            a.decisions.flows[3].pop();
        }),
        ("a delivery of every cargo on every flight", |a| {
            a.decisions.cargo.remove(0);
        }),
        ("a delivery of every cargo on every flight", |a| {
            a.decisions.cargo[0].containers = None
        }),
        ("cartridges on every flight", |a| {
            a.decisions.cartridges[0].by_flight.push(0)
        }),
        ("expendables and upkeep on every flight", |a| {
            a.decisions.consumables.clear()
        }),
        ("a reserve and a tank for every store", |a| {
            a.decisions.stores[0].tanks = None
        }),
        ("spares for nodes of the design", |a| {
            a.decisions.spares[0].nodes[0] = crate::network::NodeId::new(99);
        }),
        ("ledger lines on flights of the calendar", |a| {
            a.ledger[0].flight = 2
        }),
        ("a feed for every node and phase", |a| {
            a.throughput.pop();
        }),
        ("a draw for every cargo and phase", |a| {
            a.draws.pop();
        }),
        ("a stock for every cargo and interval", |a| {
            a.stock[1].levels.pop();
        }),
        ("power, heat and crew time in every phase", |a| {
            a.heat_w.pop();
        }),
        ("waste of every disposal", |a| a.waste.swap(0, 1)),
        ("a count for every node", |a| a.decisions.counts.push(1)),
    ];
    for (name, cut) in cuts {
        rejected(misstated(cut), &[Family::Completeness], name);
    }
    let result = changed(|network, _| network.calendar.flights[0].day = 1.0);
    rejected(result, &[Family::Completeness], "a departure on day 0");
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
