//! The sets of rows of a block, line by line.

use crate::score::{BlockWord, RowWord};
use crate::source::{Diagnostics, Span, say};
use crate::syntax::grammar::Piece;
use crate::syntax::limits::PLAYERS;
use crate::syntax::rows::{BlockLine, Rows, setting};
use crate::syntax::tree::{PlayerRows, RowSet, Setting, Word};
use crate::syntax::{codes, sticks};

/// The sets read so far.
pub(super) struct Sets {
    word: BlockWord,
    /// Those that are closed, each by a line of `--`, and the one that is open.
    sets: Vec<RowSet>,
    /// The players there are so far, each with as many sets.
    players: Vec<PlayerRows>,
    /// Whose rows are being read; those of all before any is named.
    player: Option<usize>,
    /// The players whose rows stand in the set that is open.
    seen: Vec<usize>,
    last_break: Option<Span>,
    /// Whether any row stands in the set that is open, be it a faulty one.
    any_row: bool,
}

impl Sets {
    /// No line of a block of this word was read.
    pub(super) fn new(word: BlockWord) -> Self {
        Self {
            word,
            sets: vec![RowSet::default()],
            players: Vec::new(),
            player: None,
            seen: Vec::new(),
            last_break: None,
            any_row: false,
        }
    }

    /// What a line that is read goes into.
    fn open(&mut self) -> Option<&mut RowSet> {
        match self.player {
            Some(player) => self.players.get_mut(player)?.sets.last_mut(),
            None => self.sets.last_mut(),
        }
    }

    fn setting(&mut self, key: Piece<'_>, value: Piece<'_>, diagnostics: &mut Diagnostics) {
        let setting = setting(key, value, diagnostics);
        if let Some(open) = self.open() {
            open.settings.extend(setting);
        }
    }

    /// Takes a line of the block.
    pub(super) fn take(
        &mut self,
        body: Piece<'_>,
        read: BlockLine<'_>,
        rows: &Rows,
        diagnostics: &mut Diagnostics,
    ) {
        match read {
            BlockLine::Break => self.go_on(body, diagnostics),
            BlockLine::Player(quoted, name) => self.player(body, (quoted, name), diagnostics),
            BlockLine::Setting(key, value) if self.has_players() && key.text == "player" => {
                self.unquoted_player(body, value, diagnostics);
            }
            BlockLine::Row(key, value) if self.has_players() && key.text == "player" => {
                let end = Piece { text: "", start: key.start + key.text.len() };
                self.unquoted_player(body, value.unwrap_or(end), diagnostics);
            }
            // What is written without a colon in a block of keys alone is a key too. But what a context plays
            // may be followed by rows of its own.
            BlockLine::Row(key, value)
                if self.word.has_only_keys() && !self.is_of_context(key, rows) =>
            {
                let key = without_colons(key);
                let end = Piece { text: "", start: key.start + key.text.len() };
                self.setting(key, value.unwrap_or(end), diagnostics);
            }
            // `stick natural`: a word in place of letters is a rule that makes them.
            BlockLine::Row(key, Some(value)) if is_rule(key, value) => {
                self.setting(key, value, diagnostics);
            }
            BlockLine::Setting(key, value) if self.is_row(key, value, rows) => {
                self.row_with_colon(key, value, rows, diagnostics);
            }
            // What ends in a digit can't be a key.
            BlockLine::Row(name, Some(value)) if self.has_colon(name) => {
                let key = Piece { text: name.text.trim_end_matches(':'), ..name };
                self.row_with_colon(key, value, rows, diagnostics);
            }
            BlockLine::Setting(key, value) => {
                self.setting(key, value, diagnostics);
            }
            BlockLine::Row(name, content) => self.row(name, content, rows, diagnostics),
        }
    }

    /// Whether what looks like a setting was meant to be a row.
    fn is_row(&self, key: Piece<'_>, value: Piece<'_>, rows: &Rows) -> bool {
        let named = RowWord::is_word(key.text) || rows.is_instrument(key.text);
        self.is_music() && !is_rule(key, value) && named
    }

    /// Whether a word begins a row of a context.
    fn is_of_context(&self, key: Piece<'_>, rows: &Rows) -> bool {
        let plays = |setting: &Setting| setting.key.value.eq_ignore_ascii_case("play");
        let named = RowWord::is_word(key.text) || rows.is_instrument(key.text);
        let follows = self.any_row || self.sets.iter().flat_map(|set| &set.settings).any(plays);
        self.word == BlockWord::Context && named && follows
    }

    /// Whether a name of a row ends in one colon.
    fn has_colon(&self, name: Piece<'_>) -> bool {
        let bare = name.text.strip_suffix(':');
        self.is_music() && bare.is_some_and(|bare| !bare.is_empty() && !bare.contains(':'))
    }

    fn is_music(&self) -> bool {
        match self.word {
            BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => true,
            BlockWord::Kit
            | BlockWord::Syllables
            | BlockWord::Variation
            | BlockWord::Context
            | BlockWord::Series
            | BlockWord::Edition => false,
        }
    }

    /// Whether rows in it can be those of several players.
    fn has_players(&self) -> bool {
        self.is_music() || self.word == BlockWord::Context
    }

    fn row_with_colon(
        &mut self,
        name: Piece<'_>,
        content: Piece<'_>,
        rows: &Rows,
        diagnostics: &mut Diagnostics,
    ) {
        let colon = Span::new(name.span().end(), name.span().end() + 1);
        diagnostics
            .error(colon, format!("rows have no colon, and one stands after `{}`", name.text))
            .code(codes::ROW_COLON)
            .replace(colon, " ", "put a space in its place");
        self.row(name, Some(content), rows, diagnostics);
    }

    fn row(
        &mut self,
        name: Piece<'_>,
        content: Option<Piece<'_>>,
        rows: &Rows,
        diagnostics: &mut Diagnostics,
    ) {
        self.any_row = true;
        let row = rows.row(self.word, name, content, diagnostics);
        if let Some(open) = self.open() {
            open.rows.extend(row);
        }
    }

    /// Takes a line that names a player.
    fn player(
        &mut self,
        body: Piece<'_>,
        (quoted, name): (Piece<'_>, Piece<'_>),
        diagnostics: &mut Diagnostics,
    ) {
        if !self.has_players() {
            diagnostics
                .error(body.span(), format!("a {} has no players", self.word.as_str()))
                .code(codes::PLAYER_MISPLACED)
                .mend("players stand in a groove, a fill, an exercise, a rudiment, or over the rows of a context");
            return;
        }
        if name.text.is_empty() {
            diagnostics
                .error(quoted.span(), "this player has no name")
                .code(codes::PLAYER_NAMELESS)
                .mend("write a name between the quotes");
        }
        let known = self.players.iter().position(|player| player.name.value == name.text);
        if known.is_none() && self.players.len() == PLAYERS {
            diagnostics
                .error(quoted.span(), format!("this block has more than {PLAYERS} players"))
                .code(codes::PLAYERS_TOO_MANY)
                .mend("let those who play the same share a player, or break the block up");
            return;
        }
        let player = known.unwrap_or_else(|| {
            let name = Word::new(name.text.to_owned(), quoted.span());
            self.players.push(PlayerRows { name, sets: vec![RowSet::default(); self.sets.len()] });
            self.players.len() - 1
        });
        if self.seen.contains(&player) {
            diagnostics
                .error(quoted.span(), format!("the player \u{201c}{}\u{201d} stands here twice", name.text))
                .code(codes::PLAYER_TWICE)
                .mend("write what this player plays in one place, or give the other a name of its own");
        }
        self.seen.push(player);
        self.player = Some(player);
    }

    /// Tells of a player whose name does not stand in quotes, whose rows follow all the same.
    fn unquoted_player(
        &mut self,
        body: Piece<'_>,
        piece: Piece<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let name = piece.text.trim().trim_matches('"');
        let fault = diagnostics
            .error(body.span(), "the name of a player stands in quotes")
            .code(codes::PLAYER_UNQUOTED);
        if name.is_empty() || name.contains(['"', '“', '”', '„']) {
            fault.mend("write `player \"Teacher\"`, and the rows of that player under it");
            return;
        }
        fault.replace(
            body.span(),
            format!("player \"{name}\""),
            format!("write `player \"{}\"`", say::shortened(name)),
        );
        self.player(body, (piece, Piece { text: name, ..piece }), diagnostics);
    }

    /// Takes a line of `--`.
    fn go_on(&mut self, body: Piece<'_>, diagnostics: &mut Diagnostics) {
        let span = body.span();
        if self.word.has_only_keys() && !(self.word == BlockWord::Context && self.any_row) {
            diagnostics
                .error(span, format!("{} does not go on", say::one(self.word.as_str())))
                .code(codes::BREAK_IN_MADE)
                .replace(span, "", "take the line out");
            return;
        }
        if self.any_row {
            self.sets.push(RowSet::default());
            self.players.iter_mut().for_each(|player| player.sets.push(RowSet::default()));
            self.player = None;
            self.seen.clear();
        } else {
            diagnostics
                .error(span, "`--` goes on with a block, and no rows stand before it")
                .code(codes::BREAK_EARLY)
                .replace(span, "", "take the line out");
        }
        self.last_break = Some(span);
        self.any_row = false;
    }

    /// All sets, and the players with theirs.
    pub(super) fn finish(self, diagnostics: &mut Diagnostics) -> (Vec<RowSet>, Vec<PlayerRows>) {
        let unused = self.last_break.filter(|_| !self.any_row && self.sets.len() > 1);
        if let Some(span) = unused {
            diagnostics.error(span, "no rows follow this `--`").code(codes::BREAK_LATE).replace(
                span,
                "",
                "write the rows that go on after it, or take the line out",
            );
        }
        (self.sets, self.players)
    }
}

/// A word without the colons at its end, unless it is nothing else: what can't be a key is read as a row's name
/// with them, and is the same key with a colon and without.
fn without_colons(key: Piece<'_>) -> Piece<'_> {
    match key.text.trim_end_matches(':') {
        "" => key,
        text => Piece { text, ..key },
    }
}

/// Whether a line names a rule that makes letters.
fn is_rule(key: Piece<'_>, value: Piece<'_>) -> bool {
    key.text == "stick" && sticks::is_rule(value.text)
}
