//! A folder of its own for each test, and the command run in it.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

pub struct Room(PathBuf);

pub struct Ended {
    pub status: i32,
    pub out: Vec<u8>,
    pub err: String,
}

/// Two blocks, one with a name.
pub const GOOD: &str = "title: Low Tide\nauthor: Imke Salterforth\n\n\
    fill slip \"Off the slip\"\n  play   S.ss t.tt m.mm C+k\n\n\
    groove \"Both oars\"\n  hat    x.x. x.x. x.x. x.x.\n  snare  .... X... .... X...\n\n\
    Play softly.\n";

/// A row without a block above it.
pub const FAULTY: &str = "title: High Tide\n\n  play   S.ss\n";

impl Room {
    pub fn new(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("command").join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("a folder");
        Self(folder)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub fn put(&self, name: &str, text: impl AsRef<[u8]>) {
        fs::write(self.path(name), text).expect("a file");
    }

    pub fn get(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).expect("a file")
    }

    /// A name with the bytes of its file; without any where it is a folder.
    pub fn bytes(&self, name: String) -> (String, Option<Vec<u8>>) {
        let bytes = fs::read(self.path(&name)).ok();
        (name, bytes)
    }

    /// Makes a pipe with a name.
    #[cfg(unix)]
    pub fn fifo(&self, name: &str) {
        let made = Command::new("mkfifo").arg(self.path(name)).status().expect("mkfifo");
        assert!(made.success(), "a pipe");
    }

    /// The names in the folder, hidden ones too.
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(&self.0)
            .expect("a folder")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    pub fn run(&self, arguments: &[&str]) -> Ended {
        self.run_with(arguments, b"")
    }

    pub fn run_with(&self, arguments: &[&str], input: &[u8]) -> Ended {
        self.run_in(&[], arguments, input)
    }

    /// The command in the folder, not started yet.
    pub fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_flamacue"));
        command.current_dir(&self.0);
        command
    }

    /// The command as somebody who may read only what the modes of files let its owner read, as root need not ask;
    /// nothing where root can't give that up here.
    #[cfg(unix)]
    pub fn bound_command(&self) -> Option<Command> {
        // Who may not read this is not root.
        if fs::read("/etc/shadow").is_err() {
            return Some(self.command());
        }
        let give_up = ["--bounding-set", "-dac_override,-dac_read_search"];
        let mut command = Command::new("setpriv");
        command.current_dir(&self.0).args(give_up).arg(env!("CARGO_BIN_EXE_flamacue"));
        let told = Command::new("setpriv").args(give_up).arg("true").status();
        told.is_ok_and(|status| status.success()).then_some(command)
    }

    /// Gives a file or a folder its mode.
    #[cfg(unix)]
    pub fn set_mode(&self, name: &str, mode: u32) {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(self.path(name), fs::Permissions::from_mode(mode)).expect("a mode");
    }

    /// With environment variables of its own.
    pub fn run_in(&self, variables: &[(&str, &str)], arguments: &[&str], input: &[u8]) -> Ended {
        let mut child = self
            .command()
            .envs(variables.iter().copied())
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the command");
        let mut stdin = child.stdin.take().expect("standard input");
        // A command that ends before it reads closes the pipe.
        let _ = stdin.write_all(input);
        drop(stdin);
        let Output { status, stdout, stderr } = child.wait_with_output().expect("an end");
        Ended {
            status: status.code().expect("a status"),
            out: stdout,
            err: String::from_utf8(stderr).expect("UTF-8"),
        }
    }
}
