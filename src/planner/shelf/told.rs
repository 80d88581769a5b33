//! The shelf in words, as JSON, and as what a plan writes to take a piece.

use super::{Kept, Shelf};
use crate::billet::{StackPiece, SteelId};
use crate::journal::{Spare, write_stamp};
use crate::plan::PlanBar;
use crate::plan::report::{FORMAT, ShelfPage, ShelfPiece};
use crate::planner::draft::ShelfBar;
use crate::planner::write::{number, stack};
use crate::units::{Fraction, Grams, Mm, Stamp, Units, show};

/// Most bands that a plan writes down.
const MOST_BANDS: u64 = 2_000;

/// What a spare is like: steels, bands, size and mass of each.
#[must_use]
pub fn like(spare: &Spare, units: Units) -> String {
    let steels: Vec<String> = match spare.steels.as_slice() {
        [(only, _)] => vec![only.clone()],
        several => several
            .iter()
            .map(|(name, part)| format!("{name} {}", show::percent(Fraction(*part), 0)))
            .collect(),
    };
    let figure = match (spare.bands, spare.figure.as_str()) {
        (1, "flat") => String::new(),
        (bands, "flat") => format!("; {}", show::counted(bands, "band")),
        (bands, figure) => format!("; {}, {figure}", show::counted(bands, "band")),
    };
    let [width, thickness, length] = spare.size.map(Mm);
    format!(
        "{}{figure}; {}, {}",
        steels.join(", "),
        units.size(width, thickness, length),
        units.mass(Grams(spare.mass))
    )
}

impl Kept {
    /// Where it came from: journal, bar and step.
    #[must_use]
    pub fn came_from(&self) -> String {
        let spare = &self.spare;
        let bar = if spare.bar.is_empty() {
            String::new()
        } else {
            format!(", bar {}", spare.bar)
        };
        format!("{}{bar}, {}", self.journal, spare.from)
    }

    /// The piece as a bar of a plan that names its steels so. Its layers as they were where they are written
    /// down; otherwise as many bands as it had, all of one steel alike.
    #[must_use]
    pub fn as_bar(&self, name: String, steel: &dyn Fn(&str) -> SteelId) -> PlanBar {
        let spare = &self.spare;
        let [width, thickness, length] = spare.size.map(Mm);
        let own: Vec<StackPiece> = spare
            .layers
            .iter()
            .map(|(name, layer)| StackPiece {
                steel: steel(name),
                thickness: Mm(*layer),
            })
            .collect();
        let pieces = if own.is_empty() {
            even(spare, thickness, steel)
        } else {
            own
        };
        PlanBar {
            name,
            width,
            length,
            pieces,
            shelf: Some(self.number),
            from: Some(self.came_from()),
            ..PlanBar::default()
        }
    }

    /// The table that takes it into a plan; `known` is what the plan calls its steels.
    #[must_use]
    pub fn table(&self, units: Units, known: &[(String, String)]) -> String {
        let mut keys: Vec<(String, String)> = known.to_vec();
        let mut new = Vec::new();
        let layers = self.spare.layers.iter().map(|(name, _)| name);
        let parts = self.spare.steels.iter().map(|(name, _)| name);
        for grade in parts.chain(layers) {
            if keys.iter().any(|(_, of)| of == grade) {
                continue;
            }
            let free = ('A'..='Z').map(String::from);
            let taken = |key: &String| keys.iter().any(|(known, _)| known == key);
            let key = free.into_iter().find(|key| !taken(key)).unwrap_or_default();
            new.push(format!("{key} = {}", number::text(grade)));
            keys.push((key, grade.clone()));
        }
        let at = |grade: &str| {
            let place = keys.iter().position(|(_, of)| of == grade);
            SteelId::from_index(place.unwrap_or_default())
        };
        let name = |steel: SteelId| {
            let key = keys.get(steel.index());
            key.map_or_else(String::new, |(key, _)| key.clone())
        };
        let bar = self.as_bar(format!("shelf-{}", self.number), &at);
        let mut lines = Vec::new();
        if !new.is_empty() {
            lines.push("[steels] # add these lines to the table of that name".to_owned());
            lines.extend(new);
            lines.push(String::new());
        }
        if self.spare.layers.is_empty() {
            lines.push(format!(
                "# {} bands ({}): written as even layers, which is a guess",
                self.spare.bands, self.spare.figure
            ));
        }
        lines.extend([
            "[[bar]]".to_owned(),
            format!("name = {}", number::text(&bar.name)),
            format!("shelf = {}", self.number),
            format!("from = {}", number::text(&self.came_from())),
            format!("width = {}", number::length(units, bar.width)),
            format!("length = {}", number::length(units, bar.length)),
            stack::pieces(units, &name, &bar.pieces),
        ]);
        lines.join("\n")
    }
}

fn stamp(at: Stamp) -> String {
    write_stamp(at).unwrap_or_default()
}

/// As many bands as a spare has, its steels in turn.
fn even(spare: &Spare, thickness: Mm, steel: &dyn Fn(&str) -> SteelId) -> Vec<StackPiece> {
    let many = spare.bands.clamp(1, MOST_BANDS);
    let kinds = spare.steels.len().max(1) as u64;
    let turns = |at: u64| many / kinds + u64::from(at < many % kinds);
    #[expect(clippy::cast_precision_loss, reason = "two thousand at most")]
    let each = |at: u64, part: f64| thickness * (part / turns(at).max(1) as f64);
    let whole: f64 = spare.steels.iter().map(|(_, part)| part).sum();
    let kind: Vec<StackPiece> = (0..)
        .zip(&spare.steels)
        .filter(|(at, _)| turns(*at) > 0)
        .map(|(at, (name, part))| StackPiece {
            steel: steel(name),
            thickness: each(at, part / whole),
        })
        .collect();
    let many = usize::try_from(many).unwrap_or(1);
    kind.iter().copied().cycle().take(many).collect()
}

impl Shelf {
    /// What lies on it of one steel, for drafts.
    #[must_use]
    pub fn plain(&self) -> Vec<ShelfBar> {
        let plain = self.lying().filter_map(|piece| {
            let spare = &piece.spare;
            let [(grade, _)] = spare.steels.as_slice() else {
                return None;
            };
            (spare.figure == "flat").then(|| ShelfBar {
                number: piece.number,
                grade: grade.clone(),
                size: spare.size.map(Mm),
                from: piece.came_from(),
            })
        });
        plain.collect()
    }

    /// The list as text; with `all`, what has gone too.
    #[must_use]
    pub fn text(&self, units: Units, all: bool, offset: i32) -> String {
        let shown: Vec<&Kept> = if all {
            self.pieces.iter().collect()
        } else {
            self.lying().collect()
        };
        if shown.is_empty() {
            let gone = self.pieces.len();
            let more = match gone {
                0 => String::new(),
                _ => format!("; {gone} have gone, `--all` lists them"),
            };
            return format!("nothing lies on the shelf{more}");
        }
        let wide = shown
            .iter()
            .map(|piece| piece.number.to_string().len())
            .max();
        let wide = wide.unwrap_or(1);
        let lines = shown.iter().flat_map(|piece| {
            let local = Stamp(piece.at.0.saturating_add(i64::from(offset) * 60_000));
            let day: String = stamp(local).chars().take(10).collect();
            let gone = piece.gone();
            let gone = gone.map_or_else(String::new, |gone| format!("; {gone}"));
            [
                format!("{:>wide$}  {}", piece.number, like(&piece.spare, units)),
                format!("{:wide$}  from {}, {day}{gone}", "", piece.came_from()),
            ]
        });
        lines.collect::<Vec<_>>().join("\n")
    }

    /// The list for programs.
    #[must_use]
    pub(crate) fn page(&self, all: bool) -> ShelfPage {
        let shown = self
            .pieces
            .iter()
            .filter(|piece| all || piece.gone().is_none());
        ShelfPage {
            format: FORMAT,
            pieces: shown
                .map(|piece| {
                    let spare = &piece.spare;
                    let [width_mm, thickness_mm, length_mm] = spare.size;
                    ShelfPiece {
                        number: piece.number,
                        lies: piece.lies.word().to_owned(),
                        since: stamp(piece.since),
                        by: piece.by.clone(),
                        width_mm,
                        thickness_mm,
                        length_mm,
                        mass_g: spare.mass,
                        bands: spare.bands,
                        figure: spare.figure.clone(),
                        steels: spare.steels.iter().cloned().collect(),
                        journal: piece.journal.clone(),
                        bar: spare.bar.clone(),
                        step: spare.from.0.clone(),
                        kept: stamp(piece.at),
                    }
                })
                .collect(),
        }
    }
}
