//! Matter that appears or vanishes.

use super::*;

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
