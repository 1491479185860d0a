//! One plan held against another, of designs that may have other nodes.

use std::collections::BTreeMap;

use crate::answer::Category;
use crate::audit::Plan;

/// Differences below this are rounding, kg.
const ROUNDING_KG: f64 = 1e-6;

/// What a plan has otherwise than another one.
#[derive(Clone, Debug, PartialEq)]
pub struct Against {
    /// What each design minimises, before and after, kg.
    pub kg: [f64; 2],
    /// Units that differ: node, before, after; nodes of the later plan first.
    pub units: Vec<(String, u32, u32)>,
    /// Launch mass by category where it differs, before and after, kg.
    pub categories: Vec<(Category, [f64; 2])>,
}

impl Against {
    /// How much heavier the later plan is, kg.
    pub fn change_kg(&self) -> f64 {
        self.kg[1] - self.kg[0]
    }
}

/// Holds a plan against an earlier one.
pub fn against(before: &Plan, after: &Plan) -> Against {
    let [old, new] = [before, after].map(Plan::units_by_name);
    let of = |units: &[(String, u32)], name: &str| {
        let found = units.iter().find(|(known, _)| known == name);
        found.map_or(0, |(_, units)| *units)
    };
    let gone = old
        .iter()
        .filter(|(name, _)| !new.iter().any(|(known, _)| known == name));
    let units = new
        .iter()
        .chain(gone)
        .map(|(name, _)| (name.clone(), of(&old, name), of(&new, name)))
        .filter(|(_, before, after)| before != after)
        .collect();
    let [old, new] = [before, after].map(by_category);
    let kg =
        |masses: &BTreeMap<Category, f64>, category| masses.get(&category).copied().unwrap_or(0.0);
    let categories = Category::ALL
        .into_iter()
        .map(|category| (category, [kg(&old, category), kg(&new, category)]))
        .filter(|(_, [before, after])| (after - before).abs() > ROUNDING_KG)
        .collect();
    Against {
        kg: [before, after].map(|plan| plan.answer().minimised_kg()),
        units,
        categories,
    }
}

/// Launch mass by category, gear ratios included, kg.
fn by_category(plan: &Plan) -> BTreeMap<Category, f64> {
    let flights = &plan.network().calendar.flights;
    let mut masses = BTreeMap::new();
    for line in &plan.answer().ledger {
        *masses.entry(line.category).or_insert(0.0) += line.kg * flights[line.flight].gear_ratio;
    }
    masses
}
