//! Pictures of many designs keep to the geometry of [`geometry`], are well-formed, say the
//! same bytes twice, and show what the plan says.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod designs_read;
#[path = "random_designs/mod.rs"]
#[allow(dead_code, unused_imports, reason = "only the designs are wanted here")]
mod generator;
#[path = "drawings/geometry.rs"]
mod geometry;
#[path = "drawings/large.rs"]
mod large;

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use designs_read::{files, name, open, path, read};
use loopwright::audit::Plan;
use loopwright::design::Design;
use loopwright::network::{self, Network};
use loopwright::report::drawing::render_svg;
use loopwright::report::{Figure, KeptLayouts, fixed, flow_figure, loop_figure, render_dot};
use loopwright::solve::Options;
use loopwright::{Hints, Planned, plan};

/// Random designs drawn.
const SEEDS: u64 = 30;
/// Pictures of no more nodes than this keep their letters on a laptop; those of larger
/// designs are shrunk a little.
const FEW_NODES: usize = 15;

fn checked(design: &Design) -> Network {
    network::check(design).unwrap().network
}

/// A plan that is near enough to the lightest: pictures of the large designs need no proof.
fn planned(design: &Design) -> Option<Box<Plan>> {
    let hints = Hints {
        reference: false,
        causes: false,
        ..Options {
            gap: 0.05,
            ..Options::default()
        }
        .into()
    };
    match plan(design, &hints).unwrap() {
        Planned::Plan(plan) => Some(plan),
        _ => None,
    }
}

/// Every picture of a design, with its faults.
fn faults(name: &str, design: &Design) -> Vec<String> {
    let network = checked(design);
    let mut faults = Vec::new();
    let nodes = network.graph.node_count();
    let least = if nodes <= FEW_NODES { 11.0 } else { 9.0 };
    let mut add = |what: &str, figure: &Figure, found: Vec<String>| {
        let letters = geometry::letters_on_a_laptop(figure);
        if letters < least {
            faults.push(format!(
                "{name}, {what}: letters of {letters:.1} px on a laptop ({nodes} nodes)"
            ));
        }
        faults.extend(
            found
                .into_iter()
                .map(|fault| format!("{name}, {what}: {fault}")),
        );
        faults.extend(
            faults_of_text(figure)
                .into_iter()
                .map(|fault| format!("{name}, {what}: {fault}")),
        );
    };
    let bare = loop_figure(&network, None, None, &KeptLayouts::default());
    add(
        "loop without a plan",
        &bare,
        geometry::faults_of_loop(&bare),
    );
    let Some(plan) = planned(design) else {
        return faults;
    };
    let figure = loop_figure(&network, Some(&plan), None, &KeptLayouts::default());
    add("loop", &figure, geometry::faults_of_loop(&figure));
    for phase in 0..network.calendar.phases.len() {
        let figure = flow_figure(&plan, phase);
        add("flows", &figure, geometry::faults_of_flows(&figure));
        let figure = loop_figure(&network, Some(&plan), Some(phase), &KeptLayouts::default());
        add(
            "loop of a phase",
            &figure,
            geometry::faults_of_loop(&figure),
        );
    }
    faults
}

/// A picture is XML that a parser takes, with a name, words for who does not see it, and
/// nothing that runs or is fetched.
fn faults_of_text(figure: &Figure) -> Vec<String> {
    let svg = render_svg(&figure.drawing, &figure.caption, &figure.description);
    let tree = match roxmltree::Document::parse(&svg) {
        Ok(tree) => tree,
        Err(error) => return vec![format!("not well-formed: {error}")],
    };
    let mut faults = Vec::new();
    let root = tree.root_element();
    if root.attribute("role") != Some("img") || figure.description.is_empty() {
        faults.push("says nothing to who does not see it".to_owned());
    }
    for element in tree.descendants().filter(roxmltree::Node::is_element) {
        let element_name = element.tag_name().name();
        let known = [
            "svg", "title", "desc", "line", "path", "rect", "circle", "text",
        ];
        if !known.contains(&element_name) {
            faults.push(format!("has an element {element_name}"));
        }
        for attribute in element.attributes() {
            let fetched = ["href", "src", "style"].contains(&attribute.name());
            if fetched || attribute.name().starts_with("on") || attribute.value().contains("url(") {
                faults.push(format!("has an attribute {}", attribute.name()));
            }
        }
    }
    faults
}

#[test]
fn ready_designs_and_those_of_every_kind_are_drawn_without_a_fault() {
    let mut drawn = files(&path("designs"), ".ron");
    for folder in std::fs::read_dir(path("tests/kinds")).unwrap() {
        drawn.extend(files(&folder.unwrap().path(), "good.ron"));
    }
    assert!(drawn.len() >= 18, "{drawn:?}");
    let found: Vec<String> = drawn
        .iter()
        .flat_map(|file| faults(&name(file), open(file, None).design()))
        .collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn random_designs_are_drawn_without_a_fault() {
    let mut found = Vec::new();
    for seed in 0..SEEDS {
        let random = generator::random_design(seed);
        let name = format!("random design {seed}");
        let reading = read(&name, &random.text, random.variant, &[]);
        found.extend(faults(&name, reading.design()));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    let draw = || {
        let reading = open(&path("designs/ridge-outpost.ron"), None);
        let network = checked(reading.design());
        let plan = planned(reading.design()).unwrap();
        let figures = [
            loop_figure(&network, Some(&plan), None, &KeptLayouts::default()),
            flow_figure(&plan, 1),
        ];
        figures.map(|figure| render_svg(&figure.drawing, &figure.caption, &figure.description))
    };
    assert_eq!(draw(), draw());
}

/// Sixty nodes and more: each picture within two seconds, in a release build. Here it has
/// six times that, for builds that are not optimised and machines that are busy.
#[test]
fn sixty_nodes_are_drawn_in_time_and_without_a_fault() {
    let text = large::design(8);
    let reading = read("large", &text, None, &[]);
    let network = checked(reading.design());
    assert!(
        network.graph.node_count() >= 60,
        "{}",
        network.graph.node_count()
    );
    let plan = planned(reading.design()).unwrap();
    let within = |what: &str, draw: &dyn Fn() -> Figure| {
        let begun = Instant::now();
        let figure = draw();
        let took = begun.elapsed();
        println!("{what}: {took:?}");
        assert!(took < Duration::from_secs(12), "{what} took {took:?}");
        figure
    };
    let bare = within("loop without a plan", &|| {
        loop_figure(&network, None, None, &KeptLayouts::default())
    });
    let whole = within("loop", &|| {
        loop_figure(&network, Some(&plan), None, &KeptLayouts::default())
    });
    let flows = within("flows", &|| flow_figure(&plan, 0));
    let mut found = geometry::faults_of_loop(&bare);
    found.extend(geometry::faults_of_loop(&whole));
    found.extend(geometry::faults_of_flows(&flows));
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_flow_of_the_plan_can_be_pointed_at() {
    let reading = open(&path("designs/ridge-outpost.ron"), None);
    let plan = planned(reading.design()).unwrap();
    let network = plan.network();
    for (phase, of) in network.calendar.phases.iter().enumerate() {
        let figure = flow_figure(&plan, phase);
        let titles: BTreeSet<&str> = figure
            .drawing
            .marks
            .iter()
            .filter_map(|mark| mark.title.as_deref())
            .collect();
        let mut shown = 0;
        for stream in network.streams() {
            let flow = plan.answer().decisions.flows[stream.index()][phase];
            let (from, to) = network.ends(stream);
            let substance = network.substances.name(network.graph[stream].substance);
            let title = format!(
                "{substance}, {} to {}; {}: {} kg/d",
                network.name(from),
                network.name(to),
                of.name,
                fixed(flow, 3)
            );
            let is_shown = titles.contains(title.as_str());
            assert_eq!(is_shown, flow > 1e-9, "{title}");
            shown += usize::from(is_shown);
        }
        assert!(shown > 20, "{shown}");
    }
}

#[test]
fn dot_has_every_node_and_every_stream_with_its_flow() {
    let reading = open(&path("designs/classroom.ron"), None);
    let plan = planned(reading.design()).unwrap();
    let network = plan.network();
    let text = render_dot(network, Some(&plan), None);
    assert!(text.starts_with("digraph \"Classroom loop\" {\n") && text.ends_with("}\n"));
    let edges: Vec<&str> = text.lines().filter(|line| line.contains(" -> ")).collect();
    assert_eq!(edges.len(), network.graph.edge_count());
    for (edge, stream) in edges.iter().zip(network.streams()) {
        let flow = edge.split("kg_per_day=\"").nth(1).unwrap();
        let flow: f64 = flow.split('"').next().unwrap().parse().unwrap();
        assert_eq!(
            flow,
            plan.answer().decisions.flows[stream.index()][0],
            "{edge}"
        );
    }
    for node in network.nodes() {
        let line = format!("  \"{}\" [label=", network.name(node));
        assert_eq!(text.matches(&line).count(), 1, "{line}");
    }
}
