//! What is odd but possible, looked at after every move.

use super::work::Work;
use crate::billet::{Kind, Stage};
use crate::units::Mm;

/// Bands under this are near what an etch can still show.
const FINE: Mm = Mm(0.010);

pub(super) fn look(work: &mut Work<'_>) {
    let kind = work.kind();
    if kind.row().to == Some(Stage::Pile) {
        height(work);
    }
    let piled = kind.row().to == Some(Stage::Pile);
    let shaped = piled || kind.row().loses.moves_metal();
    let bar = &work.now.bar;
    if let Some(widest) = work.allow.widest
        && shaped
        && bar.width > widest
    {
        let text = format!(
            "{} wide, and the machine moves {} at most: draw narrower, or take a narrower die",
            work.say(bar.width),
            work.say(widest)
        );
        work.warn(Some("width"), text);
    }
    let bar = &work.now.bar;
    if let Some(longest) = work.allow.longest
        && shaped
        && work.now.stage < Stage::Forged
        && bar.length > longest
        && bar.length > work.was.bar.length
    {
        let text = format!(
            "{} long, and the forge heats {} at most: cut it first, or draw less",
            work.say(bar.length),
            work.say(longest)
        );
        work.warn(Some("length"), text);
    }
    let bar = &work.now.bar;
    if matches!(kind, Kind::Cut | Kind::Restack | Kind::Fold) && bar.length < work.allow.shortest {
        let text = format!(
            "pieces of {} are short to hold and weld; {} is the least here: cut fewer, or weld a handle on",
            work.say(bar.length),
            work.say(work.allow.shortest)
        );
        let key = if kind == Kind::Cut { "pieces" } else { "kind" };
        work.warn(Some(key), text);
    }
    thin(work);
}

fn height(work: &mut Work<'_>) {
    let (height, width) = (work.now.bar.thickness, work.now.bar.width);
    if height > width * 2.0 {
        let text = format!(
            "the pile is {} high on a width of {}: over 2 x the width it leans and slides; pile fewer, or wider",
            work.say(height),
            work.say(width)
        );
        work.warn(Some("kind"), text);
    }
    if let Some(tallest) = work.allow.tallest
        && height > tallest
    {
        let text = format!(
            "the pile is {} high, and the machine opens to {}: pile fewer, or draw thinner first",
            work.say(height),
            work.say(tallest)
        );
        work.warn(Some("kind"), text);
    }
}

fn thin(work: &mut Work<'_>) {
    let (was, now) = (work.was.mean_band(), work.now.mean_band());
    if now < FINE && was >= FINE {
        let text = format!(
            "bands are {:.1} um thick on the mean: under {:.0} um the etch shows grey",
            now.0 * 1000.0,
            FINE.0 * 1000.0
        );
        work.warn(None, text);
    }
}
