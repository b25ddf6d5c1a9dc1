//! Samples as whole numbers, block by block, as the writers of sound need them.

use super::error::WriteError;
use crate::sound::{Mixer, Strike};

/// Channels, left first.
pub(super) const CHANNELS: usize = 2;
/// Bits of a sample.
pub(super) const BITS: usize = 24;
/// Full scale of so many bits.
const FULL_SCALE: f64 = 8_388_608.0;
/// Frames of a block.
pub(super) const BLOCK: usize = 4_096;

/// Hands all that a mixer makes to `take`, at most [`BLOCK`] frames at once, left and right in turn. Each
/// block but the last is full.
pub(super) fn each_block<I, F>(mixer: &mut Mixer<'_, I>, mut take: F) -> Result<(), WriteError>
where
    I: Iterator<Item = Strike>,
    F: FnMut(&[i32]) -> Result<(), WriteError>,
{
    let (mut left, mut right) = ([0.0; BLOCK], [0.0; BLOCK]);
    let mut whole = Vec::with_capacity(CHANNELS * BLOCK);
    loop {
        let frames = mixer.next_block(&mut left, &mut right);
        if frames == 0 {
            return Ok(());
        }
        whole.clear();
        for (left, right) in left.iter().zip(&right).take(frames) {
            whole.extend([sample(*left), sample(*right)]);
        }
        take(&whole)?;
    }
}

/// A sample from -1 to 1 as the nearest of so many bits.
fn sample(value: f32) -> i32 {
    let scaled = f64::from(value) * FULL_SCALE;
    // The cast cuts off what comes after the point, and keeps to bounds.
    let nearest = (scaled + 0.5_f64.copysign(scaled)) as i32;
    nearest.clamp(-(FULL_SCALE as i32), FULL_SCALE as i32 - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn full_scale_is_kept() {
        let samples = [0.0, 1.0, -1.0, 2.0, -2.0, f32::NAN, 0.5].map(sample);
        let (least, most) = (-8_388_608, 8_388_607);
        assert_eq!(samples, [0, most, least, most, least, 0, 4_194_304]);
    }
}
