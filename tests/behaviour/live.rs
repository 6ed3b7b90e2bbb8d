//! The live page as a server and as a file.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::bad_input::run_in;

/// `tepid live` at work; ended when the test is.
struct Live {
    process: Child,
    address: SocketAddr,
}

impl Live {
    fn start() -> Self {
        let mut process = Command::new(env!("CARGO_BIN_EXE_tepid"))
            .args(["live", "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .expect("starts");
        let mut line = String::new();
        let out = process.stdout.as_mut().expect("its output");
        BufReader::new(out).read_line(&mut line).expect("a line");
        let address = line
            .split("http://")
            .nth(1)
            .and_then(|rest| rest.split('/').next());
        let address = address.and_then(|address| address.parse().ok());
        Self {
            process,
            address: address.unwrap_or_else(|| panic!("no address in {line}")),
        }
    }

    fn client(&self) -> TcpStream {
        let client = TcpStream::connect(self.address).expect("connects");
        client
            .set_read_timeout(Some(Duration::from_secs(20)))
            .expect("a time");
        client
    }

    /// Sends bytes, and what comes back until the end.
    fn exchange(&self, bytes: &[u8]) -> String {
        let mut client = self.client();
        // A server that has heard enough may hang up first.
        let _ = client.write_all(bytes);
        let mut answer = Vec::new();
        let _ = client.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }

    fn page(&self) -> String {
        self.exchange(format!("GET / HTTP/1.1\r\nHost: {}\r\n\r\n", self.address).as_bytes())
    }
}

impl Drop for Live {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

#[test]
fn the_page_is_served_to_this_machine_and_nothing_else_is() {
    let live = Live::start();
    assert!(live.address.ip().is_loopback());
    let answer = live.page();
    let (head, body) = answer.split_once("\r\n\r\n").expect("a head");
    assert!(head.starts_with("HTTP/1.1 200 OK"), "{head}");
    assert!(head.contains("Content-Security-Policy: default-src 'none'"));
    assert_eq!(
        body,
        tepid_output::live::page(None, tepid_output::wording::Units::Metric).expect("a page")
    );
    let host = live.address;
    for (request, status) in [
        (
            "GET / HTTP/1.1\r\nHost: elsewhere.example\r\n\r\n".to_owned(),
            "421",
        ),
        (format!("GET /Cargo.toml HTTP/1.1\r\nHost: {host}\r\n\r\n"), "404"),
        (
            format!("POST / HTTP/1.1\r\nHost: {host}\r\nContent-Length: 4\r\n\r\nabcd"),
            "405",
        ),
        ("GET / HTTP/1.1\r\n\r\n".to_owned(), "400"),
    ] {
        let answer = live.exchange(request.as_bytes());
        assert!(
            answer.starts_with(&format!("HTTP/1.1 {status}")),
            "{request:?}: {answer}"
        );
    }
}

#[test]
fn garbage_and_floods_are_survived() {
    let live = Live::start();
    let garbage: Vec<u8> = (0..40_000_u32)
        .map(|at| (at.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    live.exchange(&garbage);
    live.exchange(b"\0\0\0\0\r\n\r\n");
    live.exchange("GET /".repeat(20_000).as_bytes());
    let endless = format!(
        "GET / HTTP/1.1\r\nHost: {}\r\nX: {}",
        live.address,
        "x".repeat(60_000)
    );
    live.exchange(endless.as_bytes());
    assert!(live.page().starts_with("HTTP/1.1 200"));
    // Clients that say nothing take the places there are, and are sent away after a while.
    let silent: Vec<TcpStream> = (0..200)
        .filter_map(|_| TcpStream::connect(live.address).ok())
        .collect();
    assert!(silent.len() > 100);
    let from = Instant::now();
    while !live.page().starts_with("HTTP/1.1 200") {
        assert!(from.elapsed() < Duration::from_secs(30), "it does not come back");
        std::thread::sleep(Duration::from_millis(200));
    }
    drop(silent);
    // One after the other in no time.
    for _ in 0..200 {
        assert!(
            live.exchange(b"GET / HTTP/1.1\r\n\r\n")
                .starts_with("HTTP/1.1 400")
        );
    }
}

#[cfg(unix)]
#[test]
fn it_ends_when_it_is_interrupted() {
    let mut live = Live::start();
    let _silent = live.client();
    let interrupted = Command::new("kill")
        .args(["-INT", &live.process.id().to_string()])
        .status();
    assert!(interrupted.expect("kill").success());
    let from = Instant::now();
    while from.elapsed() < Duration::from_secs(10) {
        if let Some(status) = live.process.try_wait().expect("a process") {
            assert!(status.success(), "{status}");
            return;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    panic!("it goes on");
}

#[test]
fn a_port_that_is_taken_is_told_with_a_way_out() {
    let live = Live::start();
    let folder = tempfile::tempdir().expect("a folder");
    let port = live.address.port().to_string();
    let (code, _, error) = run_in(folder.path(), &["live", "--port", &port]);
    assert_eq!(code, 3);
    assert!(error.contains("--port 0"), "{error}");
}

#[test]
fn the_page_is_written_as_one_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, out, error) = run_in(folder.path(), &["live", "-o", "page.html"]);
    assert_eq!((code, out.as_str(), error.as_str()), (0, "", ""));
    let written = std::fs::read_to_string(folder.path().join("page.html")).expect("a file");
    assert_eq!(
        written,
        tepid_output::live::page(None, tepid_output::wording::Units::Metric).expect("a page")
    );
    let (code, _, error) = run_in(folder.path(), &["live", "-o", "no-such-folder/page.html"]);
    assert_eq!(code, 3, "{error}");
}

#[test]
fn every_act_of_the_page_has_its_cautions() {
    let page = tepid_output::live::page(None, tepid_output::wording::Units::Metric).expect("a page");
    let cautions = page
        .split("const CAUTIONS = ")
        .nth(1)
        .and_then(|rest| rest.split(";\n").next());
    let cautions: serde_json::Value = serde_json::from_str(cautions.expect("cautions")).expect("JSON");
    let acts = cautions["acts"].as_object().expect("acts");
    assert_eq!(acts.len(), tepid_page::acts::ActKind::ALL.len());
    for act in tepid_page::acts::ActKind::ALL {
        assert!(acts.contains_key(act.key()), "{act:?}");
    }
}
