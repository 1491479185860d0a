//! A design of many modules that share a water main, for measuring. Every number is
//! invented, except the crew's published daily rates.

/// A design of so many modules, eight nodes each, and four more for all of them.
pub fn design(modules: usize) -> String {
    let mut nodes = String::new();
    let mut streams = String::new();
    let share = 1.0 / modules as f64;
    for module in 1..=modules {
        nodes.push_str(&format!(
            r#"
        "crew {module}": Crew(profile: "2022", share: {share}),
        "cabin {module}": Cabin(),
        "condenser {module}": Condenser(takes: "humidity", gives: "condensate",
            unit: Unit(mass: "38 kg", power: "210 W", capacity: "7 kg/d")),
        "filter {module}": Processor(turns: {{"condensate": {{"potable water": 0.97, "rinse": 0.03}}}},
            unit: Unit(mass: "95 kg", power: "140 W", capacity: "6 kg/d")),
        "still {module}": Processor(turns: {{"urine": {{"distillate": 0.8, "still brine": 0.2}}}},
            unit: Unit(mass: "70 kg", power: "90 W", capacity: "5 kg/d")),
        "oxygen cargo {module}": Cargo(gives: "oxygen", packaging: 0.4),
        "food cargo {module}": Cargo(gives: "food", packaging: 0.15),
        "vent {module}": Disposal(way: Overboard),"#
        ));
        streams.push_str(&format!(
            r#"
        "oxygen": [["oxygen cargo {module}", "cabin {module}", "crew {module}"]],
        "food": [["food cargo {module}", "crew {module}"]],
        "potable water": [[["water main", "filter {module}"], "crew {module}"]],
        "carbon dioxide": [["crew {module}", "cabin {module}", "vent {module}"]],
        "humidity": [["crew {module}", "cabin {module}", "condenser {module}"]],
        "condensate": [["condenser {module}", ["filter {module}", "vent {module}"]]],
        "distillate": [["still {module}", "polisher"]],
        "still brine": [["still {module}", "waste hold"]],
        "rinse": [["filter {module}", "waste hold"]],
        "urine": [["crew {module}", "still {module}"]],
        "faeces": [["crew {module}", "waste hold"]],
        "skin solids": [["crew {module}", "waste hold"]],"#
        ));
    }
    format!(
        r#"Design(
    format: 1,
    title: "Many modules",
    mission: Mission(phases: [Phase(name: "stay", length: "200 d", crew: 16)]),
    substances: {{
        "rinse": Opaque, "still brine": Opaque, "distillate": Mixture({{"water": 1.0}}),
    }},
    nodes: {{{nodes}
        "water cargo": Cargo(gives: "potable water", container: Container(holds: "16 kg", tare: "1.7 kg")),
        "water main": Store(holds: "potable water"),
        "polisher": Processor(turns: {{"distillate": {{"potable water": 1.0}}}},
            unit: Unit(mass: "120 kg", power: "80 W", capacity: "80 kg/d")),
        "waste hold": Disposal(way: Stowed(limit: "60 t")),
    }},
    streams: {{{}
    }},
)
"#,
        merged(&streams)
    )
}

/// One entry for every substance, with the chains of all modules.
fn merged(streams: &str) -> String {
    let mut entries: Vec<(String, Vec<String>)> = vec![(
        "potable water".to_owned(),
        vec![r#"[["water cargo", "polisher"], "water main"]"#.to_owned()],
    )];
    for line in streams
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
    {
        let (name, chains) = line.split_once(": ").unwrap();
        let name = name.trim_matches('"');
        let chains = chains.trim_end_matches(',');
        let chain = chains[1..chains.len() - 1].to_owned();
        match entries.iter_mut().find(|(known, _)| known == name) {
            Some((_, all)) => all.push(chain),
            None => entries.push((name.to_owned(), vec![chain])),
        }
    }
    let lines = entries
        .iter()
        .map(|(name, chains)| format!("\n        \"{name}\": [{}],", chains.join(", ")));
    lines.collect()
}
