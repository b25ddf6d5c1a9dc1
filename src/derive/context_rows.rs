//! The rows of a context: a fill for everybody, or for the players they name, while the others go on.

use super::codes;
use super::context::{Joined, Joiner};
use super::context_told::{bars, told_entry};
use super::entry::Ground;
use super::hands;
use super::library::Known;
use super::phrase::Phrase;
use crate::interpret::request::OwnRows;
use crate::interpret::written::WrittenBlock;
use crate::score::{BlockWord, PlayerPart, Spanned};
use crate::source::say;
use std::sync::Arc;

/// What a fill in the rows of a context is called where the context has no name.
const OWN_ROWS: &str = "fill";

/// Whose the rows of a context are, for one of the players of what it plays.
enum RowsOf {
    /// They name nobody, and everybody plays them.
    All,
    /// This player's are those of the part of an index.
    Player(usize),
    /// They are others' alone.
    Others,
}

impl Joiner<'_, '_> {
    /// Adds the fill in the rows of the context.
    pub(super) fn rows(&mut self, own: &OwnRows, all: &mut Joined) -> Option<()> {
        let WrittenBlock { mut block, keys, sticking, players, .. } =
            WrittenBlock::clone(&own.written);
        let parts = Arc::make_mut(&mut block).parts_mut();
        for (part, asked) in parts.zip(&sticking) {
            if let Some(asked) = asked {
                hands::give(part, asked, self.diagnostics);
            }
        }
        let first = all.ends.as_ref().map(|(first, _)| first.clone());
        let mine = match first.filter(|_| !players.is_empty()) {
            None => RowsOf::All,
            Some(first) => self.whose(own, &first)?,
        };
        match mine {
            RowsOf::All => {}
            RowsOf::Player(index) => {
                let part = block.parts().nth(index)?.clone();
                let alone = Arc::make_mut(&mut block);
                (alone.part, alone.others) = (part, Vec::new());
            }
            RowsOf::Others => return self.go_on(own, all),
        }
        let name = self.request.name.clone().unwrap_or_else(|| OWN_ROWS.to_owned());
        let (word, title) = (BlockWord::Fill, self.request.title.clone());
        let key = name.to_lowercase().into();
        let known = Arc::new(Known {
            word,
            key,
            name,
            title,
            keys,
            block,
            hands: None,
            players: Vec::new(),
        });
        let (what, kit) = (&self.request.what, &self.request.around.kit);
        let phrase = known.phrase(what, kit, own.span, self.diagnostics)?;
        self.join(&known, &phrase, own.span, all)?;
        let from = all.phrase.bars.len() + 1;
        let played =
            self.come_in(&own.entry, (&known, own.span), phrase.clone(), all.ground.as_ref())?;
        self.put((&known, own.span), played, &own.entry.over, all)?;
        let bars = bars(from, all.phrase.bars.len());
        let kit = &self.request.around.kit;
        all.steps.push(format!("{bars}: its own rows{}", told_entry(&own.entry, kit)));
        let last = known.clone();
        all.end(known, phrase, last);
        Some(())
    }

    /// Whose rows that name players are; a fault where they name one whom the blocks do not have.
    fn whose(&mut self, own: &OwnRows, first: &Known) -> Option<RowsOf> {
        let name = Spanned { value: first.name.clone(), span: own.span };
        let whole = self.maker.library.quietly(&name);
        let player = |part: &PlayerPart| part.player.as_ref().map(|player| player.name.clone());
        let known: Vec<String> =
            whole.iter().flat_map(|known| known.block.parts()).filter_map(player).collect();
        let named: Vec<String> = own.written.block.parts().filter_map(player).collect();
        if let Some(unknown) = named.iter().find(|name| !known.contains(name)) {
            let message = format!(
                "`{}` has no player called \u{201c}{}\u{201d}",
                first.name,
                say::shortened(unknown)
            );
            let mend = match known.is_empty() {
                true => "write the rows without the line `player`".to_owned(),
                false => {
                    format!("its players are {}", say::listed(known.iter().map(String::as_str)))
                }
            };
            self.fault(codes::CONTEXT_PLAYER, own.span, &message, &mend);
            return None;
        }
        let mine = player(&first.block.part);
        let index = named.iter().position(|name| Some(name) == mine.as_ref());
        Some(index.map_or(RowsOf::Others, RowsOf::Player))
    }

    /// Lets what was played go on while others play the rows of the context.
    fn go_on(&mut self, own: &OwnRows, all: &mut Joined) -> Option<()> {
        let (ground, phrase) = all.ground.clone()?;
        let mut bars = Phrase::of(&own.written.block.part, &own.written.block.part.kit).ok()?;
        if bars.pickup().is_some() {
            bars = bars.slice(1..bars.bars.len());
        }
        let under = Ground { name: &ground.name, phrase: &phrase };
        let round = self.entering().round(under, &bars, (OWN_ROWS, own.span))?;
        let from = all.phrase.bars.len() + 1;
        self.put((&ground, own.span), round, &[], all)?;
        let to = all.phrase.bars.len();
        all.steps.push(format!("{}: `{}` goes on", self::bars(from, to), ground.name));
        all.end(ground.clone(), phrase, ground);
        Some(())
    }
}
