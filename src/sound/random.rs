//! Numbers by chance that are the same on every machine and at every run.

/// A generator of xorshift64*, seeded through splitmix64 (Vigna, An experimental exploration of
/// Marsaglia's xorshift generators, 2016; from memory).
#[derive(Clone, Debug)]
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        let mixed = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        Self((mixed ^ (mixed >> 31)) | 1)
    }

    pub(super) fn bits(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// Evenly spread from -1 to 1.
    #[inline]
    pub(super) fn signed(&mut self) -> f64 {
        f64::from((self.bits() >> 32) as u32 as i32) * (1.0 / 2_147_483_648.0)
    }

    /// Evenly spread from 0 to 1.
    pub(super) fn unit(&mut self) -> f64 {
        f64::midpoint(self.signed(), 1.0)
    }

    /// 1, more or less by a share.
    pub(super) fn about(&mut self, share: f64) -> f64 {
        1.0 + share * self.signed()
    }
}
