//! The `flamacue` command: arguments in, files out.

mod command;

fn main() -> std::process::ExitCode {
    command::run()
}
