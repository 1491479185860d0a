//! Pages are put before axe-core, the accessibility engine, in a browser: no critical and
//! no serious finding. Skipped without the browser or the engine; `.ci/run` brings both and
//! wants them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod common;
#[path = "common/engine.rs"]
mod engine;

use std::fs;
use std::path::Path;
use std::process::Command;

use common::run;
use engine::{ENGINE, LOOK, is_grave};
use serde_json::Value;

/// What a page says once the engine is done.
const DONE: &str = "findings of the engine: ";

/// What is missing for a check, if anything.
fn missing() -> Option<&'static str> {
    let browser = Command::new("chromium").arg("--version").output();
    if !browser.is_ok_and(|output| output.status.success()) {
        return Some("chromium is not installed");
    }
    (!Path::new(ENGINE).is_file()).then_some("axe-core is not in target/accessibility")
}

/// What the engine finds on a page.
fn findings(page: &str) -> Vec<Value> {
    // The policy of the page lets nothing run; the engine has to.
    let policy = page
        .find("<meta http-equiv=\"Content-Security-Policy\"")
        .unwrap();
    let end = policy + page[policy..].find('>').unwrap() + 1;
    let engine = fs::read_to_string(ENGINE).unwrap();
    let engine = engine.replace("</script", "<\\/script");
    let runs = format!(
        "<script>{engine}</script><script>
         {LOOK}.then(found => {{
             document.body.textContent = {DONE:?} + JSON.stringify(found);
         }});
         </script></body>"
    );
    let page = format!("{}{}", &page[..policy], &page[end..]).replacen("</body>", &runs, 1);
    let directory = tempfile::tempdir().unwrap();
    let file = directory.path().join("page.html");
    fs::write(&file, page).unwrap();
    let profile = directory.path().join("profile");
    let output = Command::new("chromium")
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
        ])
        .args([
            "--no-first-run",
            "--disable-background-networking",
            "--disable-sync",
        ])
        .args(["--disable-component-update", "--window-size=1280,900"])
        .args(["--virtual-time-budget=120000", "--dump-dom"])
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("file://{}", file.display()))
        .output()
        .unwrap();
    let dom = String::from_utf8_lossy(&output.stdout);
    let body = dom.rfind(DONE).map(|at| &dom[at + DONE.len()..]);
    let body = body.and_then(|body| body.split("</body>").next());
    let body = body.unwrap_or_else(|| panic!("the engine did not finish: {dom:.2000}"));
    let body = body
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    let found: Value = serde_json::from_str(&body).unwrap();
    engine::findings(&found)
}

#[test]
fn pages_have_no_grave_finding() {
    if let Some(why) = missing() {
        let wanted = std::env::var("LOOPWRIGHT_BROWSER").is_ok_and(|value| value == "required");
        assert!(!wanted, "{why}");
        println!("skipped: {why}");
        return;
    }
    let over = "mission.length = 30 .. 60 d";
    let pages: [&[&str]; 3] = [
        &["report", "designs/classroom.ron"],
        &["report", "designs/long-transit.ron"],
        &[
            "break-even",
            "designs/classroom.ron",
            "--over",
            over,
            "--format",
            "html",
        ],
    ];
    for words in pages {
        let run = run(words);
        assert_eq!(run.code, 0, "{}", run.err);
        let found = findings(&run.out);
        for one in &found {
            println!("{words:?}: {one:#}");
        }
        assert!(!found.iter().any(is_grave), "{words:?}: {found:#?}");
    }
    // The engine does find what is wrong.
    let run = run(&["check", "designs/classroom.ron", "--format", "html"]);
    let wrong = run
        .out
        .replacen("<main ", "<main><img src=\"data:,\"></main><main ", 1);
    assert!(findings(&wrong).iter().any(is_grave));
}
