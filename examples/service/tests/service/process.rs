//! The service as a process of its own.

use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

pub struct Process {
    child: Child,
    pub port: u16,
}

impl Process {
    /// Starts it on a port that is free.
    pub fn start(words: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_flamacue-service"))
            .args(["--port", "0"])
            .args(words)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let port = line.trim().strip_prefix("listening on 127.0.0.1:").and_then(|p| p.parse().ok());
        Self { port: port.unwrap_or_else(|| panic!("it said {line:?}")), child }
    }

    /// Memory it has in use, in megabytes.
    pub fn resident(&self) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
        let kilobytes: f64 = line.trim().trim_end_matches(" kB").parse().unwrap();
        kilobytes / 1024.0
    }

    pub fn ask_to_end(&self) {
        let sent = Command::new("kill").arg(self.child.id().to_string()).status().unwrap();
        assert!(sent.success());
    }

    /// Whether it ends by itself, and without a fault.
    pub fn ended_well(&mut self, patience: Duration) -> bool {
        let start = Instant::now();
        while start.elapsed() < patience {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.success();
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        false
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
