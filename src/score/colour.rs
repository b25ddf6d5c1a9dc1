//! Colours of screens.

/// A colour by its parts of red, green and blue light (sRGB, IEC 61966-2-1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour {
    /// Red, from 0 to 255.
    pub red: u8,
    /// Green, from 0 to 255.
    pub green: u8,
    /// Blue, from 0 to 255.
    pub blue: u8,
}

impl Colour {
    /// No light.
    pub const BLACK: Self = Self { red: 0, green: 0, blue: 0 };
    /// The half between black and white (CSS Color Module, "gray").
    pub const GRAY: Self = Self { red: 128, green: 128, blue: 128 };
    /// All light.
    pub const WHITE: Self = Self { red: 255, green: 255, blue: 255 };

    /// Its parts: red, green, blue.
    #[must_use]
    pub fn parts(self) -> [u8; 3] {
        [self.red, self.green, self.blue]
    }

    /// A mixture with so many thousandths of another colour, 0 to 1000.
    #[must_use]
    pub fn mixed(self, other: Self, thousandths: u16) -> Self {
        let share = u32::from(thousandths.min(1000));
        let mix = |own: u8, its: u8| {
            let sum = u32::from(own) * (1000 - share) + u32::from(its) * share;
            u8::try_from((sum + 500) / 1000).unwrap_or(u8::MAX)
        };
        Self {
            red: mix(self.red, other.red),
            green: mix(self.green, other.green),
            blue: mix(self.blue, other.blue),
        }
    }
}

impl std::fmt::Display for Colour {
    /// As on the web: `#204060`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

#[cfg(test)]
mod tests {
    use super::Colour;

    #[test]
    fn colours_mix_part_by_part() {
        assert_eq!(Colour::BLACK.mixed(Colour::WHITE, 0), Colour::BLACK);
        assert_eq!(Colour::BLACK.mixed(Colour::WHITE, 1000), Colour::WHITE);
        let mixed = Colour::WHITE.mixed(Colour::BLACK, 450);
        assert_eq!(mixed.to_string(), "#8c8c8c");
    }
}
