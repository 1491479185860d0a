use super::*;
use crate::report::page::{Cell, Fact, Table, Tone};

fn page() -> Page {
    let mut page = Page::new("Kitchen <loop>");
    page.blocks.push(Block::Outcome {
        tone: Tone::Good,
        words: "Optimal: 62.00 kg. Nothing weighs less.".into(),
    });
    page.blocks.push(Block::Title("Kitchen <loop>".into()));
    for name in ["Ledger", "Flows", "Flows"] {
        page.heading(name);
        let mut table = Table::new(&[("item", ""), ("mass", "kg")]);
        table.rows.push(vec![Cell::text("a & b"), Cell::kg(62.0)]);
        table.total = Some(vec![Cell::Blank, Cell::kg(62.0)]);
        page.table(table);
    }
    page.facts(vec![Fact {
        name: "closure".into(),
        value: Cell::Share(0.5),
        unit: "",
        definition: Some("1 − a / b".into()),
    }]);
    page.blocks.push(Block::Caution(CAUTION.into()));
    page
}

#[test]
fn outcome_and_caution_come_before_everything_else() {
    let text = render_html(&page());
    let place = |words: &str| text.find(words).unwrap_or_else(|| panic!("no {words}"));
    let order = [
        "<h1>Kitchen &lt;loop&gt;</h1>",
        "<strong>Optimal: 62.00 kg.</strong> Nothing weighs less.",
        CAUTION,
        "<nav class=\"contents\"",
        "<h2 id=\"ledger\">Ledger</h2>",
        "<h2 id=\"flows\">Flows</h2>",
        "<h2 id=\"flows-2\">Flows</h2>",
    ];
    for pair in order.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?}");
    }
    assert_eq!(text.matches("<h1").count(), 1);
}

#[test]
fn tables_say_whose_number_it_is() {
    let text = render_html(&page());
    for wanted in [
        "<caption id=\"page-1\" class=\"unseen\">Ledger</caption>",
        "<th scope=\"col\" class=\"number\">mass, <span class=\"unit\">kg</span></th>",
        "<tr><th scope=\"row\" class=\"few\">a &amp; b</th><td class=\"number\">62.00</td></tr>",
        "<tfoot><tr><td></td><td class=\"number\">62.00</td></tr></tfoot>",
        "<dt>closure</dt><dd class=\"value\">50.0\u{a0}%</dd><dd class=\"definition\">1 − a / b</dd>",
    ] {
        assert!(text.contains(wanted), "{wanted}");
    }
}

#[test]
fn with_parts_headings_stand_one_lower() {
    let mut parted = page();
    parted.blocks.insert(2, Block::Part("The plan".into()));
    let text = render_html(&parted);
    assert!(text.contains("<h2 id=\"the-plan\">The plan</h2>"));
    assert!(text.contains("<h3 id=\"ledger\">Ledger</h3>"));
}

#[test]
fn a_fragment_is_no_page() {
    let text = render_html_fragment(&page().blocks, "x");
    assert!(!text.contains("<html") && !text.contains("<h1") && !text.contains("<style"));
    assert!(text.contains("<h3>Kitchen &lt;loop&gt;</h3>"));
}
