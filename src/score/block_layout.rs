//! How a block stands on its page, and how its bars are numbered.

/// What a block asks of its pages and says of its bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BlockLayout {
    /// The number of its first full bar, 1 to 9999.
    pub first_bar: u32,
    /// Which bars show their number.
    pub bar_numbers: BarNumbers,
    /// Whether section letters stand in a frame.
    pub sections: SectionSign,
    /// Where it begins.
    pub starts: Starts,
    /// What it stays together with.
    pub keep: Keep,
}

impl Default for BlockLayout {
    fn default() -> Self {
        Self {
            first_bar: 1,
            bar_numbers: BarNumbers::Lines,
            sections: SectionSign::Boxed,
            starts: Starts::Follow,
            keep: Keep { together: false, with_next: false },
        }
    }
}

/// Which bars show their number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BarNumbers {
    /// Those that begin a line, but for the first bar of a piece.
    Lines,
    /// Every one.
    EveryBar,
    /// None.
    None,
}

/// How section letters look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SectionSign {
    /// Letters alone.
    Plain,
    /// In a frame.
    Boxed,
}

/// Where a block begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Starts {
    /// Under what stands before it.
    Follow,
    /// At the head of a page.
    NewPage,
    /// At the head of a left-hand page, which has an even number.
    LeftPage,
    /// At the head of a right-hand page, which has an odd number.
    RightPage,
}

/// What a block stays together with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Keep {
    /// Its lines stand on one page, where that holds them.
    pub together: bool,
    /// Its end stands on one page with what follows it.
    pub with_next: bool,
}
