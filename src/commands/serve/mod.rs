//! `loopwright serve`: a page whose sliders move the design.

mod answer;
mod asked;
mod cache;
mod connections;
mod controls;
mod ground;
mod guard;
mod ideas;
mod page;
mod refused;
mod routes;
mod slots;
mod studies;

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;

use clap::Args;

use super::arguments::Effort;
use super::exit::Exit;
use super::failure::Failure;
use super::interrupt;
use super::progress::with_progress;
use super::session::Session;
use crate::diagnostic::{Diagnostic, codes};
use ground::Ground;
use guard::Guard;
use routes::{Shared, routes};

const EXAMPLES: &str = "\
Examples:
  loopwright serve designs/ridge-outpost.ron
  loopwright serve designs/classroom.ron --port 0

Open the address that it prints. Every change is solved anew, as solve --set would; the
address in the browser holds the state, so that a link shows the same again. The file is
read once and never written to: save a changed design from the page.

Only this machine can open the page unless --address says otherwise. There is no password:
whoever reaches the address can ask it to solve.

Ctrl-C ends it.";

/// Show the design as a page with sliders, on this machine only
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Serve {
    /// The design file; `-` reads standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The port to listen on; 0 for any that is free
    #[arg(long, value_name = "NUMBER", default_value_t = 8017)]
    port: u16,
    /// The address to listen on; one that others can reach only if you mean it
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    address: IpAddr,
    #[command(flatten)]
    effort: Effort,
}

impl Serve {
    /// Reads the design, serves it, and ends at an interrupt.
    pub(super) fn run(&self, session: &mut Session) -> Result<Exit, Failure> {
        let options = self.effort.options();
        let (source, catalogues) = session.texts(&self.file)?;
        let sources = session.sources.clone();
        let ground = Ground::new(self.file.clone(), sources, source, catalogues);
        let (ground, warnings) = ground.map_err(Failure::bad_input)?;
        session.warn(&warnings);
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .enable_all()
            .build()
            .map_err(Failure::internal)?;
        let address = SocketAddr::new(self.address, self.port);
        let (listener, bound) = runtime
            .block_on(connections::listen(address))
            .map_err(|error| cannot_listen(address, &error))?;
        let guard = Guard { bound };
        let shared = Arc::new(with_progress("solving the design as written", || {
            Shared::new(ground, guard, options)
        }));
        let reach = match bound.ip().is_loopback() {
            true => "",
            false => "; others on its network reach it too",
        };
        let file = self.file.display();
        session.write(&format!(
            "{file} is at http://{bound}/ (Ctrl-C ends{reach})\n"
        ))?;
        let router = routes(Arc::clone(&shared));
        runtime.block_on(connections::serve(
            listener,
            router,
            interrupt::flag(),
            || {
                shared.close();
            },
        ));
        runtime.shutdown_background();
        Ok(Exit::Done)
    }
}

fn cannot_listen(address: SocketAddr, error: &std::io::Error) -> Failure {
    let words = format!("cannot listen on {address}: {error}");
    Failure::bad_input(vec![
        Diagnostic::error(codes::CANNOT_LISTEN, words)
            .help("choose another port with --port, or --port 0 for any that is free"),
    ])
}
