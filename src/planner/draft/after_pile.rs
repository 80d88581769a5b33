//! The steps from the last pile to the finished knife, the same for every candidate of a wish.

use super::bench::Bench;
use super::covered::covered;
use super::figure::{figure, framed};
use super::knife::{blanks, finish, forge};
use super::pace::Pace;
use super::shape::{Figure, Shape};
use super::strokes::weld;
use super::windows::Windows;
use super::wish::Wish;
use crate::billet::{Kind, Layers, Refusal, SteelId};
use crate::units::{Mm, Mm3};

/// How often the metal is doubled before the steps are given up.
const DOUBLINGS: u32 = 10;

/// What the search must know of the steps behind the last pile.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct AfterPile {
    /// Least metal in the last pile, with the spare.
    pub(super) least: Mm3,
    /// Least metal without the spare.
    pub(super) bare: Mm3,
    /// Most metal before a bar gets longer than the forge heats; infinite without a limit.
    pub(super) most: f64,
    /// Section that the pile is drawn to first.
    pub(super) first: (Mm, Mm),
    /// Welds in it, the pile's own counted.
    pub(super) welds: u32,
    /// Minutes, hot work up to the first draw left out.
    pub(super) minutes: f64,
    /// Bands seen over bands of the pile.
    pub(super) multiplies: u64,
    /// What grinds and the fire take off the lower and the upper face after the first draw, while the layers
    /// lie flat, of the thickness then; none where they stand on edge.
    pub(super) off: Option<[Mm; 2]>,
    /// The plain steel that lies between two like layers, lower faces inward: a core in its jacket.
    pub(super) between: Option<SteelId>,
    /// Thickness of the finished bar's core, which the bands share.
    pub(super) core: Mm,
    /// What is bought beside the pile, per metal of it, mm3 per mm3.
    pub(super) added: f64,
    /// The same by steel, for rising metals of the pile; none where every steel can be bought.
    beside: Vec<Beside>,
    /// Width and thickness of every bar that is worked, the pile itself left out.
    pub(super) worked: Vec<(Mm, Mm)>,
    /// Those that are drawn, the pile itself left out: before, and after.
    pub(super) spread: Vec<[(Mm, Mm); 2]>,
}

/// Puts the steps on the bench. The pile lies there, not welded.
pub(super) fn run(bench: &mut Bench<'_>, shape: &Shape) -> Result<(), Refusal> {
    weld(bench, "Last weld")?;
    figure(bench, shape)?;
    if let Some(frame) = &shape.frame {
        framed(bench, shape, frame)?;
    }
    if let Some(cover) = &shape.cover {
        covered(bench, shape.bar, cover)?;
    }
    blanks(bench, shape)?;
    if bench.wish.forged {
        forge(bench)?;
    }
    finish(bench)
}

impl AfterPile {
    /// Asks the bench how much metal the steps take.
    ///
    /// Refused when no amount will do.
    pub(super) fn of(
        wish: &Wish,
        windows: Windows,
        pace: &Pace,
        shape: &Shape,
    ) -> Result<Self, Refusal> {
        let at_least = shape.first().1.max(shape.first().0);
        let with = |metal: f64| {
            let mut bench = Bench::pile(wish, windows, pace, Mm3(metal), at_least);
            run(&mut bench, shape).map(|()| bench)
        };
        // The bar that the blanks alone are, and twice that until the steps go through.
        let (width, thickness) = shape.bar;
        let mut plenty = (width * thickness * shape.blank).0 * f64::from(wish.goal.knives);
        let mut tries = 0;
        let mut first: Option<Refusal> = None;
        while let Err(refusal) = with(plenty) {
            tries += 1;
            let first = first.get_or_insert(refusal);
            if tries > DOUBLINGS {
                // with too much metal a bar only gets too long
                return Err(first.clone());
            }
            plenty *= 2.0;
        }
        let bare = lowest(plenty, |metal| with(metal).is_ok());
        let least = bare * (1.0 + wish.spare.0);
        let bench = with(least)?;
        let most = match wish.shop.allowances.longest {
            None => f64::INFINITY,
            Some(longest) => {
                let fits = |metal: f64| with(metal).is_ok_and(|bench| bench.longest <= longest);
                if !fits(bare) {
                    // Too long however little metal there is.
                    bare
                } else {
                    highest(bare, bare * 64.0, fits)
                }
            }
        };
        // Hot work up to the first draw hangs on the pile.
        let drawn = bench
            .steps
            .iter()
            .position(|step| step.kind() == Kind::Draw);
        let of_pile: f64 = bench
            .steps
            .iter()
            .zip(&bench.spent)
            .take(drawn.map_or(0, |at| at + 1))
            .filter(|(step, _)| step.kind().is_hot())
            .map(|(_, minutes)| minutes)
            .sum();
        let added = bench.beside().map(|(_, metal)| metal.0).sum::<f64>() / least;
        let beside = match wish.at_hand.is_empty() {
            true => Vec::new(),
            false => rungs(least)
                .map_while(|metal| Some(Beside::of(metal, &with(metal).ok()?)))
                .collect(),
        };
        let jacket = shape.cover.is_some() && shape.figure == Figure::Flat;
        Ok(Self {
            least: Mm3(least),
            bare: Mm3(bare),
            most,
            first: shape.first(),
            welds: bench.welds,
            minutes: bench.minutes - of_pile,
            multiplies: shape.multiplies(),
            off: (shape.figure != Figure::Feather).then(|| bench.off()),
            between: jacket.then(|| wish.plain_steel()),
            core: shape.banded(),
            added,
            beside,
            worked: bench.worked,
            spread: bench.spread,
        })
    }
}

impl AfterPile {
    /// Bands that are seen of a pile's layers, as they are left after all that goes off them.
    pub(super) fn seen(&self, left: &Layers) -> u64 {
        let bands = match self.between {
            None => left.bands().saturating_mul(u128::from(self.multiplies)),
            Some(core) => {
                let core = Layers::leaf(core, self.core);
                Layers::pile(vec![left.mirrored(), core, left.clone()]).bands()
            }
        };
        u64::try_from(bands).unwrap_or(u64::MAX)
    }

    /// Least and most bands that may be seen where so many to so many are left.
    pub(super) fn may_see(&self, [least, most]: [u128; 2]) -> [u64; 2] {
        let times = u128::from(self.multiplies);
        // The core is one more, or is one with both that lie on it.
        let core = u128::from(self.between.is_some());
        let least = least.saturating_mul(times).saturating_sub(core);
        let most = most.saturating_mul(times).saturating_add(core);
        [least, most].map(|bands| u64::try_from(bands).unwrap_or(u64::MAX))
    }
}

/// What is bought of each steel beside a pile of that metal.
#[derive(Debug, Clone, PartialEq)]
struct Beside {
    pile: f64,
    each: Vec<(SteelId, Mm3)>,
}

/// Metals of a pile from the least to four times it, each 2 % more than the last.
fn rungs(least: f64) -> impl Iterator<Item = f64> {
    (0..=70).map(move |step| least * 1.02_f64.powi(step))
}

impl Beside {
    fn of(pile: f64, bench: &Bench<'_>) -> Self {
        let mut each: Vec<(SteelId, Mm3)> = Vec::new();
        for (steel, metal) in bench.beside() {
            match each.iter_mut().find(|(known, _)| *known == steel) {
                Some((_, sum)) => *sum += metal,
                None => each.push((steel, metal)),
            }
        }
        Self { pile, each }
    }
}

impl AfterPile {
    /// What is bought of a steel beside a pile of that metal, or a little more: as much as beside the next larger of
    /// those that were asked.
    pub(super) fn beside(&self, steel: SteelId, pile: Mm3) -> Mm3 {
        let next = self.beside.iter().find(|one| one.pile >= pile.0);
        let (one, beyond) = match (next, self.beside.last()) {
            (Some(one), _) => (one, 1.0),
            (None, Some(last)) => (last, pile.0 / last.pile),
            (None, None) => return Mm3::ZERO,
        };
        let own = one.each.iter().filter(|(of, _)| *of == steel);
        own.map(|(_, metal)| *metal * beyond).sum()
    }
}

/// The least of what is good, when all above it is good too.
fn lowest(good: f64, is_good: impl Fn(f64) -> bool) -> f64 {
    let (mut bad, mut good) = (0.0, good);
    for _ in 0..60 {
        let middle = f64::midpoint(bad, good);
        if is_good(middle) {
            good = middle;
        } else {
            bad = middle;
        }
        if good - bad < 1.0 {
            break;
        }
    }
    good
}

/// The most of what is good, when all below it is good too.
fn highest(good: f64, bad: f64, is_good: impl Fn(f64) -> bool) -> f64 {
    if is_good(bad) {
        return f64::INFINITY;
    }
    let (mut good, mut bad) = (good, bad);
    while bad - good > 1.0 {
        let middle = f64::midpoint(bad, good);
        if is_good(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}
