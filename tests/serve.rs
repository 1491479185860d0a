//! The live page over plain HTTP: the answers of `solve --set`, refusals with a type,
//! bounds, load, and an end that leaves nothing behind.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test that cannot go on fails"
)]

mod common;
#[path = "serve/mod.rs"]
mod served;

use common::{CLASSROOM, OUTPOST};
use std::io::Write;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use served::{Served, read_reply};

fn strings(value: &Value) -> Vec<String> {
    let list = value.as_array().expect("a list").iter();
    list.map(|one| one.as_str().expect("text").to_owned())
        .collect()
}

/// What `solve` says of a design with settings.
fn solved(design: &str, variant: Option<&str>, settings: &[String]) -> Value {
    let mut words = vec!["solve", design, "--format", "json"];
    words.extend(variant.iter().flat_map(|name| ["--variant", name]));
    words.extend(settings.iter().flat_map(|text| ["--set", text.as_str()]));
    common::run(&words).json()
}

#[test]
fn answers_are_those_of_solve() {
    let served = Served::start(OUTPOST);
    let asked = [
        (
            None,
            vec![
                "mission.phases.operations.length=400 d",
                "limits.power=4 kW",
            ],
        ),
        // Of two yields, the other one gives way.
        (
            None,
            vec!["nodes.membrane still.turns.urine.distillate=0.7"],
        ),
        (
            Some("dusty ridge"),
            vec!["mission.phases.operations.crew=5"],
        ),
    ];
    for (variant, settings) in asked {
        let body = json!({"variant": variant, "set": settings}).to_string();
        let first = served.post("/answer", &body);
        let answer = first.json();
        assert_eq!((first.status, &answer["status"]), (200, &json!("optimal")));
        let given = strings(&answer["settings"]);
        assert!(given.len() >= settings.len());
        let expected = solved(OUTPOST, variant, &given);
        assert_eq!(
            answer["launch_mass_kg"], expected["launch_mass_kg"],
            "{body}"
        );
        let rest = served.post("/rest", &body).json();
        assert!(rest["parts"][0]["html"].as_str().unwrap().contains("<svg"));
        assert!(rest["folded"].as_array().unwrap().len() > 3);
        // Kept, and the same bytes.
        let again = served.post("/answer", &body);
        assert_eq!(again.header("server-timing"), Some("kept"));
        assert_eq!(again.body, first.body);
    }
}

#[test]
fn what_cannot_be_solved_is_said_in_words() {
    let served = Served::start(OUTPOST);
    let ask = |setting: &str| served.post("/answer", &json!({"set": [setting]}).to_string());
    let none = ask("limits.power=1 kW").json();
    let rest = served.post("/rest", r#"{"set": ["limits.power=1 kW"]}"#);
    assert_eq!((rest.status, rest.code().as_str()), (422, "refused"));
    assert_eq!(none["status"], "infeasible");
    let words = none["outcome"].as_str().unwrap();
    assert!(
        words.contains("No balance") && words.contains("limit"),
        "{words}"
    );
    assert!(
        words.contains(" W</li>") || words.contains(" kg/d</li>"),
        "{words}"
    );
    for (setting, address, expected) in [
        ("limits.power=5 kg", "limits.power", "kW"),
        ("limits.power=much", "limits.power", "a power"),
        ("limits.powr=5 kW", "limits.powr", "power"),
        (
            "nodes.drum still.turns.urine.distillate=1.2",
            "nodes.drum still.turns.urine.distillate",
            "1.2",
        ),
        (
            "nodes.drum still.turns.urine.distillate=0.99",
            "nodes.drum still.turns.urine.distillate",
            "does not balance",
        ),
    ] {
        let refused = ask(setting).json();
        assert_eq!(refused["status"], "refused", "{setting}");
        let words = refused["fields"][address].as_str();
        assert!(
            words.is_some_and(|words| words.contains(expected)),
            "{refused}"
        );
    }
    let unknown = served
        .post("/answer", r#"{"variant": "dusty rigde"}"#)
        .json();
    assert!(
        unknown["outcome"].as_str().unwrap().contains("dusty ridge"),
        "{unknown}"
    );
}

#[test]
fn studies_follow_and_export_reads_as_the_same_design() {
    let served = Served::start(CLASSROOM);
    let length = "mission.phases.stay.length";
    let body = json!({
        "state": {"set": ["nodes.filter.unit.mass=80 kg"]},
        "study": {"break-even": {"over": length, "values": 20}},
    });
    let found = served.post("/study", &body.to_string()).json();
    assert_eq!(found["complete"], true);
    assert!(
        found["html"].as_str().unwrap().contains("Switches"),
        "{found}"
    );
    let body = json!({"study": {"sensitivity": {}}}).to_string();
    let found = served.post("/study", &body).json();
    assert_eq!(found["complete"], true);
    assert!(
        strings(&found["telling"]).contains(&length.to_owned()),
        "{found}"
    );

    let export = served.get(
        "/export.ron?set=nodes.filter.unit.mass%3D80+kg&set=mission.phases.stay.length%3D90+d",
    );
    let name = export.header("content-disposition").unwrap();
    assert!(name.contains("classroom-changed.ron"), "{name}");
    assert!(
        export.body.contains("// Why close a loop?"),
        "{}",
        export.body
    );
    let (_folder, path) = common::new_file("changed.ron");
    std::fs::write(&path, &export.body).unwrap();
    let plain = solved(path.to_str().unwrap(), None, &[]);
    let settings = [
        "nodes.filter.unit.mass=80 kg",
        "mission.phases.stay.length=90 d",
    ];
    let set = solved(CLASSROOM, None, &settings.map(str::to_owned));
    assert_eq!(plain["launch_mass_kg"], set["launch_mass_kg"]);
    assert_eq!(served.get("/export.ron?set=x%3D1").code(), "refused");
}

#[test]
fn refusals_have_a_status_a_code_and_words() {
    let served = Served::start(CLASSROOM);
    let host = served.host.clone();
    let request = |first: &str, headers: &str, body: &str| {
        let length = body.len();
        let text = format!("{first} HTTP/1.1\r\n{headers}content-length: {length}\r\n\r\n{body}");
        served.raw(text.as_bytes())
    };
    let own = format!("host: {host}\r\n");
    let json = format!("{own}content-type: application/json\r\n");
    let large = format!(r#"{{"set": ["{}"]}}"#, "x".repeat(70_000));
    let many = format!(r#"{{"set": [{}"a=1"]}}"#, r#""a=1", "#.repeat(64));
    let deep = "[".repeat(60_000);
    let foreign = format!("{json}origin: http://example.org\r\n");
    let null = format!("{json}origin: null\r\n");
    let site = format!("{json}sec-fetch-site: cross-site\r\n");
    let plain = format!("{own}content-type: text/plain\r\n");
    for (first, headers, body, status, code) in [
        ("GET /", "host: example.org\r\n", "", 421, "foreign-host"),
        ("GET /", "", "", 421, "foreign-host"),
        (
            "POST /answer",
            foreign.as_str(),
            "{}",
            403,
            "foreign-origin",
        ),
        ("POST /answer", &null, "{}", 403, "foreign-origin"),
        ("POST /answer", &site, "{}", 403, "foreign-origin"),
        ("POST /answer", &plain, "{}", 415, "content-type"),
        ("POST /answer", &own, "{}", 415, "content-type"),
        ("POST /answer", &json, "", 400, "malformed"),
        ("POST /answer", &json, "{\"set\": [1]}", 400, "malformed"),
        ("POST /answer", &json, "{\"sett\": []}", 400, "malformed"),
        ("POST /answer", &json, "\u{0}\u{1}", 400, "malformed"),
        ("POST /answer", &json, &deep, 400, "malformed"),
        ("POST /answer", &json, &large, 413, "too-large"),
        ("POST /answer", &json, &many, 422, "too-much"),
        (
            "POST /study",
            &json,
            "{\"study\": {\"guess\": {}}}",
            400,
            "malformed",
        ),
        (
            "POST /study",
            &json,
            "{\"study\": {\"break-even\": {\"over\": \"x\", \"values\": 5}}}",
            422,
            "unknown-address",
        ),
        ("GET /answer", &own, "", 405, "method"),
        ("DELETE /", &own, "", 405, "method"),
        ("GET /../Cargo.toml", &own, "", 404, "not-found"),
        ("GET /export.ron?set=%zz", &own, "", 400, "malformed"),
    ] {
        let reply = request(first, headers, body);
        let shown: String = body.chars().take(60).collect();
        assert_eq!(
            reply.status, status,
            "{first} {headers} {shown}: {}",
            reply.body
        );
        assert_eq!(reply.code(), code, "{first} {headers} {shown}");
        assert!(reply.json()["error"]["message"].as_str().unwrap().len() > 10);
    }
    // A body whose length is not stated is cut off all the same.
    let chunk = format!("{:x}\r\n{}\r\n", 40_000, "x".repeat(40_000));
    let text = format!(
        "POST /answer HTTP/1.1\r\n{json}transfer-encoding: chunked\r\n\r\n{chunk}{chunk}0\r\n\r\n"
    );
    let reply = served.raw(text.as_bytes());
    assert_eq!((reply.status, reply.code().as_str()), (413, "too-large"));
    let long = format!("GET / HTTP/1.1\r\n{own}x: {}\r\n\r\n", "x".repeat(100_000));
    assert_eq!(served.raw(long.as_bytes()).status, 431);
    assert_eq!(served.raw(b"\x16\x03\x01 hello\r\n\r\n").status, 400);
    // And it still answers.
    assert_eq!(request("POST /answer", &json, "{}").status, 200);
}

#[test]
fn the_page_needs_nothing_from_elsewhere() {
    let served = Served::start(CLASSROOM);
    let page = served.get("/");
    assert_eq!(page.status, 200);
    let policy = page.header("content-security-policy").unwrap();
    assert!(policy.starts_with("default-src 'none'; script-src 'self'; style-src 'self';"));
    for path in ["/", "/page.css", "/page.js"] {
        let text = served.get(path).body;
        assert!(text.len() > 1000, "{path}");
        let elsewhere = text
            .match_indices("://")
            .map(|(at, _)| &text[at.saturating_sub(12)..text.len().min(at + 20)]);
        let elsewhere: Vec<&str> = elsewhere
            .filter(|piece| !piece.contains("www.w3.org"))
            .collect();
        assert!(elsewhere.is_empty(), "{path}: {elsewhere:?}");
    }
    // Listening beyond this machine takes a word, and a port in use is said.
    let taken = common::run(&[
        "serve",
        CLASSROOM,
        "--port",
        served.host.rsplit(':').next().unwrap(),
    ]);
    assert_eq!(taken.code, 2);
    assert!(taken.err.contains("LW0806"), "{}", taken.err);
}

/// Requests at a time.
const AT_A_TIME: usize = 32;

/// With LOOPWRIGHT_LOAD=20000, so many requests.
#[test]
fn under_load_nothing_is_lost_and_memory_stays() {
    let served = Served::start(CLASSROOM);
    let asked = std::env::var("LOOPWRIGHT_LOAD").ok();
    let requests = asked.map_or(2400, |text| text.parse().expect("a number of requests"));
    let large = format!(r#"{{"set": ["{}"]}}"#, "x".repeat(100_000));
    let one = |stream: &mut std::net::TcpStream, index: usize| {
        let setting = format!("mission.phases.stay.length={} d", 30 + index * 7 % 300);
        let (body, expected) = match index % 20 {
            0 => ("{\"set\": [".to_owned(), 400),
            10 => (large.clone(), 413),
            _ => (json!({ "set": [setting] }).to_string(), 200),
        };
        let bytes = served.post_bytes("/answer", &body);
        let reply = match expected {
            // What is too large is not read to its end, so its connection is over.
            413 => served.raw(&bytes),
            _ => {
                stream.write_all(&bytes).unwrap();
                read_reply(stream)
            }
        };
        assert_eq!(reply.status, expected, "{}", reply.body);
    };
    let round = |requests: usize| {
        let next = AtomicUsize::new(0);
        let work = || {
            let mut stream = served.connect();
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                if index >= requests {
                    return;
                }
                one(&mut stream, index);
            }
        };
        std::thread::scope(|scope| {
            for _ in 0..AT_A_TIME {
                scope.spawn(work);
            }
        });
    };
    round(requests / 4);
    let before = served.memory();
    let start = Instant::now();
    round(requests - requests / 4);
    let took = start.elapsed();
    if let (Some(before), Some(after)) = (before, served.memory()) {
        println!(
            "{requests} requests, the last three quarters in {took:?}: {before} to {after} bytes"
        );
        assert!(
            after.saturating_sub(before) < 24 << 20,
            "{before} to {after} bytes"
        );
    }
}

#[test]
fn a_study_that_nobody_waits_for_is_stopped() {
    let served = Served::start(OUTPOST);
    let over = "mission.phases.operations.length";
    let long = json!({"study": {"break-even": {"over": over, "values": 200}}}).to_string();
    for _ in 0..4 {
        let mut stream = served.connect();
        stream
            .write_all(&served.post_bytes("/study", &long))
            .unwrap();
        std::thread::sleep(Duration::from_millis(150));
    }
    // Each of them would take the only place for studies many seconds.
    let start = Instant::now();
    let short = json!({"study": {"break-even": {"over": over, "values": 3}}}).to_string();
    let found = served.post("/study", &short);
    assert_eq!(found.json()["complete"], true);
    assert!(
        start.elapsed() < Duration::from_secs(20),
        "{:?}",
        start.elapsed()
    );
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_at_once_and_in_order() {
    use nix::sys::signal::{Signal, kill};
    use nix::unistd::Pid;
    let mut served = Served::start(OUTPOST);
    let over = "mission.phases.operations.length";
    let long = json!({"study": {"break-even": {"over": over, "values": 200}}}).to_string();
    let mut stream = served.connect();
    stream
        .write_all(&served.post_bytes("/study", &long))
        .unwrap();
    std::thread::sleep(Duration::from_millis(200));
    let id = i32::try_from(served.child.id()).unwrap();
    kill(Pid::from_raw(id), Signal::SIGINT).unwrap();
    // What was at work gives what it has, and the process ends well.
    let reply = read_reply(&mut stream);
    assert_eq!(
        (reply.status, reply.json()["complete"].clone()),
        (200, json!(false))
    );
    let start = Instant::now();
    let status = served.child.wait().unwrap();
    assert_eq!(status.code(), Some(0));
    assert!(start.elapsed() < Duration::from_secs(8));
}
