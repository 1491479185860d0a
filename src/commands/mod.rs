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
mod draw;
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
mod report;
mod sensitivity;
mod serve;
mod session;
mod solve;
mod studied;
mod study;
mod sweep;
mod timeline;
mod uncertainty;
mod watch;
mod water_round;
mod workbook;

use std::ffi::OsString;
use std::path::Path;

use clap::{Parser, Subcommand};

use crate::diagnostic::{Diagnostic, codes};

pub use exit::Exit;

use arguments::{Format, Output};
use failure::Failure;
use output::Colour;
use session::Session;

const ABOUT: &str = "\
Finds the lightest mix of recovery hardware and resupply that keeps a crew alive,
proves it, audits it and explains it.";

const EXAMPLES: &str = "\
Examples:
  loopwright new my-base
  loopwright solve designs/ridge-outpost.ron
  loopwright report designs/ridge-outpost.ron -o report.html
  loopwright draw designs/ridge-outpost.ron -o loop.svg
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
  loopwright serve designs/ridge-outpost.ron
  loopwright workbook designs/ridge-outpost.ron --output plan.xlsx
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
    Report(report::ReportOf),
    Draw(draw::Draw),
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
    Serve(serve::Serve),
    Uncertainty(uncertainty::UncertaintyOf),
    Workbook(workbook::WorkbookOf),
    Check(check::Check),
    Export(export::Export),
    Explain(explain::Explain),
    Kinds(kinds::Kinds),
    New(new::New),
}

/// Standard output: what `new` and `serve` say is no page.
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
        Command::Report(report) => (report.format, &report.output),
        // A picture goes to its file by itself; what else is said goes to the terminal.
        Command::Draw(_) => (Format::Text, &STANDARD),
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
        Command::Workbook(workbook) => (Format::Text, &workbook.output),
        Command::Check(check) => (check.format, &check.output),
        Command::Export(export) => (Format::Text, &export.output),
        Command::Explain(explain) => (explain.format, &explain.output),
        Command::Kinds(kinds) => (kinds.format, &kinds.output),
        Command::Serve(_) | Command::New(_) => (Format::Text, &STANDARD),
    };
    let colour = arguments.colour;
    let session = || Session::new(format, output.output.clone(), colour);
    match watched(&arguments.command) {
        None => finish(&arguments.command, &mut session()),
        Some(file) if file == Path::new("-") => {
            let words = "standard input cannot be watched";
            session().fail(&Failure::bad_input(vec![
                Diagnostic::error(codes::UNREADABLE_FILE, words).help("name a design file"),
            ]))
        }
        Some(_) => watch::watch(colour, || {
            let mut session = session().keeping_back();
            finish(&arguments.command, &mut session);
            session.said()
        }),
    }
}

/// The design file of a command that is to run again whenever it is saved.
fn watched(command: &Command) -> Option<&Path> {
    match command {
        Command::Solve(solve) if solve.watch => Some(&solve.input.file),
        Command::Report(report) if report.watch => Some(&report.input.file),
        _ => None,
    }
}

/// Runs a command to its end, and says so if it fails.
fn finish(command: &Command, session: &mut Session) -> Exit {
    let finished = match command {
        Command::Solve(solve) => solve.run(session),
        Command::Report(report) => report.run(session),
        Command::Draw(draw) => draw.run(session),
        Command::Prices(prices) => prices.run(session),
        Command::Alternatives(others) => studied::run(others, session),
        Command::Frontier(frontier) => studied::run(frontier, session),
        Command::Manifest(manifest) => manifest.run(session),
        Command::Failures(failures) => failures.run(session),
        Command::Timeline(timeline) => timeline.run(session),
        Command::Autonomy(autonomy) => autonomy.run(session),
        Command::WaterRound(round) => round.run(session),
        Command::Sweep(sweep) => studied::run(sweep, session),
        Command::BreakEven(even) => studied::run(even, session),
        Command::Cadence(cadence) => studied::run(cadence, session),
        Command::Compare(compare) => studied::run(compare, session),
        Command::Sensitivity(moved) => studied::run(moved, session),
        Command::Study(study) => study.run(session),
        Command::Uncertainty(drawn) => studied::run(drawn, session),
        Command::Workbook(workbook) => workbook.run(session),
        Command::Check(check) => check.run(session),
        Command::Export(export) => export.run(session),
        Command::Explain(explain) => explain.run(session),
        Command::Kinds(kinds) => kinds.run(session),
        Command::Serve(serve) => serve.run(session),
        Command::New(new) => new.run(session),
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
