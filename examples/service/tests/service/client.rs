//! Requests to the service, written out, so that they can also be broken.

use std::io::{BufRead as _, BufReader, Error, ErrorKind, Read as _, Result, Write as _};
use std::net::{Ipv4Addr, TcpStream};
use std::time::Duration;

/// The longest that is waited for an answer.
const PATIENCE: Duration = Duration::from_secs(90);

pub struct Connection {
    stream: BufReader<TcpStream>,
}

#[derive(Debug)]
pub struct Reply {
    pub status: u16,
    /// Names in small letters.
    headers: Vec<(String, String)>,
    pub body: Vec<u8>,
}

impl Reply {
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(own, _)| own == name).map(|(_, value)| value.as_str())
    }
}

/// The bytes of a request that posts a text.
pub fn post(path: &str, accept: Option<&str>, text: &[u8]) -> Vec<u8> {
    let accept: Vec<(&str, &str)> = accept.map(|accept| ("Accept", accept)).into_iter().collect();
    request("POST", path, &accept, text)
}

fn request(method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Vec<u8> {
    let mut head = format!("{method} {path} HTTP/1.1\r\nHost: localhost\r\n");
    for (name, value) in headers {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str(&format!("Content-Length: {}\r\n\r\n", body.len()));
    [head.as_bytes(), body].concat()
}

impl Connection {
    pub fn open(port: u16) -> Self {
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream.set_write_timeout(Some(PATIENCE)).unwrap();
        stream.set_nodelay(true).unwrap();
        Self { stream: BufReader::new(stream) }
    }

    pub fn post(&mut self, path: &str, accept: Option<&str>, text: &[u8]) -> Result<Reply> {
        self.raw(&post(path, accept, text))
    }

    pub fn request(
        &mut self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> Result<Reply> {
        self.raw(&request(method, path, headers, body))
    }

    /// Sends bytes and reads what is answered, also where it is answered before all are sent.
    pub fn raw(&mut self, bytes: &[u8]) -> Result<Reply> {
        let sent = self.write(bytes);
        self.read().or_else(|error| sent.and(Err(error)))
    }

    pub fn write(&mut self, bytes: &[u8]) -> Result<()> {
        self.stream.get_mut().write_all(bytes)
    }

    pub fn read(&mut self) -> Result<Reply> {
        let nonsense = |what: &str| Error::new(ErrorKind::InvalidData, what.to_owned());
        let mut line = String::new();
        self.stream.read_line(&mut line)?;
        let status = line.strip_prefix("HTTP/1.1 ").and_then(|rest| rest.get(..3)?.parse().ok());
        let status = status.ok_or_else(|| nonsense(&line))?;
        let mut headers = Vec::new();
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line)?;
            let Some((name, value)) = line.trim_end().split_once(": ") else { break };
            headers.push((name.to_ascii_lowercase(), value.to_owned()));
        }
        let mut reply = Reply { status, headers, body: Vec::new() };
        let length = reply.header("content-length").and_then(|length| length.parse().ok());
        reply.body.resize(length.ok_or_else(|| nonsense("no length"))?, 0);
        self.stream.read_exact(&mut reply.body)?;
        Ok(reply)
    }
}
