//! Flows and levels that break a promise.

use super::*;

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
