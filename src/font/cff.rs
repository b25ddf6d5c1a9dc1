//! The tables of Compact Font Format outlines, as far as it takes to follow a glyph's subroutines: Adobe
//! Technical Note 5176, *The Compact Font Format Specification*, 2003, from memory.

use std::ops::Range;

// Operators of dictionaries; those of two bytes have 12 as their first.
const CHAR_STRINGS: u16 = 17;
const PRIVATE: u16 = 18;
const LOCAL_SUBROUTINES: u16 = 19;
const FONT_DICTS: u16 = 12 << 8 | 36;
const FONT_OF_GLYPH: u16 = 12 << 8 | 37;
/// Before an operator of two bytes.
const ESCAPE: u8 = 12;
/// Bytes of the header of a table.
const HEADER: usize = 4;

/// The programs of a font's glyphs, and the subroutines they call.
pub(super) struct Programs<'a> {
    pub(super) glyphs: Index<'a>,
    pub(super) global: Index<'a>,
    /// For each of the fonts that a font may be made of; one where it is of one piece.
    local: Vec<Index<'a>>,
    /// Which of these each glyph belongs to; nothing where there is one.
    fonts: Option<FontOfGlyph<'a>>,
}

impl<'a> Programs<'a> {
    /// Reads a table; nothing where it is damaged.
    pub(super) fn read(table: &'a [u8]) -> Option<Self> {
        let header = usize::from(*table.get(2)?).max(HEADER);
        let (_, names_end) = Index::read(table, header)?;
        let (tops, tops_end) = Index::read(table, names_end)?;
        let (_, strings_end) = Index::read(table, tops_end)?;
        let (global, _) = Index::read(table, strings_end)?;
        let top = Dict::read(tops.get(0)?)?;
        let (glyphs, _) = Index::read(table, top.offset(CHAR_STRINGS)??)?;
        let Some(fonts) = top.offset(FONT_DICTS)? else {
            let local = vec![local_subroutines(table, &top)?];
            return Some(Self { glyphs, global, local, fonts: None });
        };
        let (dicts, _) = Index::read(table, fonts)?;
        let dicts = (0..dicts.count).map(|nth| Dict::read(dicts.get(nth)?));
        let local = dicts.map(|dict| local_subroutines(table, &dict?)).collect::<Option<_>>()?;
        let fonts = FontOfGlyph::read(table.get(top.offset(FONT_OF_GLYPH)??..)?, glyphs.count)?;
        Some(Self { glyphs, global, local, fonts: Some(fonts) })
    }

    /// The subroutines a glyph alone shares with those of its font.
    pub(super) fn local(&self, glyph: usize) -> Index<'a> {
        let font = self.fonts.as_ref().map_or(Some(0), |fonts| fonts.of(glyph));
        font.and_then(|font| self.local.get(font)).copied().unwrap_or_default()
    }
}

/// The subroutines of the private part that a dictionary names; none where it names none.
fn local_subroutines<'a>(table: &'a [u8], dict: &Dict) -> Option<Index<'a>> {
    let Some(private) = dict.range(PRIVATE)? else { return Some(Index::default()) };
    let own = Dict::read(table.get(private.clone())?)?;
    let Some(offset) = own.offset(LOCAL_SUBROUTINES)? else { return Some(Index::default()) };
    Some(Index::read(table, private.start.checked_add(offset)?)?.0)
}

/// Pieces of data by number.
#[derive(Clone, Copy, Default)]
pub(super) struct Index<'a> {
    pub(super) count: usize,
    /// How many bytes an offset takes.
    width: usize,
    offsets: &'a [u8],
    data: &'a [u8],
}

impl<'a> Index<'a> {
    /// Reads one at an offset; where it ends too.
    fn read(table: &'a [u8], at: usize) -> Option<(Self, usize)> {
        let count = number(table.get(at..at.checked_add(2)?)?);
        let start = at + 2;
        if count == 0 {
            return Some((Self::default(), start));
        }
        let width = usize::from(*table.get(start)?);
        if !(1..=4).contains(&width) {
            return None;
        }
        let data_start = start + 1 + (count + 1) * width;
        let offsets = table.get(start + 1..data_start)?;
        let length = number(offsets.get(count * width..)?).checked_sub(1)?;
        let end = data_start.checked_add(length)?;
        Some((Self { count, width, offsets, data: table.get(data_start..end)? }, end))
    }

    /// The bytes of a piece.
    pub(super) fn get(&self, nth: usize) -> Option<&'a [u8]> {
        if nth >= self.count {
            return None;
        }
        // Offsets are counted from one.
        let offset = |nth: usize| {
            let at = nth * self.width;
            number(self.offsets.get(at..at + self.width)?).checked_sub(1)
        };
        self.data.get(offset(nth)?..offset(nth + 1)?)
    }
}

/// The whole numbers that stand before each operator of a dictionary.
struct Dict(Vec<(u16, Vec<i32>)>);

impl Dict {
    /// Nothing where it is damaged, and where an operator stands twice: readers do not agree on which holds.
    fn read(mut data: &[u8]) -> Option<Self> {
        let (mut entries, mut operands) = (Vec::<(u16, Vec<i32>)>::new(), Vec::new());
        while let Some((&first, rest)) = data.split_first() {
            data = rest;
            if first > 21 {
                operands.push(operand(first, &mut data)?);
                continue;
            }
            let mut operator = u16::from(first);
            if first == ESCAPE {
                operator = operator << 8 | u16::from(take(&mut data, 1)?.first().copied()?);
            }
            if entries.iter().any(|(known, _)| *known == operator) {
                return None;
            }
            entries.push((operator, std::mem::take(&mut operands)));
        }
        Some(Self(entries))
    }

    fn operands(&self, operator: u16) -> Option<&[i32]> {
        let entry = self.0.iter().find(|(known, _)| *known == operator);
        entry.map(|(_, operands)| operands.as_slice())
    }

    /// An offset, where there is one; nothing where it is damaged.
    #[allow(clippy::option_option, reason = "that there is none is no damage")]
    fn offset(&self, operator: u16) -> Option<Option<usize>> {
        match self.operands(operator) {
            None => Some(None),
            Some([offset]) => usize::try_from(*offset).ok().map(Some),
            Some(_) => None,
        }
    }

    /// A length and an offset, as the range they mean.
    #[allow(clippy::option_option, reason = "that there is none is no damage")]
    fn range(&self, operator: u16) -> Option<Option<Range<usize>>> {
        match self.operands(operator) {
            None => Some(None),
            Some([length, start]) => {
                let start = usize::try_from(*start).ok()?;
                Some(Some(start..start.checked_add(usize::try_from(*length).ok()?)?))
            }
            Some(_) => None,
        }
    }
}

/// A number of a dictionary whose first byte was read; zero for one with a fraction, which is no offset.
fn operand(first: u8, data: &mut &[u8]) -> Option<i32> {
    Some(match first {
        28 => i32::from(i16::from_be_bytes(take(data, 2)?.try_into().ok()?)),
        29 => i32::from_be_bytes(take(data, 4)?.try_into().ok()?),
        30 => {
            // Two figures in a byte; the last is followed by the sign of the end.
            while take(data, 1)?.iter().all(|byte| byte & 0x0F != 0x0F && byte >> 4 != 0x0F) {}
            0
        }
        _ => i32::from(small(first, data)?),
    })
}

/// A number of one or two bytes, as they stand in dictionaries and in programs, whose first was read.
pub(super) fn small(first: u8, data: &mut &[u8]) -> Option<i16> {
    let value = i16::from(first);
    let mut next = || Some(i16::from(*take(data, 1)?.first()?));
    match first {
        32..=246 => Some(value - 139),
        247..=250 => Some((value - 247) * 256 + next()? + 108),
        251..=254 => Some(-(value - 251) * 256 - next()? - 108),
        0..=31 | 255 => None,
    }
}

/// The next bytes, which are taken off.
pub(super) fn take<'a>(data: &mut &'a [u8], count: usize) -> Option<&'a [u8]> {
    let (taken, rest) = data.split_at_checked(count)?;
    *data = rest;
    Some(taken)
}

/// Up to four bytes as a number, the first the greatest.
fn number(bytes: &[u8]) -> usize {
    bytes.iter().fold(0, |all, byte| all << 8 | usize::from(*byte))
}

/// Which font of a font that is made of several each glyph belongs to.
enum FontOfGlyph<'a> {
    /// A byte for each glyph.
    Each(&'a [u8]),
    /// Stretches by their first glyphs, in order, and the glyph after the last.
    Stretches(Vec<(usize, usize)>, usize),
}

impl<'a> FontOfGlyph<'a> {
    fn read(mut data: &'a [u8], glyphs: usize) -> Option<Self> {
        match take(&mut data, 1)?.first()? {
            0 => Some(Self::Each(data.get(..glyphs)?)),
            3 => {
                let count = number(take(&mut data, 2)?);
                let mut stretch =
                    || Some((number(take(&mut data, 2)?), number(take(&mut data, 1)?)));
                let stretches = (0..count).map(|_| stretch()).collect::<Option<Vec<_>>>()?;
                let in_order = stretches.is_sorted_by(|(first, _), (next, _)| first < next);
                in_order.then_some(())?;
                Some(Self::Stretches(stretches, number(take(&mut data, 2)?)))
            }
            _ => None,
        }
    }

    fn of(&self, glyph: usize) -> Option<usize> {
        match self {
            Self::Each(fonts) => fonts.get(glyph).copied().map(usize::from),
            Self::Stretches(stretches, end) => {
                let after = stretches.partition_point(|(first, _)| *first <= glyph);
                let (_, font) = stretches.get(after.checked_sub(1)?)?;
                (glyph < *end).then_some(*font)
            }
        }
    }
}
