//! Values of options that are more than words: what may be written, and the help that says so.

use flamacue::write::Format;

/// The endings a name of a file may have: `.pdf, .svg or .json`.
pub fn endings() -> String {
    let mut endings: Vec<String> =
        Format::ALL.iter().map(|format| format!(".{}", format.ending)).collect();
    let last = endings.pop().unwrap_or_default();
    format!("{} or {last}", endings.join(", "))
}

/// The help of -o.
pub fn output_help() -> String {
    format!("Where to write: a name ending in {}, or a folder", endings())
}

/// The same with all it has to say; of standard input only where that is read.
pub fn output_long_help(reads_standard: bool) -> String {
    let mut forms: Vec<&str> = Format::ALL.iter().map(|format| format.is).collect();
    forms.dedup();
    let last = forms.pop().unwrap_or_default();
    format!(
        "{}.\n\n\
         The ending says what is written: {}, or {last}. A folder, written with a slash at its end if \
         it is not there yet, takes the output of any number of files. Without this, each file's \
         output stands beside it{}.",
        output_help(),
        forms.join(", "),
        if reads_standard {
            "; what is read from standard input goes to standard output as PDF"
        } else {
            ""
        },
    )
}

/// Reads the size of PNG pictures.
pub fn scale(words: &str) -> Result<f64, String> {
    match words.parse() {
        Ok(scale) if (0.1..=20.0).contains(&scale) => Ok(scale),
        _ => Err("write a number from 0.1 to 20, as 2 or 0.5".into()),
    }
}

/// Reads the room around a page.
pub fn bleed(words: &str) -> Result<f64, String> {
    match words.parse() {
        Ok(bleed) if (0.0..=30.0).contains(&bleed) => Ok(bleed),
        _ => Err("write millimetres from 0 to 30, as 3".into()),
    }
}
