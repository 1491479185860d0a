//! A general-purpose solver as referee: HiGHS through its Python wheel `highspy`.
#![allow(dead_code, reason = "every test uses some of it")]

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use serde_json::Value;

/// Whether a missing second solver fails a test instead of skipping it.
pub fn is_required() -> bool {
    std::env::var("LOOPWRIGHT_SECOND_SOLVER").is_ok_and(|word| word == "required")
}

/// A Python that has the solver.
pub fn find_python() -> Result<PathBuf, String> {
    let candidates = ["target/second-solver/bin/python", "python3"];
    for candidate in candidates {
        let asked = Command::new(candidate)
            .arg("tests/second_solver.py")
            .output();
        if asked.is_ok_and(|answer| answer.status.success()) {
            return Ok(PathBuf::from(candidate));
        }
    }
    Err("no Python with the wheel `highspy`; .ci/run installs one".to_owned())
}

/// What the second solver says of a program.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Verdict {
    /// The least objective, kg.
    Optimal(f64),
    /// Nothing satisfies the rows.
    Infeasible,
}

/// Runs the script that builds the ridge outpost in Python: the numbers of every line
/// that it prints.
pub fn script(python: &Path, arguments: &[&str]) -> Result<Vec<Vec<f64>>, String> {
    let output = Command::new(python)
        .arg("tests/benches/outpost.py")
        .args(arguments)
        .output()
        .map_err(|error| error.to_string())?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    // The solver prints a banner of its own.
    let text = String::from_utf8_lossy(&output.stdout);
    let numbers = |line: &str| {
        line.split_whitespace()
            .map(|word| word.parse().ok())
            .collect()
    };
    Ok(text.lines().filter_map(numbers).collect())
}

/// One process of the second solver, asked one program after the other.
pub struct Referee {
    process: Child,
    questions: ChildStdin,
    answers: BufReader<ChildStdout>,
}

impl Referee {
    pub fn start(python: &Path) -> std::io::Result<Self> {
        let mut process = Command::new(python)
            .args(["tests/second_solver.py", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()?;
        let missing = || std::io::Error::other("no pipe to the second solver");
        let questions = process.stdin.take().ok_or_else(missing)?;
        let answers = process.stdout.take().ok_or_else(missing)?;
        Ok(Referee {
            process,
            questions,
            answers: BufReader::new(answers),
        })
    }

    /// Solves a program written in MPS.
    pub fn solve(&mut self, program: &Path) -> Result<Verdict, String> {
        self.ask(&program.display().to_string())
    }

    /// The same without the solver's presolve: slower, and a court of appeal. At the
    /// tolerances asked for here (1e-9) presolve of HiGHS 1.16 lost the optimum of
    /// random design 369, which presolve at 1e-8, none at 1e-9 and the audit agree on.
    pub fn solve_plainly(&mut self, program: &Path) -> Result<Verdict, String> {
        self.ask(&format!("{}\tplainly", program.display()))
    }

    /// Solves at the solver's own tolerances and a gap of 1e-7: what it says, and the
    /// seconds it took beyond reading the program. It is stopped after 300 s.
    pub fn time(&mut self, program: &Path) -> Result<(Option<Verdict>, f64), String> {
        let answer = self.answer(&format!("{}\ttimed", program.display()))?;
        let seconds = answer["seconds"].as_f64().ok_or("no seconds")?;
        Ok((verdict(&answer).ok(), seconds))
    }

    fn ask(&mut self, question: &str) -> Result<Verdict, String> {
        verdict(&self.answer(question)?)
    }

    fn answer(&mut self, question: &str) -> Result<Value, String> {
        writeln!(self.questions, "{question}").map_err(|error| error.to_string())?;
        self.questions.flush().map_err(|error| error.to_string())?;
        let mut line = String::new();
        // The solver prints a banner of its own.
        while !line.starts_with('{') {
            line.clear();
            match self.answers.read_line(&mut line) {
                Ok(0) => return Err("the second solver has ended".to_owned()),
                Ok(_) => {}
                Err(error) => return Err(error.to_string()),
            }
        }
        serde_json::from_str(&line).map_err(|error| error.to_string())
    }
}

fn verdict(answer: &Value) -> Result<Verdict, String> {
    match (answer["status"].as_str(), answer["objective"].as_f64()) {
        (Some("Optimal"), Some(objective)) => Ok(Verdict::Optimal(objective)),
        (Some("Infeasible"), _) => Ok(Verdict::Infeasible),
        _ => Err(format!("the second solver says {answer}")),
    }
}

impl Drop for Referee {
    fn drop(&mut self) {
        // It waits for the next question, and has nothing to lose.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
