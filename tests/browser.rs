//! The live page in a real browser: what a slider shows is what `solve --set` says, to the
//! gram; a link shows the same again; what has no balance or is no setting is said; nothing
//! comes from elsewhere, the browser complains of nothing, and axe-core, the accessibility
//! engine, has no grave finding in either view.
//!
//! The browser is Chromium with its driver. Where one of the three is absent the test says that it was
//! skipped; with LOOPWRIGHT_BROWSER=required (as `.ci/run` sets) it fails instead.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test that cannot go on fails"
)]

mod common;
#[path = "common/engine.rs"]
mod engine;
#[path = "serve/mod.rs"]
mod served;

use common::OUTPOST;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

use axum::http::Method;
use engine::{ENGINE, LOOK, is_grave};
use fantoccini::key::Key;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use libtest_mimic::{Arguments, Failed, Trial};
use serde_json::{Value, json};
use served::Served;

const PATIENCE: Duration = Duration::from_secs(60);

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let required = std::env::var("LOOPWRIGHT_BROWSER").is_ok_and(|word| word == "required");
    let found = ["chromium", "chromedriver"].iter().all(|name| {
        let mut asked = Command::new(name);
        let asked = asked
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        asked.status().is_ok_and(|status| status.success())
    });
    let found = found && Path::new(ENGINE).is_file();
    if !found {
        eprintln!("browser skipped: no chromium, chromedriver or axe-core; .ci/run brings them");
    }
    let trial = Trial::test("the page in a browser", in_browser);
    let trial = match found || required {
        true => trial,
        false => trial.with_kind("skipped").with_ignored_flag(true),
    };
    libtest_mimic::run(&arguments, vec![trial]).exit_code()
}

fn in_browser() -> Result<(), Failed> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    let driver = Driver::start()?;
    runtime.block_on(async {
        let client = driver.client().await?;
        let looked = look(&client).await;
        client.close().await?;
        looked
    })
}

/// The driver of the browser, which ends with the test.
struct Driver {
    child: Child,
    address: String,
}

impl Driver {
    fn start() -> Result<Driver, Failed> {
        let mut child = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .spawn()?;
        let out = child.stdout.take().ok_or("no pipe from the driver")?;
        let mut lines = BufReader::new(out).lines();
        let port = lines.by_ref().map_while(Result::ok).find_map(|line| {
            let (_, rest) = line.split_once("started successfully on port ")?;
            rest.trim_end_matches('.').parse::<u16>().ok()
        });
        // Whatever else it says is read, so that it never waits for a reader.
        std::thread::spawn(move || lines.for_each(drop));
        let port = port.ok_or("the driver does not say where it listens")?;
        Ok(Driver {
            child,
            address: format!("http://127.0.0.1:{port}"),
        })
    }

    async fn client(&self) -> Result<Client, Failed> {
        let wanted = json!({
            "goog:chromeOptions": {"args": [
                "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                "--disable-dev-shm-usage", "--window-size=1400,900",
            ]},
            "goog:loggingPrefs": {"browser": "ALL"},
        });
        let Value::Object(wanted) = wanted else {
            return Err("capabilities are an object".into());
        };
        let mut builder = ClientBuilder::new(HttpConnector::new());
        Ok(builder.capabilities(wanted).connect(&self.address).await?)
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What the browser wrote to its console.
#[derive(Debug)]
struct Console;

impl WebDriverCompatibleCommand for Console {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/se/log", session.unwrap_or("")))
    }

    fn method_and_body(&self, _: &url::Url) -> (Method, Option<String>) {
        (Method::POST, Some(json!({"type": "browser"}).to_string()))
    }
}

/// Waits until a script gives true.
async fn until(client: &Client, what: &str, script: &str) -> Result<(), Failed> {
    let start = Instant::now();
    while client
        .execute(&format!("return Boolean({script});"), Vec::new())
        .await?
        != true
    {
        if start.elapsed() > PATIENCE {
            return Err(format!("never: {what}").into());
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    Ok(())
}

/// Waits until the newest question is answered.
async fn answered(client: &Client) -> Result<(), Failed> {
    let script = "document.body.dataset.sequence === String(newest) && !running && !waiting";
    until(client, "an answer to the newest question", script).await
}

async fn text(client: &Client, selector: &str) -> Result<String, Failed> {
    Ok(client.find(Locator::Css(selector)).await?.text().await?)
}

/// Writes over what stands in a field.
async fn fill(client: &Client, selector: &str, words: &str) -> Result<(), Failed> {
    let field = client.find(Locator::Css(selector)).await?;
    let all = [Key::Control.into(), 'a', Key::Null.into()];
    field
        .send_keys(&format!("{}{words}\n", String::from_iter(all)))
        .await?;
    Ok(())
}

/// What the page shows in large.
async fn total(client: &Client) -> Result<String, Failed> {
    text(client, "#total").await
}

fn expect(
    what: &str,
    found: impl PartialEq<&'static str> + std::fmt::Debug,
    wanted: &'static str,
) -> Result<(), Failed> {
    match found == wanted {
        true => Ok(()),
        false => Err(format!("{what}: {found:?}, not {wanted:?}").into()),
    }
}

/// The mass of `solve` with some settings, to the gram as the page writes it.
fn solved_to_the_gram(settings: &[String]) -> String {
    let mut words = vec!["solve", OUTPOST, "--format", "json"];
    words.extend(settings.iter().flat_map(|text| ["--set", text.as_str()]));
    let kg = common::run(&words).json()["launch_mass_kg"]
        .as_f64()
        .expect("a mass");
    loopwright::quantity::shown(kg, loopwright::quantity::Dimension::Mass)
}

/// Slider and field of a number are marked as wrong, and described by a note that says why.
async fn is_marked(client: &Client, address: &str) -> Result<(), Failed> {
    for kind in ["range", "text"] {
        let input = format!("[data-address='{address}'] input[type={kind}]");
        let input = client.find(Locator::Css(&input)).await?;
        let invalid = input.attr("aria-invalid").await?;
        assert_eq!(invalid.as_deref(), Some("true"), "{address}, {kind}");
        let described = input.attr("aria-describedby").await?.unwrap_or_default();
        let mut words = String::new();
        for id in described.split_whitespace() {
            words += &text(client, &format!("#{id}")).await?;
        }
        assert!(words.contains("[LW"), "{address}, {kind}: {words:?}");
    }
    Ok(())
}

async fn look(client: &Client) -> Result<(), Failed> {
    let served = Served::start(OUTPOST);
    let home = format!("http://{}/", served.host);
    client.goto(&home).await?;
    answered(client).await?;
    assert_eq!(total(client).await?, solved_to_the_gram(&[]), "as written");

    // A slider, by its keys.
    let right = char::from(Key::Right).to_string();
    let slider = "[data-address='mission.phases.operations.length'] input[type=range]";
    let slider = client.find(Locator::Css(slider)).await?;
    for _ in 0..4 {
        slider.send_keys(&right).await?;
    }
    answered(client).await?;
    let settings = client.execute("return settings();", Vec::new()).await?;
    let settings: Vec<String> = serde_json::from_value(settings)?;
    assert_eq!(settings.len(), 1, "{settings:?}");
    assert!(
        settings[0].starts_with("mission.phases.operations.length=7"),
        "{settings:?}"
    );
    let moved = total(client).await?;
    assert_eq!(moved, solved_to_the_gram(&settings), "{settings:?}");
    assert_ne!(moved, solved_to_the_gram(&[]));
    let command = text(client, "#command").await?;
    assert!(
        command.contains(&format!("--set \"{}\"", settings[0])),
        "{command}"
    );
    for part in ["#part-launch-mass table", "#part-what-changed table"] {
        assert!(!text(client, part).await?.is_empty(), "{part}");
    }

    // What takes longer follows by itself.
    let flows = "document.querySelector('#part-what-flows:not(.stale) svg')";
    until(client, "the flows", flows).await?;
    let loop_drawn = "document.querySelector('#part-the-loop:not(.stale) svg')";
    until(client, "the loop", loop_drawn).await?;
    let finished = "document.querySelector('#break-even:not(.stale) .found table')";
    until(client, "a break-even", finished).await?;

    // The same again by its link.
    let link = client.current_url().await?;
    client.goto("about:blank").await?;
    client.goto(link.as_str()).await?;
    answered(client).await?;
    assert_eq!(total(client).await?, moved, "{link}");

    // What has no balance says so, with the amount.
    let field = "[data-address='limits.power'] input[type=text]";
    fill(client, field, "1 kW").await?;
    answered(client).await?;
    expect("a total", total(client).await?.as_str(), "no plan")?;
    let words = text(client, "#outcome").await?;
    assert!(
        words.contains("No balance") && words.contains("give way"),
        "{words}"
    );

    // What is no setting is told beside its field.
    fill(client, field, "5 kg").await?;
    answered(client).await?;
    let note = text(client, "[data-address='limits.power'] .note").await?;
    assert!(note.contains("a power"), "{note}");
    is_marked(client, "limits.power").await?;
    client.find(Locator::Css("#reset")).await?.click().await?;
    answered(client).await?;
    assert_eq!(
        total(client).await?,
        solved_to_the_gram(&[]),
        "as written again"
    );

    // So is what the design does not allow with a number that may be written.
    let address = "nodes.drum still.turns.urine.distillate";
    let moved = format!("location.hash = 'set={address}=0.99';");
    client.execute(&moved, Vec::new()).await?;
    let row = format!("document.querySelector('[data-address=\"{address}\"].wrong')");
    until(client, "a complaint beside the yield", &row).await?;
    let note = text(client, &format!("[data-address='{address}'] .note")).await?;
    assert!(note.contains("does not balance"), "{note}");
    is_marked(client, address).await?;
    client.find(Locator::Css("#reset")).await?.click().await?;
    answered(client).await?;

    // The classroom has its own sliders, and the same answers.
    client
        .find(Locator::Css("#view-class"))
        .await?
        .click()
        .await?;
    let people = "[data-address='mission.phases.operations.crew'].idea input[type=range]";
    let people = client.find(Locator::Css(people)).await?;
    people.send_keys(&right).await?;
    answered(client).await?;
    let five = ["mission.phases.operations.crew=5".to_owned()];
    assert_eq!(total(client).await?, solved_to_the_gram(&five));

    // Nothing from elsewhere, and no complaint of the browser.
    let loaded = "return performance.getEntriesByType('resource').map((one) => one.name);";
    let loaded: Vec<String> = serde_json::from_value(client.execute(loaded, Vec::new()).await?)?;
    assert!(loaded.len() > 3, "{loaded:?}");
    for name in &loaded {
        assert!(
            name.starts_with(&home) || name.starts_with("data:"),
            "{name}"
        );
    }
    let console = client.issue_cmd(Console).await?;
    assert_eq!(console, json!([]), "the console");

    // Both views before the accessibility engine, once nothing waits for its answer.
    client
        .execute(&std::fs::read_to_string(ENGINE)?, Vec::new())
        .await?;
    let whole = "!document.querySelector('.part.stale:not(#sensitivity)')";
    for view in ["#view-class", "#view-plan"] {
        client.find(Locator::Css(view)).await?.click().await?;
        answered(client).await?;
        until(client, "a whole page", whole).await?;
        let script = format!("const done = arguments[0]; {LOOK}.then(done);");
        let found = engine::findings(&client.execute_async(&script, Vec::new()).await?);
        for one in &found {
            println!("{view}: {one:#}");
        }
        assert!(!found.iter().any(is_grave), "{view}: {found:#?}");
    }
    Ok(())
}
