//! The step table, for a terminal of 100 columns.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use crate::billet::{Billet, Loss, LossEntry, Stage};
use crate::plan::{Checked, Level, Plan, Step, WalkedStep};
use crate::units::{Mm, Mm3, Units, show};

/// Columns of `#`, step, size, pieces, volume, mass and layers; the losses take what is left.
const WIDTHS: [usize; 7] = [3, 18, 23, 3, 6, 8, 11];

/// Every finding on a line of its own, with the file's name before it, then how many there are.
#[must_use]
pub fn findings(checked: &Checked, name: &str) -> String {
    let mut out = String::new();
    let name = show::plain(name, 200);
    for one in &checked.found {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{name}:{one}");
    }
    let count = |level: Level, word: &str| {
        let n = checked
            .found
            .iter()
            .filter(|one| one.level == level)
            .count();
        format!("{n} {word}{}", if n == 1 { "" } else { "s" })
    };
    let _ = writeln!(
        out,
        "{}, {}",
        count(Level::Error, "error"),
        count(Level::Warning, "warning")
    );
    out
}

/// The step table: size, pieces, volume, mass, layers and losses after each step, then where the
/// metal went. Empty when there is no plan. Volumes and masses are of all pieces together.
#[must_use]
pub fn table(checked: &Checked) -> String {
    let (Some(plan), Some(walk)) = (&checked.plan, &checked.walk) else {
        return String::new();
    };
    let mut out = format!("{}\n\n", plan.title);
    let (length, volume) = (plan.units.length_unit(), volume_unit(plan.units));
    line(
        &mut out,
        [
            "#",
            "step",
            &format!("size, {length}"),
            "pcs",
            volume,
            "mass",
            "nom / bands",
        ],
        &format!("lost, {volume}"),
    );
    for (at, (step, row)) in plan.steps.iter().zip(&walk.rows).enumerate() {
        step_line(&mut out, plan, at, step, row);
    }
    if let Some(row) = walk.rows.last() {
        balance(&mut out, plan, row);
    }
    out
}

fn step_line(out: &mut String, plan: &Plan, at: usize, step: &Step, row: &WalkedStep) {
    let (units, billet) = (plan.units, &row.billet);
    let size = size(units, step, billet);
    let layers = format!(
        "{} / {}",
        show::count(billet.nominal),
        show::count(billet.bands())
    );
    line(
        out,
        [
            &(at + 1).to_string(),
            step.name(),
            &size,
            &billet.pieces.to_string(),
            &bare(units, billet.volume()),
            &units.mass(billet.mass()),
            &layers,
        ],
        &losses(units, &row.losses),
    );
}

/// The outside of a bar; of a blank that is forged, the part that the step forges, and nothing after.
fn size(units: Units, step: &Step, billet: &Billet) -> String {
    let bar = &billet.bar;
    let forged = billet.stage >= Stage::Forged;
    let (width, thickness, length) = if !forged {
        (Some(bar.width), Some(bar.thickness), Some(bar.length))
    } else {
        let part = billet.blade.sizes_of(&step.made).unwrap_or_default();
        (part.width, part.thickness, part.length)
    };
    if width.is_none() && thickness.is_none() && length.is_none() {
        return "-".to_owned();
    }
    let asked = step.made.target().unwrap_or_default();
    // A size that nobody asked for is only as good as the metal before it.
    let text = |size: Option<Mm>, asked: Option<Mm>| match size {
        Some(size) if forged && asked.is_none() => {
            format!("~{}", units.length_bare(units.rounded(size)))
        }
        Some(size) => units.length_bare(size),
        None => "-".to_owned(),
    };
    format!(
        "{} x {} x {}",
        text(width, asked.width),
        text(thickness, asked.thickness),
        text(length, asked.length)
    )
}

/// Where the metal went: in, lost, there.
fn balance(out: &mut String, plan: &Plan, row: &WalkedStep) {
    let (units, billet) = (plan.units, &row.billet);
    let ledger = billet.balance();
    let [left, stock] = billet.whole();
    let lost: Vec<String> = Loss::ALL
        .into_iter()
        .filter(|loss| ledger.total(*loss).0.abs() > 1e-9)
        .map(|loss| format!("{} {}", loss.word(), bare(units, ledger.total(loss))))
        .collect();
    let lost = if lost.is_empty() {
        "nothing".to_owned()
    } else {
        lost.join(" + ")
    };
    let _ = writeln!(
        out,
        "\n  start {} + added {} {}\n= lost: {lost}\n+ left {} + stock {}",
        bare(units, ledger.start),
        bare(units, ledger.added),
        volume_unit(units),
        bare(units, left),
        bare(units, stock),
    );
}

fn losses(units: Units, entries: &[LossEntry]) -> String {
    let parts: Vec<String> = entries
        .iter()
        .map(|entry| (entry, short(units, entry.volume)))
        .filter(|(_, shown)| shown.chars().any(|c| matches!(c, '1'..='9')))
        .map(|(entry, shown)| {
            let word = match entry.loss {
                Loss::Rounding => "round",
                loss => loss.word(),
            };
            format!("{word} {shown}")
        })
        .collect();
    parts.join(" ")
}

fn volume_unit(units: Units) -> &'static str {
    match units {
        Units::Mm => "cm3",
        Units::Inch => "in3",
    }
}

/// A volume without its unit, as the column shows it.
fn bare(units: Units, volume: Mm3) -> String {
    match units {
        Units::Mm => show::fixed(volume.cubic_cm(), 2),
        Units::Inch => show::fixed(volume.cubic_inch(), 3),
    }
}

/// A loss: one figure less, so that two fit beside each other.
fn short(units: Units, volume: Mm3) -> String {
    match units {
        Units::Mm => show::fixed(volume.cubic_cm(), 1),
        Units::Inch => show::fixed(volume.cubic_inch(), 2),
    }
}

/// One line: numbers to the right, words to the left.
fn line(out: &mut String, cells: [&str; 7], rest: &str) {
    for (at, (cell, width)) in cells.into_iter().zip(WIDTHS).enumerate() {
        let cell = if at == 1 {
            cut(cell, width)
        } else {
            cell.to_owned()
        };
        let pad = " ".repeat(width.saturating_sub(cell.width()));
        let left = matches!(at, 1 | 2);
        let _ = match left {
            true => write!(out, "{cell}{pad} "),
            false => write!(out, "{pad}{cell} "),
        };
    }
    let _ = writeln!(out, "{rest}");
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('\n');
}

/// A title cut to a width, at a space where there is one.
fn cut(title: &str, width: usize) -> String {
    let whole = show::plain(title, width);
    if whole.width() == title.width() {
        return whole;
    }
    match whole.rsplit_once(' ') {
        Some((front, _)) if front.width() * 2 > width => front.trim_end_matches(',').to_owned(),
        _ => whole,
    }
}
