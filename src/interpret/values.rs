//! Values of settings that need more than a word: time signatures, note values, tempos, swing,
//! paper.

use crate::score::meter::{MeterKind, MeterSign};
use crate::score::settings::{Paper, Swing, Tempo};
use crate::score::{Meter, Time};

/// Units a bar may hold in all, so that a bar stays a bar.
const MOST_UNITS: u32 = 64;
/// The shortest note a time signature or a tempo may name.
const SHORTEST: u32 = 64;
/// Slowest and fastest metronome marks taken.
const TEMPO_RANGE: std::ops::RangeInclusive<f64> = 10.0..=400.0;
/// Shortest and longest side of a page, in millimetres.
const PAGE_RANGE: std::ops::RangeInclusive<f64> = 50.0..=1200.0;
/// Most parts of a swing ratio's side.
const MOST_SWING: u32 = 16;

/// Note values by name, American and British, in 64ths of a whole note.
const NOTES: [(&str, u32); 14] = [
    ("whole", 64),
    ("half", 32),
    ("quarter", 16),
    ("eighth", 8),
    ("sixteenth", 4),
    ("thirty-second", 2),
    ("sixty-fourth", 1),
    ("semibreve", 64),
    ("minim", 32),
    ("crotchet", 16),
    ("quaver", 8),
    ("semiquaver", 4),
    ("demisemiquaver", 2),
    ("hemidemisemiquaver", 1),
];

/// Page sizes by name in millimetres: ISO 216, and ANSI letter and legal.
const PAPERS: [(&str, f64, f64); 7] = [
    ("a3", 297.0, 420.0),
    ("a4", 210.0, 297.0),
    ("a5", 148.0, 210.0),
    ("a6", 105.0, 148.0),
    ("b5", 176.0, 250.0),
    ("letter", 215.9, 279.4),
    ("legal", 215.9, 355.6),
];

/// Reads `4/4`, `2+2+3/8`, `common`, `cut`.
pub(crate) fn meter(text: &str) -> Option<Meter> {
    match text.to_lowercase().as_str() {
        "common" => return Some(Meter { sign: MeterSign::Common, ..Meter::four_four() }),
        "cut" => {
            return Some(Meter {
                upper: vec![2],
                lower: 2,
                kind: MeterKind::Simple,
                sign: MeterSign::Cut,
            });
        }
        _ => {}
    }
    let (upper, lower) = text.split_once('/')?;
    let lower: u32 = lower.trim().parse().ok()?;
    if !lower.is_power_of_two() || lower > SHORTEST {
        return None;
    }
    let upper = upper.trim();
    let upper = upper.strip_prefix('(').and_then(|u| u.strip_suffix(')')).unwrap_or(upper);
    let upper: Vec<u32> =
        upper.split('+').map(|n| n.trim().parse().ok()).collect::<Option<Vec<u32>>>()?;
    let sum = upper.iter().try_fold(0u32, |sum, n| sum.checked_add(*n))?;
    if upper.contains(&0) || sum > MOST_UNITS {
        return None;
    }
    let kind = match upper.as_slice() {
        [n] if *n > 3 && n % 3 == 0 && lower >= 4 && (lower > 4 || *n <= 12) => MeterKind::Compound,
        [_] => MeterKind::Simple,
        _ => MeterKind::Additive,
    };
    Some(Meter { upper, lower, kind, sign: MeterSign::Numbers })
}

/// Reads a note value: `1/8`, `eighth`, `dotted quarter`, `eighths`, `3/8`.
pub(crate) fn note(text: &str) -> Option<Time> {
    let text = text.trim().to_lowercase();
    if let Some((n, d)) = text.split_once('/') {
        let n: u32 = n.trim().parse().ok()?;
        let d: u32 = d.trim().parse().ok()?;
        let fits = n > 0 && n <= MOST_UNITS && d.is_power_of_two() && d <= SHORTEST;
        return fits.then(|| Time::new(n.into(), d.into()));
    }
    let (dotted, name) = match text.strip_prefix("dotted") {
        Some(rest) => (true, rest.trim_start_matches([' ', '-'])),
        None => (false, text.as_str()),
    };
    let name = name.strip_suffix(" note").unwrap_or(name);
    let name = name.strip_suffix(" notes").unwrap_or(name);
    let units = NOTES
        .iter()
        .find(|(n, _)| name == *n || name.strip_suffix('s').is_some_and(|one| one == *n))
        .map(|(_, units)| *units)?;
    let note = Time::new(units.into(), SHORTEST.into());
    Some(if dotted { note + note / 2 } else { note })
}

/// Reads a note value of a metric modulation: as any, or a third of the one twice as long, as
/// `triplet-eighth`.
pub(crate) fn modulated(text: &str) -> Option<Time> {
    let text = text.trim().to_lowercase();
    match text.strip_prefix("triplet") {
        Some(rest) => {
            let plain = note(rest.trim_start_matches([' ', '-']))?;
            (plain.numerator() == 1).then(|| plain * 2 / 3)
        }
        None => note(&text),
    }
}

/// A tempo whose unit may wait for the time signature.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct WrittenTempo {
    unit: Option<Time>,
    per_minute: f64,
    words: Option<String>,
}

impl WrittenTempo {
    /// The metronome mark under a time signature.
    pub(crate) fn under(&self, meter: &Meter) -> Tempo {
        let plain = Tempo::for_meter(meter, self.per_minute);
        Tempo { unit: self.unit.unwrap_or(plain.unit), words: self.words.clone(), ..plain }
    }
}

/// Reads `92`, `92 Slowly`, `quarter = 80`, `dotted quarter = 80 Slowly`, `1/8 = 120`.
pub(crate) fn tempo(text: &str) -> Option<WrittenTempo> {
    let (unit, rest) = match text.split_once('=') {
        Some((unit, rest)) => (Some(note(unit)?), rest),
        None => (None, text),
    };
    let rest = rest.trim();
    let (figure, words) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    let per_minute: f64 = figure.parse().ok()?;
    let words = words.trim().trim_matches(['"', '“', '”']);
    TEMPO_RANGE.contains(&per_minute).then(|| WrittenTempo {
        unit,
        per_minute,
        words: (!words.is_empty()).then(|| words.to_owned()),
    })
}

/// Reads `eighths`, `sixteenths`, `eighths 3:2`, `straight` (which is `Some(None)`).
pub(crate) fn swing(text: &str) -> Option<Option<Swing>> {
    let text = text.trim().to_lowercase();
    if matches!(text.as_str(), "straight" | "none") {
        return Some(None);
    }
    let (unit, ratio) = text.split_once(char::is_whitespace).unwrap_or((&text, "2:1"));
    let unit = note(unit).filter(|u| *u == Time::new(1, 8) || *u == Time::new(1, 16))?;
    let (long, short) = ratio.trim().split_once(':')?;
    let long: u32 = long.trim().parse().ok()?;
    let short: u32 = short.trim().parse().ok()?;
    let fits = short > 0 && long > short && long <= MOST_SWING;
    fits.then_some(Some(Swing { unit, long, short }))
}

/// Reads `a4`, `letter`, `a5 landscape`, `9 x 12 in`, `210 x 297 mm`.
pub(crate) fn paper(text: &str) -> Option<Paper> {
    let text = text.trim().to_lowercase();
    let (size, landscape) = match text.strip_suffix("landscape") {
        Some(size) => (size.trim(), true),
        None => (text.strip_suffix("portrait").unwrap_or(&text).trim(), false),
    };
    let (width, height) = match PAPERS.iter().find(|(name, ..)| *name == size) {
        Some((_, width, height)) => (*width, *height),
        None => measured(size)?,
    };
    let paper = Paper { width, height };
    Some(if landscape { Paper { width: height, height: width } } else { paper })
}

fn measured(size: &str) -> Option<(f64, f64)> {
    let units = [("mm", 1.0), ("cm", 10.0), ("inches", 25.4), ("in", 25.4)];
    let (size, unit) = units
        .iter()
        .find_map(|(name, mm)| size.strip_suffix(name).map(|s| (s, *mm)))
        .unwrap_or((size, 1.0));
    let (width, height) = size.split_once(['x', '×'])?;
    let side = |text: &str| {
        // To the micrometre, so that 12 inches are 304.8 mm.
        let side = (text.trim().parse::<f64>().ok()? * unit * 1000.0).round() / 1000.0;
        PAGE_RANGE.contains(&side).then_some(side)
    };
    Some((side(width)?, side(height)?))
}

/// Reads a length in millimetres: `7 mm`, `7`, `0.7 cm`.
pub(crate) fn millimetres(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    let (figure, unit) = match (text.strip_suffix("mm"), text.strip_suffix("cm")) {
        (Some(figure), _) => (figure, 1.0),
        (_, Some(figure)) => (figure, 10.0),
        _ => (text.as_str(), 1.0),
    };
    figure.trim().parse::<f64>().ok().map(|n| n * unit).filter(|n| n.is_finite())
}

/// Names of files with commas between them, with or without quotes.
pub(crate) fn files(value: &str) -> Vec<String> {
    let names = value.split(',').map(|name| name.trim().trim_matches(['"', '“', '”']).trim());
    names.filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

/// Words between commas, each once.
pub(crate) fn tags(value: &str) -> Vec<String> {
    let mut tags: Vec<String> = Vec::new();
    for tag in value.split(',').map(str::trim).filter(|tag| !tag.is_empty()) {
        if !tags.iter().any(|other| other.eq_ignore_ascii_case(tag)) {
            tags.push(tag.to_owned());
        }
    }
    tags
}

/// A tag of letters and figures joined by hyphens, first two or three letters (BCP 47).
pub(crate) fn language(value: &str) -> Option<String> {
    let mut parts = value.split('-');
    let first = parts.next().unwrap_or("");
    let good = (2..=3).contains(&first.len())
        && first.chars().all(|c| c.is_ascii_alphabetic())
        && parts
            .all(|p| (1..=8).contains(&p.len()) && p.chars().all(|c| c.is_ascii_alphanumeric()));
    good.then(|| value.to_owned())
}
