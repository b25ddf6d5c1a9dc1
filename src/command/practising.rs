//! Options that say how blocks are practised, in place of what the text says.

use super::along::Along;
use super::outcome::Failure;
use clap::ValueHint;
use flamacue::practice::{Plan, Wanted};
use flamacue::score::Score;
use flamacue::score::practice::{Click, PracticeStep, Silent};
use flamacue::syntax::values::practice;
use std::path::PathBuf;
use std::sync::Arc;

/// How blocks are practised: what the keys `practice`, `click` and `count-in` say in a text.
#[derive(Debug, Default, clap::Args)]
#[command(next_help_heading = "What is heard")]
pub struct Practising {
    /// Only the block of this name.
    #[arg(long, value_name = "NAME")]
    pub block: Option<String>,

    /// How it is practised, step by step, as the key `practice` in a text: `"alone x2, silence x2, slow"`.
    #[arg(long, value_name = "STEPS", value_parser = steps)]
    pub practice: Option<Steps>,

    /// What clicks: none, bars, beats, "beats 2 4", eighths, triplets, sixteenths; ", silent 1 bar of 4" may
    /// follow.
    #[arg(long, value_name = "WHEN", value_parser = click)]
    pub click: Option<Click>,

    /// Bars that are counted in, 0 to 4.
    #[arg(long, value_name = "BARS", value_parser = clap::value_parser!(u32).range(0..=4))]
    pub count_in: Option<u32>,

    /// Beats a minute of what is played as it is written, 10 to 400.
    #[arg(long, value_name = "BEATS", value_parser = tempo)]
    pub tempo: Option<f64>,

    /// Leave out what hands or feet play, or a player; give the option again for more.
    #[arg(long, value_name = "hands|feet|PLAYER", value_parser = silent)]
    pub without: Vec<Silent>,

    /// Let strokes stray by so many milliseconds, up to 30.
    #[arg(long, value_name = "MS", value_parser = looseness)]
    pub looseness: Option<f64>,

    /// Play the drums of a SoundFont in place of the built-in kit.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub soundfont: Option<PathBuf>,

    #[command(flatten)]
    pub along: Along,
}

/// The steps of practice.
#[derive(Clone, Debug)]
pub struct Steps(Arc<[PracticeStep]>);

impl Practising {
    /// Whether anything is asked for.
    pub fn is_idle(&self) -> bool {
        self.wanted() == Wanted::default() && self.soundfont.is_none() && self.along.is_idle()
    }

    /// What is asked for.
    pub fn wanted(&self) -> Wanted {
        Wanted {
            block: self.block.clone(),
            steps: self.practice.as_ref().map(|steps| steps.0.clone()),
            click: self.click.clone(),
            count_in: self.count_in,
            tempo: self.tempo,
            without: self.without.clone(),
            looseness: self.looseness,
        }
    }

    /// What is heard of a score; a text without a block is told of.
    pub fn plan(&self, score: &Score, name: &str) -> Result<Plan, Failure> {
        let plan =
            Plan::of(score, &self.wanted()).map_err(|why| Failure(format!("{name}: {why}")))?;
        match plan.passes.is_empty() {
            true => Err(Failure(format!("{name}: there is no block to hear"))),
            false => Ok(plan),
        }
    }
}

fn steps(words: &str) -> Result<Steps, String> {
    practice::steps(words).map(|steps| Steps(Arc::from(steps))).ok_or_else(|| {
        "write steps with commas between them, as \"alone x2, silence x2, slow x4\"".into()
    })
}

fn click(words: &str) -> Result<Click, String> {
    practice::click(words).ok_or_else(|| {
        "write none, bars, beats, \"beats 2 4\", eighths, triplets or sixteenths".into()
    })
}

fn tempo(words: &str) -> Result<f64, String> {
    match words.parse() {
        Ok(tempo) if (10.0..=400.0).contains(&tempo) => Ok(tempo),
        _ => Err("write beats a minute from 10 to 400, as 92".into()),
    }
}

fn silent(words: &str) -> Result<Silent, String> {
    Ok(match words {
        "hands" => Silent::Hands,
        "feet" => Silent::Feet,
        player => Silent::Player(player.to_owned()),
    })
}

fn looseness(words: &str) -> Result<f64, String> {
    let plain = words.trim_end_matches("ms").trim_end();
    practice::looseness(if plain == "0" { "none" } else { plain })
        .ok_or_else(|| "write milliseconds from 1 to 30, as 8, or 0".into())
}
