//! Plans a design file from a program of your own and reads the audited answer:
//!
//! ```sh
//! cargo run --release --example plan designs/classroom.ron
//! ```

use std::error::Error;

use loopwright::design::{self, Edits};
use loopwright::diagnostic::{Sources, render_text};

use loopwright::{Hints, Planned, plan};

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args()
        .nth(1)
        .unwrap_or_else(|| "designs/classroom.ron".to_owned());
    let mut sources = Sources::new();
    let source = sources.add(file.clone(), std::fs::read_to_string(&file)?);
    let design = match design::read(&sources, source, &Edits::default()) {
        Ok(design) => design,
        Err(mistakes) => return Err(render_text(&mistakes, &sources, false).into()),
    };
    match plan(&design, &Hints::default()) {
        Ok(Planned::Plan(plan)) => {
            let answer = plan.answer();
            println!("{:.3} kg at launch", answer.launch_mass_kg);
            for node in plan.network().nodes() {
                if plan.network().duties(node).hardware.is_some() {
                    let units = answer.decisions.counts[node.index()];
                    println!("{units} × {}", plan.network().name(node));
                }
            }
            println!("worst audit residual {:.1e}", plan.report().worst_residual);
        }
        Ok(_) => println!("no answer"),
        Err(refusal) => return Err(format!("{refusal:?}").into()),
    }
    Ok(())
}
