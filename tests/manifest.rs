//! The manifest of every design: its sums are the ledger's, piece by piece.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
mod designs_read;

use std::path::PathBuf;
use std::sync::LazyLock;

use common::{OUTPOST, run};
use designs_read::{files, open, path};
use loopwright::answer::Category;
use loopwright::audit::Plan;
use loopwright::kinds::Way;
use loopwright::timeline::{Item, Load, Loading, Manifest};

/// Every design that has a plan, planned once.
static PLANS: LazyLock<Vec<(PathBuf, Plan)>> = LazyLock::new(|| {
    let mut designs = files(&path("designs"), ".ron");
    designs.extend(files(&path("tests/hand_worked"), ".ron"));
    let plans: Vec<(PathBuf, Plan)> = designs
        .into_iter()
        .filter_map(|file| open(&file, None).planned().map(|plan| (file, plan)))
        .collect();
    assert!(plans.len() > 40, "{} designs", plans.len());
    plans
});

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-6
}

#[test]
fn every_manifest_sums_to_its_ledger() {
    for (file, plan) in PLANS.iter() {
        let manifest = Manifest::of(plan);
        let at = file.display();
        assert_eq!(
            manifest.flights.len(),
            plan.network().calendar.flights.len(),
            "{at}"
        );
        for loading in &manifest.flights {
            let flight = loading.flight;
            let lines = plan.answer().ledger.iter();
            let ledger: f64 = lines
                .filter(|line| line.flight == flight)
                .map(|line| line.kg)
                .sum();
            assert!(
                near(loading.kg, ledger),
                "{at}: flight {flight} loads {} kg, the ledger has {ledger}",
                loading.kg
            );
            let items: f64 = loading.items.iter().map(|item| item.kg).sum();
            assert!(near(loading.kg, items), "{at}: flight {flight}");
            for item in &loading.items {
                pieces_weigh(item, &at.to_string());
            }
        }
        let launch: f64 = manifest.flights.iter().map(Loading::launch_mass_kg).sum();
        assert!(near(launch, plan.answer().launch_mass_kg), "{at}");
    }
}

/// Pieces times what each weighs are the kilograms of the item; a container
/// weighs its content and its tare.
fn pieces_weigh(item: &Item, at: &str) {
    if let Some(pieces) = item.pieces {
        let kg = pieces.number as f64 * pieces.kg_each;
        assert!(near(kg, item.kg), "{at}: {item:?}");
        assert!(pieces.number > 0, "{at}: {item:?}");
    }
    if let Load::Container {
        content_kg,
        tare_kg,
        ..
    } = item.load
    {
        let each = item.pieces.expect("containers are pieces").kg_each;
        assert!(near(each, content_kg + tare_kg), "{at}: {item:?}");
    }
}

#[test]
fn containers_spares_and_cartridges_are_those_decided() {
    for (file, plan) in PLANS.iter() {
        let manifest = Manifest::of(plan);
        let at = file.display();
        let decisions = &plan.answer().decisions;
        for cargo in &decisions.cargo {
            let name = plan.network().name(cargo.node);
            for loading in &manifest.flights {
                let of_it = loading.items.iter().filter(|item| item.name == name);
                let (mut pieces, mut content, mut part_full) = (0, 0.0, 0);
                for item in of_it {
                    match &item.load {
                        Load::Container {
                            content_kg, full, ..
                        } => {
                            let number = item.pieces.unwrap().number;
                            pieces += number;
                            content += number as f64 * content_kg;
                            part_full += if *full { 0 } else { number };
                        }
                        Load::Packed { content_kg, .. } => content += content_kg,
                        _ => {}
                    }
                }
                let flight = loading.flight;
                assert!(near(content, cargo.kg[flight]), "{at}: {name}, {flight}");
                let wanted = cargo.containers.as_ref().map_or(0, |all| all[flight]);
                assert_eq!(pieces, u64::from(wanted), "{at}: {name}, flight {flight}");
                assert!(part_full <= 1, "{at}: {name}, flight {flight}");
            }
        }
        let all = |is: fn(&Load) -> bool| -> u64 {
            let items = manifest.flights.iter().flat_map(|loading| &loading.items);
            let items = items.filter(|item| is(&item.load));
            items.filter_map(|item| Some(item.pieces?.number)).sum()
        };
        let spares: u32 = decisions.spares.iter().map(|pool| pool.spares).sum();
        let listed = all(|load| matches!(load, Load::SparePart { .. }));
        assert_eq!(listed, u64::from(spares), "{at}");
        let cartridges = decisions.cartridges.iter().flat_map(|plan| &plan.by_flight);
        let cartridges: u32 = cartridges.sum();
        let listed = all(|load| matches!(load, Load::Cartridge));
        assert_eq!(listed, u64::from(cartridges), "{at}");
    }
}

#[test]
fn waste_leaves_with_the_next_flight_or_at_the_end() {
    let mut removed = 0;
    for (file, plan) in PLANS.iter() {
        let manifest = Manifest::of(plan);
        for waste in &plan.answer().waste {
            if !matches!(waste.way, Way::Removed { .. }) {
                continue;
            }
            let name = plan.network().name(waste.node);
            let departures = manifest.flights.iter().skip(1);
            let departures = departures
                .map(|loading| &loading.leaving)
                .chain([&manifest.leaving_at_end]);
            for (window, leaving) in waste.windows_kg.iter().zip(departures) {
                let leaving = leaving.iter().filter(|leaving| leaving.name == name);
                let kg: f64 = leaving.map(|leaving| leaving.kg).sum();
                assert!(
                    (kg - window).abs() < 1e-4,
                    "{}: {name}: {kg} leaves of {window}",
                    file.display()
                );
                removed += 1;
            }
        }
        assert!(manifest.flights[0].leaving.is_empty());
    }
    assert!(removed > 5, "{removed} windows");
}

/// The outpost's manifest as each format gives it.
#[test]
fn the_outposts_manifest_is_the_same_in_every_format() {
    let data = run(&["manifest", OUTPOST, "--format", "json"]).json();
    assert_eq!(data["status"], "optimal");
    let launch = data["launch_mass_kg"].as_f64().unwrap();
    let flights = data["flights"].as_array().unwrap();
    assert_eq!(flights.len(), 4);

    let csv = run(&["manifest", OUTPOST, "--format", "csv"]).out;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let headings = reader.headers().unwrap().clone();
    assert_eq!(
        headings.iter().collect::<Vec<_>>().join(","),
        "flight,day,until_day,direction,item,load,substance,pieces,kg_each,content_kg_each,\
         tare_kg_each,kg,gear_ratio,launch_mass_kg"
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let items: usize = flights
        .iter()
        .map(|flight| flight["items"].as_array().unwrap().len())
        .sum();
    assert_eq!(rows.len(), items);
    let mut sum = 0.0;
    for row in &rows {
        assert_eq!(&row[3], "brought");
        sum += row[13].parse::<f64>().unwrap();
        if let (Ok(pieces), Ok(each)) = (row[7].parse::<f64>(), row[8].parse::<f64>()) {
            assert!(near(pieces * each, row[11].parse().unwrap()), "{row:?}");
        }
    }
    assert!(near(sum, launch), "{sum} kg in rows, {launch} kg in all");

    let text = run(&["manifest", OUTPOST]).out;
    let markdown = run(&["manifest", OUTPOST, "--format", "markdown"]).out;
    for words in ["containers of potable water, full", "part full", "in all"] {
        assert!(text.contains(words), "the text lacks {words}");
        assert!(markdown.contains(words), "the Markdown lacks {words}");
    }
}

#[test]
fn a_payload_limit_and_what_remains_are_said() {
    let set = ["--set", "mission.resupply.payload=2.5 t"];
    let text = run(&[&["manifest", OUTPOST][..], &set].concat()).out;
    assert!(text.contains("It may carry 2,500.00 kg, so "), "{text}");
    assert!(text.contains(" kg. No payload limit is stated."), "{text}");
    let data = run(&[&["manifest", OUTPOST, "--format", "json"][..], &set].concat()).json();
    let flights = data["flights"].as_array().unwrap();
    assert!(flights[0].get("payload_kg").is_none());
    for flight in &flights[1..] {
        let number = |key: &str| flight[key].as_f64().unwrap();
        assert!(near(number("payload_kg"), 2500.0));
        assert!(near(number("spare_payload_kg"), 2500.0 - number("kg")));
        assert!(number("spare_payload_kg") >= 0.0);
    }
}

/// The ledger itself says its pieces right.
#[test]
fn pieces_of_the_ledger_weigh_its_kilograms() {
    for (file, plan) in PLANS.iter() {
        for line in &plan.answer().ledger {
            let in_pieces = match line.category {
                Category::Hardware
                | Category::ReplacementUnits
                | Category::Spares
                | Category::Cartridges => true,
                Category::Packaging | Category::Tanks => line.pieces.is_some(),
                _ => false,
            };
            assert_eq!(line.pieces.is_some(), in_pieces, "{line:?}");
            if let Some(pieces) = line.pieces {
                let kg = pieces.number as f64 * pieces.kg_each;
                assert!(near(kg, line.kg), "{}: {line:?}", file.display());
            }
        }
    }
}
