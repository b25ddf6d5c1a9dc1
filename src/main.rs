//! The `flamacue` command: arguments in, files out.

mod command;

/// A book makes and drops millions of small things, on all processors at once.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    command::end(command::run())
}
