//! What page breaking finds out on its way.

/// What a gap may lose, as a share of itself (this and what follows: tried on books and handouts, no
/// source).
pub const SHRINK: f64 = 0.3;
/// What a gap may gain.
pub const STRETCH: f64 = 0.6;

/// The height of pieces on one page: what is fixed, and what gives.
#[derive(Clone, Copy, Debug, Default)]
pub struct Height {
    /// What is fixed.
    pub fixed: f64,
    /// What gives a little.
    pub gaps: f64,
}

impl Height {
    /// With its gaps as they are meant to be.
    pub fn natural(self) -> f64 {
        self.fixed + self.gaps
    }

    /// With the least gaps.
    pub fn least(self) -> f64 {
        self.fixed + self.gaps * (1.0 - SHRINK)
    }

    /// The factor on the gaps that fills a page, as far as they give.
    pub fn factor(self, room: f64) -> f64 {
        if self.gaps <= 0.0 {
            return 1.0;
        }
        ((room - self.fixed) / self.gaps).clamp(1.0 - SHRINK, 1.0 + STRETCH)
    }
}

/// Pages up to a piece by whether there is an even or an odd number of them: which side a page lies on is
/// worth knowing where it is turned.
pub type LeastCosts = [LeastCost; 2];

/// The least cost of so many pages up to a piece, where the last of them starts, and its height.
#[derive(Clone, Copy, Debug)]
pub struct LeastCost {
    /// The cost.
    pub cost: f64,
    /// The first piece of the last page.
    pub from: usize,
    /// The height of that page.
    pub height: Height,
}

impl LeastCost {
    /// No way is known.
    pub const NONE: Self =
        Self { cost: f64::INFINITY, from: 0, height: Height { fixed: 0.0, gaps: 0.0 } };

    /// Nothing stands on any page.
    pub const NOTHING: Self = Self { cost: 0.0, ..Self::NONE };
}
