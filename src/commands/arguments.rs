//! Arguments that several commands share.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, ValueEnum};

use crate::quantity::{Dimension, parse};
use crate::solve;

use super::interrupt;

/// Which design, and what is changed in it.
#[derive(Clone, Debug, Args)]
pub struct Input {
    /// The design file; `-` reads standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,

    #[command(flatten)]
    pub changes: Changes,
}

/// What is changed in a design.
#[derive(Clone, Debug, Default, Args)]
pub struct Changes {
    /// Change a number of the design, as in
    /// --set "nodes.urine still.unit.mass=120 kg"; may be given several times
    #[arg(long = "set", value_name = "ADDRESS=VALUE")]
    pub settings: Vec<String>,

    /// Take a variant of the design
    #[arg(long, value_name = "NAME")]
    pub variant: Option<String>,
}

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Text to read.
    Text,
    /// One JSON object.
    Json,
    /// Markdown with pipe tables.
    Markdown,
    /// The tables as comma-separated values.
    Csv,
    /// One HTML file that needs nothing else.
    Html,
}

/// Where it is written.
#[derive(Clone, Debug, Args)]
pub struct Output {
    /// Write to a file, whole or not at all, instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// How hard to try.
#[derive(Clone, Debug, Args)]
pub struct Effort {
    /// Relative gap to which the optimum is proved
    #[arg(long, value_name = "GAP", default_value = "1e-9", value_parser = gap)]
    pub gap: f64,

    /// Stop after this long, such as "30 s" or "10 min", and give the best found
    #[arg(long, value_name = "TIME", value_parser = time_limit)]
    pub time_limit: Option<Duration>,

    /// What solves the linear programs of the search
    #[arg(long, value_enum, default_value_t = BackendName::Kernel)]
    pub backend: BackendName,
}

/// What solves the linear programs of the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BackendName {
    /// The kernel of this tool
    Kernel,
    /// A general-purpose library, slower: a referee
    Library,
}

impl Effort {
    /// As options of a search that Ctrl-C stops.
    pub fn options(&self) -> solve::Options {
        solve::Options {
            gap: self.gap,
            time_limit: self.time_limit,
            interrupt: Some(interrupt::flag()),
            backend: match self.backend {
                BackendName::Kernel => solve::Backend::Kernel,
                BackendName::Library => solve::Backend::Library,
            },
            ..solve::Options::default()
        }
    }
}

fn gap(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(gap) if (0.0..1.0).contains(&gap) => Ok(gap),
        _ => Err("a gap is a number from 0 to below 1, such as 1e-9 or 0.01".to_owned()),
    }
}

fn time_limit(text: &str) -> Result<Duration, String> {
    let days = parse(text, Dimension::Time).map_err(|error| error.to_string())?;
    let seconds = days * 86_400.0;
    match Duration::try_from_secs_f64(seconds) {
        Ok(limit) if seconds > 0.0 => Ok(limit),
        _ => Err("a time limit is more than nothing, such as \"30 s\"".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_and_time_limits_are_checked() {
        assert_eq!(gap("0.01"), Ok(0.01));
        for bad in ["1", "-1e-9", "NaN", "five"] {
            assert!(gap(bad).is_err(), "{bad}");
        }
        assert_eq!(time_limit("1.5 min"), Ok(Duration::from_secs(90)));
        for bad in ["30", "0 s", "-3 s", "3 kg"] {
            assert!(time_limit(bad).is_err(), "{bad}");
        }
    }
}
