//! A design in the making: nodes, what they take and give, and the text of it all.

use std::collections::BTreeSet;

use super::dice::Dice;
use super::mission::Mission;
use super::spoil::Spoil;

/// A node gives or takes a substance, in a module of the loop.
struct End {
    substance: &'static str,
    node: String,
    module: usize,
}

/// A design in the making.
pub struct Draft {
    pub dice: Dice,
    /// What the design uses of the format.
    pub features: BTreeSet<&'static str>,
    /// Why it shall have no balance, if so.
    pub spoil: Option<Spoil>,
    pub mission: Mission,
    /// Cabins, one for each module.
    pub cabins: Vec<&'static str>,
    /// What must run whatever is chosen, and what could run at most.
    pub least: Loads,
    pub most: Loads,
    /// Nodes whose number of units is open, with a capacity.
    pub optional: Vec<String>,
    /// A part that several units share: mass and error factor as written.
    pub shared_part: Option<String>,
    gives: Vec<End>,
    takes: Vec<End>,
    /// What a substance passes on its way from those who give to those who take.
    hubs: Vec<(&'static str, &'static str)>,
    substances: Vec<String>,
    nodes: Vec<String>,
    fields: Vec<String>,
}

/// What units ask of the whole design.
#[derive(Clone, Copy, Default)]
pub struct Loads {
    pub power_w: f64,
    pub heat_w: f64,
    pub volume_m3: f64,
    pub crew_time_h_per_day: f64,
}

impl Loads {
    /// Adds what so many units ask.
    pub fn add(&mut self, units: f64, of_one: Loads) {
        self.power_w += units * of_one.power_w;
        self.heat_w += units * of_one.heat_w;
        self.volume_m3 += units * of_one.volume_m3;
        self.crew_time_h_per_day += units * of_one.crew_time_h_per_day;
    }
}

impl Draft {
    pub fn new(mut dice: Dice, mut features: BTreeSet<&'static str>, spoil: Option<Spoil>) -> Self {
        let mission = Mission::thrown(&mut dice, &mut features, spoil);
        Draft {
            dice,
            features,
            spoil,
            mission,
            cabins: vec!["cabin"],
            least: Loads::default(),
            most: Loads::default(),
            optional: Vec::new(),
            shared_part: None,
            gives: Vec::new(),
            takes: Vec::new(),
            hubs: Vec::new(),
            substances: Vec::new(),
            nodes: Vec::new(),
            fields: Vec::new(),
        }
    }

    /// Whether to use a feature, in so many of a hundred cases.
    pub fn uses(&mut self, feature: &'static str, of_hundred: usize) -> bool {
        let yes = self.chance(of_hundred);
        if yes {
            self.features.insert(feature);
        }
        yes
    }

    pub fn chance(&mut self, of_hundred: usize) -> bool {
        self.dice.below(100) < of_hundred
    }

    /// A number between two, written with three significant digits.
    pub fn number(&mut self, least: f64, most: f64) -> f64 {
        let value = self.dice.between(least, most);
        let digits = 10_f64.powf(2.0 - value.abs().max(1e-9).log10().floor());
        (value * digits).round() / digits
    }

    pub fn is_spoilt_by(&self, spoil: Spoil) -> bool {
        self.spoil == Some(spoil)
    }

    pub fn substance(&mut self, name: &str, makeup: &str) {
        self.substances.push(format!("\"{name}\": {makeup}"));
    }

    pub fn node(&mut self, name: &str, written: &str) {
        self.nodes.push(format!("\"{name}\": {written}"));
    }

    /// A further field of the design.
    pub fn field(&mut self, written: String) {
        self.fields.push(written);
    }

    pub fn gives(&mut self, substance: &'static str, node: &str) {
        self.gives_in(0, substance, node);
    }

    pub fn takes(&mut self, substance: &'static str, node: &str) {
        self.takes_in(0, substance, node);
    }

    /// As [`Draft::gives`], into the air of a module.
    pub fn gives_in(&mut self, module: usize, substance: &'static str, node: &str) {
        self.gives.push(End {
            substance,
            node: node.to_owned(),
            module,
        });
    }

    /// As [`Draft::takes`], from the air of a module.
    pub fn takes_in(&mut self, module: usize, substance: &'static str, node: &str) {
        self.takes.push(End {
            substance,
            node: node.to_owned(),
            module,
        });
    }

    /// A store or junction between those who give and those who take.
    pub fn hub(&mut self, substance: &'static str, node: &'static str) {
        self.hubs.push((substance, node));
    }

    /// Whether anybody gives this so far.
    pub fn is_given(&self, substance: &str) -> bool {
        self.gives.iter().any(|end| end.substance == substance)
    }

    /// The design as a text.
    pub fn text(&self, title: &str) -> String {
        let lines = |lines: &[String]| -> String {
            lines
                .iter()
                .map(|line| format!("        {line},\n"))
                .collect()
        };
        let mut text = format!("Design(\n    format: 1,\n    title: \"{title}\",\n");
        text += &format!("    mission: {},\n", self.mission.text());
        text += &format!("    substances: {{\n{}    }},\n", lines(&self.substances));
        text += &format!("    nodes: {{\n{}    }},\n", lines(&self.nodes));
        text += &format!("    streams: {{\n{}    }},\n", lines(&self.streams()));
        for field in &self.fields {
            text += &format!("    {field},\n");
        }
        text + ")\n"
    }

    /// Who gives or takes a substance.
    fn ends<'a>(ends: &'a [End], substance: &str, module: Option<usize>) -> Vec<&'a str> {
        ends.iter()
            .filter(|end| end.substance == substance)
            .filter(|end| module.is_none_or(|module| end.module == module))
            .map(|end| end.node.as_str())
            .collect()
    }

    fn streams(&self) -> Vec<String> {
        let mut seen: Vec<&str> = Vec::new();
        for end in self.gives.iter().chain(&self.takes) {
            if !seen.contains(&end.substance) {
                seen.push(end.substance);
            }
        }
        let ways = seen.into_iter().map(|substance| {
            let ways = match substance {
                "oxygen" => self.by_cabins(substance),
                "carbon dioxide" | "humidity" => self.out_of_cabins(substance),
                _ => self.across(substance, self.through(substance)),
            };
            format!("\"{substance}\": [{}]", ways.join(", "))
        });
        ways.collect()
    }

    fn through(&self, substance: &str) -> Vec<Vec<&str>> {
        let hubs = self.hubs.iter().filter(|(of, _)| *of == substance);
        hubs.map(|(_, hub)| vec![*hub]).collect()
    }

    /// From everybody who gives, through hubs, to everybody who takes.
    fn across(&self, substance: &str, hubs: Vec<Vec<&str>>) -> Vec<String> {
        let gives = Self::ends(&self.gives, substance, None);
        let takes = Self::ends(&self.takes, substance, None);
        if hubs.is_empty() && gives.iter().any(|node| takes.contains(node)) {
            // Nothing may flow from a node to itself.
            let ways = gives.iter().filter_map(|&from| {
                let to: Vec<&str> = takes.iter().copied().filter(|&to| to != from).collect();
                way(&[vec![from], to])
            });
            return ways.collect();
        }
        let mut hops = vec![gives];
        hops.extend(hubs);
        hops.push(takes);
        way(&hops).into_iter().collect()
    }

    /// Through hubs into the air of every module, and from there to its people.
    fn by_cabins(&self, substance: &str) -> Vec<String> {
        let mut hops = vec![Self::ends(&self.gives, substance, None)];
        hops.extend(self.through(substance));
        hops.push(self.cabins.clone());
        let mut ways: Vec<String> = way(&hops).into_iter().collect();
        for (module, cabin) in self.cabins.iter().enumerate() {
            let people = Self::ends(&self.takes, substance, Some(module));
            ways.extend(way(&[vec![*cabin], people]));
        }
        ways
    }

    /// From the people of every module through its air to everybody who takes.
    fn out_of_cabins(&self, substance: &str) -> Vec<String> {
        let takes = Self::ends(&self.takes, substance, None);
        let mut ways = Vec::new();
        for (module, cabin) in self.cabins.iter().enumerate() {
            let people = Self::ends(&self.gives, substance, Some(module));
            if !people.is_empty() {
                ways.extend(way(&[people, vec![*cabin], takes.clone()]));
            }
        }
        ways
    }
}

/// A way as written; none where a hop has no node.
fn way(hops: &[Vec<&str>]) -> Option<String> {
    if hops.iter().any(Vec::is_empty) {
        return None;
    }
    let hops: Vec<String> = hops
        .iter()
        .map(|hop| match hop.as_slice() {
            [one] => format!("\"{one}\""),
            several => format!("[\"{}\"]", several.join("\", \"")),
        })
        .collect();
    Some(format!("[{}]", hops.join(", ")))
}
