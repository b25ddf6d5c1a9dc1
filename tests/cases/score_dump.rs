//! A score in a few lines a person can check.

use flamacue::score::dynamic::GradualSign;
use flamacue::score::mark::{FeelMark, FormMark, PhraseMark, TempoMark};
use flamacue::score::practice::Practice;
use flamacue::score::{Accent, GraceDrum, Hand};
use flamacue::score::{Bar, BlockNumber, Item, Kit, PlacedBlock, ProseBlock, Score};
use flamacue::score::{Closing, Division, DynamicKind, MarkKind, Sticking, Voice};
use std::fmt::Write as _;

/// The whole score.
pub fn score(score: &Score) -> String {
    let mut out = String::new();
    let header = &score.header;
    for (key, value) in [
        ("title", &header.title),
        ("subtitle", &header.subtitle),
        ("author", &header.author),
        ("copyright", &header.copyright),
        ("level", &header.level),
        ("language", &header.language),
    ] {
        if let Some(value) = value {
            let _ = writeln!(out, "{key}: {value}");
        }
    }
    let _ = writeln!(out, "page {}x{}", header.paper.width, header.paper.height);
    for item in &score.items {
        match item {
            Item::Heading { level, .. } => {
                let _ = writeln!(out, "heading {level}");
            }
            Item::Prose(prose) => match &**prose {
                ProseBlock::Paragraph(_) => out.push_str("paragraph\n"),
                ProseBlock::List(list) => {
                    let (numbered, count) = (list.first.is_some(), list.entries.len());
                    let _ = writeln!(out, "list numbered={numbered} of {count}");
                }
                ProseBlock::Quote(_) => out.push_str("quote\n"),
                ProseBlock::Break => out.push_str("break\n"),
                ProseBlock::Code(_) => out.push_str("code\n"),
                ProseBlock::Table(table) => {
                    let _ = writeln!(out, "table of {}", table.rows.len());
                }
                ProseBlock::Figure(_) => out.push_str("picture\n"),
                ProseBlock::Notes(notes) => {
                    let _ = writeln!(out, "footnotes, {}", notes.len());
                }
            },
            Item::Block(block) => out.push_str(&self::block(block)),
        }
    }
    out
}

fn block(block: &PlacedBlock) -> String {
    let mut out = block.word.as_str().to_owned();
    if let Some(BlockNumber { number, .. }) = block.number {
        let _ = write!(out, " {number}.");
    }
    if let Some(name) = &block.name {
        let _ = write!(out, " {name}");
    }
    if let Some(title) = &block.title {
        let _ = write!(out, " {title:?}");
    }
    if let Some(tempo) = &block.settings.tempo {
        let words = tempo.words.as_deref().unwrap_or("");
        let _ = write!(out, " {}={}{words}", tempo.unit, tempo.per_minute);
        if let Some(most) = tempo.up_to {
            let _ = write!(out, " up to {most}");
        }
        out.push_str(if tempo.printed { "" } else { " unprinted" });
    }
    if let Some(goal) = &block.settings.goal {
        let _ = write!(out, " goal {}={}", goal.unit, goal.per_minute);
    }
    if let Some(level) = &block.settings.level {
        let _ = write!(out, " level {level:?}");
    }
    if !block.plays.is_empty() {
        let _ = write!(out, " plays {}", block.plays.join(" "));
    }
    if block.settings.practice != Practice::default() {
        let _ = write!(out, " {:?}", block.settings.practice);
    }
    if let Some(swing) = &block.settings.swing {
        let _ = write!(out, " swing {} {}:{}", swing.unit, swing.long, swing.short);
    }
    out.push('\n');
    for part in block.parts() {
        if let Some(player) = &part.player {
            let _ = writeln!(out, "  player {:?} {:?}", player.name, player.short);
        }
        for bar in &part.bars {
            out.push_str(&self::bar(bar, &part.kit));
        }
    }
    out
}

/// One bar.
pub fn bar(bar: &Bar, kit: &Kit) -> String {
    let upper: Vec<String> = bar.meter.upper.iter().map(u32::to_string).collect();
    let mut out = format!("  bar {}/{}", upper.join("+"), bar.meter.lower);
    if bar.length != bar.meter.length() {
        let _ = write!(out, " short {} from {}", bar.length, bar.offset);
    }
    if bar.repeat_start {
        out.push_str(" |:");
    }
    match bar.closing {
        Closing::Single => {}
        Closing::Double => out.push_str(" ||"),
        Closing::Repeat { times, counted } => {
            let _ = write!(out, " :| x{times}{}", if counted { " counted" } else { "" });
        }
    }
    match bar.again {
        Some(again) if again.bars > 1 => {
            let _ = write!(out, " %{} part {}", again.bars, again.part + 1);
        }
        Some(_) => out.push_str(" %"),
        None => {}
    }
    out.push('\n');
    for (name, voice) in [("up  ", &bar.upper), ("down", &bar.lower)] {
        if !voice.hits.is_empty() {
            let _ = writeln!(out, "    {name} {}", self::voice(voice, kit));
        }
    }
    let line = |out: &mut String, name: &str, words: Vec<String>| {
        if !words.is_empty() {
            let _ = writeln!(out, "    {name} {}", words.join("  "));
        }
    };
    line(
        &mut out,
        "count",
        bar.counts
            .iter()
            .map(|s| {
                format!(
                    "{}@{}",
                    if s.sounded { s.text.clone() } else { format!("({})", s.text) },
                    s.at
                )
            })
            .collect(),
    );
    line(&mut out, "stick", bar.sticking.iter().map(stick).collect());
    line(&mut out, "pedal", bar.pedalling.iter().map(stick).collect());
    line(&mut out, "say  ", bar.words.iter().map(|w| format!("{:?}@{}", w.text, w.at)).collect());
    line(
        &mut out,
        "dyn  ",
        bar.dynamics
            .iter()
            .map(|d| {
                let kind = match &d.kind {
                    DynamicKind::Letters(letters) => letters.text().to_owned(),
                    DynamicKind::Louder(GradualSign::Hairpin) => "<".into(),
                    DynamicKind::Louder(GradualSign::Words) => "cresc".into(),
                    DynamicKind::Softer(GradualSign::Hairpin) => ">".into(),
                    DynamicKind::Softer(GradualSign::Words) => "dim".into(),
                    DynamicKind::End => "!".into(),
                };
                format!("{kind}@{}", d.at)
            })
            .collect(),
    );
    line(
        &mut out,
        "mark ",
        bar.marks.iter().map(|m| format!("{}@{}", mark(&m.kind), m.at)).collect(),
    );
    line(&mut out, "cue  ", bar.cue.iter().map(|c| format!("{:?}@{}", c.player, c.at)).collect());
    if let Some(small) = &bar.small {
        let _ = writeln!(out, "    small {}", self::voice(&small.bar.upper, &small.kit));
    }
    out
}

fn mark(kind: &MarkKind) -> String {
    match kind {
        MarkKind::Tempo(TempoMark::New(t)) => format!("tempo {}={}", t.unit, t.per_minute),
        MarkKind::Tempo(TempoMark::Modulation { was, now }) => format!("{was}={now}"),
        MarkKind::Feel(FeelMark::Swing(s)) => format!("swing {} {}:{}", s.unit, s.long, s.short),
        MarkKind::Form(FormMark::Direction(d)) => format!("Direction({:?})", d.words()),
        MarkKind::Form(FormMark::Ending(passes)) => format!("Ending({:?})", passes.as_str()),
        MarkKind::Form(form) => format!("{form:?}"),
        MarkKind::Tempo(tempo) => format!("{tempo:?}"),
        MarkKind::Feel(feel) => format!("{feel:?}"),
        MarkKind::Note(note) => format!("{note:?}"),
        MarkKind::Layout(layout) => format!("{layout:?}"),
        MarkKind::Phrase(PhraseMark::Begins(number)) => format!("Phrase({number:?})"),
        MarkKind::Phrase(PhraseMark::Ends) => "EndPhrase".to_owned(),
        MarkKind::Words(_) | MarkKind::Number(_) => format!("{kind:?}"),
    }
}

fn stick(sticking: &Sticking) -> String {
    let letter = |hand: &Hand| match hand {
        Hand::Right => 'R',
        Hand::Left => 'L',
        Hand::Both => 'B',
    };
    let grace: String = sticking.grace.iter().map(|h| letter(h).to_ascii_lowercase()).collect();
    let other = sticking.other.map(|other| format!("({})", letter(&other))).unwrap_or_default();
    format!("{grace}{}{other}@{}", letter(&sticking.hand), sticking.at)
}

fn grace(drum: GraceDrum, kit: &Kit) -> String {
    match drum {
        GraceDrum::Same => "'".to_owned(),
        GraceDrum::Other(id) => {
            format!("{{{}}}", kit.get(id).map_or("?", |i| i.name.as_str()))
        }
    }
}

fn voice(voice: &Voice, kit: &Kit) -> String {
    let mut words: Vec<String> = Vec::new();
    for hit in &voice.hits {
        let mut word: String = hit.grace.drums().iter().map(|drum| grace(*drum, kit)).collect();
        if hit.is_slash() {
            word.push('/');
        }
        let strikes: Vec<String> = hit
            .strikes
            .iter()
            .map(|strike| {
                let name = kit.get(strike.instrument).map_or("?", |i| i.name.as_str());
                let accent = match strike.accent {
                    Accent::None => "",
                    Accent::Accent => ">",
                    Accent::Marcato => "^",
                };
                let name = if strike.ghost { format!("({name})") } else { name.to_owned() };
                format!("{accent}{name}{}", if strike.choked { "!" } else { "" })
            })
            .collect();
        word.push_str(&strikes.join("+"));
        word.push_str(&"/".repeat(hit.strokes.into()));
        if hit.buzz {
            word.push('~');
        }
        if let Some(strokes) = hit.touch.roll {
            word.push_str(&strokes.to_string());
        }
        if hit.touch.staccato {
            word.push(',');
        }
        if hit.touch.tenuto {
            word.push('=');
        }
        if hit.touch.unclear {
            word.push('?');
        }
        if hit.touch.rings {
            word.push_str(" rings");
        }
        let _ = write!(word, "@{}", hit.at);
        if let Some(until) = hit.until {
            let _ = write!(word, "..{until}");
        }
        if hit.tied {
            word.push('_');
        }
        if hit.continued {
            word.insert(0, '-');
        }
        words.push(word);
    }
    let divisions: Vec<String> = voice.divisions.iter().map(division).collect();
    let mut out = words.join(" ");
    if !divisions.is_empty() {
        let _ = write!(out, "  div {}", divisions.join(" "));
    }
    out
}

fn division(division: &Division) -> String {
    let inner: Vec<String> = division.inner.iter().map(self::division).collect();
    let inner = if inner.is_empty() { String::new() } else { format!("[{}]", inner.join(" ")) };
    let across = match division.across {
        Some(across) => format!(" {:?} the barline, of {}", across.side, across.number),
        None => String::new(),
    };
    format!("{}:{}@{}{inner}{across}", division.parts, division.length, division.start)
}
