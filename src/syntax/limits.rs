//! Bounds on what one file may hold, so that no text, however odd, takes long to read.

/// Bytes of a file: some thousands of pages of exercises.
pub const FILE_BYTES: usize = 4 * 1024 * 1024;
/// Files in one source.
pub const FILES: usize = 500;
/// Bytes of all files of a source together.
pub const ALL_BYTES: usize = 32 * 1024 * 1024;
/// Bytes of a picture.
pub const PICTURE_BYTES: usize = 16 * 1024 * 1024;
/// Bytes of all pictures of a source together.
pub const ALL_PICTURE_BYTES: usize = 128 * 1024 * 1024;
/// Files that include one another in a row.
pub const FILE_DEPTH: usize = 8;
/// Characters of a line.
pub const LINE_CHARACTERS: usize = 100_000;
/// Quotes and lists inside one another.
pub const PROSE_DEPTH: usize = 8;
/// Looks of words inside one another, as emphasis in a link.
pub const INLINE_DEPTH: usize = 8;
/// Columns of a table.
pub const TABLE_COLUMNS: usize = 24;
/// Rows of a table under its head.
pub const TABLE_ROWS: usize = 1_000;
/// Cells in a group, and words in a bracketed count.
pub const GROUP_CELLS: usize = 32;
/// Cells in a split.
pub const SPLIT_CELLS: usize = 16;
/// Splits inside one another.
pub const SPLIT_DEPTH: usize = 3;
/// Instruments struck together in one cell.
pub const STRIKES: usize = 8;
/// Grace notes before a hit, and strokes through its stem.
pub const ORNAMENTS: usize = 3;
/// Beats of a spread.
pub const SPREAD_BEATS: u32 = 64;
/// What the beats of a spread can be divided by.
pub const SPREAD_DIVISORS: [u32; 6] = [1, 2, 3, 4, 6, 8];
/// Times a passage is played.
pub const TIMES: u32 = 99;
/// Most players of a block: more staves than a page has room for.
pub const PLAYERS: usize = 32;
