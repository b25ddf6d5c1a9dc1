//! What drummers write for short on paper, where this language has one name for one thing.

/// Letters for an instrument, in small letters, and the row they mean. Common practice, no source.
#[rustfmt::skip]
const SHORT: [(&str, &str); 45] = [
    ("b", "kick"), ("bd", "kick"), ("kd", "kick"), ("bs", "kick"), ("kk", "kick"),
    ("s", "snare"), ("sd", "snare"), ("sn", "snare"), ("snr", "snare"), ("sr", "snare"),
    ("xs", "cross-stick"), ("cs", "cross-stick"), ("rim", "cross-stick"), ("xstick", "cross-stick"),
    ("t1", "tom1"), ("ht", "tom1"), ("hi-tom", "tom1"), ("high-tom", "tom1"),
    ("t2", "tom2"), ("mt", "tom2"), ("mid-tom", "tom2"),
    ("ft", "floor"), ("t3", "floor"), ("fl", "floor"), ("flt", "floor"),
    ("hh", "hat"), ("hc", "hat"), ("hhc", "hat"), ("hats", "hat"),
    ("oh", "open-hat"), ("ho", "open-hat"), ("hho", "open-hat"),
    ("hf", "foot-hat"), ("fh", "foot-hat"), ("hp", "foot-hat"), ("ph", "foot-hat"), ("hhp", "foot-hat"),
    ("rd", "ride"), ("rc", "ride"), ("rb", "bell"),
    ("cc", "crash"), ("cr", "crash"), ("cy", "crash"),
    ("sp", "splash"), ("cb", "cowbell"),
];

/// The row that a short name for an instrument means, capitals or not.
pub fn row_meant(short: &str) -> Option<&'static str> {
    let small = short.to_ascii_lowercase();
    SHORT.iter().find(|(own, _)| *own == small).map(|(_, row)| *row)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Kit;

    #[test]
    fn each_means_a_row_of_the_kit_and_is_none() {
        let kit = Kit::five_piece();
        for (short, row) in SHORT {
            assert!(kit.by_name(row).is_some(), "{row}");
            assert!(kit.by_name(short).is_none(), "{short}");
        }
        assert_eq!(row_meant("HH"), Some("hat"));
        assert_eq!(row_meant("hat"), None);
    }
}
