//! An offer in words, for the list and for a look at all of it.

use super::offer::Offer;
use super::outlook::Outlook;
use crate::billet::{Move, Piece, Stage};
use crate::physics::Spread;
use crate::plan::dry_run;
use crate::planner::costs;
use crate::planner::steel::CutLine;
use crate::units::{Mm, Units, show};

/// What stands under every list of plans.
pub const PROMISE: &str = "Heats, hours and losses are estimates for a trained smith. The makers' sheets, local codes and licensed trades come first.";

/// Hours of work in a day, at most. Common practice, no source.
const LONG_DAY: f64 = 10.0;
/// Stock left over of which nothing is said, g.
const LITTLE: f64 = 10.0;

/// A line of a look at an offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// A heading, and what stands behind it.
    Head(&'static str, String),
    /// A line of a table, its columns already in place.
    Row(String),
}

/// Hours with their band, as `13 h (11 to 16)`.
fn hours(minutes: Spread) -> String {
    let each = [minutes.best, minutes.low, minutes.high].map(|m| show::trimmed(m / 60.0, 0));
    let [best, low, high] = each;
    format!("{best} h ({low} to {high})")
}

/// Heats with their band.
fn heats(heats: Spread) -> String {
    let each = [heats.best, heats.low, heats.high].map(|h| show::trimmed(h, 0));
    let [best, low, high] = each;
    format!("{} ({low} to {high})", show::counted(best, "heat"))
}

impl Offer {
    /// First pieces and restacks: `9 x 4 x 4`.
    #[must_use]
    pub fn sequence_words(&self) -> String {
        let each: Vec<String> = self.sequence.iter().map(ToString::to_string).collect();
        each.join(" x ")
    }

    /// Three lines for a list: what it is, what it takes, what is risky.
    #[must_use]
    pub fn summary(&self, seen: &Outlook) -> [String; 3] {
        let units = self.plan.units;
        [
            format!(
                "{}: {}, {}",
                self.sequence_words(),
                show::layers(self.nominal, self.bands),
                show::counted(self.welds, "weld"),
            ),
            format!(
                "{} of steel{}, yield {}; ~{}, ~{}, {}",
                units.mass(self.steel),
                self.shelf_words(),
                show::percent(self.yields, 0),
                heats(seen.heats),
                hours(seen.minutes),
                self.days_words(seen)
            ),
            format!(
                "{}{}; {}; {}{}{}",
                self.cost_words(seen),
                self.risk(),
                seen.enough.text_of_blanks(units),
                seen.planned.text(),
                self.left_words(),
                self.mind_words(seen)
            ),
        ]
    }

    /// Days of the plan, and how long one is where that is more than a smith works.
    fn days_words(&self, seen: &Outlook) -> String {
        let days = show::counted(self.days, "day");
        let each = seen.minutes.best / 60.0 / f64::from(self.days.max(1));
        match each > LONG_DAY {
            true => format!("{days} of ~{} h: make them more", show::trimmed(each, 0)),
            false => days,
        }
    }

    /// What of the bar is left as stock beside the blanks; nothing where little is.
    fn left_words(&self) -> String {
        match self.left.0 {
            little if little < LITTLE => String::new(),
            _ => format!(
                "; {} of the bar left as stock",
                self.plan.units.mass(self.left)
            ),
        }
    }

    /// What is to be minded: of the wish, and of the edge; nothing where there is none.
    fn minded(&self, seen: &Outlook) -> Vec<String> {
        let edge = seen.edge.as_ref();
        let edge = edge.and_then(|edge| edge.warning(self.plan.units));
        self.mind.iter().cloned().chain(edge).collect()
    }

    fn mind_words(&self, seen: &Outlook) -> String {
        let all = self.minded(seen).into_iter();
        all.map(|one| format!("; {one}")).collect()
    }

    /// Which pieces of the shelf it takes beside the steel to buy.
    fn shelf_words(&self) -> String {
        let numbers: Vec<String> = self.plan.takes().map(|number| number.to_string()).collect();
        match numbers.as_slice() {
            [] => String::new(),
            [one] => format!(" and piece {one} of the shelf"),
            several => format!(" and pieces {} of the shelf", several.join(", ")),
        }
    }

    /// What it costs, before what else is said; nothing where there are no prices.
    fn cost_words(&self, seen: &Outlook) -> String {
        let Some((currency, cost)) = &seen.cost else {
            return String::new();
        };
        let knives = f64::from(self.plan.goal.knives.max(1));
        let each = cost.map(|cost| cost / knives);
        format!("costs ~{} a knife; ", costs::range(currency, each))
    }

    /// Tallest pile against its width, and the shortest piece.
    #[must_use]
    pub fn risk(&self) -> String {
        let units = self.plan.units;
        let (height, width) = self.tallest;
        format!(
            "tallest pile {} on {} ({} x), shortest piece {}",
            units.length_bare(height),
            units.length(width),
            show::fixed(height / width, 1),
            units.length(self.shortest)
        )
    }

    /// Bars put on: what, how thick, where; or the core and what covers it; none without either.
    #[must_use]
    pub fn frame_words(&self) -> Option<String> {
        let units = self.plan.units;
        self.plan.steps.iter().find_map(|step| {
            if let Move::Jacket { with, bare, .. } = &step.made {
                return self.jacket_words(with, *bare);
            }
            let Move::Frame { bars, .. } = &step.made else {
                return None;
            };
            let each: Vec<String> = bars
                .iter()
                .map(|bar| {
                    let what = match &bar.piece {
                        Piece::Plain { steel, thickness } => {
                            let steel = self.plan.steels.get(steel.index());
                            let grade = steel.map_or("steel", |steel| steel.steel.grade.as_str());
                            format!("{grade} {}", units.length(*thickness))
                        }
                        Piece::Of { bar, .. } => format!("bar {bar}"),
                    };
                    format!("{what} on the {}", bar.side.word())
                })
                .collect();
            Some(each.join(", "))
        })
    }

    /// A plain core and what lies on it.
    fn jacket_words(&self, with: &[Piece], bare: Mm) -> Option<String> {
        let units = self.plan.units;
        let core = self.plan.bars.last()?;
        let piece = core.pieces.first()?;
        let grade = &self.plan.steels.get(piece.steel.index())?.steel.grade;
        let name = with.iter().find_map(|one| match one {
            Piece::Of { bar, .. } => Some(bar.as_str()),
            Piece::Plain { .. } => None,
        })?;
        let how = match with.len() {
            1 => "folded round",
            _ => "on both faces of",
        };
        Some(format!(
            "bar {name} {how} {grade} {} x {}, {} of it bare at the edge",
            units.length_bare(core.width),
            units.length(piece.thickness),
            units.length(bare)
        ))
    }

    /// All of it: stack, restacks, frame, costs, steel to buy, and sizes after every step.
    #[must_use]
    pub fn lines(&self, seen: &Outlook) -> Vec<Line> {
        let units = self.plan.units;
        let head = |word, text: String| Line::Head(word, text);
        let (height, width) = self.stack;
        let restacks: Vec<String> = self
            .sequence
            .iter()
            .skip(1)
            .map(ToString::to_string)
            .collect();
        let mut out = vec![
            head("why", self.why.join(", ")),
            head(
                "stack",
                format!(
                    "{} pieces, {} together (width x height x length)",
                    self.sequence.first().copied().unwrap_or(0),
                    units.size(width, height, self.length),
                ),
            ),
            head(
                "restack",
                match restacks.as_slice() {
                    [] => "none".to_owned(),
                    all => format!("{} pieces, all the same way up", all.join(", then ")),
                },
            ),
            head(
                "counts",
                format!(
                    "{}, {} to {} wanted",
                    show::layers(self.nominal, self.bands),
                    self.plan.goal.bands_least,
                    self.plan.goal.bands_most
                ),
            ),
            head(
                "frame",
                self.frame_words().unwrap_or_else(|| "none".to_owned()),
            ),
            head(
                "blank",
                match &self.blank {
                    Some(blank) => blank.text(units).replace("\n  ", "; "),
                    None => "the blade is ground from the bar".to_owned(),
                },
            ),
            head(
                "takes",
                format!(
                    "~{}, ~{} of work over {}; nine in ten lie in the brackets",
                    heats(seen.heats),
                    hours(seen.minutes),
                    self.days_words(seen)
                ),
            ),
            head(
                "metal",
                format!(
                    "{}; {}{}",
                    seen.enough.text_of_blanks(units),
                    seen.planned.text(),
                    self.left_words()
                ),
            ),
            head(
                "risk",
                format!("{}, {}", show::counted(self.welds, "weld"), self.risk()),
            ),
        ];
        out.extend(self.minded(seen).into_iter().map(|one| head("mind", one)));
        out.push(head(
            "buy",
            format!(
                "{} of steel{}; {} of it ends in the knife",
                units.mass(self.steel),
                self.shelf_words(),
                show::percent(self.yields, 0)
            ),
        ));
        out.extend(self.cuts.iter().map(|cut| Line::Row(cut.words(units))));
        out.extend(self.by_bar().into_iter().map(Line::Row));
        out.push(head(
            "steps",
            "sizes after each step, cold, as planned".to_owned(),
        ));
        out.extend(self.steps().into_iter().map(Line::Row));
        out
    }

    /// Where there are several bars: what each is cut from, or which piece of the shelf it is.
    #[must_use]
    pub fn by_bar(&self) -> Vec<String> {
        let units = self.plan.units;
        let several = self.plan.bars.iter().filter(|bar| !bar.name.is_empty());
        let lines = several.map(|bar| match (bar.shelf, &bar.from) {
            (Some(number), from) => {
                let from = from.as_deref().unwrap_or("an earlier job");
                format!(
                    "bar {}: piece {number} of the shelf, from {from}; nothing to buy",
                    bar.name
                )
            }
            (None, _) => {
                let cuts = self.plan.cut_list_of_bar(&bar.name);
                let cuts: Vec<String> = cuts.iter().map(|cut| cut.text(units)).collect();
                format!("bar {}: {}", bar.name, cuts.join("; "))
            }
        });
        lines.collect()
    }

    /// A table of the steps.
    fn steps(&self) -> Vec<String> {
        let units = self.plan.units;
        let unit = units.length_unit();
        let mut out = vec![format!(
            "{:>3}  {:<33} {:>22} {:>3} {:>6} {:>5}",
            "day",
            "step",
            format!("w x t x l, {unit}"),
            "pcs",
            "bands",
            "heats"
        )];
        let walk = dry_run(&self.plan, 0, &self.plan.first_billet());
        for (step, row) in self.plan.steps.iter().zip(&walk.rows) {
            if matches!(step.made, Move::EndDay) {
                continue;
            }
            let billet = &row.billet;
            let bar = &billet.bar;
            let size = if billet.stage < Stage::Forged {
                let each = [bar.width, bar.thickness, bar.length];
                each.map(|size| units.length_bare(size)).join(" x ")
            } else {
                units.mass(billet.piece_mass())
            };
            let heats = match step.heats {
                0 => String::new(),
                heats => heats.to_string(),
            };
            out.push(format!(
                "{:>3}  {:<33} {size:>22} {:>3} {:>6} {heats:>5}",
                step.day,
                show::plain(step.name(), 33),
                billet.pieces,
                show::count(billet.bands()),
            ));
        }
        for row in &mut out {
            row.truncate(row.trim_end().len());
        }
        out
    }
}

impl CutLine {
    /// One line of the cut list.
    #[must_use]
    pub fn words(&self, units: Units) -> String {
        let (width, thickness, length) = self.size;
        format!(
            "{:>3} x {} ({}) {}: {} of bar, saw cuts counted, {}",
            self.pieces,
            self.grade,
            self.key,
            units.size(width, thickness, length),
            units.length(self.bar),
            units.mass(self.mass)
        )
    }
}
