//! One candidate, worked out in numbers alone: the same sizes, to the mark, as the moves make.
//!
//! Long because the moves worked here in numbers are held against those of the billet one by one, in one order.

use super::candidate::{Candidate, RESTACKS, Restack};
use super::fires::Fires;
use super::front::Score;
use super::grid::{Grid, Outer};
use super::limit::{FINEST, Limit, Over, Waived};
use super::shape::Figure;
use crate::billet::{Kind, Layers, Refusal, Skin, SteelId};
use crate::units::{Fraction, Mm, Mm3};

/// What can be said of a run of restacks before the length is chosen.
#[derive(Debug, Clone)]
pub(super) struct RestackRun {
    /// Height of the pile now.
    pub(super) height: Mm,
    pub(super) layers: Layers,
    /// Welds so far, the pile's own not counted.
    pub(super) welds: u32,
    /// Minutes so far, up to the pile.
    pub(super) minutes: f64,
    /// Tallest pile so far.
    pub(super) tallest: Mm,
    /// The restacks so far: thickness before the cut, pieces; the first `depth` of them.
    pub(super) each: [(Mm, u32); RESTACKS],
    /// How many restacks so far.
    pub(super) depth: usize,
    /// What the fire needs for the pile now.
    pub(super) fires: Fires,
    /// Which waived limits are overstepped so far, and how far.
    pub(super) over: Over,
}

impl RestackRun {
    /// The pile's layers less the skin that the fire eats while it is drawn to a section.
    fn eaten(&self, width: Mm, to: (Mm, Mm), scale: Fraction) -> Result<Layers, Refusal> {
        let skin = Skin::over([width, self.height], [to.0, to.1], scale.0);
        self.layers.trimmed(skin.through, skin.through)
    }
}

/// What is known of a piece before its layers are made.
#[derive(Debug)]
pub(super) struct Rough<'l> {
    /// Least and most bands.
    bands: [u128; 2],
    /// Whether like faces meet in a pile of it, where that is known.
    merges: Option<bool>,
    /// Layers that it comes of.
    layers: &'l Layers,
    /// What has gone off each face of those, and what is left between.
    off: Mm,
    left: Mm,
}

impl Rough<'_> {
    /// Bands that go at the most when that share of what is left goes off either face, with what has gone before.
    fn reached(&self, share: f64) -> u128 {
        let depth = self.off + self.left * share;
        let faces = [false, true].map(|top| self.layers.reached(depth, top));
        // Each cut may drop a sliver more.
        faces.into_iter().fold(6, u128::saturating_add)
    }
}

/// A check with some limits waived, and how far those are overstepped together.
#[derive(Debug, Clone, Copy)]
struct Check<'g> {
    grid: &'g Grid,
    waived: Waived,
    over: Over,
}

impl Check<'_> {
    fn pass(&mut self, limit: Limit) -> Result<(), Limit> {
        if limit.bit() & self.waived == 0 {
            return Err(limit);
        }
        self.over = self.over + limit.overstep(&self.grid.wish);
        Ok(())
    }
}

impl Grid {
    fn checking(&self, waived: Waived) -> Check<'_> {
        Check {
            grid: self,
            waived,
            over: Over::default(),
        }
    }

    /// The first pile.
    pub(super) fn begin(&self, outer: &Outer, waived: Waived) -> Result<RestackRun, Limit> {
        let pace = &self.pace;
        let mut check = self.checking(waived);
        check.pile(outer, outer.height, outer.moves_first)?;
        Ok(RestackRun {
            over: check.over,
            height: outer.height,
            fires: outer.fires_first,
            layers: outer.layers.clone(),
            welds: 0,
            minutes: pace.cold(Kind::Prepare, f64::from(outer.pieces))
                + pace.cold(Kind::Stack, 1.0),
            tallest: outer.height,
            each: [(Mm::ZERO, 0); RESTACKS],
            depth: 0,
        })
    }

    /// Draws the pile to a thickness and cuts what is ground off it: the layers of one piece.
    pub(super) fn drawn(
        &self,
        outer: &Outer,
        run: &RestackRun,
        thickness: usize,
        waived: Waived,
    ) -> Result<(Layers, Over), Limit> {
        let to = self
            .axes
            .thicknesses
            .get(thickness)
            .copied()
            .unwrap_or(Mm::ZERO);
        let allow = &self.wish.shop.allowances;
        let grind = allow.grind;
        if to >= run.height || to <= grind * 2.0 {
            return Err(Limit::Thin {
                height: run.height,
                takes: to,
            });
        }
        let moves = outer.moves.drawn.get(thickness).copied();
        let mut check = self.checking(waived);
        check.moved(outer.width, to, moves, false)?;
        let piece = run.eaten(outer.width, (outer.width, to), allow.scale);
        let piece = piece.and_then(|left| left.scaled_to(to).trimmed(grind, grind));
        piece
            .map(|piece| (piece, check.over))
            .map_err(|_| Limit::Thin {
                height: run.height,
                takes: to,
            })
    }

    /// What drawing the pile to a thickness oversteps, every limit passed over; nothing where it cannot be drawn.
    pub(super) fn draw_over(&self, outer: &Outer, run: &RestackRun, thickness: usize) -> Over {
        let to = self.axes.thicknesses.get(thickness).copied();
        let moves = outer.moves.drawn.get(thickness).copied();
        let mut check = self.checking(Waived::MAX);
        match to.filter(|to| *to < run.height) {
            Some(to) if check.moved(outer.width, to, moves, false).is_ok() => check.over,
            _ => Over::default(),
        }
    }

    /// A pile drawn to a thickness, with what fire and grind take off it, found without making its layers.
    pub(super) fn rough<'r>(
        &self,
        outer: &Outer,
        run: &'r RestackRun,
        thickness: usize,
    ) -> Rough<'r> {
        let allow = &self.wish.shop.allowances;
        let bands = run.layers.bands();
        let mut rough = Rough {
            bands: [0, bands],
            merges: None,
            layers: &run.layers,
            off: Mm::ZERO,
            left: run.height,
        };
        let to = self.axes.thicknesses.get(thickness).copied();
        if let Some(to) = to.filter(|to| to.is_positive()) {
            let skin = Skin::over([outer.width, run.height], [outer.width, to], allow.scale.0);
            let left = run.height - skin.through * 2.0;
            rough.off = skin.through + left * (allow.grind / to);
            rough.left = run.height - rough.off * 2.0;
            rough.bands = [bands.saturating_sub(rough.reached(0.0)), bands];
        }
        rough
    }

    /// One more restack on a run.
    pub(super) fn restacked(
        &self,
        outer: &Outer,
        run: &RestackRun,
        (piece, over): &(Layers, Over),
        restack: Restack,
        waived: Waived,
    ) -> Result<RestackRun, Limit> {
        let allow = &self.wish.shop.allowances;
        let (at, by) = (usize::from(restack.thickness), usize::from(restack.pieces));
        let thickness = self.axes.thicknesses.get(at).copied().unwrap_or(Mm::ZERO);
        let count = self.axes.restacks.get(by).copied().unwrap_or(1);
        let height = (thickness - allow.grind * 2.0) * f64::from(count);
        let moves = outer
            .moves
            .piled
            .get(at)
            .and_then(|row| row.get(by))
            .copied();
        let mut check = self.checking(waived);
        check.pile(outer, height, moves.unwrap_or(Mm(f64::INFINITY)))?;
        let welds = run.welds + 1;
        let (all, most) = (welds + self.after_pile.welds, self.wish.most_welds);
        // Judged again, and counted, at the last pile.
        if all > most && waived & (Limit::Welds { welds: all, most }).bit() == 0 {
            return Err(Limit::Welds { welds: all, most });
        }
        let pace = &self.pace;
        let heats = pace.draw_heats((run.height * outer.width).0, (thickness * outer.width).0);
        let each = f64::from(count);
        let minutes = run.minutes
            + run.fires.minutes(pace, heats)
            + pace.end_of_hot_day()
            + pace.cold(Kind::Trim, 1.0)
            + pace.cold(Kind::Grind, 1.0)
            + pace.cold(Kind::Cut, each - 1.0)
            + pace.cold(Kind::Restack, each);
        let mut sequence = run.each;
        if let Some(cell) = sequence.get_mut(run.depth) {
            *cell = (thickness, count);
        }
        let fires = outer.fires.get(at).and_then(|row| row.get(by)).copied();
        Ok(RestackRun {
            height,
            fires: fires.unwrap_or_default(),
            layers: piece.repeat(u64::from(count)),
            welds,
            minutes,
            tallest: run.tallest.max(height),
            each: sequence,
            depth: run.depth + 1,
            over: run.over + *over + check.over,
        })
    }

    /// The bands nearest those wanted that so many of a piece, piled as the last restack, could show,
    /// when they surely miss: found without making the pile. What goes off its faces behind that stays within the
    /// two outer pieces, or the bands have no least.
    pub(super) fn surely_misses(&self, piece: &Layers, restack: Restack) -> Option<u64> {
        let ends = piece.summary().first().zip(piece.summary().last());
        let merges = ends.is_some_and(|(low, high)| low.0 == high.0);
        let rough = Rough {
            bands: [piece.bands(); 2],
            merges: Some(merges),
            layers: piece,
            off: Mm::ZERO,
            left: piece.height(),
        };
        self.missed(&rough, usize::from(restack.pieces))
    }

    /// The same of a piece of which less is known.
    pub(super) fn missed(&self, one: &Rough<'_>, restack: usize) -> Option<u64> {
        let count = self.axes.restacks.get(restack).copied().unwrap_or(1);
        let pieces = u128::from(count);
        let merged = |one: u128| one.saturating_sub(1).saturating_mul(pieces) + 1;
        let apart = |one: u128| one.saturating_mul(pieces);
        let [few, many] = one.bands;
        let fewest = if one.merges == Some(false) {
            apart(few)
        } else {
            merged(few)
        };
        let most = if one.merges == Some(true) {
            merged(many)
        } else {
            apart(many)
        };
        let off = self
            .after_pile
            .off
            .map(|[low, high]| low.max(high))
            .map(|off| 0.5 * self.wish.shop.allowances.scale.0 + off / self.after_pile.first.1);
        let kept = match off.map(|share| share * f64::from(count)) {
            None => fewest,
            Some(share) if share < 1.0 => fewest.saturating_sub(one.reached(share)),
            Some(_) => 0,
        };
        let [least, most] = self.after_pile.may_see([kept, most]);
        let goal = &self.wish.goal;
        if most < goal.bands_least {
            Some(most)
        } else {
            (least > goal.bands_most).then_some(least)
        }
    }

    /// True when that many bands are not those wanted.
    pub(super) fn misses(&self, bands: u64) -> bool {
        let goal = &self.wish.goal;
        bands < goal.bands_least || bands > goal.bands_most
    }

    /// What does not depend on the length: the last pile's bands and height, and welds. How far
    /// waived limits are overstepped there.
    pub(super) fn last_pile(
        &self,
        outer: &Outer,
        run: &RestackRun,
        waived: Waived,
    ) -> Result<Over, Limit> {
        let mut check = self.checking(waived);
        let (welds, most) = (run.welds + self.after_pile.welds, self.wish.most_welds);
        if welds > most {
            check.pass(Limit::Welds { welds, most })?;
        }
        let (width, takes) = self.after_pile.first;
        if run.height < takes {
            let height = run.height;
            check.pass(Limit::Thin { height, takes })?;
        }
        check.moved(width, takes, Some(outer.moves.last), false)?;
        check.moved(run.height, outer.width, outer.moves_turned, false)?;
        let pile = match self.shape.figure {
            Figure::Feather => (run.height, outer.width),
            _ => (outer.width, run.height),
        };
        if let Some(limit) = Limit::spread(&self.wish, pile, (width, takes)) {
            check.pass(limit)?;
        }
        let bands = self.bands(outer, run);
        if self.misses(bands) {
            check.pass(Limit::Bands { bands })?;
        }
        #[expect(clippy::cast_precision_loss, reason = "a mean thickness")]
        let band = self.after_pile.core / (bands / self.after_pile.multiplies).max(1) as f64;
        if band < FINEST {
            check.pass(Limit::Fine { band })?;
        }
        Ok(check.over)
    }

    /// Bands that are seen at the end.
    pub(super) fn bands(&self, outer: &Outer, run: &RestackRun) -> u64 {
        let (first, scale) = (self.after_pile.first, self.wish.shop.allowances.scale);
        match self.after_pile.off {
            None => self.after_pile.seen(&run.layers),
            Some([low, high]) => run
                .eaten(outer.width, first, scale)
                .and_then(|left| left.scaled_to(first.1).trimmed(low, high))
                .map_or(0, |left| self.after_pile.seen(&left)),
        }
    }

    /// Metal in the last pile for a length of the first stack, and how far waived limits are
    /// overstepped; also checks every bar and piece on the way.
    pub(super) fn metal(
        &self,
        outer: &Outer,
        run: &RestackRun,
        length: Mm,
        waived: Waived,
    ) -> Result<(Mm3, Over), Limit> {
        let allow = &self.wish.shop.allowances;
        let mut check = self.checking(waived);
        let mut metal = outer.width * outer.height * length;
        for (thickness, count) in run.each.iter().take(run.depth) {
            let section = outer.width * *thickness;
            let drawn = metal * (1.0 - allow.scale.0);
            let bar = (drawn / section).floor_to(allow.mark);
            if let Some(most) = allow.longest
                && bar > most
            {
                check.pass(Limit::Longest { length: bar, most })?;
            }
            let between = allow.kerf * (f64::from(*count) - 1.0);
            let left = bar - allow.trim * 2.0 - between;
            let piece = Mm(left.0 / f64::from(*count)).floor_to(allow.mark);
            if piece < allow.shortest || !piece.is_positive() {
                let limit = Limit::Shortest {
                    length: piece.max(Mm::ZERO),
                    least: allow.shortest,
                };
                // Nothing at all cannot be waived.
                if !piece.is_positive() {
                    return Err(limit);
                }
                check.pass(limit)?;
            }
            let height = (*thickness - allow.grind * 2.0) * f64::from(*count);
            metal = outer.width * height * piece;
        }
        if metal < self.after_pile.least {
            check.pass(Limit::Metal {
                has: metal.mass(outer.density).0,
                takes: self.after_pile.least.mass(outer.density).0,
            })?;
        }
        if metal.0 > self.after_pile.most
            && let Some(most) = allow.longest
        {
            let length = most * (metal.0 / self.after_pile.most);
            check.pass(Limit::Longest { length, most })?;
        }
        for one in &self.wish.at_hand {
            let (steel, has) = (one.steel, one.mass);
            let takes = self.takes(steel, outer, length, metal).mass(one.density);
            if takes > has {
                check.pass(Limit::Stock { steel, takes, has })?;
            }
        }
        Ok((metal, check.over))
    }

    /// Like bars that begin with a first stack each: of rods side by side one of either hand.
    fn like(&self) -> f64 {
        if self.wish.rods > 1 { 2.0 } else { 1.0 }
    }

    /// Steel to buy for a length of the first stack, tenths of a gram: pieces with their saw cuts,
    /// and plain bars in proportion to the last pile's least metal.
    pub(super) fn steel(&self, outer: &Outer, length: Mm) -> u64 {
        let allow = &self.wish.shop.allowances;
        let stack = outer.width * outer.height * (length + allow.kerf) * self.like();
        let plain = self.after_pile.least * self.after_pile.added;
        tenths((stack + plain).mass(outer.density).0)
    }

    /// What a plan takes of one steel: its pieces of the first stack with their saw cuts, and what lies beside the
    /// last pile.
    fn takes(&self, steel: SteelId, outer: &Outer, length: Mm, pile: Mm3) -> Mm3 {
        let (twos, thick) = (f64::from(outer.pieces / 2), outer.thick);
        let height = match steel {
            steel if steel == outer.outside => thick.0 * (twos + 1.0),
            steel if steel == outer.inside => thick.1 * twos,
            _ => Mm::ZERO,
        };
        let stack = outer.width * height * (length + self.wish.shop.allowances.kerf) * self.like();
        stack + self.after_pile.beside(steel, pile)
    }

    /// What a candidate costs.
    pub(super) fn score(&self, outer: &Outer, run: &RestackRun, length: Mm) -> Score {
        Score {
            welds: run.welds + self.after_pile.welds,
            steel: self.steel(outer, length),
            minutes: tenths(self.minutes(outer, run)),
            lean: tenths(run.tallest / outer.width * 100.0),
        }
    }

    /// All minutes of a run whose last pile is drawn to the bar.
    pub(super) fn minutes(&self, outer: &Outer, run: &RestackRun) -> f64 {
        let (width, thickness) = self.after_pile.first;
        let heats = self
            .pace
            .draw_heats((run.height * outer.width).0, (width * thickness).0);
        let is_feather = self.shape.figure == Figure::Feather;
        run.minutes + self.after_pile.minutes + run.fires.last(&self.pace, heats, is_feather)
    }

    /// A whole candidate from nothing: what plain enumeration does.
    ///
    /// # Errors
    /// The first [`Limit`] that it meets.
    pub fn evaluate(&self, candidate: &Candidate) -> Result<Score, Limit> {
        let (outer, run) = self.follow(candidate, 0)?;
        self.last_pile(outer, &run, 0)?;
        let length = self.length(candidate);
        self.metal(outer, &run, length, 0)?;
        Ok(self.score(outer, &run, length))
    }

    /// The run of a candidate.
    pub(super) fn follow(
        &self,
        candidate: &Candidate,
        waived: Waived,
    ) -> Result<(&Outer, RestackRun), Limit> {
        let none = Limit::Thin {
            height: Mm::ZERO,
            takes: Mm::ZERO,
        };
        let outer = self.outer.get(candidate.outer as usize).ok_or(none)?;
        let mut run = self.begin(outer, waived)?;
        for restack in candidate.sequence() {
            let piece = self.drawn(outer, &run, usize::from(restack.thickness), waived)?;
            run = self.restacked(outer, &run, &piece, *restack, waived)?;
        }
        Ok((outer, run))
    }

    /// Length of the first stack of a candidate.
    pub(super) fn length(&self, candidate: &Candidate) -> Mm {
        self.axes
            .lengths
            .get(usize::from(candidate.length))
            .copied()
            .unwrap_or(Mm::ZERO)
    }
}

impl Check<'_> {
    fn pile(&mut self, outer: &Outer, height: Mm, moves: Mm) -> Result<(), Limit> {
        let allow = &self.grid.wish.shop.allowances;
        let (widest, tallest, width) = (allow.widest, allow.tallest, outer.width);
        if let Some(most) = widest
            && width > most
        {
            self.pass(Limit::Widest { width, most })?;
        }
        if let Some(most) = tallest
            && height > most
        {
            self.pass(Limit::Tallest { height, most })?;
        }
        if height > width * 2.0 {
            self.pass(Limit::Leans { height, width })?;
        }
        self.moved(width, height, Some(moves), true)
    }

    fn moved(&mut self, width: Mm, height: Mm, moves: Option<Mm>, pile: bool) -> Result<(), Limit> {
        match moves {
            Some(moves) if width > moves => self.pass(Limit::Machine {
                width,
                height,
                moves,
                pile,
            }),
            _ => Ok(()),
        }
    }
}

/// Whole tenths of a cost.
pub(super) fn tenths(value: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "costs are above zero and small; the cast saturates"
    )]
    let value = (value * 10.0).round() as u64;
    value
}
