//! Fonts made of bytes, the smallest that are read. The tables are those of the Open Font Format (ISO/IEC
//! 14496-22), outlines with subroutines those of Adobe Technical Notes 5176 and 5177; all from memory.

#![allow(clippy::expect_used, reason = "a test stops at the first surprise")]
#![allow(dead_code, reason = "each user takes the part it needs")]

fn words(words: &[u16]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()).collect()
}

/// A font file of tables. `glyphs` is how many glyphs they hold.
fn font(kind: [u8; 4], glyphs: u16, mut own: Vec<(&str, Vec<u8>)>) -> Vec<u8> {
    let mut head = words(&[1, 0, 1, 0, 0, 0, 0x5F0F, 0x3CF5, 0, 1000]);
    head.resize(54, 0);
    let mut hhea = words(&[1, 0, 800, 200, 0]);
    hhea.resize(36, 0);
    let mut maxp = words(&[1, 0, glyphs]);
    maxp.resize(32, 0);
    // An advance of half an em for each.
    let widths = words(&[500, 0]).repeat(usize::from(glyphs));
    hhea.splice(34..36, words(&[glyphs]));
    own.extend([("head", head), ("hhea", hhea), ("maxp", maxp), ("hmtx", widths)]);
    own.push(("cmap", characters(glyphs)));
    own.sort_by_key(|(tag, _)| *tag);
    let count = u16::try_from(own.len()).expect("few tables");
    let mut font = kind.to_vec();
    font.extend(words(&[count, 0, 0, 0]));
    let start = font.len() + 16 * own.len();
    let mut bodies = Vec::new();
    for (tag, body) in own {
        font.extend(tag.bytes());
        for number in [0, start + bodies.len(), body.len()] {
            font.extend(u32::try_from(number).expect("a small font").to_be_bytes());
        }
        bodies.extend(&body);
        bodies.resize(bodies.len().next_multiple_of(4), 0);
    }
    font.extend(bodies);
    font
}

/// A map of characters: `A` and the black notehead of SMuFL are the last glyph.
fn characters(glyphs: u16) -> Vec<u8> {
    let last = glyphs.saturating_sub(1);
    // Stretches of one character each, and the one that ends all.
    let characters = [0x41, 0xE0A4, 0xFFFF];
    let shift = |start: u16| last.wrapping_sub(start);
    let mut map = words(&[0, 1, 3, 1, 0, 12, 4, 16 + 8 * 3, 0, 6, 4, 1, 2]);
    map.extend(words(&characters));
    map.extend(words(&[0]));
    map.extend(words(&characters));
    map.extend(words(&[shift(0x41), shift(0xE0A4), 1, 0, 0, 0]));
    map
}

/// A TrueType font whose glyphs each show the one before eight times.
pub fn of_glyphs_in_glyphs(depth: u16) -> Vec<u8> {
    let (mut glyf, mut loca) = (Vec::new(), vec![0]);
    for glyph in 0..depth {
        match glyph.checked_sub(1) {
            // One contour of three points, each of which takes a flag and two short steps.
            None => {
                glyf.extend(words(&[1, 0, 0, 100, 100, 2, 0]));
                glyf.extend([0x37, 0x37, 0x37, 0, 100, 0, 0, 0, 100, 0]);
            }
            Some(before) => {
                glyf.extend(words(&[0xFFFF, 0, 0, 100, 100]));
                for part in 0..8 {
                    let more = if part < 7 { 0x20 } else { 0 };
                    glyf.extend(words(&[2 | more, before, 0]));
                }
            }
        }
        loca.push(u16::try_from(glyf.len() / 2).expect("a small font"));
    }
    font([0, 1, 0, 0], depth, vec![("glyf", glyf), ("loca", words(&loca))])
}

/// The number of a program or a dictionary, in the form that takes three bytes.
fn short(number: usize) -> Vec<u8> {
    [vec![28], words(&[u16::try_from(number).expect("a small number")])].concat()
}

/// Pieces by number.
fn index(pieces: &[Vec<u8>]) -> Vec<u8> {
    let mut index = words(&[u16::try_from(pieces.len()).expect("few pieces")]);
    if pieces.is_empty() {
        return index;
    }
    index.push(2);
    let mut at = 1;
    index.extend(words(&[1]));
    for piece in pieces {
        at += u16::try_from(piece.len()).expect("a small piece");
        index.extend(words(&[at]));
    }
    index.extend(pieces.concat());
    index
}

/// The call of a subroutine among fewer than 1,240.
pub fn call(subroutine: u8, global: bool) -> [u8; 2] {
    [139 - 107 + subroutine, if global { 29 } else { 10 }]
}

/// A glyph that draws a triangle, with what stands before its end.
pub fn triangle(then: &[u8]) -> Vec<u8> {
    // Ten and ten to the right and up; then lines along, up, and back of themselves.
    [&[149, 149, 21, 239, 6, 239, 7], then, &[14]].concat()
}

/// A font of Compact Font Format outlines, of programs and of the subroutines they call.
pub fn of_programs(glyphs: &[Vec<u8>], local: &[Vec<u8>], global: &[Vec<u8>]) -> Vec<u8> {
    let header = [1, 0, 4, 2];
    let names = index(&[b"Made".to_vec()]);
    // Offsets take three bytes each, whatever they are.
    let top = |glyphs: usize, private: usize| {
        [short(glyphs), vec![17], short(3 + 1), short(private), vec![18]].concat()
    };
    let before = [header.to_vec(), names].concat();
    let after = [index(&[]), index(global)].concat();
    let at = before.len() + index(&[top(0, 0)]).len() + after.len();
    let glyph_index = index(glyphs);
    let private = at + glyph_index.len();
    let own = [short(4), vec![19]].concat();
    let table = [before, index(&[top(at, private)]), after, glyph_index, own, index(local)];
    font(*b"OTTO", u16::try_from(glyphs.len()).expect("few glyphs"), vec![("CFF ", table.concat())])
}

/// The same, whose subroutines each call the one before so often, and its last glyph the last of them.
pub fn of_calls_in_calls(depth: u8, times: usize) -> Vec<u8> {
    let subroutine = |nth: u8| match nth.checked_sub(1) {
        None => vec![140, 140, 5, 11],
        Some(before) => [call(before, false).repeat(times), vec![11]].concat(),
    };
    let local: Vec<Vec<u8>> = (0..depth).map(subroutine).collect();
    let glyph = triangle(&call(depth - 1, false));
    of_programs(&[triangle(&[]), glyph], &local, &[])
}
