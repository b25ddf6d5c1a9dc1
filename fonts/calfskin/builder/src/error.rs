use std::fmt;
use std::path::PathBuf;

/// Why the font could not be built. Every form says which file to mend.
#[derive(Debug)]
pub enum Error {
    /// A file or folder could not be read.
    Read {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        cause: std::io::Error,
    },
    /// A source is not a glyph as [`crate::source`] describes it.
    Source {
        /// The glyph's file.
        path: PathBuf,
        /// One plain sentence.
        fault: String,
    },
    /// Two sources claim one code point.
    SharedCodePoint {
        /// The code point.
        code_point: char,
        /// The glyph that came first.
        first: String,
        /// The glyph that repeats it.
        second: String,
    },
    /// A table does not fit the OpenType format.
    Table(String),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Error::Read { path, cause } => write!(f, "{}: {cause}", path.display()),
            Error::Source { path, fault } => write!(f, "{}: {fault}", path.display()),
            Error::SharedCodePoint { code_point, first, second } => {
                write!(f, "{first} and {second} both claim U+{:04X}", u32::from(*code_point))
            }
            Error::Table(fault) => f.write_str(fault),
        }
    }
}

impl std::error::Error for Error {}
