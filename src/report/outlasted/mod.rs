//! The page of random failures.

mod data;
mod tables;

use crate::audit::Plan;
use crate::network::SparesPolicy;
use crate::quantity::shown_number;
use crate::study::failures::Failures;

use super::findings::Origin;
use super::number::{counted, fixed};
use super::page::{Block, Page, Tone};
use super::solved::CAUTION;

/// A share further than this from the model is not put down to chance, standard errors.
const BY_CHANCE: f64 = 3.0;

/// The page of random failures with a plan's spares.
pub fn outlasted(plan: &Plan, failures: &Failures, origin: &Origin) -> Page {
    let title = &plan.network().title;
    let mut page = Page::new(title.as_str());
    let (tone, words) = outcome(failures);
    page.blocks.push(Block::Outcome { tone, words });
    page.blocks.push(Block::Title(title.clone()));
    if !failures.parts.is_empty() {
        page.paragraph(flown(failures));
        page.paragraph(METHOD);
        page.points(vec![INTERVAL.to_owned(), OFF.to_owned()]);
        page.heading("Spares against failures");
        page.table(tables::by_part(failures));
        page.paragraph(asked(plan));
        page.heading("Where missions fall short");
        page.table(tables::short(failures));
        page.paragraph(SHORT);
        if failures.until.len() > 1 {
            page.heading("As the mission goes on");
            page.table(tables::until(failures));
        }
    }
    page.blocks.push(Block::Caution(CAUTION.to_owned()));
    page.data = data::data(plan, failures, origin);
    page
}

const METHOD: &str = "Every unit at work lasts a random time, exponentially distributed with its mean \
    time between failures over its duty. A spare takes its place at once; a failure that finds no \
    spare is a shortfall, and the unit stays down. Where the failure rate is uncertain, it is drawn \
    once per mission and part. The model counts failures (Poisson, negative-binomial for uncertain \
    rates); that both agree checks one against the other, not the mean times they share.";

const INTERVAL: &str = "from, to: the 95 % interval of the share (Wilson's score interval).";

const OFF: &str = "off: share less model, in standard errors √(p (1 − p) / missions) of the \
    model's p. One in 370 shares is off by more than 3 by chance alone.";

const SHORT: &str = "\"first\" counts the missions whose first shortfall is of that part; days down are \
    of all its units that found no spare, on the missions on which it fell short.";

/// How it ended, in one sentence.
fn outcome(failures: &Failures) -> (Tone, String) {
    if failures.parts.is_empty() {
        let words = "Nothing to fail: no unit of the plan states spares with a mean time between \
            failures.";
        return (Tone::Doubtful, words.to_owned());
    }
    if failures.missions == 0 {
        let words = "Stopped before any mission was flown.";
        return (Tone::Bad, words.to_owned());
    }
    let system = &failures.system;
    let [low, high] = system.interval();
    let mut words = format!(
        "Spares lasted on {} of {}, a share of {} (95 % interval {} to {}). The plan says {}.",
        fixed(system.lasted as f64, 0),
        counted(failures.missions as usize, "mission"),
        fixed(system.share(), 5),
        fixed(low, 5),
        fixed(high, 5),
        fixed(system.model, 5),
    );
    let agrees = system
        .standard_errors_off()
        .is_none_or(|off| off.abs() <= BY_CHANCE);
    if !agrees {
        words.push_str(" That is more than chance: take it as a warning.");
    }
    if failures.missions < failures.asked {
        words.push_str(" Stopped early.");
    }
    let good = agrees && failures.missions == failures.asked;
    (if good { Tone::Good } else { Tone::Doubtful }, words)
}

/// How many missions, and from which seed.
fn flown(failures: &Failures) -> String {
    let missions = counted(failures.missions as usize, "mission");
    let stopped = match failures.missions < failures.asked {
        true => format!(" of {} asked for", fixed(failures.asked as f64, 0)),
        false => String::new(),
    };
    let seed = failures.seed;
    format!(
        "{missions}{stopped}, random numbers from seed {seed}; the same seed gives the same missions."
    )
}

/// What was asked of the spares.
fn asked(plan: &Plan) -> String {
    match plan.network().spares {
        None => "The design asks for no spares, so none fly and every failure is a shortfall."
            .to_owned(),
        Some(SparesPolicy::EachNode { confidence }) => {
            let asked = shown_number(confidence);
            format!("Each part was asked to last with {asked}.")
        }
        Some(SparesPolicy::WholeSystem { confidence }) => {
            let asked = shown_number(confidence);
            format!("All parts together were asked to last with {asked}.")
        }
    }
}
