//! Rebuilds `Calfskin.ttf`, `calfskin_metadata.json` and `specimen.svg` beside the sources.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let home = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    match run(&home) {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            eprintln!("{fault}");
            ExitCode::FAILURE
        }
    }
}

fn run(home: &Path) -> Result<(), calfskin_builder::Error> {
    let built = calfskin_builder::build(&home.join("glyphs"))?;
    for (name, bytes) in [
        ("Calfskin.ttf", built.font.as_slice()),
        ("calfskin_metadata.json", built.metadata.as_bytes()),
        ("specimen.svg", built.specimen.as_bytes()),
    ] {
        let path = home.join(name);
        std::fs::write(&path, bytes)
            .map_err(|cause| calfskin_builder::Error::Read { path, cause })?;
    }
    Ok(())
}
