//! Glyphs of Compact Font Format outlines, in fonts from elsewhere: that none of them calls so many
//! subroutines that drawing it would not end. Adobe Technical Note 5177, *The Type 2 Charstring Format*,
//! 2000, from memory.

use super::cff::{Index, Programs, small, take};
use super::error::FontError;
use ttf_parser::{Face, Tag};

/// Most numbers and operators of a glyph with all it calls: a curve of three points takes seven of them.
/// The richest letters take some thousands. Common practice, no source.
const MOST_STEPS: u64 = 1_000_000;
/// Most of all glyphs of a font together. Those of the largest fonts of East Asia take some ten millions.
/// Common practice, no source.
const MOST_STEPS_OF_ALL: u64 = 100_000_000;
/// Subroutines inside one another; what embeds outlines follows as many, what draws them fewer.
const DEPTH: usize = 64;
/// Numbers that wait for their operator.
const STACK: usize = 48;
/// Numbers at the end of a glyph that show two other glyphs instead.
const ACCENTED: usize = 4;

// Operators of programs.
const STEMS: [u8; 4] = [1, 3, 18, 23];
const CALL_LOCAL: u8 = 10;
const RETURN: u8 = 11;
const ESCAPE: u8 = 12;
const END: u8 = 14;
const MASKS: [u8; 2] = [19, 20];
const SHORT: u8 = 28;
const CALL_GLOBAL: u8 = 29;
/// Those that draw, with the flexes, which stand after an escape.
const DRAWING: [u8; 13] = [4, 5, 6, 7, 8, 21, 22, 24, 25, 26, 27, 30, 31];
const FLEXES: [u8; 4] = [34, 35, 36, 37];
const FIXED: u8 = 255;

/// Refuses a font with a glyph that takes too many steps, or whose steps cannot be told beforehand.
///
/// # Errors
/// Says which glyph it is, and why.
pub(super) fn check(name: &str, face: &Face<'_>) -> Result<(), FontError> {
    let table = |tag: &[u8; 4]| face.raw_face().table(Tag::from_bytes(tag));
    let refused = |why: &str| Err(FontError(format!("{name} cannot be used as a font: {why}")));
    if table(b"CFF2").is_some() {
        return refused("its outlines are of the kind CFF2, which no PDF can hold");
    }
    let Some(cff) = table(b"CFF ") else { return Ok(()) };
    let Some(programs) = Programs::read(cff) else {
        return refused("its outlines are damaged");
    };
    let mut all = 0;
    for glyph in 0..programs.glyphs.count {
        let steps = match Walk::of(&programs, glyph).steps() {
            Ok(steps) => steps,
            Err(odd) => return refused(&format!("its glyph {glyph} {}", odd.as_str())),
        };
        all += steps;
        if all > MOST_STEPS_OF_ALL {
            return refused("its glyphs are made of too many parts");
        }
    }
    Ok(())
}

/// Why a glyph is not followed to its end.
#[derive(Clone, Copy)]
enum Odd {
    /// It takes too many steps.
    Endless,
    /// It shows other glyphs by a use of its last operator that OpenType has no more.
    Accented,
    /// Readers do not agree on where its hints end.
    Hints,
}

impl Odd {
    fn as_str(self) -> &'static str {
        match self {
            Self::Endless => "is made of too many parts",
            Self::Accented => "is put together from two others as only older fonts do",
            Self::Hints => "has hints in the midst of its outline",
        }
    }
}

/// A glyph's program on its way. What those who draw and embed glyphs would stop at may be passed here: it
/// counts no less than they do.
struct Walk<'a> {
    global: Index<'a>,
    local: Index<'a>,
    /// What is left of the program and of the subroutines that are open, the innermost last.
    open: Vec<&'a [u8]>,
    stack: Vec<i32>,
    stems: usize,
    masked: bool,
    steps: u64,
}

/// What comes after a step.
enum Next {
    Step,
    End,
}

impl<'a> Walk<'a> {
    fn of(programs: &Programs<'a>, glyph: usize) -> Self {
        Self {
            global: programs.global,
            local: programs.local(glyph),
            open: programs.glyphs.get(glyph).into_iter().collect(),
            stack: Vec::with_capacity(STACK),
            stems: 0,
            masked: false,
            steps: 0,
        }
    }

    /// How many steps there are.
    fn steps(mut self) -> Result<u64, Odd> {
        while let Some(program) = self.open.last_mut() {
            let Some((&first, rest)) = program.split_first() else {
                self.open.pop();
                continue;
            };
            *program = rest;
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return Err(Odd::Endless);
            }
            if matches!(self.step(first)?, None | Some(Next::End)) {
                break;
            }
        }
        Ok(self.steps)
    }

    /// Does one; nothing where all readers stop.
    fn step(&mut self, first: u8) -> Result<Option<Next>, Odd> {
        match first {
            CALL_LOCAL => return Ok(self.call(self.local)),
            CALL_GLOBAL => return Ok(self.call(self.global)),
            RETURN => drop(self.open.pop()),
            END if self.stack.len() >= ACCENTED => return Err(Odd::Accented),
            END => return Ok(Some(Next::End)),
            ESCAPE => {
                let second = self.bytes(1).and_then(<[u8]>::first);
                if !second.is_some_and(|second| FLEXES.contains(second)) {
                    return Ok(None);
                }
                self.stack.clear();
            }
            _ if STEMS.contains(&first) => self.hints(false)?,
            _ if MASKS.contains(&first) => {
                self.hints(true)?;
                // One that reaches over the end leaves nothing.
                if self.bytes(self.stems.div_ceil(8)).is_none() {
                    self.open.pop();
                }
            }
            _ if DRAWING.contains(&first) => self.stack.clear(),
            _ => return Ok(self.number(first)),
        }
        Ok(Some(Next::Step))
    }

    /// Counts the hints whose numbers wait.
    fn hints(&mut self, mask: bool) -> Result<(), Odd> {
        let new = self.stack.len() / 2;
        if new > 0 && self.masked {
            return Err(Odd::Hints);
        }
        self.stems += new;
        // Without a hint before it a mask has no bytes, and the next is the first.
        self.masked |= mask && self.stems > 0;
        self.stack.clear();
        Ok(())
    }

    fn call(&mut self, subroutines: Index<'a>) -> Option<Next> {
        let bias = match subroutines.count {
            0..1240 => 107,
            1240..33_900 => 1131,
            _ => 32_768,
        };
        let nth = self.stack.pop()?.checked_add(bias)?;
        let program = subroutines.get(usize::try_from(nth).ok()?)?;
        if self.open.len() > DEPTH {
            return None;
        }
        self.open.push(program);
        Some(Next::Step)
    }

    fn number(&mut self, first: u8) -> Option<Next> {
        let value = match first {
            SHORT => i32::from(i16::from_be_bytes(self.bytes(2)?.try_into().ok()?)),
            FIXED => whole(i32::from_be_bytes(self.bytes(4)?.try_into().ok()?)),
            _ => i32::from(small(first, self.open.last_mut()?)?),
        };
        if self.stack.len() == STACK {
            return None;
        }
        self.stack.push(value);
        Some(Next::Step)
    }

    fn bytes(&mut self, count: usize) -> Option<&'a [u8]> {
        take(self.open.last_mut()?, count)
    }
}

/// The whole part of a number in 65,536ths, which is what is called by it; rounded as `f32` is, as those who
/// draw glyphs read it.
fn whole(fixed: i32) -> i32 {
    (fixed as f32 / 65_536.0) as i32
}
