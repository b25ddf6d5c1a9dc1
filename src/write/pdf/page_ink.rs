//! The colours of a page's ink, as operators name them (ISO 32000-1, 8.6.8).

use super::operand::put_thousandths;
use super::options::InkSpace;
use crate::drawing::{Colours, Ink};
use crate::score::Colour;

/// The share of white paper in half-dark ink, in thousandths.
const GREY: u16 = 450;

/// What the ink of a page is named by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PageInk {
    /// Gray.
    Gray,
    /// Black alone of the four inks of a press.
    Cmyk,
    /// Colours of a screen: of ink, and of ink half as dark.
    Coloured(Colour, Colour),
}

impl PageInk {
    /// That of a page with some colours.
    pub(super) fn of(colours: Colours, space: InkSpace) -> Self {
        match space {
            InkSpace::Cmyk => Self::Cmyk,
            InkSpace::Gray if colours == Colours::default() => Self::Gray,
            InkSpace::Gray => {
                Self::Coloured(colours.ink.unwrap_or(Colour::BLACK), colours.grey(GREY))
            }
        }
    }

    /// Writes what fills with an ink from here on.
    pub(super) fn put(self, ink: Ink, bytes: &mut Vec<u8>) {
        let white = i64::from(if ink == Ink::Black { 0 } else { GREY });
        match self {
            Self::Gray => {
                put_thousandths(bytes, white);
                bytes.extend_from_slice(b"g\n");
            }
            Self::Cmyk => {
                bytes.extend_from_slice(b"0 0 0 ");
                put_thousandths(bytes, 1000 - white);
                bytes.extend_from_slice(b"k\n");
            }
            Self::Coloured(full, grey) => {
                put_colour(bytes, if ink == Ink::Black { full } else { grey });
            }
        }
    }
}

/// Writes what fills with a colour from here on.
pub(super) fn put_colour(bytes: &mut Vec<u8>, colour: Colour) {
    for part in colour.parts() {
        put_thousandths(bytes, (i64::from(part) * 1000 + 127) / 255);
    }
    bytes.extend_from_slice(b"rg\n");
}
