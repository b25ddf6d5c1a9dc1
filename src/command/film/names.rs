//! Blocks in the names of files.

use flamacue::score::{Item, Score};
use std::path::{Path, PathBuf};

/// What a block is called in the name of a file: its name, its number, or which it is.
pub fn block_name(score: &Score, item: usize) -> String {
    let blocks = score.items_once().take(item + 1);
    let blocks: Vec<_> = blocks.filter_map(Item::block).collect();
    let own = blocks.last();
    let name = own.and_then(|block| block.name.clone().or_else(|| block.printed_number()));
    name.unwrap_or_else(|| blocks.len().to_string())
}

/// The name of one of many, with a word before its ending.
pub fn with_word(path: &Path, word: &str) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{word}.{ending}"))
}
