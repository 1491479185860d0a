//! A family of designs that grows in every direction: recovery options, phases,
//! flights and modules. Every number is invented, drawn from a seed.
#![allow(dead_code, reason = "every user takes some of it")]

use std::fmt::Write;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A member of the family.
#[derive(Clone, Copy, Debug)]
pub struct Member {
    /// Recovery hardware that may fly or not.
    pub options: usize,
    /// Phases of the mission.
    pub phases: usize,
    /// Flights, the first on day 0.
    pub flights: usize,
    /// Modules, each with crew, cabin, condenser and people's needs: five nodes.
    pub modules: usize,
    /// What a flight carries at most, kg.
    pub payload_kg: Option<f64>,
    /// What its numbers are drawn from.
    pub seed: u64,
}

impl Member {
    /// One module, two flights a phase, payloads unlimited.
    pub const fn new(options: usize, phases: usize, seed: u64) -> Self {
        Member {
            options,
            phases,
            flights: 2 * phases,
            modules: 1,
            payload_kg: None,
            seed,
        }
    }

    /// Its name.
    pub fn name(&self) -> String {
        format!(
            "{} options, {} phases, {} flights, {} modules, seed {}{}",
            self.options,
            self.phases,
            self.flights,
            self.modules,
            self.seed,
            match self.payload_kg {
                Some(kg) => format!(", payload {kg} kg"),
                None => String::new(),
            }
        )
    }

    /// The text of the design.
    pub fn text(&self) -> String {
        let mut draft = Draft {
            dice: ChaCha8Rng::seed_from_u64(self.seed),
            nodes: String::new(),
            takers: Takers::default(),
            exclusive: Vec::new(),
        };
        let mission = self.mission(&mut draft);
        let crew = 2.0 + (self.phases.min(4)) as f64;
        for number in 0..self.options {
            draft.option(number, crew);
        }
        draft.modules(self.modules);
        let (streams, limits) = (
            draft.streams(self.modules),
            draft.limits(crew, self.modules),
        );
        format!(
            "// A member of a family for measuring. Every number is invented.\n\
             Design(\n    format: 1,\n    title: \"{}\",\n{mission}    nodes: {{\n{}    }},\n\
             {streams}{limits}    spares: WholeSystem(confidence: 0.98),\n)\n",
            self.name(),
            draft.nodes,
        )
    }

    fn mission(&self, draft: &mut Draft) -> String {
        let mut days = 0;
        let mut phases = String::new();
        for phase in 0..self.phases {
            let length = 60 + draft.below(140);
            days += length;
            let crew = 2 + phase.min(4);
            let walks = 1 + draft.below(3);
            let _ = writeln!(
                phases,
                "            Phase(name: \"phase {phase}\", length: \"{length} d\", crew: {crew}, \
                 occasions: {{\"outing\": \"{walks} /wk\"}}),"
            );
        }
        let payload = self.payload_kg.map(|kg| format!(", payload: \"{kg} kg\""));
        let payload = payload.unwrap_or_default();
        let mut flights = String::new();
        for flight in 0..self.flights {
            let day = flight as u64 * days / self.flights as u64;
            let _ = writeln!(flights, "            Flight(day: \"{day} d\"{payload}),");
        }
        format!(
            "    mission: Mission(\n        phases: [\n{phases}        ],\n        flights: [\n\
             {flights}        ],\n    ),\n"
        )
    }
}

/// Options by what they take.
#[derive(Default)]
struct Takers {
    urine: Vec<String>,
    condensate: Vec<String>,
    grey_water: Vec<String>,
    brine: Vec<String>,
    carbon_dioxide: Vec<String>,
    potable: Vec<String>,
    distillate: Vec<String>,
    captured: Vec<String>,
}

struct Draft {
    dice: ChaCha8Rng,
    nodes: String,
    takers: Takers,
    exclusive: Vec<[String; 2]>,
}

impl Draft {
    fn below(&mut self, end: u64) -> u64 {
        self.dice.next_u64() % end
    }

    /// Between two numbers, with three digits behind the point.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = self.below(1_000_000) as f64 / 1e6;
        ((low + share * (high - low)) * 1e3).round() / 1e3
    }

    fn option(&mut self, number: usize, crew: f64) {
        // The kinds of hardware come one after the other.
        let (kind, feed) = [
            ("still", 1.7),
            ("filter", 3.5),
            ("wash filter", 1.8),
            ("dryer", 0.35),
            ("bed", 1.1),
            ("stack", 1.1),
            ("distillate filter", 1.4),
            ("former", 1.1),
        ][number % 8];
        let name = format!("{kind} {}", number / 8 + 1);
        let mut share = self.between(0.75, 0.97);
        if kind == "still" {
            // What is not water stays behind.
            share = share.min(0.94);
        }
        let rest = ((1.0 - share) * 1e3).round() / 1e3;
        let does = match kind {
            "still" => format!(
                "Processor(turns: {{\"urine\": {{\"distillate\": {share}, \"brine\": {rest}}}}},"
            ),
            "filter" => format!(
                "Processor(turns: {{\"condensate\": {{\"potable water\": {share}, \"reject\": {rest}}},\n            \"distillate\": {{\"potable water\": {share}, \"reject\": {rest}}}}},"
            ),
            "wash filter" => format!(
                "Processor(turns: {{\"grey water\": {{\"condensate\": {share}, \"reject\": {rest}}}}},"
            ),
            "dryer" => format!(
                "Processor(turns: {{\"brine\": {{\"condensate\": {share}, \"residue\": {rest}}}}},"
            ),
            "bed" => "Processor(turns: {\"carbon dioxide\": {\"captured carbon dioxide\": 1.0}},"
                .to_owned(),
            "stack" => "Electrolyser(takes: \"potable water\", cell_voltage: \"1.8 V\",".to_owned(),
            "distillate filter" => format!(
                "Processor(turns: {{\"distillate\": {{\"potable water\": {share}, \"reject\": {rest}}}}},"
            ),
            _ => format!(
                "Reactor(reaction: \"CO2 + 4 H2 -> CH4 + 2 H2O\", conversion: {share},\n            \
                 names: {{\"CO2\": \"captured carbon dioxide\", \"H2O\": \"condensate\"}},"
            ),
        };
        let capacity = feed * crew * self.between(0.3, 1.2);
        let mass = 12.0 + 14.0 * capacity * self.between(0.4, 1.6);
        let mut unit = format!(
            "mass: \"{mass:.1} kg\", volume: \"{:.3} m³\", power: \"{:.0} W\", capacity: \"{capacity:.2} kg/d\", \
             crew_time: \"{:.1} h/yr\"",
            self.between(0.02, 0.3),
            self.between(10.0, 260.0),
            self.between(1.0, 20.0),
        );
        if self.below(100) < 80 {
            let _ = write!(
                unit,
                ",\n            spares: Spares(mass: \"{:.1} kg\", mtbf: \"{:.0} h\")",
                mass * self.between(0.08, 0.3),
                self.between(6000.0, 40000.0)
            );
        }
        match self.below(4) {
            0 => {
                let _ = write!(
                    unit,
                    ", cartridge: Cartridge(mass: \"{:.1} kg\", treats: \"{:.0} kg\")",
                    self.between(1.0, 9.0),
                    capacity * self.between(30.0, 110.0)
                );
            }
            1 => {
                let _ = write!(unit, ", upkeep: \"{:.0} kg/yr\"", self.between(2.0, 30.0));
            }
            _ => {}
        }
        let most = 1 + self.below(4);
        let _ = writeln!(
            self.nodes,
            "        \"{name}\": {does}\n            unit: Unit({unit}), count: UpTo({most})),"
        );
        let takers = &mut self.takers;
        let list = match kind {
            "still" => &mut takers.urine,
            "filter" => &mut takers.condensate,
            "wash filter" => &mut takers.grey_water,
            "dryer" => &mut takers.brine,
            "bed" => &mut takers.carbon_dioxide,
            "stack" => &mut takers.potable,
            "distillate filter" => &mut takers.distillate,
            _ => &mut takers.captured,
        };
        let before = list.last().cloned();
        list.push(name.clone());
        // Every other pair of a kind excludes itself.
        if let Some(before) = before
            && list.len() % 4 == 2
        {
            self.exclusive.push([before, name]);
        }
    }

    fn modules(&mut self, modules: usize) {
        let share = match modules {
            1 => String::new(),
            _ => format!(", share: {}", 1.0 / modules as f64),
        };
        for module in 0..modules {
            let washing = self.between(0.8, 1.9);
            let _ = write!(
                self.nodes,
                "        \"crew {module}\": Crew(profile: \"2022\"{share}),\n        \
                 \"cabin {module}\": Cabin(),\n        \
                 \"condenser {module}\": Condenser(takes: \"humidity\", gives: \"condensate\",\n            \
                 unit: Unit(mass: \"45 kg\", volume: \"0.2 m³\", power: \"90 W\", capacity: \"20 kg/d\"), count: Exactly(1)),\n        \
                 \"washing {module}\": Consumer(takes: {{\"potable water\": \"{washing} kg\"}}, per: Person{share}, \
                 gives: {{\"grey water\": 1.0}}),\n        \
                 \"suits {module}\": Consumer(takes: {{\"potable water\": \"4.1 kg\"}}, per: Occasion(\"outing\"){share}, \
                 gives: {{\"lost vapour\": 1.0}}),\n"
            );
        }
        self.nodes += "        \
            \"canisters\": Processor(turns: {\"carbon dioxide\": {\"bound carbon dioxide\": 1.0}},\n            \
            unit: Unit(mass: \"11 kg\", power: \"20 W\", capacity: \"60 kg/d\", expendables: \"1.4 kg/kg\"), count: Exactly(1)),\n        \
            \"water tank\": Store(holds: \"potable water\", reserve: \"12 d\", tank: Tank(mass: \"22 kg\", holds: \"160 kg\")),\n        \
            \"water cargo\": Cargo(gives: \"potable water\", container: Container(holds: \"24 kg\", tare: \"2.3 kg\")),\n        \
            \"oxygen cargo\": Cargo(gives: \"oxygen\", packaging: 0.44),\n        \
            \"food cargo\": Cargo(gives: \"food\", packaging: 0.16),\n        \
            \"overboard\": Disposal(way: Overboard),\n        \
            \"stowage\": Disposal(way: Stowed()),\n";
    }

    fn streams(&self, modules: usize) -> String {
        let of = |kind: &str| -> Vec<String> {
            (0..modules)
                .map(|module| format!("{kind} {module}"))
                .collect()
        };
        let list = |names: &[&[String]], more: &[&str]| -> String {
            let names = names
                .iter()
                .flat_map(|names| names.iter().map(String::as_str));
            let names: Vec<String> = names
                .chain(more.iter().copied())
                .map(|name| format!("\"{name}\""))
                .collect();
            match names.as_slice() {
                [one] => one.clone(),
                names => format!("[{}]", names.join(", ")),
            }
        };
        let takers = &self.takers;
        let (crew, cabin) = (of("crew"), of("cabin"));
        let (condenser, washing, suits) = (of("condenser"), of("washing"), of("suits"));
        let mut lines: Vec<(&str, String)> = Vec::new();
        let mut way = |substance: &'static str, from: &[&[String]], more: &[&str], to: String| {
            if from.iter().any(|names| !names.is_empty()) || !more.is_empty() {
                lines.push((substance, format!("[{}, {to}]", list(from, more))));
            }
        };
        way(
            "oxygen",
            &[&takers.potable],
            &["oxygen cargo"],
            list(&[&cabin], &[]),
        );
        way("food", &[], &["food cargo"], list(&[&crew], &[]));
        for module in 0..modules {
            let own = |names: &[String]| list(&[&names[module..=module]], &[]);
            way("oxygen", &[&cabin[module..=module]], &[], own(&crew));
            way(
                "carbon dioxide",
                &[&crew[module..=module]],
                &[],
                own(&cabin),
            );
            way(
                "humidity",
                &[&crew[module..=module]],
                &[],
                format!("{}, {}", own(&cabin), own(&condenser)),
            );
        }
        way(
            "carbon dioxide",
            &[&cabin],
            &[],
            list(&[&takers.carbon_dioxide], &["canisters"]),
        );
        way(
            "bound carbon dioxide",
            &[],
            &["canisters"],
            list(&[], &["stowage"]),
        );
        way(
            "captured carbon dioxide",
            &[&takers.carbon_dioxide],
            &[],
            list(&[&takers.captured], &["overboard"]),
        );
        way(
            "captured carbon dioxide",
            &[&takers.captured],
            &[],
            list(&[], &["overboard"]),
        );
        way(
            "hydrogen",
            &[&takers.potable],
            &[],
            list(&[&takers.captured], &["overboard"]),
        );
        way(
            "hydrogen",
            &[&takers.captured],
            &[],
            list(&[], &["overboard"]),
        );
        way(
            "methane",
            &[&takers.captured],
            &[],
            list(&[], &["overboard"]),
        );
        way(
            "condensate",
            &[
                &condenser,
                &takers.grey_water,
                &takers.brine,
                &takers.captured,
            ],
            &[],
            list(&[&takers.condensate], &["overboard"]),
        );
        way(
            "grey water",
            &[&washing],
            &[],
            list(&[&takers.grey_water], &["overboard"]),
        );
        way("urine", &[&crew], &[], list(&[&takers.urine], &["stowage"]));
        way(
            "distillate",
            &[&takers.urine],
            &[],
            list(&[&takers.condensate, &takers.distillate], &["overboard"]),
        );
        way(
            "brine",
            &[&takers.urine],
            &[],
            list(&[&takers.brine], &["stowage"]),
        );
        way("residue", &[&takers.brine], &[], list(&[], &["stowage"]));
        way(
            "reject",
            &[&takers.condensate, &takers.grey_water, &takers.distillate],
            &[],
            list(&[], &["stowage"]),
        );
        way(
            "potable water",
            &[&takers.condensate, &takers.distillate],
            &["water cargo"],
            format!(
                "\"water tank\", {}",
                list(&[&crew, &washing, &suits, &takers.potable], &["overboard"])
            ),
        );
        way("lost vapour", &[&suits], &[], list(&[], &["overboard"]));
        way("faeces", &[&crew], &[], list(&[], &["stowage"]));
        way("skin solids", &[&crew], &[], list(&[], &["stowage"]));
        let mut text = String::from(
            "    substances: {\n        \"distillate\": Mixture({\"water\": 1.0}),\n        \
             \"captured carbon dioxide\": Mixture({\"carbon dioxide\": 1.0}),\n        \
             \"bound carbon dioxide\": Mixture({\"carbon dioxide\": 1.0}),\n        \
             \"lost vapour\": Mixture({\"water\": 1.0}),\n        \
             \"brine\": Opaque, \"residue\": Opaque, \"reject\": Opaque,\n    },\n    streams: {\n",
        );
        let mut told: Vec<&str> = Vec::new();
        for (substance, _) in &lines {
            if told.contains(substance) {
                continue;
            }
            told.push(substance);
            let ways: Vec<&str> = lines
                .iter()
                .filter(|line| line.0 == *substance)
                .map(|line| line.1.as_str())
                .collect();
            let _ = writeln!(text, "        \"{substance}\": [{}],", ways.join(", "));
        }
        text + "    },\n"
    }

    fn limits(&mut self, crew: f64, modules: usize) -> String {
        // Every module after the first brings a condenser of its own.
        let more = (modules - 1) as f64;
        let power = 0.4 + crew * self.between(0.5, 0.8) + 0.09 * more;
        let volume = self.between(1.5, 3.0) + 0.2 * more;
        let groups: Vec<String> = self
            .exclusive
            .iter()
            .map(|[one, other]| format!("[\"{one}\", \"{other}\"]"))
            .collect();
        let exclusive = match groups.is_empty() {
            true => String::new(),
            false => format!("    exclusive: [{}],\n", groups.join(", ")),
        };
        format!(
            "{exclusive}    limits: Limits(power: \"{power:.2} kW\", volume: \"{volume:.2} m³\", crew_time: \"0.4 h/d\"),\n"
        )
    }
}
