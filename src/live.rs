//! A server of one page to this machine alone.
//!
//! It listens on the loopback address, answers `GET /` with the page and refuses everything else: other methods, other paths, a `Host` that is not its own
//! (so that no page from elsewhere can have it read by a name of its own), heads that are too long, clients that are too slow, and more of them than it
//! has places. It reads no file and keeps nothing.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

/// Most clients at once. A choice: a browser opens six.
const PLACES: usize = 32;
/// Longest head of a request, bytes. A choice: browsers send less than two thousand.
const LONGEST_HEAD: usize = 16 * 1024;
/// Longest time for a client to say what it wants, or to take the answer. A choice.
const PATIENCE: Duration = Duration::from_secs(5);
/// How often it looks whether it is to end. A choice.
const LOOKS_EVERY: Duration = Duration::from_millis(20);

/// What the browser may do with the page: compute, and nothing over any network.
const HEADERS: &str = "Content-Type: text/html; charset=utf-8\r\n\
    Content-Security-Policy: default-src 'none'; script-src 'unsafe-inline' 'wasm-unsafe-eval'; style-src 'unsafe-inline'; \
    img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'\r\n\
    X-Content-Type-Options: nosniff\r\n\
    Referrer-Policy: no-referrer\r\n\
    Cross-Origin-Resource-Policy: same-origin\r\n\
    Cache-Control: no-store\r\n\
    Connection: close\r\n";

/// A server, not yet serving.
#[derive(Debug)]
pub struct Server {
    listener: TcpListener,
    address: SocketAddr,
    page: Arc<str>,
}

impl Server {
    /// Takes a port of the loopback address; 0: any that is free.
    ///
    /// # Errors
    /// The port is taken, or may not be had.
    pub fn bind(port: u16, page: String) -> io::Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        listener.set_nonblocking(true)?;
        Ok(Self {
            address: listener.local_addr()?,
            listener,
            page: page.into(),
        })
    }

    /// Where the page is.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Serves until it is told to end.
    pub fn serve(&self, end: &AtomicBool) {
        let taken = Arc::new(AtomicUsize::new(0));
        while !end.load(Ordering::Relaxed) {
            match self.listener.accept() {
                Ok((client, _)) => self.seat(client, &taken),
                // Also where the system has no more handles for now: those taken are given back within seconds.
                Err(_) => thread::sleep(LOOKS_EVERY),
            }
        }
    }

    /// Gives a client a place of its own, or sends it away.
    fn seat(&self, client: TcpStream, taken: &Arc<AtomicUsize>) {
        if taken.fetch_add(1, Ordering::Relaxed) >= PLACES {
            taken.fetch_sub(1, Ordering::Relaxed);
            return;
        }
        let seat = Seat(Arc::clone(taken));
        let (page, port) = (Arc::clone(&self.page), self.address.port());
        // Where no thread is to be had the client is sent away, and its place given back.
        let _ = thread::Builder::new().spawn(move || {
            let _seat = seat;
            // Whoever went away needs no answer.
            let _ = attend(client, &page, port);
        });
    }
}

/// A place taken; given back when it goes out of use, whatever happens.
struct Seat(Arc<AtomicUsize>);

impl Drop for Seat {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

fn attend(mut client: TcpStream, page: &str, port: u16) -> io::Result<()> {
    client.set_nonblocking(false)?;
    let until = Instant::now() + PATIENCE;
    let (status, body) = match head(&mut client, until)? {
        Some(head) => answer(&head, port, page),
        None => ("431 Request Header Fields Too Large", "too long\n"),
    };
    send(&mut client, status, body)
}

/// The head of a request; `None`: it is too long.
fn head(client: &mut TcpStream, until: Instant) -> io::Result<Option<Vec<u8>>> {
    let mut head = Vec::new();
    let mut part = [0; 2048];
    while !head.windows(4).any(|four| four == b"\r\n\r\n") {
        if head.len() > LONGEST_HEAD {
            return Ok(None);
        }
        let left = until.saturating_duration_since(Instant::now());
        if left.is_zero() {
            return Err(ErrorKind::TimedOut.into());
        }
        client.set_read_timeout(Some(left))?;
        match client.read(&mut part)? {
            0 => return Err(ErrorKind::UnexpectedEof.into()),
            read => head.extend_from_slice(&part[..read]),
        }
    }
    Ok(Some(head))
}

/// What a head is answered with.
fn answer<'p>(head: &[u8], port: u16, page: &'p str) -> (&'static str, &'p str) {
    const BAD: (&str, &str) = ("400 Bad Request", "not understood\n");
    let Some(head) = std::str::from_utf8(head)
        .ok()
        .and_then(|head| head.split_once("\r\n\r\n"))
    else {
        return BAD;
    };
    let mut lines = head.0.split("\r\n");
    let mut request = lines.next().unwrap_or_default().split(' ');
    let (Some(method), Some(path), Some("HTTP/1.1" | "HTTP/1.0"), None) =
        (request.next(), request.next(), request.next(), request.next())
    else {
        return BAD;
    };
    let mut hosts = lines.filter_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("host").then(|| value.trim())
    });
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return BAD;
    };
    if host != format!("127.0.0.1:{port}") && !host.eq_ignore_ascii_case(&format!("localhost:{port}")) {
        return ("421 Misdirected Request", "not for this host\n");
    }
    match (method, path) {
        ("GET", "/") => ("200 OK", page),
        ("GET", _) => ("404 Not Found", "there is one page, /\n"),
        _ => ("405 Method Not Allowed", "GET alone\n"),
    }
}

fn send(client: &mut TcpStream, status: &str, body: &str) -> io::Result<()> {
    client.set_write_timeout(Some(PATIENCE))?;
    let allow = if status.starts_with("405") {
        "Allow: GET\r\n"
    } else {
        ""
    };
    write!(
        client,
        "HTTP/1.1 {status}\r\n{HEADERS}{allow}Content-Length: {}\r\n\r\n",
        body.len()
    )?;
    let until = Instant::now() + PATIENCE;
    for part in body.as_bytes().chunks(64 * 1024) {
        if Instant::now() > until {
            return Err(ErrorKind::TimedOut.into());
        }
        client.write_all(part)?;
    }
    client.flush()?;
    client.shutdown(std::net::Shutdown::Write)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn status(head: &str) -> &'static str {
        answer(head.as_bytes(), 7377, "page").0.split(' ').next().unwrap()
    }

    #[test]
    fn only_the_page_is_given_and_only_under_its_own_name() {
        for (status_wanted, request) in [
            ("200", "GET / HTTP/1.1\r\nHost: 127.0.0.1:7377\r\n\r\n"),
            (
                "200",
                "GET / HTTP/1.1\r\nAccept: x\r\nhost:localhost:7377\r\n\r\n",
            ),
            ("421", "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"),
            ("421", "GET / HTTP/1.1\r\nHost: evil.example:7377\r\n\r\n"),
            ("400", "GET / HTTP/1.1\r\n\r\n"),
            (
                "400",
                "GET / HTTP/1.1\r\nHost: 127.0.0.1:7377\r\nHost: evil.example\r\n\r\n",
            ),
            (
                "404",
                "GET /../etc/passwd HTTP/1.1\r\nHost: 127.0.0.1:7377\r\n\r\n",
            ),
            (
                "404",
                "GET http://evil.example/ HTTP/1.1\r\nHost: 127.0.0.1:7377\r\n\r\n",
            ),
            ("405", "POST / HTTP/1.1\r\nHost: 127.0.0.1:7377\r\n\r\n"),
            ("405", "HEAD / HTTP/1.1\r\nHost: 127.0.0.1:7377\r\n\r\n"),
            ("400", "GET  / HTTP/1.1\r\nHost: 127.0.0.1:7377\r\n\r\n"),
            ("400", "GET / HTTP/2\r\nHost: 127.0.0.1:7377\r\n\r\n"),
            ("400", "\r\n\r\n"),
        ] {
            assert_eq!(status(request), status_wanted, "{request:?}");
        }
        assert_eq!(answer(b"\xff\xfe\r\n\r\n", 7377, "page").0, "400 Bad Request");
    }
}
