//! The address a desk is at: this machine alone, and a token that nobody can guess.

use crate::command::outcome::Failure;
use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener};

/// The port that is taken where none is asked for and it is free: what the browser keeps for a page, it keeps
/// by its port. From the range that is assigned to nobody (RFC 6335).
const USUAL_PORT: u16 = 49_620;
/// Bytes of a token.
const TOKEN: usize = 16;

/// The address of a desk.
#[derive(Clone, Debug)]
pub struct Address {
    /// The port.
    pub port: u16,
    /// The token, in hexadecimal digits.
    pub token: String,
}

impl Address {
    /// Takes a port of this machine that no other machine reaches.
    pub fn listen(asked: Option<u16>) -> Result<(TcpListener, Self), Failure> {
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
        Ok((bound, Self { port, token: token()? }))
    }

    /// What a browser opens.
    pub fn place(&self) -> String {
        format!("http://127.0.0.1:{}/{}/", self.port, self.token)
    }
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

/// A number that can't be guessed.
fn token() -> Result<String, Failure> {
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
        let (held, first) = Address::listen(None).expect("a port");
        let Err(Failure(why)) = Address::listen(Some(first.port)) else { panic!("it is in use") };
        assert!(why.contains("in use by another program"), "{why}");
        let (_other, second) = Address::listen(None).expect("another port");
        assert_ne!(first.port, second.port);
        assert_ne!(first.token, second.token);
        assert_eq!(first.token.len(), 2 * TOKEN);
        assert!(held.local_addr().expect("an address").ip().is_loopback());
    }
}
