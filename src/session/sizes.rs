//! The sizes of the step in hand: wanted, read, and what they differ by.

use super::Session;
use super::like::Alike;
use super::make::make;
use crate::billet::{Billet, Dimension, Kind, Move, Stage};
use crate::plan::{CutLine, Step};
use crate::units::{Celsius, Grams, Mm, Units, show};

/// One size of the step in hand. Values are cold: mm, g of one piece, or a count.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    pub what: Dimension,
    /// The plan's target, or what follows for it from the metal before this step: what is read in the
    /// step never moves it.
    pub wanted: f64,
    /// True when the plan names the target; false when it follows from volume.
    pub named: bool,
    /// What was read.
    pub read: Option<SizeRead>,
    /// What was read of the other of several like pieces, by number; cold.
    pub aside: Vec<(u32, f64)>,
    /// What was read of like bars in the same work: which, and the size; cold.
    pub alike: Vec<(String, f64)>,
    /// What the other readings of the step leave for it, from volume: what a value typed is held against.
    pub follows: f64,
    /// Before this step; none where there was none.
    pub before: Option<f64>,
}

/// A size as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeRead {
    /// Cold value.
    pub cold: f64,
    /// The temperature it was read at, when hot.
    pub hot: Option<Celsius>,
    pub typed: String,
}

impl Size {
    /// Read less wanted.
    #[must_use]
    pub fn off(&self) -> Option<f64> {
        Some(self.read.as_ref()?.cold - self.wanted)
    }

    /// A value of this size with its unit.
    #[must_use]
    pub fn show(&self, units: Units, value: f64) -> String {
        match self.what {
            Dimension::Mass => units.mass(Grams(value)),
            Dimension::Bands => show::trimmed(value, 0),
            _ => units.length(Mm(value)),
        }
    }

    /// What is wanted, with `~` where it only follows from volume.
    #[must_use]
    pub fn wanted_text(&self, units: Units) -> String {
        let about = if self.named || self.what == Dimension::Bands {
            ""
        } else {
            "~"
        };
        format!("{about}{}", self.show(units, self.wanted))
    }

    /// What like pieces and bars were read and differ by at most: `piece 1: 213 mm, left: 215 mm, 2 mm apart`;
    /// empty while no other was read.
    #[must_use]
    pub fn apart_text(&self, units: Units) -> String {
        let pieces = self.aside.iter();
        let pieces = pieces.map(|(piece, read)| (format!("piece {piece}"), *read));
        let others: Vec<(String, f64)> = pieces.chain(self.alike.iter().cloned()).collect();
        let mut parts: Vec<String> = others
            .iter()
            .map(|(which, read)| format!("{which}: {}", self.show(units, *read)))
            .collect();
        let own = self.read.as_ref().map(|own| own.cold);
        let all = || others.iter().map(|(_, read)| *read).chain(own);
        if !others.is_empty() && all().count() > 1 {
            let most = all().fold(f64::MIN, f64::max) - all().fold(f64::MAX, f64::min);
            parts.push(format!("{} apart", self.show(units, most)));
        }
        parts.join(", ")
    }

    /// In one line: `thickness: wanted 14 mm, read 14.5 mm cold (typed 14.5), +0.5 mm`.
    #[must_use]
    pub fn line(&self, units: Units) -> String {
        let (what, wanted) = (self.what.word(), self.wanted_text(units));
        let Some(read) = &self.read else {
            return format!("{what}: wanted {wanted}, not read");
        };
        let apart = match self.apart_text(units) {
            apart if apart.is_empty() => apart,
            apart => format!("; {apart}"),
        };
        let how = match read.hot {
            Some(at) => format!("hot at {}", units.temperature(at)),
            None => "cold".to_owned(),
        };
        format!(
            "{what}: wanted {wanted}, read {} (typed {} {how}), {}{apart}",
            self.show(units, read.cold),
            read.typed,
            self.off_text(units)
        )
    }

    /// What the reading is off by: `+1/16 in`, `-0.5 mm`, `on size`; empty while nothing is read.
    #[must_use]
    pub fn off_text(&self, units: Units) -> String {
        let Some(off) = self.off() else {
            return String::new();
        };
        let text = self.show(units, off.abs());
        let sign = if off < 0.0 { "-" } else { "+" };
        if text == "0" || text.starts_with("0 ") {
            "on size".to_owned()
        } else {
            format!("{sign}{text}")
        }
    }
}

/// A size that a step leaves: of a part that it forges, as the metal gives it.
fn left_by(step: &Step, billet: &Billet, what: Dimension) -> Option<f64> {
    if step.kind() == Kind::Forge && what.is_length() {
        return billet.blade.sizes_of(&step.made)?.get(what);
    }
    Some(of(billet, what))
}

/// A size out of a billet.
fn of(billet: &Billet, what: Dimension) -> f64 {
    match what {
        Dimension::Thickness => billet.bar.thickness.0,
        Dimension::Width => billet.bar.width.0,
        Dimension::Length => billet.bar.length.0,
        Dimension::Mass => billet.piece_mass().0,
        #[expect(
            clippy::cast_precision_loss,
            reason = "only compared with a count by eye"
        )]
        Dimension::Bands => billet.bands() as f64,
    }
}

/// What the plan wants of a size after a step: its target, or what it expected of the metal. None for a
/// forged part that has no such size.
pub(super) fn wanted(step: &Step, expected: &Billet, what: Dimension) -> Option<f64> {
    let shapeless = expected.stage >= Stage::Forged && step.kind() != Kind::Forge;
    named(step, what).or_else(|| {
        let known = || left_by(step, expected, what);
        (!(what.is_length() && shapeless)).then(known).flatten()
    })
}

/// The target that a step names for a size.
fn named(step: &Step, what: Dimension) -> Option<f64> {
    let target = step.made.target().unwrap_or_default();
    match (what, &step.made) {
        (Dimension::Thickness, Move::Slice { thickness, .. }) => Some(thickness.0),
        #[expect(clippy::cast_precision_loss, reason = "a count by eye")]
        (Dimension::Bands, Move::Inspect { bands }) => bands.map(|count| count as f64),
        _ => target.get(what),
    }
}

impl Session {
    /// The metal in hand: as it was before this step, or with what was read in it.
    #[must_use]
    pub fn metal(&self) -> &Billet {
        if self.reading().is_empty() {
            &self.billet
        } else {
            &self.live.billet
        }
    }

    /// Pieces to cut for the step in hand: those of its first stack, or the plain ones that it lays on.
    #[must_use]
    pub fn to_cut(&self) -> Vec<CutLine> {
        match self.current() {
            Some(step) if step.kind() == Kind::Prepare => self.plan.cut_list_of(step),
            Some(step) => self.plan.laid_list(step, &self.meant.billet.bar),
            None => Vec::new(),
        }
    }

    /// The sizes to read in the step in hand, in the order they are asked.
    #[must_use]
    pub fn sizes(&self) -> Vec<Size> {
        let Some(step) = self.current() else {
            return Vec::new();
        };
        let alike = self.alike();
        let alike = alike.as_ref();
        let named = |what| named(step, what);
        let given = |what| wanted(step, &self.meant.billet, what).is_some();
        const LENGTHS: [Dimension; 3] = [Dimension::Thickness, Dimension::Width, Dimension::Length];
        let mut order: Vec<Dimension> = match step.kind() {
            Kind::Inspect => {
                return vec![self.one_size(Dimension::Bands, named(Dimension::Bands), None)];
            }
            Kind::Forge => LENGTHS.into_iter().filter(|what| given(*what)).collect(),
            // Its width has a step in it until the bare edge is forged up to the whole.
            Kind::Jacket => vec![Dimension::Thickness, Dimension::Length],
            // A blank that was forged or ground has no outside any more that a caliper could read.
            Kind::RoughGrind | Kind::FinishGrind => Vec::new(),
            kind if self.billet.stage < Stage::Forged && kind.is_measured() => LENGTHS.to_vec(),
            _ => Vec::new(),
        };
        order.push(Dimension::Mass);
        let size = |what| {
            let mut size = self.one_size(what, named(what), alike);
            let part = match step.made {
                Move::Forge { .. } => what != Dimension::Mass,
                Move::Slice { .. } => what == Dimension::Thickness,
                _ => false,
            };
            if part {
                // A part has no size before it is forged, nor a tile before it is cut.
                (size.before, size.follows) = (None, size.wanted);
            }
            size
        };
        order.into_iter().map(size).collect()
    }

    fn one_size(&self, what: Dimension, named: Option<f64>, alike: Option<&Alike>) -> Size {
        let mut others = self.step.reading;
        let own = others.get(what);
        others.set(what, None);
        let meant = &self.meant.billet;
        let follows = self.current().and_then(|step| wanted(step, meant, what));
        let wanted = named.or(follows).unwrap_or_else(|| of(meant, what));
        let follows = match self.current() {
            Some(step) if !others.is_empty() => {
                of(&make(&self.plan, step, &self.billet, &others).billet, what)
            }
            _ => of(&self.meant.billet, what),
        };
        Size {
            what,
            wanted,
            named: named.is_some(),
            read: own.map(|cold| SizeRead {
                cold,
                hot: self.step.hot.get(&what).copied(),
                typed: self.step.typed.get(&what).cloned().unwrap_or_default(),
            }),
            aside: self.read_aside(what).collect(),
            alike: alike
                .iter()
                .flat_map(|alike| alike.sizes(what))
                .map(|(which, read)| (which.to_owned(), read))
                .collect(),
            follows,
            before: (what != Dimension::Bands).then(|| of(&self.billet, what)),
        }
    }
}
