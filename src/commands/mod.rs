//! The commands: arguments in, a page out.

mod alternatives;
mod answered;
mod arguments;
mod autonomy;
mod bad_days;
mod break_even;
mod cadence;
mod check;
mod compare;
mod exit;
mod explain;
mod export;
mod failure;
mod failures;
mod frontier;
mod interrupt;
mod kinds;
mod manifest;
mod many;
mod new;
mod output;
mod prices;
mod progress;
mod sensitivity;
mod session;
mod solve;
mod study;
mod sweep;
mod timeline;
mod uncertainty;
mod water_round;

use std::ffi::OsString;

use clap::{Parser, Subcommand};

pub use exit::Exit;

use arguments::{Format, Output};
use output::Colour;
use session::Session;

const ABOUT: &str = "\
Finds the lightest mix of recovery hardware and resupply that keeps a crew alive,
proves it, audits it and explains it.";

const EXAMPLES: &str = "\
Examples:
  loopwright new my-base
  loopwright solve designs/ridge-outpost.ron
  loopwright manifest designs/ridge-outpost.ron
  loopwright timeline designs/ridge-outpost.ron
  loopwright autonomy designs/ridge-outpost.ron
  loopwright prices designs/ridge-outpost.ron
  loopwright alternatives designs/ridge-outpost.ron
  loopwright frontier designs/ridge-outpost.ron --against power
  loopwright failures designs/ridge-outpost.ron
  loopwright explain designs/ridge-outpost.ron --item polisher
  loopwright sweep designs/ridge-outpost.ron --over \"mission.length = 100 .. 1500 by 100 d\"
  loopwright break-even designs/classroom.ron --over \"mission.length = 30 .. 400 d\"
  loopwright sensitivity designs/ridge-outpost.ron
  loopwright uncertainty designs/ridge-outpost.ron
  loopwright check designs/ridge-outpost.ron
  loopwright export designs/ridge-outpost.ron --to lp";

#[derive(Debug, Parser)]
#[command(name = "loopwright", version, about = ABOUT, after_help = after_help())]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// When to use colour
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        alias = "color",
        display_order = 100
    )]
    colour: Colour,
}

#[derive(Debug, Subcommand)]
enum Command {
    Solve(solve::Solve),
    Prices(prices::PricesAt),
    Alternatives(alternatives::AlternativesOf),
    Frontier(frontier::FrontierOf),
    Manifest(manifest::Manifest),
    Failures(failures::FailuresOf),
    Timeline(timeline::TimelineOf),
    Autonomy(autonomy::AutonomyOf),
    WaterRound(water_round::WaterRoundOf),
    Sweep(sweep::SweepOf),
    BreakEven(break_even::BreakEvenOf),
    Cadence(cadence::CadenceOf),
    Compare(compare::CompareOf),
    Sensitivity(sensitivity::SensitivityOf),
    Study(study::StudyOf),
    Uncertainty(uncertainty::UncertaintyOf),
    Check(check::Check),
    Export(export::Export),
    Explain(explain::Explain),
    Kinds(kinds::Kinds),
    New(new::New),
}

/// Standard output: what `new` says is not the design that it writes.
static STANDARD: Output = Output { output: None };

fn after_help() -> String {
    format!("{EXAMPLES}\n\n{}", Exit::table())
}

/// Runs one command line, its first word the name of the program.
pub fn run(words: impl IntoIterator<Item = OsString>) -> Exit {
    let arguments = match Arguments::try_parse_from(words) {
        Ok(arguments) => arguments,
        Err(complaint) => {
            // Help that was asked for is no mistake; a closed pipe is none either.
            let _ = complaint.print();
            return match complaint.use_stderr() {
                true => Exit::BadInput,
                false => Exit::Done,
            };
        }
    };
    let (format, output) = match &arguments.command {
        Command::Solve(solve) => (solve.format, &solve.output),
        Command::Prices(prices) => (prices.format, &prices.output),
        Command::Alternatives(others) => (others.format, &others.output),
        Command::Frontier(frontier) => (frontier.format, &frontier.output),
        Command::Manifest(manifest) => (manifest.format, &manifest.output),
        Command::Failures(failures) => (failures.format, &failures.output),
        Command::Timeline(timeline) => (timeline.format, &timeline.output),
        Command::Autonomy(autonomy) => (autonomy.format, &autonomy.output),
        Command::WaterRound(round) => (round.format, &round.output),
        Command::Sweep(sweep) => (sweep.format, &sweep.output),
        Command::BreakEven(even) => (even.format, &even.output),
        Command::Cadence(cadence) => (cadence.format, &cadence.output),
        Command::Compare(compare) => (compare.format, &compare.output),
        Command::Sensitivity(moved) => (moved.format, &moved.output),
        Command::Study(study) => (study.format, &study.output),
        Command::Uncertainty(drawn) => (drawn.format, &drawn.output),
        Command::Check(check) => (check.format, &check.output),
        Command::Export(export) => (Format::Text, &export.output),
        Command::Explain(explain) => (explain.format, &explain.output),
        Command::Kinds(kinds) => (kinds.format, &kinds.output),
        Command::New(_) => (Format::Text, &STANDARD),
    };
    let mut session = Session::new(format, output.output.clone(), arguments.colour);
    let finished = match &arguments.command {
        Command::Solve(solve) => solve.run(&mut session),
        Command::Prices(prices) => prices.run(&mut session),
        Command::Alternatives(others) => others.run(&mut session),
        Command::Frontier(frontier) => frontier.run(&mut session),
        Command::Manifest(manifest) => manifest.run(&mut session),
        Command::Failures(failures) => failures.run(&mut session),
        Command::Timeline(timeline) => timeline.run(&mut session),
        Command::Autonomy(autonomy) => autonomy.run(&mut session),
        Command::WaterRound(round) => round.run(&mut session),
        Command::Sweep(sweep) => sweep.run(&mut session),
        Command::BreakEven(even) => even.run(&mut session),
        Command::Cadence(cadence) => cadence.run(&mut session),
        Command::Compare(compare) => compare.run(&mut session),
        Command::Sensitivity(moved) => moved.run(&mut session),
        Command::Study(study) => study.run(&mut session),
        Command::Uncertainty(drawn) => drawn.run(&mut session),
        Command::Check(check) => check.run(&mut session),
        Command::Export(export) => export.run(&mut session),
        Command::Explain(explain) => explain.run(&mut session),
        Command::Kinds(kinds) => kinds.run(&mut session),
        Command::New(new) => new.run(&mut session),
    };
    finished.unwrap_or_else(|failure| session.fail(&failure))
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn a_wrong_command_line_is_bad_input_and_help_is_not() {
        let run = |words: &[&str]| super::run(words.iter().map(OsString::from));
        assert_eq!(run(&["loopwright", "slove"]), Exit::BadInput);
        assert_eq!(run(&["loopwright", "solve"]), Exit::BadInput);
        assert_eq!(run(&["loopwright", "--help"]), Exit::Done);
    }
}
