//! Spares that are not sure enough.

use super::*;
use crate::answer::SparesPlan;

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
