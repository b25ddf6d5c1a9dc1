//! Compiles the Calfskin glyph sources.
