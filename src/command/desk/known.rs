//! Desks that run, as other runs of the program find them: a small file for each text and folder, where the
//! machine keeps what lasts as long as a person is logged in (the XDG Base Directory Specification's
//! `XDG_RUNTIME_DIR`, which nobody else may read). Where there is no such place, each run has a desk of its own.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The place and the folder in it.
const ROOM: &str = "XDG_RUNTIME_DIR";
const FOLDER: &str = "flamacue";
/// How long a desk may take to answer.
const PATIENCE: Duration = Duration::from_secs(2);
/// Most bytes of an answer: more than a path has.
const MOST_BYTES: u64 = 64 * 1024;

/// A file that tells where a text or a folder is on a desk; it goes when it is dropped.
#[derive(Debug)]
pub struct Known {
    file: PathBuf,
    told: String,
}

impl Known {
    /// Tells where a text or a folder is; nothing where it can't be told.
    pub fn tell(path: &Path, port: u16, token: &str) -> Option<Self> {
        let file = file_of(path)?;
        let told = format!("{port} {token}\n");
        make_room(file.parent()?).ok()?;
        let _ = fs::remove_file(&file);
        let mut options = fs::OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        options.open(&file).and_then(|mut file| file.write_all(told.as_bytes())).ok()?;
        Some(Self { file, told })
    }
}

impl Drop for Known {
    fn drop(&mut self) {
        // Another desk may have told of itself since.
        if fs::read_to_string(&self.file).is_ok_and(|told| told == self.told) {
            let _ = fs::remove_file(&self.file);
        }
    }
}

/// The address of a desk that has a text or a folder and answers.
pub fn running(path: &Path) -> Option<String> {
    let told = fs::read_to_string(file_of(path)?).ok()?;
    let (port, token) = told.trim_end().split_once(' ')?;
    let port: u16 = port.parse().ok()?;
    let is_token = token.bytes().all(|byte| byte.is_ascii_hexdigit());
    let answered = is_token.then(|| ask(port, token)).flatten()?;
    (answered == path.to_string_lossy().as_bytes())
        .then(|| format!("http://127.0.0.1:{port}/{token}/"))
}

/// What a desk says that it has.
fn ask(port: u16, token: &str) -> Option<Vec<u8>> {
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let mut stream = TcpStream::connect_timeout(&address, PATIENCE).ok()?;
    stream.set_read_timeout(Some(PATIENCE)).ok()?;
    stream.set_write_timeout(Some(PATIENCE)).ok()?;
    let request = format!(
        "GET /{token}/path HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(request.as_bytes()).ok()?;
    let mut answer = Vec::new();
    stream.take(MOST_BYTES).read_to_end(&mut answer).ok()?;
    let end = answer.windows(4).position(|four| four == b"\r\n\r\n")?;
    answer.starts_with(b"HTTP/1.1 200 ").then(|| answer.split_off(end + 4))
}

fn file_of(path: &Path) -> Option<PathBuf> {
    let room = std::env::var_os(ROOM).map(PathBuf::from).filter(|room| room.is_absolute())?;
    let mut hasher = DefaultHasher::new();
    path.hash(&mut hasher);
    Some(room.join(FOLDER).join(format!("desk-{:016x}", hasher.finish())))
}

fn make_room(folder: &Path) -> std::io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}
