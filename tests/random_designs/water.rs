//! What dries the air and recovers water.

use super::draft::{Draft, Loads};
use super::spoil::Spoil;
use super::unit::{Asked, thrown as unit};

/// Vapour and liquids of a person at most, kg/d: what units are sized by.
const VAPOUR: f64 = 3.2;
const URINE: f64 = 2.2;
const GREY: f64 = 2.5;

/// Latent heat at 10 °C, W for each kg/d condensed.
const LATENT_W: f64 = 28.7;

/// Condenser, stills, dryer, filter, polisher.
pub fn thrown(draft: &mut Draft) {
    let closed = draft.is_spoilt_by(Spoil::Surplus);
    condenser(draft);
    let polishes = closed || draft.chance(70);
    if polishes {
        polisher(draft, closed);
    }
    if !closed {
        draft.takes("condensate", "overboard");
    }
    if draft.is_given("grey water") && !closed {
        draft.takes("grey water", "overboard");
    }
}

fn condenser(draft: &mut Draft) {
    let crew = draft.mission.largest_crew();
    let feed = VAPOUR * crew + 1.5;
    let latent = Loads {
        heat_w: LATENT_W * feed,
        ..Loads::default()
    };
    draft.most.add(1.0, latent);
    let hardware = match draft.spoil {
        Some(Spoil::Exclusive) => {
            "unit: Unit(mass: \"40 kg\", capacity: \"90 kg/d\"), count: UpTo(1)".to_owned()
        }
        Some(Spoil::Power | Spoil::Heat | Spoil::Volume | Spoil::CrewTime) => {
            "unit: Unit(mass: \"40 kg\", power: \"200 W\", volume: \"0.5 m³\", crew_time: \"0.2 h/d\"), count: Exactly(1)".to_owned()
        }
        Some(Spoil::Condenser) => {
            "unit: Unit(mass: \"40 kg\", capacity: \"0.5 kg/d\"), count: UpTo(3)".to_owned()
        }
        _ => {
            let air = draft.uses("condenser capacity from air", 20);
            let must = air || draft.is_spoilt_by(Spoil::Surplus) || draft.chance(50);
            if !must {
                draft.takes("humidity", "overboard");
            } else {
                draft.least.add(1.0, latent);
            }
            let asked = Asked { feed_kg_per_day: feed, must, states_capacity: !air };
            let hardware = unit(draft, "condenser", &asked);
            match air {
                // About 40 kg/d.
                true => format!("air: Air(flow: \"250 m³/h\", temperature: \"23 °C\", humidity: 0.5), {hardware}"),
                false => hardware,
            }
        }
    };
    let coil = match draft.uses("coil temperature", 20) {
        true => ", coil: \"5 °C\"",
        false => "",
    };
    draft.node(
        "condenser",
        &format!("Condenser(takes: \"humidity\", gives: \"condensate\"{coil}, {hardware})"),
    );
    draft.takes("humidity", "condenser");
    draft.gives("condensate", "condenser");
}

/// The polisher, and what brings it more than condensate.
fn polisher(draft: &mut Draft, closed: bool) {
    let crew = draft.mission.largest_crew();
    let clean = draft.number(0.9, 0.99);
    let turned = |clean: f64| {
        format!(
            "{{\"potable water\": {clean}, \"reject\": {:.3}}}",
            1.0 - clean
        )
    };
    let mut turns = vec![format!("\"condensate\": {}", turned(clean))];
    draft.substance("reject", "Opaque");
    let mut feed = VAPOUR * crew;
    if draft.is_given("grey water") {
        if draft.chance(40) && !closed {
            filter(draft);
        } else {
            feed += GREY * crew;
            turns.push(format!("\"grey water\": {}", turned(0.9)));
            draft.takes("grey water", "polisher");
        }
    }
    if closed || draft.chance(65) {
        feed += URINE * crew;
        turns.push(format!("\"distillate\": {}", turned(clean)));
        stills(draft, closed);
        draft.takes("distillate", "polisher");
    }
    if turns.len() > 1 {
        draft.features.insert("processor of several feeds");
    }
    let asked = Asked {
        feed_kg_per_day: feed,
        must: closed,
        states_capacity: true,
    };
    let hardware = unit(draft, "polisher", &asked);
    draft.node(
        "polisher",
        &format!("Processor(turns: {{{}}}, {hardware})", turns.join(", ")),
    );
    draft.takes("condensate", "polisher");
    draft.gives("potable water", "polisher");
    draft.gives("reject", "polisher");
}

fn filter(draft: &mut Draft) {
    let feed = GREY * draft.mission.largest_crew();
    let asked = Asked {
        feed_kg_per_day: feed,
        must: false,
        states_capacity: true,
    };
    let hardware = unit(draft, "filter", &asked);
    draft.node(
        "filter",
        &format!("Processor(turns: {{\"grey water\": {{\"condensate\": 0.93, \"reject\": 0.07}}}}, {hardware})"),
    );
    draft.takes("grey water", "filter");
    draft.gives("condensate", "filter");
    draft.gives("reject", "filter");
}

/// One still or two of which at most one may fly, and a dryer of what they leave.
fn stills(draft: &mut Draft, must: bool) {
    let feed = URINE * draft.mission.largest_crew();
    draft.substance("distillate", "Mixture({\"water\": 1.0})");
    draft.substance("brine", "Opaque");
    let alone = must || draft.is_spoilt_by(Spoil::Exclusive);
    let names: &[&str] = match !alone && draft.uses("exclusive group", 35) {
        true => &["still", "freezer"],
        false => &["still"],
    };
    for name in names {
        let yielded = draft.number(0.7, 0.88);
        let asked = Asked {
            feed_kg_per_day: feed,
            must,
            states_capacity: true,
        };
        let hardware = match names.len() {
            // Of two that exclude each other neither must fly.
            2 => format!(
                "unit: Unit(mass: \"{} kg\", capacity: \"{} kg/d\", power: \"{} W\", life: \"200 d\"), count: UpTo(2)",
                draft.number(20.0, 90.0),
                draft.number(0.4 * feed, feed),
                draft.number(50.0, 400.0)
            ),
            _ => unit(draft, name, &asked),
        };
        draft.node(
            name,
            &format!(
                "Processor(turns: {{\"urine\": {{\"distillate\": {yielded}, \"brine\": {:.3}}}}}, {hardware})",
                1.0 - yielded
            ),
        );
        draft.takes("urine", name);
        draft.gives("distillate", name);
        draft.gives("brine", name);
        draft.optional.push((*name).to_owned());
    }
    if names.len() == 2 {
        draft.field("exclusive: [[\"still\", \"freezer\"]]".to_owned());
    }
    if draft.chance(40) {
        dryer(draft, 0.3 * feed);
    }
}

fn dryer(draft: &mut Draft, feed: f64) {
    draft.substance("dry residue", "Opaque");
    let asked = Asked {
        feed_kg_per_day: feed,
        must: false,
        states_capacity: true,
    };
    let hardware = unit(draft, "dryer", &asked);
    let yielded = draft.number(0.5, 0.8);
    draft.node(
        "dryer",
        &format!(
            "Processor(turns: {{\"brine\": {{\"humidity\": {yielded}, \"dry residue\": {:.3}}}}}, {hardware})",
            1.0 - yielded
        ),
    );
    draft.takes("brine", "dryer");
    draft.gives_in(0, "humidity", "dryer");
    draft.gives("dry residue", "dryer");
}
