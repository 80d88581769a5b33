//! The short list: each plan with its figures and why it is there.

use super::candidate::Candidate;
use super::compose::compose;
use super::front::Score;
use super::grid::Grid;
use super::search::SearchResult;
use crate::billet::{Billet, Move};
use crate::plan::{Blank, Diagnostic, Level, Plan, check, dry_run};
use crate::planner::steel::{CutLine, steel_to_buy};
use crate::planner::write;
use crate::units::{Fraction, Grams, Mm};

/// Longest list.
pub(super) const LONGEST: usize = 8;

/// One plan of the short list.
#[derive(Debug, Clone)]
pub struct Offer {
    pub plan: Plan,
    pub text: String,
    /// Why it is on the list.
    pub why: Vec<String>,
    /// What `check` says of the wish itself, steels and oil, whatever the plan.
    pub mind: Vec<String>,
    /// Welds, those of figure and frame counted.
    pub welds: u32,
    /// Pieces of the first stack, then of each restack.
    pub sequence: Vec<u32>,
    /// Height and width of the first stack.
    pub stack: (Mm, Mm),
    /// Length of the first stack.
    pub length: Mm,
    /// The blank that is forged, beside what its knife takes; none where the blade is ground from the bar.
    pub blank: Option<Blank>,
    /// Steel to buy.
    pub cuts: Vec<CutLine>,
    /// Its mass.
    pub steel: Grams,
    /// What is left of its bars beside the blanks, as stock.
    pub left: Grams,
    /// Metal in the finished knives over steel bought.
    pub yields: Fraction,
    pub heats: u32,
    pub hours: f64,
    pub days: u32,
    /// Tallest pile and its width.
    pub tallest: (Mm, Mm),
    /// Shortest piece that is welded.
    pub shortest: Mm,
    /// Layers by the multiplication.
    pub nominal: u128,
    /// Bands to the eye.
    pub bands: u128,
    /// Place in the grid.
    pub candidate: Candidate,
}

/// The short list of what a search found: plans that `check` takes without a word but what it says of steels and oil. The three that
/// are best at one thing come first, then the others spread between them. With what a gram and a minute
/// cost, the cheapest comes before them.
#[must_use]
pub fn short_list(grid: &Grid, found: &SearchResult, rates: Option<[f64; 2]>) -> Vec<Offer> {
    let all = found.front.sorted();
    let mut offers = Vec::new();
    for (score, candidate) in pick(&all, rates) {
        if offers.len() >= LONGEST {
            break;
        }
        if let Some(offer) = offer(grid, &all, score, &candidate) {
            offers.push(offer);
        }
    }
    offers
}

/// The front in the order in which it is offered.
fn pick(all: &[(Score, Candidate)], rates: Option<[f64; 2]>) -> Vec<(Score, Candidate)> {
    let mut order: Vec<(Score, Candidate)> = Vec::new();
    let mut take = |one: Option<&(Score, Candidate)>| {
        if let Some(one) = one
            && !order.contains(one)
        {
            order.push(*one);
        }
    };
    if let Some([gram, minute]) = rates {
        #[expect(
            clippy::cast_precision_loss,
            reason = "grams and minutes, far below 2^52"
        )]
        let cost = |s: &Score| s.steel as f64 * gram + s.minutes as f64 * minute;
        take(
            all.iter()
                .min_by(|(a, _), (b, _)| cost(a).total_cmp(&cost(b))),
        );
    }
    take(
        all.iter()
            .min_by_key(|(s, _)| (s.welds, s.steel, s.minutes)),
    );
    take(
        all.iter()
            .min_by_key(|(s, _)| (s.steel, s.welds, s.minutes)),
    );
    take(
        all.iter()
            .min_by_key(|(s, _)| (s.minutes, s.welds, s.steel)),
    );
    let mut levels: Vec<u32> = all.iter().map(|(score, _)| score.welds).collect();
    levels.dedup();
    for welds in levels {
        let level = || all.iter().filter(move |(score, _)| score.welds == welds);
        take(level().min_by_key(|(s, _)| (s.steel, s.minutes)));
        take(level().min_by_key(|(s, _)| (s.minutes, s.steel)));
        let count = level().count();
        take(level().nth(count / 2));
    }
    for one in all {
        take(Some(one));
    }
    order
}

fn offer(
    grid: &Grid,
    all: &[(Score, Candidate)],
    score: Score,
    candidate: &Candidate,
) -> Option<Offer> {
    let composed = compose(grid, candidate).ok()?;
    let mut head = vec![
        format!("{}: drafted from a wish.", composed.plan.title),
        "Look it over before the steel is cut; the maker's sheets of your steels come first."
            .to_owned(),
    ];
    head.extend(grid.wish.command.clone());
    let text = write::write(&composed.plan, &head);
    let found = check(&text).found.into_iter();
    let odd = found.filter(|one| one.level <= Level::Warning);
    // What no other plan of the wish changes is told with each.
    let (of_wish, own): (Vec<Diagnostic>, Vec<Diagnostic>) = odd.partition(|one| {
        one.level == Level::Warning && matches!(one.key.as_deref(), Some("steels" | "oil"))
    });
    if !own.is_empty() {
        return None;
    }
    let plan = composed.plan;
    let walk = dry_run(&plan, 0, &plan.first_billet());
    let rows: Vec<&Billet> = walk.rows.iter().map(|row| &row.billet).collect();
    let last = rows.last()?;
    let outer = grid.outer.get(candidate.outer as usize)?;
    let cuts = steel_to_buy(&plan, &rows);
    let steel: Grams = cuts.iter().map(|line| line.mass).sum();
    let piles = plan
        .steps
        .iter()
        .zip(&rows)
        .filter(|(step, _)| step.kind().piles())
        .map(|(_, billet)| (billet.bar.thickness, billet.bar.width));
    let tallest = piles.max_by(|a, b| (a.0 / a.1).total_cmp(&(b.0 / b.1)))?;
    let joined = plan
        .steps
        .iter()
        .zip(&rows)
        .filter(|(step, _)| step.kind().piles());
    let shortest = joined
        .map(|(_, billet)| billet.bar.length)
        .fold(Mm(f64::INFINITY), Mm::min);
    Some(Offer {
        why: why(all, &score),
        mind: of_wish.into_iter().map(|one| one.what).collect(),
        welds: composed.welds,
        sequence: std::iter::once(outer.pieces)
            .chain(plan.steps.iter().enumerate().filter_map(|(at, step)| {
                let main = plan.bars.first().is_some_and(|bar| bar.name == step.bar);
                let joins = main && matches!(step.made, Move::Restack { .. });
                joins.then(|| restacked(&rows, at))
            }))
            .collect(),
        stack: (outer.height, outer.width),
        length: plan.bars.first().map_or(Mm::ZERO, |bar| bar.length),
        yields: Fraction(
            grid.wish.goal.volume().mass(last.density()).0 * f64::from(grid.wish.goal.knives)
                / steel.0,
        ),
        blank: Blank::of(&plan, &walk),
        left: last.stock_volume().mass(last.density()),
        cuts,
        steel,
        heats: composed.heats,
        hours: composed.minutes / 60.0,
        days: plan.steps.last().map_or(1, |step| step.day),
        tallest,
        shortest,
        nominal: last.nominal,
        bands: last.bands(),
        candidate: *candidate,
        text,
        plan,
    })
}

/// How many pieces a restack joined: what the nominal count grew by.
fn restacked(rows: &[&Billet], at: usize) -> u32 {
    let after = rows.get(at);
    let mut before = rows.get(..at).unwrap_or_default().iter().rev();
    let before = before.find(|row| after.is_some_and(|after| after.name == row.name));
    let was = before.map_or(1, |row| row.nominal.max(1));
    u32::try_from(after.map_or(0, |after| after.nominal) / was).unwrap_or(u32::MAX)
}

/// What it is best at, or what no other gives.
fn why(all: &[(Score, Candidate)], score: &Score) -> Vec<String> {
    let least = |of: fn(&Score) -> u64| all.iter().map(|(s, _)| of(s)).min().unwrap_or(0);
    let mut why = Vec::new();
    if u64::from(score.welds) == least(|s| u64::from(s.welds)) {
        why.push("fewest welds".to_owned());
    }
    if score.steel == least(|s| s.steel) {
        why.push("least steel".to_owned());
    }
    if score.minutes == least(|s| s.minutes) {
        why.push("least time".to_owned());
    }
    if why.is_empty() {
        let same = || all.iter().filter(|(s, _)| s.welds == score.welds);
        if same().all(|(s, _)| s.steel >= score.steel) {
            why.push(format!("least steel with {} welds", score.welds));
        }
        if same().all(|(s, _)| s.minutes >= score.minutes) {
            why.push(format!("least time with {} welds", score.welds));
        }
    }
    if why.is_empty() {
        why.push("beaten by no other".to_owned());
    }
    why
}
