//! A live page under test: started on a free port, asked over plain HTTP, ended by its id.
#![allow(dead_code, reason = "every test uses some of it")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::Value;

/// A server that ends with the test.
pub struct Served {
    pub child: Child,
    /// Host and port.
    pub host: String,
}

/// An answer.
pub struct Reply {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Reply {
    pub fn json(&self) -> Value {
        let read = serde_json::from_str(&self.body);
        read.unwrap_or_else(|error| panic!("{error} in: {}\n{}", self.head, self.body))
    }

    /// The stable word of a refusal.
    pub fn code(&self) -> String {
        let code = self.json()["error"]["code"].as_str().map(str::to_owned);
        code.unwrap_or_else(|| panic!("no code in: {}", self.body))
    }

    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (key, value) = line.split_once(':')?;
            key.eq_ignore_ascii_case(name).then_some(value.trim())
        })
    }
}

impl Served {
    /// Serves a design.
    pub fn start(design: &str) -> Served {
        let mut child = Command::new(env!("CARGO_BIN_EXE_loopwright"))
            .args(["serve", design, "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .expect("the command starts");
        let out = child.stdout.take().expect("a pipe");
        let mut line = String::new();
        BufReader::new(out)
            .read_line(&mut line)
            .expect("it says where it is");
        let host = line
            .split("http://")
            .nth(1)
            .and_then(|rest| rest.split('/').next());
        let host = host
            .unwrap_or_else(|| panic!("no address in {line:?}"))
            .to_owned();
        Served { child, host }
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(&self.host).expect("it listens");
        let patience = Some(Duration::from_secs(120));
        stream.set_read_timeout(patience).expect("a timeout");
        stream
    }

    /// Sends bytes as they are and reads one answer.
    pub fn raw(&self, request: &[u8]) -> Reply {
        let mut stream = self.connect();
        // A server that refuses early may close before everything is sent.
        let _ = stream.write_all(request);
        read_reply(&mut stream)
    }

    pub fn get(&self, path: &str) -> Reply {
        self.raw(format!("GET {path} HTTP/1.1\r\nhost: {}\r\n\r\n", self.host).as_bytes())
    }

    pub fn post(&self, path: &str, body: &str) -> Reply {
        self.raw(&self.post_bytes(path, body))
    }

    pub fn post_bytes(&self, path: &str, body: &str) -> Vec<u8> {
        format!(
            "POST {path} HTTP/1.1\r\nhost: {}\r\ncontent-type: application/json\r\n\
             content-length: {}\r\n\r\n{body}",
            self.host,
            body.len()
        )
        .into_bytes()
    }

    /// Resident memory, bytes.
    pub fn memory(&self) -> Option<u64> {
        let path = format!("/proc/{}/status", self.child.id());
        let status = std::fs::read_to_string(path).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
        let kilobytes: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
        Some(kilobytes * 1024)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Reads one answer, whose length its head must state.
pub fn read_reply(stream: &mut TcpStream) -> Reply {
    let mut bytes = Vec::new();
    let mut piece = [0; 16384];
    loop {
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n");
        if let Some(end) = end {
            let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
            let mut reply = Reply {
                status: head
                    .split(' ')
                    .nth(1)
                    .and_then(|code| code.parse().ok())
                    .unwrap_or(0),
                head,
                body: String::new(),
            };
            let length = reply
                .header("content-length")
                .and_then(|text| text.parse().ok());
            let length: usize = length.unwrap_or(0);
            let mut body = bytes.split_off(end + 4);
            while body.len() < length {
                let read = stream.read(&mut piece).expect("the body comes");
                assert!(read > 0, "the body ends early: {}", reply.head);
                body.extend_from_slice(&piece[..read]);
            }
            reply.body = String::from_utf8(body).expect("text");
            return reply;
        }
        let read = stream.read(&mut piece).expect("an answer comes");
        assert!(read > 0, "closed without an answer: {bytes:?}");
        bytes.extend_from_slice(&piece[..read]);
    }
}
