//! LibreOffice Calc, told to recalculate whatever it opens.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use libtest_mimic::Failed;

/// Always recalculate files of this kind on opening.
const SETTINGS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"#;

/// The program.
pub struct Spreadsheet {
    program: &'static str,
}

impl Spreadsheet {
    /// Looks for it.
    pub fn find() -> Result<Self, String> {
        for program in ["soffice", "libreoffice"] {
            let found = Command::new(program).arg("--version").output();
            if found.is_ok_and(|answer| answer.status.success()) {
                return Ok(Spreadsheet { program });
            }
        }
        Err("LibreOffice (soffice) is not on the path".to_owned())
    }

    /// Opens workbooks, recalculates them and saves them into a directory, all in one
    /// run, with settings of its own.
    pub fn recalculate(&self, files: &[PathBuf], into: &Path) -> Result<(), Failed> {
        let home = tempfile::tempdir()?;
        fs::create_dir_all(home.path().join("user"))?;
        fs::write(home.path().join("user/registrymodifications.xcu"), SETTINGS)?;
        let answer = Command::new(self.program)
            .arg(format!(
                "-env:UserInstallation=file://{}",
                home.path().display()
            ))
            .args(["--headless", "--convert-to", "xlsx", "--outdir"])
            .arg(into)
            .args(files)
            .output()?;
        let missing = files
            .iter()
            .find(|file| !into.join(file.file_name().unwrap_or_default()).is_file());
        match missing {
            None => Ok(()),
            Some(file) => {
                let words = String::from_utf8_lossy(&answer.stderr);
                Err(format!("{} was not recalculated: {words}", file.display()).into())
            }
        }
    }
}
