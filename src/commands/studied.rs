//! Studies: questions about a design that end in a page.

use crate::report::Page;

use super::answered::Asked;
use super::arguments::Input;
use super::exit::Exit;
use super::failure::Failure;
use super::session::Session;

/// What a study ends with.
pub(super) enum Studied {
    /// Its page.
    Page(Box<Page>, Exit),
    /// A line about a share that is finished.
    Words(String, Exit),
}

impl Studied {
    /// The page of a design without a plan.
    pub fn of((page, exit): (Page, Exit)) -> Self {
        Studied::Page(Box::new(page), exit)
    }
}

/// A study with all that it takes.
pub(super) trait Studying {
    /// Which design.
    fn input(&self) -> &Input;

    /// Finds the answers for the design as read.
    fn study(&self, session: &mut Session, asked: &Asked) -> Result<Studied, Failure>;
}

/// Reads the design, studies it and writes what comes of it.
pub(super) fn run(study: &dyn Studying, session: &mut Session) -> Result<Exit, Failure> {
    let asked = Asked::read(session, study.input())?;
    show(study, session, &asked)
}

/// Studies a design that was read and writes what comes of it.
pub(super) fn show(
    study: &dyn Studying,
    session: &mut Session,
    asked: &Asked,
) -> Result<Exit, Failure> {
    match study.study(session, asked)? {
        Studied::Page(page, exit) => {
            asked.show(session, *page)?;
            Ok(exit)
        }
        Studied::Words(words, exit) => {
            session.write(&words)?;
            Ok(exit)
        }
    }
}
