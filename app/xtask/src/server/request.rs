//! Reading one HTTP request: the first line matters, the rest is passed over.

use std::io::{self, BufRead, BufReader, Read};
use std::net::TcpStream;

/// What was asked for.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Request {
    /// The path with its percent signs resolved, without the query.
    pub(super) path: String,
    /// True for HEAD: the answer has no body.
    pub(super) head_only: bool,
    /// True when the method is one that is answered.
    pub(super) allowed: bool,
}

/// The most that a request's head may hold, in bytes.
const MOST: u64 = 64 * 1024;

/// Reads to the end of the head; none when the connection ends before, or says nothing that is HTTP.
pub(super) fn read_request(stream: &TcpStream) -> io::Result<Option<Request>> {
    let mut lines = BufReader::new(stream.take(MOST)).lines();
    let Some(first) = lines.next().transpose()? else { return Ok(None) };
    for line in lines {
        if line?.is_empty() {
            return Ok(parse(&first));
        }
    }
    Ok(None)
}

fn parse(first: &str) -> Option<Request> {
    let mut words = first.split(' ');
    let (method, target, _version) = (words.next()?, words.next()?, words.next()?);
    let path = resolve(target.split(['?', '#']).next()?)?;
    Some(Request { path, head_only: method == "HEAD", allowed: matches!(method, "GET" | "HEAD") })
}

fn resolve(path: &str) -> Option<String> {
    let mut bytes = path.bytes();
    let mut resolved = Vec::with_capacity(path.len());
    while let Some(byte) = bytes.next() {
        resolved.push(match byte {
            b'%' => hex(bytes.next()?)? * 16 + hex(bytes.next()?)?,
            plain => plain,
        });
    }
    String::from_utf8(resolved).ok()
}

fn hex(digit: u8) -> Option<u8> {
    char::from(digit).to_digit(16).and_then(|value| u8::try_from(value).ok())
}

#[cfg(test)]
mod tests {
    use super::{Request, parse};

    #[test]
    fn the_first_line_is_read() {
        let get = |path: &str| Some(Request { path: path.to_owned(), head_only: false, allowed: true });
        assert_eq!(parse("GET / HTTP/1.1"), get("/"));
        assert_eq!(parse("GET /a%20b.png?x=1 HTTP/1.1"), get("/a b.png"));
        assert_eq!(parse("GET /%2e%2E/secret HTTP/1.1"), get("/../secret"));
        assert_eq!(parse("GET /%ff HTTP/1.1"), None);
        assert_eq!(parse("GET /%4 HTTP/1.1"), None);
        assert_eq!(parse("hello"), None);
        assert!(parse("HEAD / HTTP/1.1").unwrap().head_only);
        assert!(!parse("POST / HTTP/1.1").unwrap().allowed);
    }
}
