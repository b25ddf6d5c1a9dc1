//! Pixels over pixels. A pixel is four bytes in one number, red lowest, with light times opacity.

/// Every other byte of a pixel.
const PAIRS: u32 = 0x00ff_00ff;
/// A half in each of two numbers of sixteen bits.
const HALVES: u32 = 0x0080_0080;
/// A whole share.
pub(super) const WHOLE: u32 = 256;

/// A pixel of four bytes.
pub(super) fn pixel(bytes: &[u8]) -> u32 {
    bytes.first_chunk().map_or(0, |bytes| u32::from_le_bytes(*bytes))
}

/// How opaque a pixel is, 0 to 255.
pub(super) fn opacity(pixel: u32) -> u32 {
    pixel >> 24
}

/// A pixel over another.
pub(super) fn over(own: u32, under: u32) -> u32 {
    match opacity(own) {
        0 => under,
        255 => own,
        opacity => own + part_of_255(under, 255 - opacity),
    }
}

/// So many 255ths of a pixel.
fn part_of_255(pixel: u32, part: u32) -> u32 {
    // Of a number below 65,536 that a half was added to, `(n + n / 256) / 256` is the 255th part.
    let divide = |pair: u32| {
        let pair = pair * part + HALVES;
        ((pair + ((pair >> 8) & PAIRS)) >> 8) & PAIRS
    };
    divide(pixel & PAIRS) | divide((pixel >> 8) & PAIRS) << 8
}

/// A pixel between two, so many 256ths of the way from the first.
pub(super) fn between(first: u32, second: u32, way: u32) -> u32 {
    let mix = |first: u32, second: u32| {
        ((first & PAIRS) * (WHOLE - way) + (second & PAIRS) * way + HALVES) >> 8 & PAIRS
    };
    mix(first, second) | mix(first >> 8, second >> 8) << 8
}

/// So many 256ths of a pixel.
pub(super) fn share(pixel: u32, part: u32) -> u32 {
    between(0, pixel, part)
}

/// A pixel with light and opacity apart: red, green, blue, opacity.
pub(super) fn apart(pixel: u32) -> [u8; 4] {
    let [red, green, blue, opacity] = pixel.to_le_bytes();
    if matches!(opacity, 0 | u8::MAX) {
        return [red, green, blue, opacity];
    }
    let whole = u32::from(opacity);
    let light = |own: u8| ((u32::from(own) * 510 + whole) / (2 * whole)).min(255) as u8;
    [light(red), light(green), light(blue), opacity]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(bytes: [u8; 4]) -> u32 {
        u32::from_le_bytes(bytes)
    }

    #[test]
    fn pixels_are_mixed_to_the_nearest_whole() {
        for opacity in 0..=255_u8 {
            for light in 0..=255_u8 {
                let under = part_of_255(of([light, 0, light, 255]), u32::from(opacity));
                let exact = (f64::from(light) * f64::from(opacity) / 255.0).round() as u8;
                assert_eq!(under.to_le_bytes(), [exact, 0, exact, opacity]);
            }
        }
        assert_eq!(over(of([9, 9, 9, 255]), of([1, 2, 3, 255])), of([9, 9, 9, 255]));
        assert_eq!(over(0, of([1, 2, 3, 200])), of([1, 2, 3, 200]));
        assert_eq!(over(of([100, 0, 0, 100]), of([255; 4])), of([255, 155, 155, 255]));
        assert_eq!(
            between(of([0, 10, 255, 255]), of([100, 10, 0, 255]), 64),
            of([25, 10, 191, 255])
        );
        assert_eq!(between(of([1, 2, 3, 4]), of([9; 4]), 0), of([1, 2, 3, 4]));
        assert_eq!(share(of([0, 2, 255, 255]), WHOLE), of([0, 2, 255, 255]));
    }

    /// No light is stronger than its opacity lets it be, whatever is mixed.
    #[test]
    fn light_stays_within_opacity() {
        let all = (0..4000_u32).map(|n| {
            let [a, b, c, d] = n.wrapping_mul(2_654_435_761).to_le_bytes();
            of([a.min(d), b.min(d), c.min(d), d])
        });
        let all: Vec<u32> = all.collect();
        for pair in all.windows(2) {
            for made in [over(pair[0], pair[1]), between(pair[0], pair[1], pair[0] & 0xff)] {
                let [red, green, blue, opacity] = made.to_le_bytes();
                assert!(red.max(green).max(blue) <= opacity, "{made:x}");
            }
        }
    }

    #[test]
    fn light_and_opacity_come_apart() {
        assert_eq!(apart(of([0, 64, 128, 128])), [0, 128, 255, 128]);
        assert_eq!(apart(of([7, 8, 9, 255])), [7, 8, 9, 255]);
        assert_eq!(apart(0), [0; 4]);
    }
}
