//! The server, asked over real connections.

use super::{Mishap, Server};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::time::{Duration, Instant};
use std::{fs, thread};
use tempfile::TempDir;

const PAGE: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\"><p>page</p>";

fn build() -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::create_dir(folder.path().join("icons")).unwrap();
    fs::write(folder.path().join("index.html"), PAGE).unwrap();
    fs::write(folder.path().join("app.wasm"), [0, 97, 115, 109]).unwrap();
    fs::write(folder.path().join("icons/a b.svg"), "<svg/>").unwrap();
    folder
}

/// Sends one request as it stands and returns the head and the body of the answer.
fn send(server: &Server, request: &str) -> (String, Vec<u8>) {
    let mut stream = TcpStream::connect(("127.0.0.1", server.port())).unwrap();
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer).unwrap();
    let end = answer.windows(4).position(|it| it == b"\r\n\r\n").unwrap();
    (String::from_utf8(answer[..end].to_vec()).unwrap(), answer[end + 4..].to_vec())
}

fn get(server: &Server, path: &str) -> (String, Vec<u8>) {
    send(server, &format!("GET {path} HTTP/1.1\r\nHost: x\r\n\r\n"))
}

fn status(server: &Server, path: &str) -> u16 {
    get(server, path).0.split(' ').nth(1).unwrap().parse().unwrap()
}

#[test]
fn files_come_with_their_type_and_the_policy_of_the_page() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    let (head, body) = get(&server, "/app.wasm?v=1");
    assert!(head.starts_with("HTTP/1.1 200 OK\r\n"), "{head}");
    assert!(head.contains("\r\nContent-Type: application/wasm\r\n"), "{head}");
    assert!(head.contains("\r\nCache-Control: no-cache\r\n"), "{head}");
    assert!(head.contains("\r\nContent-Security-Policy: default-src 'none'; frame-ancestors 'none'"), "{head}");
    assert_eq!(body, [0, 97, 115, 109]);
    assert_eq!(get(&server, "/icons/a%20b.svg").1, b"<svg/>");
}

#[test]
fn an_address_inside_the_app_opens_the_app() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    for path in ["/", "/jobs", "/jobs/7", "/icons", "/icons/"] {
        assert_eq!(get(&server, path).1, PAGE.as_bytes(), "{path}");
    }
    for path in ["/missing.js", "/icons/missing.png"] {
        assert_eq!(status(&server, path), 404, "{path}");
    }
}

#[test]
fn no_path_leads_out_of_the_folder() {
    let folder = build();
    fs::write(folder.path().join("secret"), "outside").unwrap();
    let inner = folder.path().join("inner");
    fs::create_dir(&inner).unwrap();
    fs::write(inner.join("index.html"), PAGE).unwrap();
    std::os::unix::fs::symlink(folder.path().join("secret"), inner.join("link")).unwrap();
    let server = Server::start(&inner, 0).unwrap();
    for path in [
        "/../secret",
        "/%2e%2e/secret",
        "/..%2fsecret",
        "/a/../../secret",
        "//secret",
        "/..\\secret",
        "/link",
        "secret",
    ] {
        let (head, body) = get(&server, path);
        assert!(head.starts_with("HTTP/1.1 404 "), "{path}: {head}");
        assert_eq!(body, b"no such file", "{path}");
    }
}

#[test]
fn only_reading_is_answered() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    let (head, body) = send(&server, "HEAD /app.wasm HTTP/1.1\r\n\r\n");
    assert!(head.contains("Content-Length: 4"), "{head}");
    assert!(body.is_empty());
    assert!(send(&server, "POST / HTTP/1.1\r\n\r\n").0.starts_with("HTTP/1.1 405 "));
}

#[test]
fn requests_are_remembered_until_they_are_forgotten() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    get(&server, "/app.wasm?v=1");
    get(&server, "/missing.js");
    assert_eq!(server.requests(), ["/app.wasm", "/missing.js"]);
    server.forget_requests();
    assert!(server.requests().is_empty());
}

#[test]
fn mishaps_happen_until_they_are_mended() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    server.mishap("app.wasm", Mishap::Status(503));
    assert_eq!(status(&server, "/app.wasm"), 503);
    server.mishap("/app.wasm", Mishap::Truncated);
    let (head, body) = get(&server, "/app.wasm");
    assert!(head.contains("Content-Length: 4"), "{head}");
    assert_eq!(body, [0, 97]);
    server.mishap("/app.wasm", Mishap::Altered);
    assert_eq!(get(&server, "/app.wasm").1, [0, 97, 114, 109]);
    server.mishap("/app.wasm", Mishap::Slow(Duration::from_millis(200)));
    let begun = Instant::now();
    assert_eq!(get(&server, "/app.wasm").1, [0, 97, 115, 109]);
    assert!(begun.elapsed() >= Duration::from_millis(200));
    assert_eq!(status(&server, "/"), 200);
    server.mend();
    assert_eq!(get(&server, "/app.wasm").1, [0, 97, 115, 109]);
}

#[test]
fn another_build_takes_the_same_address() {
    let (old, new) = (build(), build());
    fs::write(new.path().join("app.wasm"), "new").unwrap();
    let server = Server::start(old.path(), 0).unwrap();
    assert!(server.set_root(Path::new("/no/such/folder")).is_err());
    assert_eq!(get(&server, "/app.wasm").1.len(), 4);
    server.set_root(new.path()).unwrap();
    assert_eq!(get(&server, "/app.wasm").1, b"new");
}

#[test]
fn a_slow_answer_does_not_keep_others_waiting() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    server.mishap("/app.wasm", Mishap::Slow(Duration::from_secs(2)));
    thread::scope(|scope| {
        scope.spawn(|| get(&server, "/app.wasm"));
        let begun = Instant::now();
        let quick: Vec<_> = (0..8).map(|_| scope.spawn(|| status(&server, "/"))).collect();
        assert!(quick.into_iter().all(|it| it.join().unwrap() == 200));
        assert!(begun.elapsed() < Duration::from_secs(1));
    });
}

#[test]
fn stopping_closes_the_port_and_cuts_every_connection() {
    let folder = build();
    let server = Server::start(folder.path(), 0).unwrap();
    let port = server.port();
    let mut idle = TcpStream::connect(("127.0.0.1", port)).unwrap();
    get(&server, "/");
    server.stop();
    assert!(TcpStream::connect(("127.0.0.1", port)).is_err());
    assert!(matches!(idle.read(&mut [0; 1]), Ok(0) | Err(_)));
    // The same port can be taken again at once: the origin stays the same.
    let again = Server::start(folder.path(), port).unwrap();
    assert_eq!(again.address(), format!("http://127.0.0.1:{port}"));
    assert_eq!(status(&again, "/"), 200);
}
