//! Filters of the second order. `biquad` runs them; their coefficients are worked out here, for its own
//! come from the platform's sines, which differ from machine to machine.

use super::strike::FRAMES_PER_SECOND;
use biquad::{Biquad, Coefficients, DirectForm2Transposed};
use std::f64::consts::{FRAC_1_SQRT_2, TAU};

/// Of the maximally flat filter (Butterworth).
const FLAT: f64 = FRAC_1_SQRT_2;
/// No corner is lower or higher, in hertz.
const CORNERS: (f64, f64) = (5.0, 23_000.0);

#[derive(Clone, Debug)]
pub(super) struct Filter(DirectForm2Transposed<f64>);

/// The sine and the cosine of a frequency's angle in one frame, and the half width of its resonance.
fn angle(hertz: f64, quality: f64) -> (f64, f64) {
    let angle = TAU * hertz.clamp(CORNERS.0, CORNERS.1) / f64::from(FRAMES_PER_SECOND);
    (libm::cos(angle), libm::sin(angle) / (2.0 * quality))
}

impl Filter {
    /// Formulas of R. Bristow-Johnson, Cookbook formulae for audio EQ biquad filter coefficients, 1998.
    fn new(b: [f64; 3], a: [f64; 3]) -> Self {
        let [b0, b1, b2] = b.map(|b| b / a[0]);
        let coefficients = Coefficients { a1: a[1] / a[0], a2: a[2] / a[0], b0, b1, b2 };
        Self(DirectForm2Transposed::new(coefficients))
    }

    /// Lets pass what is lower than a frequency in hertz.
    pub(super) fn low_pass(hertz: f64) -> Self {
        let (cos, alpha) = angle(hertz, FLAT);
        let b = (1.0 - cos) / 2.0;
        Self::new([b, 2.0 * b, b], [1.0 + alpha, -2.0 * cos, 1.0 - alpha])
    }

    /// Lets pass what is higher than a frequency in hertz.
    pub(super) fn high_pass(hertz: f64) -> Self {
        let (cos, alpha) = angle(hertz, FLAT);
        let b = f64::midpoint(1.0, cos);
        Self::new([b, -2.0 * b, b], [1.0 + alpha, -2.0 * cos, 1.0 - alpha])
    }

    /// Raises what lies about a frequency in hertz by a factor.
    pub(super) fn peak(hertz: f64, factor: f64) -> Self {
        let (cos, alpha) = angle(hertz, 1.0);
        let root = libm::sqrt(factor);
        Self::new(
            [1.0 + alpha * root, -2.0 * cos, 1.0 - alpha * root],
            [1.0 + alpha / root, -2.0 * cos, 1.0 - alpha / root],
        )
    }

    #[inline]
    pub(super) fn run(&mut self, input: f64) -> f64 {
        self.0.run(input)
    }
}
