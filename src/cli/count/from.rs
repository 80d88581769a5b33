//! `anvilside count --from`: the histories that end in a count.

use std::fmt::Write as _;
use std::ops::RangeInclusive;

use clap::Args;
use serde_json::{Value, json};

use super::adopt::{AdoptArgs, STEEL, metal};
use crate::count::history::{Asked, First, History, Look, Metal, Volume, histories, next_look};
use crate::count::{Reading, Why};
use crate::units::{Grams, Mm3, Units};

/// What may have been done to a bar whose past is lost.
#[derive(Debug, Args)]
pub(super) struct FromArgs {
    /// The first stacks and restacks that end in this count, ranked, and the look that tells them apart
    #[arg(long)]
    pub(super) from: bool,
    /// Bands counted, as 121 or 119-123 [default: those of the photograph]
    #[arg(long, value_name = "COUNT", value_parser = range, requires = "from", conflicts_with = "photo")]
    bands: Option<Range>,
    /// Layers that the first stack may have had
    #[arg(long, value_name = "COUNT", value_parser = range, default_value = "3-15", requires = "from")]
    first: Range,
    /// Pieces that a restack may have had
    #[arg(long, value_name = "COUNT", value_parser = range, default_value = "2-8", requires = "from")]
    pieces: Range,
    /// Most restacks
    #[arg(long, value_name = "COUNT", default_value_t = 3, value_parser = clap::value_parser!(u8).range(0..=6), requires = "from")]
    restacks: u8,
    /// Bands of double height that were seen
    #[arg(long, value_name = "COUNT", requires = "from")]
    doubled: Option<u64>,
    /// The first stack, as 40x42x120 (mm) or 1580g: beside --bar or --mass it tells how much was lost
    #[arg(long, value_name = "WxTxL|MASS", value_parser = metal, requires = "from", conflicts_with = "layer")]
    stack: Option<Mm3>,
    /// One layer of the first stack, as 40x3x150 (mm) or 140g
    #[arg(long, value_name = "WxTxL|MASS", value_parser = metal, requires = "from")]
    layer: Option<Mm3>,
    #[command(flatten)]
    adopt: AdoptArgs,
}

/// A count, or a range of counts.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Range(RangeInclusive<u64>);

fn range(word: &str) -> Result<Range, String> {
    let (low, high) = word.split_once('-').unwrap_or((word, word));
    match (low.trim().parse(), high.trim().parse()) {
        (Ok(low), Ok(high)) if 1 <= low && low <= high && high <= 10_000 => Ok(Range(low..=high)),
        _ => Err("write a count or a range of counts up to 10000, as 121 or 119-123".to_owned()),
    }
}

impl FromArgs {
    /// The metal that was read.
    fn metal(&self) -> Metal {
        let stack = self.stack.map(|volume| First::Stack(volume.0));
        let layer = self.layer.map(|volume| First::Layer(volume.0));
        Metal {
            now: self.adopt.volume().map(|volume| volume.0),
            first: stack.or(layer),
        }
    }

    /// The histories in words or JSON.
    pub(super) fn answer(
        &self,
        reading: Option<&Reading>,
        as_json: bool,
    ) -> Result<String, String> {
        let read = reading.map(|r| r.low.max(1) as u64..=r.high as u64);
        let bands = self.bands.clone().map(|range| range.0).or(read);
        let bands = bands.ok_or("give a photograph, or --bands")?;
        let asked = Asked {
            bands,
            first: self.first.0.clone(),
            pieces: self.pieces.0.start().max(&2).to_owned()..=*self.pieces.0.end(),
            restacks: usize::from(self.restacks),
            doubled: self
                .doubled
                .or(reading.map(doubled))
                .filter(|seen| *seen > 0),
            metal: self.metal(),
        };
        let found = histories(&asked);
        if as_json && self.adopt.is_asked() {
            return Err("--out writes a plan and prints no JSON: leave one of them out".to_owned());
        }
        if as_json {
            return Ok(format!("{:#}", to_json(&asked, &found)));
        }
        if found.is_empty() {
            return Err(format!(
                "no history ends in {} bands: widen --first, --pieces or --restacks, or count again",
                span(&asked.bands)
            ));
        }
        let written = self.adopt.write(&asked.bands, &found)?;
        Ok(text(&asked, &found) + &written.map_or_else(String::new, |said| said + "\n"))
    }
}

/// Doubled bands that a photograph shows.
fn doubled(reading: &Reading) -> u64 {
    let doubts = reading
        .doubts
        .iter()
        .filter(|doubt| doubt.why == Why::Doubled);
    doubts
        .map(|doubt| (doubt.to - doubt.from) as u64 / 2 + 1)
        .sum()
}

fn span(range: &RangeInclusive<u64>) -> String {
    if range.start() == range.end() {
        range.start().to_string()
    } else {
        format!("{} to {}", range.start(), range.end())
    }
}

fn text(asked: &Asked, found: &[History]) -> String {
    let mut out = format!(
        "{} bands may come from (guesses, ranked by common practice, no source):\n",
        span(&asked.bands)
    );
    for (at, history) in found.iter().enumerate() {
        let left = asked.metal.left(history).map_or_else(String::new, |left| {
            let [low, high] = left.between();
            format!(
                ", would leave {} ({} to {})",
                about(left.best),
                about(low),
                about(high)
            )
        });
        let _ = writeln!(
            out,
            "{:>3}. {}: {} nominal, {} bands, {} doubled{left} ({:.0} of 100)",
            at + 1,
            history.words(),
            history.nominal(),
            history.bands,
            history.doubled,
            100.0 * history.share
        );
    }
    if let Some(now) = asked.metal.now {
        let _ = writeln!(out, "the bar has {}", about(now));
    }
    match next_look(found, &asked.metal) {
        Some(look) => {
            let _ = writeln!(out, "{}", look_text(look, found, &asked.metal));
        }
        None => out += "no further count tells these apart: ask who forged it, or take the first\n",
    }
    out
}

/// A volume of steel as a mass, to two figures: `~1000 g`.
fn about(volume: f64) -> String {
    let grams = Mm3(volume).mass(STEEL).0;
    let unit = 10f64.powf(grams.max(1.0).log10().floor() - 1.0).max(1.0);
    let rounded = Grams((grams / unit).round() * unit);
    format!("~{}", Units::Mm.mass(rounded))
}

/// The look to take, and what it would show.
fn look_text(look: Look, found: &[History], metal: &Metal) -> String {
    let what = match look {
        Look::Doubled => "count the bands of double height (where like faces met)",
        Look::Faces => "see whether both faces are of the same steel (1 yes, 0 no)",
        Look::Bands => "count the bands again, to the last one",
        Look::Bar => "weigh the bar, or measure it",
        Look::Layer => "find out what one layer of the first stack weighed",
    };
    let mut shown: Vec<(f64, String, Vec<String>)> = Vec::new();
    for (at, history) in (1..).zip(found) {
        let Some(Volume { best, off }) = look.shows(history, metal) else {
            continue;
        };
        let words = if off > 0.0 {
            about(best)
        } else {
            format!("{best:.0}")
        };
        match shown.iter_mut().find(|(_, other, _)| *other == words) {
            Some((_, _, places)) => places.push(at.to_string()),
            None => shown.push((best, words, vec![at.to_string()])),
        }
    }
    shown.sort_by(|a, b| a.0.total_cmp(&b.0));
    let each: Vec<String> = shown
        .into_iter()
        .map(|(_, words, places)| format!("{words} for {}", places.join(", ")))
        .collect();
    format!("to tell them apart, {what}: {}", each.join("; "))
}

/// A volume as mass in JSON: best, low and high.
fn grams(volume: Volume) -> Value {
    let [low, high] = volume.between();
    let [best, low, high] = [volume.best, low, high].map(|mm3| Mm3(mm3).mass(STEEL).0.round());
    json!({ "best": best, "low": low, "high": high })
}

fn to_json(asked: &Asked, found: &[History]) -> Value {
    let rows: Vec<Value> = found
        .iter()
        .map(|history| {
            let restacks: Vec<Value> = history
                .restacks
                .iter()
                .map(|restack| json!({ "pieces": restack.pieces, "ground_first": restack.ground }))
                .collect();
            json!({
                "first": history.first,
                "restacks": restacks,
                "ground_last": history.ground,
                "bands": history.bands,
                "nominal": history.nominal(),
                "doubled": history.doubled,
                "like_faces": history.has_like_faces(),
                "left_g": asked.metal.left(history).map(grams),
                "share": (history.share * 1000.0).round() / 1000.0,
            })
        })
        .collect();
    let look = next_look(found, &asked.metal).map(|look| match look {
        Look::Doubled => "doubled",
        Look::Faces => "faces",
        Look::Bands => "bands",
        Look::Bar => "bar",
        Look::Layer => "layer",
    });
    json!({
        "low": asked.bands.start(),
        "high": asked.bands.end(),
        "histories": rows,
        "next_look": look,
    })
}
