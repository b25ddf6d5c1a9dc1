//! `syllables` blocks: a counting system written in the file.

use super::system::CountingSystem;
use crate::interpret::codes;
use crate::source::Diagnostics;
use crate::syntax::tree::{Block, Content};

/// Most parts a row can name.
const MOST_PARTS: u32 = 32;

/// The name a table is asked for by, in lower case.
pub(crate) fn table_name(block: &Block) -> Option<String> {
    block.name.as_ref().map(|name| name.value.to_lowercase())
}

/// Reads a `syllables` block. A row gives the number of parts and then a word for each: `#` is the
/// beat's number, `.` a part that has no name.
pub(crate) fn read_table(block: &Block, diagnostics: &mut Diagnostics) -> Option<CountingSystem> {
    let Some(name) = table_name(block) else {
        diagnostics
            .error(block.span, "this table of syllables has no name")
            .code(codes::TABLE_UNNAMED)
            .mend("name it, as in `syllables lala`, and ask for it with `counting: lala`");
        return None;
    };
    let mut rows: Vec<(u32, Vec<String>)> = Vec::new();
    for set in &block.sets {
        for setting in &set.settings {
            diagnostics
                .error(setting.key.span, "a table of syllables takes no keys")
                .code(codes::TABLE_KEY)
                .mend("write only rows such as `4 # e & a`");
        }
        for row in &set.rows {
            let words = match &row.content {
                Content::Syllables(words) => words,
                Content::Cells(..)
                | Content::Count(_)
                | Content::Sticks(..)
                | Content::Words(..)
                | Content::KitLetter(_) => continue,
            };
            let parts = row.name.value.parse::<u32>().ok().filter(|n| (1..=MOST_PARTS).contains(n));
            let Some(parts) = parts else {
                diagnostics
                    .error(row.name.span, format!("`{}` is not a number of parts", row.name.value))
                    .code(codes::TABLE_PARTS)
                    .mend("begin the row with the parts of the beat, 1 to 32, as in `3 # la li`");
                continue;
            };
            if rows.iter().any(|(p, _)| *p == parts) {
                diagnostics
                    .error(row.name.span, format!("the table names {parts} parts twice"))
                    .code(codes::TABLE_ROW_TWICE)
                    .mend("keep one of the two rows");
                continue;
            }
            if words.len() != parts as usize {
                diagnostics
                    .error(row.span, format!("{} words for a beat of {parts} parts", words.len()))
                    .code(codes::TABLE_WORDS)
                    .mend("write one word for each part; `.` is a part that has no name");
                continue;
            }
            rows.push((parts, words.iter().map(|w| w.value.clone()).collect()));
        }
    }
    Some(CountingSystem::from_table(&name, rows))
}
