//! Carbon and nickel through the real layers over the logged heats.

use std::sync::Arc;

use super::span::HeatSpan;
use crate::billet::{
    Arrange, Billet, Figure, FrameBar, Kind, Lay, Loses, Move, Piece, Side, Stand,
};
use crate::metal::Composition;
use crate::physics::Spread;
use crate::session::Session;
use crate::units::Mm;

/// One thing that happened to the layers.
#[derive(Debug, Clone, PartialEq)]
pub enum CarbonMove {
    /// A trip to the fire, drawn to this part of the layers' height and of the bar's width.
    Heat(HeatSpan, f64, f64),
    /// Drawn without a logged heat.
    Thin(f64, f64),
    /// Off the bottom and the top of the layers, ground or eaten by the fire.
    Off(Mm, Mm),
    /// Off the edge side, where a plain bar makes the edge.
    OffEdge(Mm),
    /// Piled this many high.
    Pile(u64),
    /// Folded, or piled with every second piece turned over.
    Fold(u64),
    /// Bars under and over the layers, from the inside out.
    Jacket(Vec<Laid>, Vec<Laid>),
    /// Bars on the edge side, a plain one outermost: from the core out, and the core's width beside them.
    Edge(Vec<Laid>, Mm),
}

/// A bar laid under or over the layers.
#[derive(Debug, Clone, PartialEq)]
pub enum Laid {
    /// A plain one: its steel and thickness.
    Plain(usize, Mm),
    /// A layered one: what happened to it, its thickness, whether it lies upside down, and whether its
    /// layers lie along the seam.
    Bar(Box<CarbonLog>, Mm, bool, bool),
}

impl Laid {
    /// Turned over.
    fn over(&self) -> Self {
        match self {
            Self::Bar(log, thickness, flipped, flat) => {
                Self::Bar(log.clone(), *thickness, !flipped, *flat)
            }
            plain @ Self::Plain(..) => plain.clone(),
        }
    }
}

/// Everything that carbon's way depends on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CarbonLog {
    /// Analysis of each steel of the job.
    pub steels: Vec<Composition>,
    /// The first stack: steel and thickness, bottom to top.
    pub stack: Vec<(usize, Mm)>,
    /// What happened to it.
    pub moves: Vec<CarbonMove>,
    /// The layers lie flat and parallel to the faces.
    pub flat: bool,
}

/// Carbon of one steel now, mass %: low with bare faces, high with sealed ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarbonOf {
    /// Place in the job's list of steels.
    pub steel: usize,
    pub mean: Spread,
}

/// Carbon where the edge will be, mass %: in the outer 0.2 mm of a plain bar on the edge side, or in the
/// middle 0.2 mm of flat layers, which a bevel on both sides lays bare.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeCarbon {
    /// Mean of all steel there.
    pub mean: Spread,
    /// By steel, for the steels there.
    pub by_steel: Vec<CarbonOf>,
    /// Mean of the whole plain bar, where one makes the edge.
    pub bar: Option<Spread>,
}

/// Carbon and nickel now.
#[derive(Debug, Clone, PartialEq)]
pub struct CarbonNow {
    /// By steel, for the layered core.
    pub by_steel: Vec<CarbonOf>,
    /// Mean of the outer 0.2 mm, mass %.
    pub skin: Spread,
    /// Where the edge will be; none where the layers are bent and no plain bar makes the edge.
    pub edge: Option<EdgeCarbon>,
    /// Width over which nickel has spread at the oldest joints, mm.
    pub blur: Spread,
    /// Part of the nickel contrast left in a mean band.
    pub contrast: Spread,
    /// The mean band.
    pub band: Mm,
}

/// The pieces of a first stack.
fn steels_of(billet: &Billet) -> Vec<(usize, Mm)> {
    let pieces = billet.first.iter();
    pieces.map(|p| (p.steel.index(), p.thickness)).collect()
}

/// Height of one run through the layers.
fn height(billet: &Billet) -> Mm {
    billet.bar.core.layers.height()
}

/// Which way the layers of a pile run: none where they are bent.
fn stand(billet: &Billet) -> Option<Stand> {
    let core = &billet.bar.core;
    (core.figure == Figure::Flat).then_some(core.stand)
}

impl Session {
    /// What happened to one bar in the first so many steps done.
    pub(super) fn carbon_of(&self, name: &str, done: usize, spans: &[Vec<HeatSpan>]) -> CarbonLog {
        let plan = &self.plan;
        let first = plan.first_billet();
        let mut before = first.in_hand(name).into_owned();
        let mut log = CarbonLog {
            steels: plan
                .steels
                .iter()
                .map(|steel| steel.steel.nominal)
                .collect(),
            stack: steels_of(&before),
            moves: Vec::new(),
            flat: true,
        };
        let own = self.done.iter().zip(spans).take(done).enumerate();
        for (at, (done, heats)) in own.filter(|(_, (done, _))| done.step.bar == name) {
            let after = &done.made.billet;
            let of = |bar: &str| self.carbon_of(bar, at, spans);
            let made = match (&done.step.made, after.history.last()) {
                // Bars among the plain pieces: the core of the section, and what lies on it.
                (Move::Stack { among, .. }, Some(last)) if !among.is_empty() => {
                    log.stack = steels_of(after);
                    &last.made
                }
                (made, _) => made,
            };
            happened(made, &before, after, heats, &of, &mut log.moves);
            before = after.clone();
        }
        log.flat = stand(&before) == Some(Stand::Flat);
        log
    }

    /// The log that carbon is followed through.
    #[must_use]
    pub(super) fn carbon_log(&self, spans: &[Vec<HeatSpan>]) -> CarbonLog {
        let mut log = self.carbon_of(&self.billet.name, self.done.len(), spans);
        // The step in hand has drawn the bar this far already.
        let running = spans.get(self.done.len()).into_iter().flatten();
        let mut last = (self.billet.bar.width, self.billet.bar.thickness);
        for span in running {
            let (thin, wide) = (ratio(last.1, span.section.1), ratio(last.0, span.section.0));
            let (thin, wide) = if stand(&self.billet) == Some(Stand::OnEdge) {
                (wide, wide)
            } else {
                (thin, wide)
            };
            log.moves.push(CarbonMove::Thin(thin, wide));
            log.moves.push(CarbonMove::Heat(*span, 1.0, 1.0));
            last = span.section;
        }
        log
    }
}

/// What one step did to the layers.
fn happened(
    made: &Move,
    before: &Billet,
    after: &Billet,
    heats: &[HeatSpan],
    of: &dyn Fn(&str) -> CarbonLog,
    out: &mut Vec<CarbonMove>,
) {
    let pile = |times: u32| CarbonMove::Pile(u64::from(times));
    match made {
        // What the layers do not run through is no longer sequence: pieces on edge piled up, columns
        // of flat ones, pieces turned against each other.
        Move::Restack { arrange } => match (arrange, stand(before)) {
            (Arrange::Pile, Some(Stand::Flat)) => out.push(pile(before.pieces)),
            (Arrange::Flipped, Some(Stand::Flat)) => {
                out.push(CarbonMove::Fold(u64::from(before.pieces)));
            }
            (Arrange::Block { rows, turned, .. }, Some(Stand::Flat)) if !turned => {
                out.push(pile(*rows));
            }
            (
                Arrange::Block {
                    columns, turned, ..
                },
                Some(Stand::OnEdge),
            ) if !turned => out.push(pile(*columns)),
            _ => {}
        },
        Move::Fold { plies, .. } => {
            if stand(before) == Some(Stand::Flat) {
                out.push(CarbonMove::Fold(u64::from(*plies)));
            }
            out.extend(heats.iter().map(|span| CarbonMove::Heat(*span, 1.0, 1.0)));
        }
        Move::Frame { .. } | Move::Join { .. } | Move::Jacket { .. } => {
            let (put, _) = made.laid();
            let joined = after.history.last().map_or(&[][..], |last| &last.joined);
            // The bars of the lowest row of a grid are there one by one, the other rows each as a whole, which
            // its first bar stands for: it lies on the core.
            let first = match made {
                Move::Join {
                    lay: Lay::Grid { columns },
                    ..
                } => (*columns as usize).saturating_sub(1),
                _ => put.len(),
            };
            let (alone, rows) = joined.split_at(first.min(joined.len()));
            let heads = put.iter().skip(first).filter(|put| put.side == Side::Top);
            let pairs: Vec<(&FrameBar, &Arc<Billet>)> =
                put.iter().zip(alone).chain(heads.zip(rows)).collect();
            let pairs = &pairs;
            let on = |side: Side| {
                let there = pairs.iter().filter(move |(put, _)| put.side == side);
                there.map(move |(put, metal)| laid(put, metal, of))
            };
            let [mut bottom, top] =
                [Side::Bottom, Side::Top].map(|side| on(side).collect::<Vec<_>>());
            if let Move::Jacket { with, .. } = made {
                if with.len() == 1 {
                    // Folded: the same face lies on the core below.
                    bottom = top.iter().map(Laid::over).collect();
                }
                let edge = joined
                    .last()
                    .map(|metal| (metal.bar.plain(), metal.bar.width));
                if let Some((Some(steel), bare)) = edge {
                    let beside = after.bar.width - bare;
                    out.push(CarbonMove::Jacket(bottom, top));
                    let bare = Laid::Plain(steel.index(), bare);
                    out.push(CarbonMove::Edge(vec![bare], beside));
                }
                return;
            }
            if !(bottom.is_empty() && top.is_empty()) {
                out.push(CarbonMove::Jacket(bottom, top));
            }
            let edge: Vec<Laid> = on(Side::Edge).collect();
            if matches!(edge.last(), Some(Laid::Plain(..))) {
                out.push(CarbonMove::Edge(edge, before.bar.core_width()));
            }
        }
        _ if draws(made.kind()) => drawn(before, after, heats, out),
        _ => {
            // Ground: what came off the layers came off both faces.
            let off = (height(before) - height(after)) / 2.0;
            if stand(after).is_some() && off.is_positive() {
                out.push(CarbonMove::Off(off, off));
            }
            let edge = before.bar.frame_on(Side::Edge) - after.bar.frame_on(Side::Edge);
            if edge.is_positive() {
                out.push(CarbonMove::OffEdge(edge));
            }
            out.extend(heats.iter().map(|span| CarbonMove::Heat(*span, 1.0, 1.0)));
        }
    }
}

/// A bar as it lies on its side: on the edge side its layers run along the seam where they stand on edge.
fn laid(put: &FrameBar, metal: &Billet, of: &dyn Fn(&str) -> CarbonLog) -> Laid {
    let across = matches!(put.side, Side::Edge | Side::Spine);
    let (deep, along, over) = if across {
        (metal.bar.width, Stand::OnEdge, 1)
    } else {
        (metal.bar.thickness, Stand::Flat, 2)
    };
    match (&put.piece, metal.bar.plain()) {
        (Piece::Plain { steel, thickness }, _) => Laid::Plain(steel.index(), *thickness),
        (Piece::Of { .. }, Some(steel)) => Laid::Plain(steel.index(), deep),
        (Piece::Of { bar, turns }, None) => {
            let log = Box::new(of(bar));
            Laid::Bar(log, deep, *turns == over, stand(metal) == Some(along))
        }
    }
}

/// True for work in the fire that leaves a bar: metal is moved, and a skin of it eaten.
fn draws(kind: Kind) -> bool {
    let loses = kind.row().loses;
    loses.moves_metal() || loses == Loses::Treat
}

/// One size over another; 1 where either is none.
fn ratio(from: Mm, to: Mm) -> f64 {
    if from.is_positive() && to.is_positive() {
        to / from
    } else {
        1.0
    }
}

/// Drawn in equal parts over the heats of the step; each heat's skin of scale leaves with what it lost
/// of its carbon.
fn drawn(before: &Billet, after: &Billet, heats: &[HeatSpan], out: &mut Vec<CarbonMove>) {
    let last = after.history.last();
    let same = before.bar.core.stand == after.bar.core.stand;
    let (Some(done), true) = (last, same) else {
        out.extend(heats.iter().map(|span| CarbonMove::Heat(*span, 1.0, 1.0)));
        return;
    };
    let ([width, thickness, _], [wide, thick, _]) = (done.worked(), done.after);
    let (wide, thick) = (ratio(width, wide), ratio(thickness, thick));
    let thin = match before.bar.core.stand {
        Stand::Flat => thick,
        Stand::OnEdge => wide,
    };
    // What is left of the layers' height and of the width when nothing were drawn.
    let layers = ratio(height(before), height(after)) / thin;
    let across = ratio(before.bar.width, width);
    #[expect(clippy::cast_precision_loss, reason = "a handful of heats")]
    let part = 1.0 / heats.len().max(1) as f64;
    let [thin, wide, layers, across] =
        [thin, wide, layers.min(1.0), across].map(|all| all.powf(part));
    let (mut high, mut broad) = (height(before), before.bar.width);
    let mut leave = |out: &mut Vec<CarbonMove>| {
        (high, broad) = (high * thin, broad * wide);
        let off = high * (0.5 * (1.0 - layers));
        if off.0 > high.0 * 1e-12 {
            out.push(CarbonMove::Off(off, off));
        }
        if across < 1.0 && before.bar.frame_on(Side::Edge).is_positive() {
            out.push(CarbonMove::OffEdge(broad * (0.5 * (1.0 - across))));
        }
        (high, broad) = (high * layers, broad * across);
    };
    if heats.is_empty() {
        out.push(CarbonMove::Thin(thin, wide));
        leave(out);
    }
    for span in heats {
        out.push(CarbonMove::Heat(*span, thin, wide));
        leave(out);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{Entry, Event};
    use crate::session::reckon::course::Courses;
    use crate::units::{Seconds, Stamp};

    /// The moves of a job worked as planned, and the bar at its end.
    fn worked(steps: &str) -> (Vec<CarbonMove>, Billet) {
        let text = format!(
            "title = \"Test\"\nunits = \"mm\"\n[goal]\npattern = \"random\"\nbands = [2, 900]\n\
             [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n[steels]\nA = \"SAE 1095\"\nB = \"75Ni8\"\n\
             [shop]\nhand = true\nkerf = 1\ngrind = 0.5\ntrim = 1\nscale = \"1 %\"\nshortest = 1\n\
             [stack]\nwidth = 20\nlength = 200\npieces = [\"A 5 mm\", \"B 5 mm\", \"A 5 mm\", \"B 5 mm\"]\n{steps}"
        );
        let mut at = Stamp(1_772_438_400_000);
        let hash = crc32fast::hash(text.as_bytes());
        let event = Event::Plan { hash, text };
        let mut session = Session::fold(vec![Entry { seq: 1, at, event }]).unwrap();
        while let Some(step) = session.current().map(|step| step.id.clone()) {
            at = at.plus(Seconds(5.0));
            let entry = Entry {
                seq: session.seq + 1,
                at,
                event: Event::Done { step },
            };
            session.take(entry).unwrap();
        }
        let spans = session.spans(at, &Courses::default());
        (session.carbon_log(&spans).moves, session.billet)
    }

    fn piles(moves: &[CarbonMove]) -> usize {
        let pile = |step: &&CarbonMove| matches!(step, CarbonMove::Pile(_));
        moves.iter().filter(pile).count()
    }

    const WELD: &str =
        "[[step]]\nkind = \"prepare\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n";
    const AGAIN: &str = "[[step]]\nkind = \"cut\"\npieces = 2\n[[step]]\nkind = \"restack\"\n";

    #[test]
    fn the_sequence_goes_on_through_a_flat_pile_only() {
        let (flat, _) = worked(&format!("{WELD}{AGAIN}"));
        assert_eq!(piles(&flat), 1, "{flat:?}");
        let turn = "[[step]]\nkind = \"quarter-turn\"\n";
        let (edge, billet) = worked(&format!("{WELD}{turn}{AGAIN}"));
        assert_eq!(billet.bar.core.stand, Stand::OnEdge);
        assert_eq!(piles(&edge), 0, "{edge:?}");
    }

    #[test]
    fn the_layers_followed_are_as_high_as_those_of_the_bar() {
        let draw =
            "[[step]]\nkind = \"draw\"\nwidth = 20\nthickness = 8\n[[step]]\nkind = \"grind\"\n";
        let (moves, billet) = worked(&format!("{WELD}{draw}{AGAIN}"));
        let mut high = 20.0;
        for step in &moves {
            match step {
                CarbonMove::Thin(thin, _) | CarbonMove::Heat(_, thin, _) => high *= thin,
                CarbonMove::Off(a, b) => high -= (*a + *b).0,
                CarbonMove::Pile(pieces) => high *= f64::from(u32::try_from(*pieces).unwrap()),
                other => panic!("{other:?}"),
            }
        }
        let bar = height(&billet).0;
        assert!((high - bar).abs() < 1e-6, "{high} {bar}: {moves:?}");
    }
}
