//! Dashes after words that hold up to a later place, as those of a crescendo.

use kurbo::Rect;

/// How long a dash is and how far apart two are (common practice, no source).
pub const DASH: f64 = 0.9;
const DASH_GAP: f64 = 1.1;
/// From the words to their first dash (no source).
pub const BEFORE_DASHES: f64 = 0.6;
/// From the last dash to the room of letters that lean to the left, as an f (no source).
pub const AFTER_DASHES: f64 = 0.4;

/// Dashes that fill a stretch, the last of them up to its end, with their middle at `y`; none where there
/// is no room for one.
pub fn dashes(from: f64, to: f64, y: f64, thickness: f64) -> Vec<Rect> {
    let room = to - from;
    if room < DASH {
        return Vec::new();
    }
    let count = ((room - DASH) / (DASH + DASH_GAP)).floor() as usize + 1;
    let first = to - DASH - (count - 1) as f64 * (DASH + DASH_GAP);
    (0..count)
        .map(|number| {
            let left = first + number as f64 * (DASH + DASH_GAP);
            Rect::new(left, y - thickness / 2.0, left + DASH, y + thickness / 2.0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dashes_end_where_their_stretch_does() {
        assert_eq!(dashes(0.0, 0.5, 0.0, 0.1), []);
        let many = dashes(1.0, 10.0, 0.0, 0.1);
        assert_eq!(many.len(), 5);
        assert!(many.iter().all(|dash| dash.x0 >= 1.0));
        assert!(many.last().is_some_and(|dash| (dash.x1 - 10.0).abs() < 1e-9));
    }
}
