//! The address a desk is at: this machine alone, and a token that nobody can guess.

use crate::command::outcome::Failure;
use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener};

/// The port that is taken where none is asked for and it is free: what the browser keeps for a page, it keeps
/// by its port. From the range that is assigned to nobody (RFC 6335).
const USUAL_PORT: u16 = 49_620;
/// Bytes of a token.
const TOKEN: usize = 16;

/// Takes a port of this machine that no other machine reaches; which it is.
pub fn listen(asked: Option<u16>) -> Result<(TcpListener, u16), Failure> {
    let bind = |port| TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    let bound = match asked {
        Some(port) => bind(port).map_err(|e| refused(port, &e))?,
        None => bind(USUAL_PORT)
            .or_else(|_| bind(0))
            .map_err(|e| Failure(format!("no port of this machine can be used: {e}")))?,
    };
    let unusable = |e: std::io::Error| Failure(format!("the port can't be used: {e}"));
    bound.set_nonblocking(true).map_err(unusable)?;
    let port = bound.local_addr().map_err(unusable)?.port();
    Ok((bound, port))
}

/// What a browser opens, for a path at a port.
pub fn address(port: u16, path: &str) -> String {
    format!("http://127.0.0.1:{port}{path}")
}

fn refused(port: u16, error: &std::io::Error) -> Failure {
    Failure(match error.kind() {
        ErrorKind::AddrInUse => format!(
            "port {port} is in use by another program, perhaps another desk; leave out --port to take a free one"
        ),
        ErrorKind::PermissionDenied => {
            format!("port {port} may not be used by you; take one from 1024 to 65535")
        }
        _ => format!("port {port} can't be used: {error}"),
    })
}

/// A number that can't be guessed, in hexadecimal digits.
pub fn token() -> Result<String, Failure> {
    let mut bytes = [0; TOKEN];
    getrandom::fill(&mut bytes)
        .map_err(|e| Failure(format!("this machine gives no random numbers: {e}")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_port_in_use_is_told_of_or_passed_over() {
        let (held, first) = listen(None).expect("a port");
        let Err(Failure(why)) = listen(Some(first)) else { panic!("it is in use") };
        assert!(why.contains("in use by another program"), "{why}");
        let (_other, second) = listen(None).expect("another port");
        assert_ne!(first, second);
        assert!(held.local_addr().expect("an address").ip().is_loopback());
    }

    #[test]
    fn no_token_comes_twice() {
        let (one, other) = (token().expect("a token"), token().expect("a token"));
        assert_ne!(one, other);
        assert_eq!(one.len(), 2 * TOKEN);
    }
}
