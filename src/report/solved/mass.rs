//! The ledger: by category, by flight, line by line.

use crate::answer::Category;
use crate::audit::Plan;
use crate::network::LaunchPrice;
use crate::quantity::shown_number;
use crate::report::number::fixed;
use crate::report::page::{Cell, Page, Table};
use crate::report::plots::{Bar, Bars};
use crate::report::totals;

/// Launch mass by category.
pub(super) fn by_category(page: &mut Page, plan: &Plan) {
    page.heading("Launch mass");
    let all = plan.answer().launch_mass_kg;
    let price = plan.network().launch_price.as_ref();
    let heading = price.map_or_else(String::new, cost_heading);
    let cost = |kg: f64| {
        price.map_or(Cell::Blank, |price| Cell::Number {
            value: price.per_kg * kg,
            decimals: 2,
        })
    };
    let mut table = Table::new(&[
        ("category", ""),
        ("launch mass", "kg"),
        ("share", ""),
        (&heading, ""),
    ]);
    for (category, kg) in plan.by_category() {
        let share = if all > 0.0 {
            Cell::Share(kg / all)
        } else {
            Cell::Blank
        };
        table.rows.push(vec![
            Cell::text(category.words()),
            Cell::kg(kg),
            share,
            cost(kg),
        ]);
    }
    table.total = Some(vec![
        Cell::text("all"),
        Cell::kg(all),
        Cell::Blank,
        cost(all),
    ]);
    page.table(table.without_blank_columns());
    ledger(page, plan);
    if let Some((price, cost)) = price.zip(plan.launch_cost()) {
        page.paragraph(format!(
            "At {} {currency} per kilogram of launch mass it costs {} {currency}.",
            shown_number(price.per_kg),
            fixed(cost, 2),
            currency = price.currency,
        ));
    }
}

/// The launch mass by category as bars, beside that of the reference.
fn ledger(page: &mut Page, plan: &Plan) {
    let here = plan.by_category();
    let reference = plan.reference().map(|one| (one.name(), one.by_category()));
    let reference = reference.filter(|(_, categories)| !categories.is_empty());
    let mut series = vec![("this plan", here.as_slice())];
    series.extend(reference);
    let caption = match series.as_slice() {
        [_, (name, _)] => format!("Launch mass by category, this plan and {name}."),
        _ => "Launch mass by category.".to_owned(),
    };
    page.plot(
        caption,
        categories_in_words(&series),
        category_bars(&series).draw(),
        None,
    );
}

/// Bars of categories, one for each of several plans.
pub(in crate::report) fn category_bars(plans: &[(&str, &[(Category, f64)])]) -> Bars {
    let of = |categories: &[(Category, f64)], wanted: Category| {
        let mut found = categories.iter();
        let (_, kg) = found.find(|(category, _)| *category == wanted)?;
        Some((*kg, format!("{} kg", fixed(*kg, 0))))
    };
    let rows = Category::ALL.into_iter().map(|category| Bar {
        name: category.words().to_owned(),
        values: plans
            .iter()
            .map(|(_, categories)| of(categories, category))
            .collect(),
    });
    Bars {
        axis: "launch mass, kg".to_owned(),
        series: plans.iter().map(|(name, _)| (*name).to_owned()).collect(),
        rows: rows
            .filter(|row| row.values.iter().any(Option::is_some))
            .collect(),
    }
}

/// What the largest categories of each plan are.
pub(in crate::report) fn categories_in_words(plans: &[(&str, &[(Category, f64)])]) -> String {
    let words = plans.iter().filter_map(|(name, categories)| {
        let (category, kg) = categories.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let (kg, category) = (fixed(*kg, 0), category.words());
        Some(format!("{name}: the largest is {category}, {kg} kg."))
    });
    let words: Vec<String> = words.collect();
    format!("Bars of launch mass by category. {}", words.join(" "))
}

/// The heading of a column of costs.
pub(super) fn cost_heading(price: &LaunchPrice) -> String {
    format!("launch cost, {}", price.currency)
}

/// What loads weigh beside the launch mass, where the design asks for it.
pub(super) fn equivalents(page: &mut Page, plan: &Plan) {
    let Some(equivalents) = &plan.answer().equivalents else {
        return;
    };
    page.heading("Equivalent system mass");
    let geared = equivalents.gear_ratio != 1.0;
    let mut table = Table::new(&[
        ("part", ""),
        ("equivalent mass", "kg"),
        ("gear ratio", ""),
        ("how it came about", ""),
    ]);
    table.rows.push(vec![
        Cell::text("launch mass"),
        Cell::kg(plan.answer().launch_mass_kg),
        Cell::Blank,
        Cell::text("as above, gear ratios included"),
    ]);
    for line in &equivalents.lines {
        let gear_ratio = match geared {
            true => Cell::Plain(equivalents.gear_ratio),
            false => Cell::Blank,
        };
        table.rows.push(vec![
            Cell::text(line.item),
            Cell::kg(line.kg),
            gear_ratio,
            Cell::text(&line.how),
        ]);
    }
    table.total = Some(vec![
        Cell::text("all"),
        Cell::kg(equivalents.equivalent_system_mass_kg),
        Cell::Blank,
        Cell::Blank,
    ]);
    page.table(table.without_blank_columns());
    page.paragraph(
        "This sum is what was minimised. It is a measure for comparison: nothing but the launch \
         mass is launched.",
    );
}

/// Launch mass by flight, where there is more than one.
pub(in crate::report) fn by_flight(page: &mut Page, plan: &Plan) {
    let flights = totals::by_flight(plan);
    let geared = flights.iter().any(|flight| flight.gear_ratio != 1.0);
    if flights.len() < 2 && !geared && flights.iter().all(|flight| flight.payload_kg.is_none()) {
        return;
    }
    let mut table = Table::new(&[
        ("flight", ""),
        ("day", ""),
        ("until the next", "d"),
        ("carries", "kg"),
        ("payload", "kg"),
        ("payload left", "kg"),
        ("gear ratio", ""),
        ("launch mass", "kg"),
    ]);
    for flight in &flights {
        let launch_mass = Cell::kg(flight.launch_mass_kg());
        table.rows.push(vec![
            Cell::Whole(flight.flight as u64),
            Cell::Plain(flight.day),
            Cell::Plain(flight.days_to_next),
            Cell::kg(flight.kg),
            flight.payload_kg.map_or(Cell::Blank, Cell::kg),
            flight.spare_payload_kg().map_or(Cell::Blank, Cell::kg),
            match geared {
                true => Cell::Plain(flight.gear_ratio),
                false => Cell::Blank,
            },
            if geared { launch_mass } else { Cell::Blank },
        ]);
    }
    let all = flights.iter().map(|flight| flight.kg).sum();
    let geared_mass = match geared {
        true => Cell::kg(plan.answer().launch_mass_kg),
        false => Cell::Blank,
    };
    table.total = Some(vec![
        Cell::text("all"),
        Cell::Blank,
        Cell::Blank,
        Cell::kg(all),
        Cell::Blank,
        Cell::Blank,
        Cell::Blank,
        geared_mass,
    ]);
    page.table(table.without_blank_columns());
}

/// Every line of the ledger and how it came about.
pub(super) fn lines(page: &mut Page, plan: &Plan) {
    let several = plan.network().calendar.flights.len() > 1;
    let mut table = Table::new(&[
        ("flight", ""),
        ("item", ""),
        ("category", ""),
        ("mass", "kg"),
        ("how it came about", ""),
    ]);
    for line in &plan.answer().ledger {
        table.rows.push(vec![
            match several {
                true => Cell::Whole(line.flight as u64),
                false => Cell::Blank,
            },
            Cell::text(&line.item),
            Cell::text(line.category.words()),
            Cell::kg(line.kg),
            Cell::text(&line.how),
        ]);
    }
    page.table(table.without_blank_columns());
}
