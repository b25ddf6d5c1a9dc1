//! The language of a file.

/// The language of a tag (BCP 47) in small letters, without script and region; English where there is no tag.
#[must_use]
pub fn language_of(tag: Option<&str>) -> String {
    tag.unwrap_or("en").split(['-', '_']).next().unwrap_or_default().to_ascii_lowercase()
}

/// The languages in which the program has words of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OwnLanguage {
    /// It stands for every language that is not known.
    English,
    /// German.
    German,
    /// French.
    French,
    /// Spanish.
    Spanish,
    /// Italian.
    Italian,
    /// Portuguese.
    Portuguese,
    /// Dutch.
    Dutch,
}

impl OwnLanguage {
    /// That of a language tag (BCP 47).
    #[must_use]
    pub fn of(tag: Option<&str>) -> Self {
        match language_of(tag).as_str() {
            "de" => Self::German,
            "fr" => Self::French,
            "es" => Self::Spanish,
            "it" => Self::Italian,
            "pt" => Self::Portuguese,
            "nl" => Self::Dutch,
            _ => Self::English,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_region_changes_nothing_and_the_unknown_is_english() {
        assert_eq!(OwnLanguage::of(Some("de-AT")), OwnLanguage::German);
        assert_eq!(OwnLanguage::of(Some("PT_br")), OwnLanguage::Portuguese);
        assert_eq!(OwnLanguage::of(Some("xx")), OwnLanguage::English);
        assert_eq!(OwnLanguage::of(None), OwnLanguage::English);
    }
}
