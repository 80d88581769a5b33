//! `ask restacks`: which piece counts bring the bands into the range wanted.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde_json::{Value, json};

use super::answer::{Answer, Basis};
use super::orders::{Wanted, Way};
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{Kind, Say};
use super::worked::{Bar, Metal, nearest_of, of_job, work};
use crate::cli::status;
use crate::session::Session;

/// Restacks of one job beyond which nobody asks.
const MOST_RESTACKS: u64 = 5;
/// Pieces of one restack beyond which nobody asks.
const MOST_PIECES: u64 = 16;
/// Ways that are worked out on the metal, and listed in JSON.
const MOST_WAYS: usize = 40;

/// Which piece counts bring the bands into a range
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Bands in the bar now, as seen on an etched end; layers, for a first stack
    #[arg(long, value_name = "COUNT", required_unless_present = "plan")]
    bands: Option<String>,
    /// Fewest bands wanted
    #[arg(long, value_name = "COUNT", required_unless_present = "plan")]
    least: Option<String>,
    /// Most bands wanted
    #[arg(long, value_name = "COUNT", required_unless_present = "plan")]
    most: Option<String>,
    /// A plan file instead: its real layers, shop and steps done, as the work screen counts
    #[arg(long, value_name = "FILE", conflicts_with_all = ["bands", "least", "most", "pieces", "restacks", "seams", "width", "thickness", "length", "kerf", "grind", "trim", "scale", "shortest"])]
    plan: Option<PathBuf>,
    /// Piece counts that the shop is ready to cut
    #[arg(long, value_name = "COUNTS", default_value = "2,3,4,5,6,7,8")]
    pieces: String,
    /// Most restacks
    #[arg(long, value_name = "COUNT", default_value = "3")]
    restacks: String,
    /// Whether like steels meet in a seam and become one band; merge for an odd number of bands, stay
    /// for an even one, unless said
    #[arg(long, value_enum, conflicts_with = "length")]
    seams: Option<Seams>,
    /// Width of the bar before each cut: works the metal too, with what follows
    #[arg(long, value_name = "LENGTH", requires = "thickness")]
    width: Option<String>,
    /// Thickness of the bar before each cut
    #[arg(long, value_name = "LENGTH", requires = "length")]
    thickness: Option<String>,
    /// Length of the bar before the first cut
    #[arg(long, value_name = "LENGTH", requires = "width")]
    length: Option<String>,
    /// Width that one cut removes
    #[arg(long, value_name = "LENGTH", default_value = "2 mm")]
    kerf: String,
    /// Flat grind off each face before a cut
    #[arg(long, value_name = "LENGTH", default_value = "0.5 mm")]
    grind: String,
    /// Cut off each end
    #[arg(long, value_name = "LENGTH", default_value = "10 mm")]
    trim: String,
    /// Metal lost to scale in one weld and draw
    #[arg(long, value_name = "SHARE", default_value = "4 %")]
    scale: String,
    /// Shortest piece that can be held
    #[arg(long, value_name = "LENGTH", default_value = "40 mm")]
    shortest: String,
}

/// What happens to two like faces in a seam.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Seams {
    /// Like faces meet and become one band: pieces times (bands - 1) plus 1
    Merge,
    /// Unlike faces meet: pieces times bands
    Stay,
}

fn wanted(flags: &Flags) -> Result<Wanted, Refused> {
    let count =
        |flag: &str, text: &Option<String>| read::count(flag, text.as_deref().unwrap_or_default());
    let bands = count("--bands", &flags.bands)?;
    let (least, most) = (
        count("--least", &flags.least)?,
        count("--most", &flags.most)?,
    );
    if least > most {
        return Err(Refused::say("--least must not be over --most"));
    }
    if bands > most {
        return Err(Refused::say(format!(
            "{bands} bands are over the {most} wanted already; a restack only adds"
        )));
    }
    let mut pieces = Vec::new();
    for text in flags
        .pieces
        .split([',', ' '])
        .filter(|text| !text.is_empty())
    {
        let count = read::count("--pieces", text)?;
        let small = u32::try_from(count).ok().filter(|k| (2..=16).contains(k));
        pieces.push(small.ok_or_else(|| {
            Refused::say(format!("--pieces: {count} is not from 2 to {MOST_PIECES}"))
        })?);
    }
    pieces.sort_unstable();
    pieces.dedup();
    let restacks = read::count("--restacks", &flags.restacks)?;
    if restacks > MOST_RESTACKS {
        return Err(Refused::say(format!(
            "--restacks must be {MOST_RESTACKS} or fewer"
        )));
    }
    Ok(Wanted {
        bands,
        least,
        most,
        pieces,
        restacks: usize::try_from(restacks).unwrap_or(1),
        merge: flags
            .seams
            .map_or(bands % 2 == 1, |seams| seams == Seams::Merge),
    })
}

fn bar(flags: &Flags, asked: Asked) -> Result<Option<Bar>, Refused> {
    let sides = [
        asked.maybe_length("--width", flags.width.as_ref())?,
        asked.maybe_length("--thickness", flags.thickness.as_ref())?,
        asked.maybe_length("--length", flags.length.as_ref())?,
    ];
    let [Some(width), Some(thickness), Some(length)] = sides else {
        return Ok(None);
    };
    Ok(Some(Bar {
        width,
        thickness,
        length,
        kerf: asked.allowance("--kerf", &flags.kerf)?,
        grind: asked.allowance("--grind", &flags.grind)?,
        trim: asked.allowance("--trim", &flags.trim)?,
        scale: read::share("--scale", &flags.scale)?,
        shortest: asked.allowance("--shortest", &flags.shortest)?,
        units: asked.units,
    }))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let (wanted, bar, ways, metal) = match &flags.plan {
        Some(plan) => {
            let session = status::load(plan).map_err(Refused::say)?;
            let (bar, metal) = of_job(&session)?;
            let wanted = of_goal(&session, &metal);
            let reach = metal.iter().filter(|m| m.holds);
            let ways = reach.map(|m| m.way.clone()).collect();
            (wanted, Some(bar), ways, Some(metal))
        }
        None => {
            let wanted = wanted(flags)?;
            let bar = bar(flags, asked)?;
            let ways = wanted.ways();
            let target = (wanted.least, wanted.most);
            let first = ways.iter().take(MOST_WAYS);
            let metal = bar
                .as_ref()
                .map(|bar| work(bar, wanted.bands, target, first))
                .transpose()?;
            (wanted, bar, ways, metal)
        }
    };
    let say = asked.say();
    let best: Option<(&Way, Option<&Metal>)> = match &metal {
        Some(metal) => metal.iter().find(|m| m.holds).map(|m| (&m.way, Some(m))),
        None => ways.first().map(|way| (way, None)),
    };
    let nearest = match (&flags.plan, &metal) {
        (Some(_), Some(metal)) => nearest_of(&wanted, metal),
        _ => wanted.nearest(),
    };
    let text = words(&wanted, (&ways, nearest), metal.as_deref(), best, say);
    let size = |of: fn(&Metal) -> f64| best.and_then(|(_, metal)| metal).map(of);
    let answer = Answer::new("restacks", "")
        .say(text)
        .input(
            "plan",
            flags.plan.as_ref().map(|plan| plan.display().to_string()),
        )
        .input("bands", wanted.bands)
        .input("least", wanted.least)
        .input("most", wanted.most)
        .input("pieces", json!(wanted.pieces))
        .input("restacks", wanted.restacks)
        .input("seams_merge", wanted.merge)
        .input("width_mm", bar.as_ref().map(|b| b.width.0))
        .input("thickness_mm", bar.as_ref().map(|b| b.thickness.0))
        .input("length_mm", bar.as_ref().map(|b| b.length.0))
        .input("kerf_mm", bar.as_ref().map(|b| b.kerf.0))
        .input("grind_mm", bar.as_ref().map(|b| b.grind.0))
        .input("trim_mm", bar.as_ref().map(|b| b.trim.0))
        .input("scale_percent", bar.as_ref().map(|b| b.scale.percent()))
        .input("shortest_mm", bar.as_ref().map(|b| b.shortest.0))
        .figure("ways", ways.len())
        .figure("pieces", json!(best.map(|(way, _)| &way.pieces)))
        .figure(
            "bands",
            best.map(|(way, metal)| metal.map_or(way.bands, |m| m.bands)),
        )
        .figure("shortest_piece_mm", size(|m| m.shortest.0))
        .figure("tallest_pile_mm", size(|m| m.tallest.0))
        .figure("length_mm", size(|m| m.length.0))
        .figure("volume_mm3", size(|m| m.volume.0))
        .figure("choices", Value::Array(choices(&ways, metal.as_deref())))
        .by(Basis::arithmetic(
            "band-count",
            "bands through a restack",
            "pieces times bands, less one band at every seam where like steels meet",
        ));
    Ok(if bar.is_some() {
        answer.by(Basis::practice(
            "restack-losses",
            "metal through a restack",
            "volume kept, less trim, grind, kerf and scale as given",
        ))
    } else {
        answer
    })
}

/// What the plan of a job wants, from the bar in hand.
fn of_goal(session: &Session, metal: &[Metal]) -> Wanted {
    let goal = &session.plan.goal;
    let firsts = metal.iter().filter_map(|m| m.way.pieces.first().copied());
    let firsts: BTreeSet<u32> = firsts.collect();
    Wanted {
        bands: u64::try_from(session.metal().bands()).unwrap_or(u64::MAX),
        least: goal.bands_least,
        most: goal.bands_most,
        pieces: firsts.into_iter().collect(),
        restacks: metal.iter().map(|m| m.way.pieces.len()).max().unwrap_or(0),
        merge: true,
    }
}

fn choices(ways: &[Way], metal: Option<&[Metal]>) -> Vec<Value> {
    match metal {
        Some(metal) => metal
            .iter()
            .take(MOST_WAYS)
            .map(|m| {
                json!({
                    "pieces": m.way.pieces,
                    "bands": m.bands,
                    "holds": m.holds,
                    "shortest_piece_mm": m.shortest.0,
                    "tallest_pile_mm": m.tallest.0,
                    "length_mm": m.length.0,
                    "volume_mm3": m.volume.0,
                })
            })
            .collect(),
        None => ways
            .iter()
            .take(MOST_WAYS)
            .map(|way| json!({ "pieces": way.pieces, "bands": way.bands }))
            .collect(),
    }
}

fn words(
    wanted: &Wanted,
    (ways, nearest): (&[Way], (Option<Way>, Option<Way>)),
    metal: Option<&[Metal]>,
    best: Option<(&Way, Option<&Metal>)>,
    say: Say,
) -> String {
    let Wanted {
        bands, least, most, ..
    } = wanted;
    let asked = format!("{bands} bands, {least} to {most} wanted");
    if bands >= least {
        return format!("{asked}: it is there already; leave it, or want more");
    }
    if ways.is_empty() {
        let (under, over) = nearest;
        let name = |way: Option<Way>| way.map_or("nothing".to_owned(), |way| way.with_bands());
        return format!(
            "{asked}: no choice of pieces ends there in {} restacks; nearest under {}, over {}",
            wanted.restacks,
            name(under),
            name(over)
        );
    }
    let count = match ways.len() {
        1 => "1 way".to_owned(),
        many => format!("{many} ways"),
    };
    let Some((way, worked)) = best else {
        return format!(
            "{asked}: {count} by the count, but none of them on this bar: pieces too short, or bands ground away"
        );
    };
    match worked {
        Some(m) => format!(
            "{asked}: {} pieces make {} bands; pieces {} and longer, piles {} and lower, {} long at the end; {} of {count} possible on this bar",
            way.words(),
            m.bands,
            say.both(Kind::Length, m.shortest.0, 3),
            say.both(Kind::Length, m.tallest.0, 3),
            say.both(Kind::Length, m.length.0, 3),
            metal.map_or(0, |all| all.iter().filter(|m| m.holds).count()),
        ),
        None => {
            let next: Vec<String> = ways.iter().skip(1).take(4).map(Way::with_bands).collect();
            let also = if next.is_empty() {
                String::new()
            } else {
                format!("; also {}", next.join(", "))
            };
            format!(
                "{asked}: {} pieces make {} bands, before scale and flat grinds; {count}{also}; these take outer \
                 bands: give width, thickness and length, or --plan",
                way.words(),
                way.bands
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::{Layers, SteelId};
    use crate::units::Mm;

    fn wanted(bands: u64, least: u64, most: u64, merge: bool) -> Wanted {
        Wanted {
            bands,
            least,
            most,
            pieces: (2..=8).collect(),
            restacks: 3,
            merge,
        }
    }

    #[test]
    fn ordered_factorings_are_all_found() {
        // 16 is 4x4, 2x8, 8x2, 2x2x4, 2x4x2, 4x2x2; 15 is 3x5 and 5x3: counted by hand.
        let found = wanted(9, 120, 140, true).ways();
        let of = |bands: u64| found.iter().filter(|way| way.bands == bands).count();
        assert_eq!((of(121), of(129), found.len()), (2, 6, 8));
        assert_eq!(wanted(11, 240, 270, true).ways().len(), 14);
        let unmerged = wanted(8, 120, 140, false).ways();
        let of = |bands: u64| unmerged.iter().filter(|way| way.bands == bands).count();
        assert_eq!((of(120), of(128), unmerged.len()), (2, 6, 8));
        assert_eq!(found[0].pieces.len(), 2);
    }

    #[test]
    fn the_count_is_that_of_the_layers_themselves() {
        let stack = |bands: u64| {
            let leaf = |n: u64| Layers::leaf(SteelId((n % 2) as u8), Mm(1.0));
            Layers::pile((0..bands).map(leaf).collect())
        };
        for bands in [2, 5, 8, 9] {
            let wanted = wanted(bands, 1, 10_000, bands % 2 == 1);
            for pieces in [2, 3, 7] {
                let piled = stack(bands).repeat(pieces).bands();
                let counted = wanted.after(bands, u32::try_from(pieces).unwrap());
                assert_eq!(piled, u128::from(counted), "{bands} x {pieces}");
            }
        }
    }

    #[test]
    fn what_lies_between_names_both_neighbours() {
        let narrow = wanted(9, 100, 104, true);
        assert!(narrow.ways().is_empty());
        let (under, over) = narrow.nearest();
        assert!(under.is_some_and(|way| way.bands == 97));
        assert!(over.is_some_and(|way| way.bands == 113));
    }
}
