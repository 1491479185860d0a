//! Where output goes: the terminal, a pipe, or a file that is written whole or
//! not at all.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use anstream::{AutoStream, ColorChoice};
use clap::ValueEnum;

/// When to use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Colour {
    fn choice(self) -> ColorChoice {
        match self {
            Colour::Auto => ColorChoice::Auto,
            Colour::Always => ColorChoice::Always,
            Colour::Never => ColorChoice::Never,
        }
    }
}

/// Prints to standard output; a reader that has gone away is no error.
pub(super) fn print(text: &str, colour: Colour) -> io::Result<()> {
    let mut stream = AutoStream::new(io::stdout().lock(), colour.choice());
    let written = stream
        .write_all(text.as_bytes())
        .and_then(|()| stream.flush());
    forgive_broken_pipe(written)
}

/// Prints every byte as it is; a reader that has gone away is no error.
pub(super) fn print_bytes(bytes: &[u8]) -> io::Result<()> {
    let mut stream = io::stdout().lock();
    let written = stream.write_all(bytes).and_then(|()| stream.flush());
    forgive_broken_pipe(written)
}

/// Writes a picture of the whole terminal in one piece, so that nothing of the one before
/// is seen beside it; `before` and `after` are for the terminal alone.
pub(super) fn print_at_once(
    before: &str,
    text: &str,
    after: &str,
    colour: Colour,
) -> io::Result<()> {
    let mut stream = io::stdout().lock();
    let choice = match colour.choice() {
        ColorChoice::Auto => AutoStream::choice(&stream),
        other => other,
    };
    let text = match choice {
        ColorChoice::Never => anstream::adapter::strip_str(text).to_string(),
        _ => text.to_owned(),
    };
    stream.write_all(format!("{before}{text}{after}").as_bytes())?;
    stream.flush()
}

/// Prints to standard error; what cannot be said there cannot be said at all.
pub(super) fn complain(text: &str, colour: Colour) {
    let mut stream = AutoStream::new(io::stderr().lock(), colour.choice());
    let _ = stream.write_all(text.as_bytes());
}

fn forgive_broken_pipe(written: io::Result<()>) -> io::Result<()> {
    match written {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Writes a file whole or not at all, without colour. What is not a regular
/// file (a device, a pipe) cannot be replaced and is written to directly.
pub(super) fn write_file(path: &Path, text: &str) -> io::Result<()> {
    write_bytes(
        path,
        anstream::adapter::strip_str(text).to_string().as_bytes(),
    )
}

/// Writes bytes as [`write_file`] writes text.
pub(super) fn write_bytes(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // A link keeps pointing to the file it names.
    let target = match fs::canonicalize(path) {
        Ok(target) if target.is_file() => target,
        Ok(other) => return forgive_broken_pipe(fs::write(other, bytes)),
        Err(_) => path.to_owned(),
    };
    let mut file = new_file_beside(&target)?;
    file.write_all(bytes)?;
    file.persist(&target).map_err(|failed| failed.error)?;
    Ok(())
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
///
/// Among others, if something of that name is there.
pub(super) fn write_new_file(path: &Path, text: &str) -> io::Result<()> {
    let mut file = new_file_beside(path)?;
    file.write_all(text.as_bytes())?;
    let kept = file.persist_noclobber(path);
    kept.map(drop).map_err(|failed| failed.error)
}

fn new_file_beside(path: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".loopwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: what the user's mask leaves of this.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(directory_of(path))
}

/// Says what is wrong with the directory in which a file is to be written.
pub(super) fn expect_directory(path: &Path) -> io::Result<()> {
    match fs::metadata(directory_of(path))?.is_dir() {
        true => Ok(()),
        false => Err(ErrorKind::NotADirectory.into()),
    }
}

/// The directory in which a file stands.
pub(super) fn directory_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let directory = tempfile::tempdir().unwrap();
        let path = directory.path().join("answer.txt");
        write_file(&path, "first, and longer").unwrap();
        write_file(&path, "\u{1b}[1msecond\u{1b}[0m").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "second");
        assert_eq!(fs::read_dir(directory.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_keeps_its_target() {
        let directory = tempfile::tempdir().unwrap();
        let (file, link) = (directory.path().join("file"), directory.path().join("link"));
        fs::write(&file, "old").unwrap();
        std::os::unix::fs::symlink(&file, &link).unwrap();
        write_file(&link, "new").unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "new");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    }

    #[test]
    fn a_directory_that_is_not_there_is_an_error() {
        let directory = tempfile::tempdir().unwrap();
        assert!(write_file(&directory.path().join("none/answer.txt"), "x").is_err());
    }

    #[test]
    fn the_directory_of_a_bare_name_is_here() {
        assert_eq!(directory_of(Path::new("a.txt")), Path::new("."));
        assert_eq!(directory_of(Path::new("b/a.txt")), Path::new("b"));
    }
}
