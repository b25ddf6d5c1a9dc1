//! The `key: value` lines of the header, of a block and of its later sets: taken by the descriptors
//! of [`key_table`](super::key_table).

use super::codes;
use super::counting::CountingSystems;
use super::key_table::{KEYS, KeyDefinition, Reach};
use super::key_values::KeyEffect;
use super::setup::Setup;
use super::wrong_value::WrongValue;
use crate::score::{Header, Span};
use crate::source::{Diagnostics, nearest, say};
use crate::syntax::tree::Setting;
use std::sync::Arc;

/// Where keys stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Scope {
    /// At the head of the file.
    Header,
    /// Among the rows of a block's first set.
    Block,
    /// After a line of `--`.
    LaterSet,
    /// Under the name of a player.
    Player,
}

impl Scope {
    /// Whether a key of such a reach may stand there.
    pub(crate) fn takes(self, reach: Reach) -> bool {
        match self {
            Self::Header => reach != Reach::PlayerOnly && reach != Reach::Below,
            Self::Block => reach != Reach::File && reach != Reach::PlayerOnly,
            Self::LaterSet => reach == Reach::Set,
            Self::Player => matches!(reach, Reach::Player | Reach::Below | Reach::PlayerOnly),
        }
    }
}

/// The names a key goes by that may stand in a block.
pub(crate) fn block_keys() -> impl Iterator<Item = &'static str> {
    names(Scope::Block)
}

/// The names a key goes by that may stand in a header, which are all.
pub(crate) fn header_keys() -> impl Iterator<Item = &'static str> {
    names(Scope::Header)
}

fn names(scope: Scope) -> impl Iterator<Item = &'static str> {
    let known = KEYS.iter().filter(move |key| scope.takes(key.reach));
    known.flat_map(|key| key.names).copied()
}

/// Whether a key may stand in a block.
pub(crate) fn is_block_key(key: &str) -> bool {
    block_keys().any(|name| name == key)
}

/// Whether a line has a key that holds for the whole document only.
pub(crate) fn is_document_key(setting: &Setting) -> bool {
    key_of(setting).is_some_and(|key| matches!(key.reach, Reach::File | Reach::FileOrBlock))
}

/// Whether a line has a key that there is.
pub(crate) fn is_key(setting: &Setting) -> bool {
    key_of(setting).is_some()
}

/// Whether two lines have one key, by whichever of its names.
pub(crate) fn are_same(one: &Setting, other: &Setting) -> bool {
    match (key_of(one), key_of(other)) {
        (Some(one), Some(other)) => one.names == other.names,
        (Some(_), None) | (None, Some(_) | None) => false,
    }
}

fn key_of(setting: &Setting) -> Option<&'static KeyDefinition> {
    KEYS.iter().find(|key| key.names.iter().any(|name| is(setting, name)))
}

/// Whether a line has this key.
pub(crate) fn is(setting: &Setting, key: &str) -> bool {
    setting.key.value.eq_ignore_ascii_case(key)
}

/// A line that was understood: its key, its value as written, and what it sets.
#[derive(Clone)]
pub(crate) struct KeySetting {
    pub(crate) key: &'static KeyDefinition,
    pub(crate) value: String,
    setter: KeyEffect,
}

impl KeySetting {
    /// The line of a key and a value; nothing where they make no sense.
    pub(crate) fn new(key: &str, value: &str) -> Option<Self> {
        let key = KEYS.iter().find(|own| own.names.contains(&key))?;
        let setter = (key.read)(value, Span::default(), &CountingSystems::default()).ok()?;
        Some(Self { key, value: value.to_owned(), setter })
    }

    /// The first name of its key.
    pub(crate) fn name(&self) -> &'static str {
        self.key.names.first().copied().unwrap_or_default()
    }

    /// Lets it hold for music.
    pub(crate) fn apply(&self, setup: &mut Setup) {
        match &self.setter {
            KeyEffect::Music(set) | KeyEffect::FileOrMusic(_, set) => set(setup),
            KeyEffect::File(_) => {}
        }
    }
}

impl std::fmt::Debug for KeySetting {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.name(), self.value)
    }
}

/// Reads the lines of one place. A key that stands there twice, stands in the wrong place, is not
/// known or has no such value is a fault, and its line is left out.
pub(crate) fn read(
    settings: &[Setting],
    scope: Scope,
    systems: &CountingSystems,
    diagnostics: &mut Diagnostics,
) -> Vec<KeySetting> {
    let mut lines: Vec<KeySetting> = Vec::new();
    let mut seen: Vec<&'static str> = Vec::new();
    for setting in settings {
        let word = setting.key.value.to_lowercase();
        let found = KEYS.iter().find_map(|key| {
            let name = key.names.iter().find(|name| **name == word)?;
            Some((key, *name))
        });
        let Some((key, name)) = found else {
            unknown_key(setting, scope, diagnostics);
            continue;
        };
        if !scope.takes(key.reach) {
            misplaced(setting, name, (key.reach, scope), diagnostics);
            continue;
        }
        let first = key.names.first().copied().unwrap_or(name);
        if seen.contains(&first) {
            diagnostics
                .error(setting.key.span, format!("`{name}` is written twice here"))
                .code(codes::KEY_TWICE)
                .mend("keep one of the two lines");
            continue;
        }
        seen.push(first);
        let value = setting.value.value.trim();
        match (key.read)(value, setting.value.span, systems) {
            Ok(setter) => {
                lines.push(KeySetting { key, value: setting.value.value.clone(), setter })
            }
            Err(wrong) => {
                no_value(setting, name, value, wrong, diagnostics);
                lines.extend(lost_time(key));
            }
        }
    }
    lines
}

/// What a time signature that can't be read comes to.
fn lost_time(key: &'static KeyDefinition) -> Option<KeySetting> {
    let setter = KeyEffect::Music(Arc::new(|setup: &mut Setup| setup.meter_lost = true));
    (key.names == ["time"]).then(|| KeySetting { key, value: "4/4".to_owned(), setter })
}

/// Lets lines hold for a file and its music.
pub(crate) fn apply(lines: &[KeySetting], header: &mut Header, setup: &mut Setup) {
    for line in lines {
        match &line.setter {
            KeyEffect::File(set) | KeyEffect::FileOrMusic(set, _) => set(header),
            KeyEffect::Music(set) => set(setup),
        }
    }
}

fn no_value(
    setting: &Setting,
    name: &str,
    value: &str,
    wrong: WrongValue,
    diagnostics: &mut Diagnostics,
) {
    let (span, message) = if value.is_empty() {
        (setting.key.span, format!("`{name}:` has no value"))
    } else {
        (setting.value.span, format!("`{value}` is not a value for `{name}`"))
    };
    let fault = diagnostics.error(span, message).code(codes::KEY_VALUE);
    if name == "counting" {
        // A table of that name may stand in another file.
        fault.elsewhere();
    }
    wrong.mend(fault);
}

fn unknown_key(setting: &Setting, scope: Scope, diagnostics: &mut Diagnostics) {
    let (word, span) = (setting.key.value.as_str(), setting.key.span);
    let fault =
        diagnostics.error(span, format!("there is no key `{word}`")).code(codes::KEY_UNKNOWN);
    match nearest(word, names(scope)) {
        Some(near) => fault.replace(span, &near, format!("did you mean `{near}:`?")),
        None => {
            fault.mend(format!("the keys that may stand here are {}", say::listed(names(scope))))
        }
    }
}

fn misplaced(
    setting: &Setting,
    name: &str,
    (reach, scope): (Reach, Scope),
    diagnostics: &mut Diagnostics,
) {
    let (message, mend) = match reach {
        Reach::Below if scope == Scope::Header => (
            "a kit stands above the blocks that ask for it, and nothing stands above the header"
                .to_owned(),
            "write `kit:` in the block, or a block `kit` without a name for all that follows",
        ),
        Reach::PlayerOnly => (
            format!("`{name}` belongs to a player"),
            "write it under the line with the player's name, as under `player \"Snares\"`",
        ),
        Reach::FileOrBlock | Reach::Block | Reach::Set if scope == Scope::Player => (
            format!("`{name}` holds for all players"),
            "write it above the first player of the block",
        ),
        Reach::File => (
            format!("`{name}` holds for the whole file"),
            "write it at the head of the file, before the first blank line",
        ),
        Reach::FileOrBlock | Reach::Block | Reach::Player | Reach::Below | Reach::Set => {
            (format!("`{name}` holds for the whole block"), "write it above the first line of `--`")
        }
    };
    diagnostics.error(setting.key.span, message).code(codes::KEY_MISPLACED).mend(mend);
}
