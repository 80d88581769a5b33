//! Plans of several bars: sections against grids of cells worked one by one, the balance of all metal, what
//! is said of bars that cannot be laid, and the sample plans.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a test"
)]

use std::sync::Arc;

use anvilside::billet::{
    Allowances, Arrange, Bar, Billet, Faces, FrameBar, Lay, Move, Piece, Reading, Side, Sizes,
    StackPiece, SteelId, Stock, apply,
};
use anvilside::journal::Fire;
use anvilside::pattern::{Chain, Hand};
use anvilside::plan;
use anvilside::session::Session;
use anvilside::units::{Density, Fraction, Mm, Mm3, Seconds};

use crate::common::Desk;
use crate::common::dice::Dice;
use crate::oracle::cells::Grid;

const STEELS: u8 = 4;

pub(crate) fn steels() -> Arc<[Stock]> {
    let stock = |letter: char| Stock {
        letter,
        name: letter.to_string(),
        density: Density(7.85),
    };
    ['A', 'B', 'C', 'D'].map(stock).into()
}

pub(crate) fn allowances() -> Allowances {
    plan::read(&crate::common::plan_text("kitchen-pair"))
        .unwrap()
        .0
        .allowances()
}

/// A weld that is set without sizes, and loses nothing.
pub(crate) const WELD: Move = Move::Weld {
    to: Sizes {
        width: None,
        thickness: None,
        length: None,
    },
    scale: Fraction::ZERO,
};

/// The errors of a plan, each with its step and what to do.
pub(crate) fn errors(text: &str) -> Vec<String> {
    let found = plan::check(text).found.into_iter();
    found
        .filter(|found| found.level == plan::Level::Error)
        .map(|found| {
            let step = found.step.clone().unwrap_or_default();
            format!("{step}: {}; {}", found.what, found.remedy)
        })
        .collect()
}

/// A job of several bars by chance, as metal and as cells.
pub(crate) struct Job {
    pub(crate) metal: Billet,
    pub(crate) grids: Vec<(String, Grid)>,
    pub(crate) allow: Allowances,
    made: u32,
}

impl Job {
    pub(crate) fn new(dice: &mut Dice, bars: usize) -> Self {
        let mut all = Vec::new();
        let mut grids = Vec::new();
        for bar in 0..bars {
            let pieces: Vec<StackPiece> = (0..2 + dice.up_to(5))
                .map(|_| StackPiece {
                    steel: SteelId(dice.up_to(usize::from(STEELS)) as u8),
                    thickness: Mm(dice.between(1.0, 8.0)),
                })
                .collect();
            let width = dice.between(20.0, 40.0);
            let name = format!("bar-{bar}");
            grids.push((name.clone(), Grid::stack(&pieces, width)));
            all.push(Billet {
                name: name.as_str().into(),
                ..Billet::new(&pieces, Mm(width), Mm(200.0), steels())
            });
        }
        let mut all = all.into_iter();
        let mut metal = all.next().unwrap();
        metal.others = all.map(Arc::new).collect();
        Self {
            metal,
            grids,
            allow: allowances(),
            made: 0,
        }
    }

    pub(crate) fn grid(&mut self, name: &str) -> &mut Grid {
        &mut self
            .grids
            .iter_mut()
            .find(|(own, _)| own == name)
            .unwrap()
            .1
    }

    pub(crate) fn make(&mut self, bar: &str, made: &Move) {
        self.metal.take_up(bar);
        let outcome = apply(&self.metal, made, &self.allow, &Reading::default());
        self.metal = outcome
            .unwrap_or_else(|why| panic!("{bar} {made:?}: {why}"))
            .billet;
        self.made += 1;
        let bars = self.metal.bars();
        let (there, left) = bars.fold((0.0, 0.0), |(there, left), bar| {
            let here = bar.volume() + bar.stock_volume();
            assert!(
                (here.0 - bar.ledger.left().0).abs() < 1e-6 * here.0.max(1.0),
                "{}",
                bar.name
            );
            (there + here.0, left + bar.ledger.left().0)
        });
        assert!((there - left).abs() < 1e-6 * there, "{there} {left}");
    }

    /// Stacks a bar, welds it, and works it up to so many times.
    pub(crate) fn begin(&mut self, dice: &mut Dice, bar: &str, times: usize) {
        self.make(bar, &Move::STACK);
        self.make(bar, &WELD);
        for _ in 0..dice.up_to(times) {
            self.work(dice, bar);
        }
    }

    /// Lays the bars of the job on one of them, as metal; false where they cannot be made to fit.
    pub(crate) fn lays(&mut self, bar: &str, made: &Move) -> bool {
        self.metal.take_up(bar);
        if let Err(why) = apply(&self.metal, made, &self.allow, &Reading::default()) {
            assert_eq!(why.what, "the bar would be ground away");
            return false;
        }
        self.make(bar, made);
        true
    }

    /// Welds what was laid and works it on, and holds it against the cells each time.
    pub(crate) fn holds_on(&mut self, dice: &mut Dice, bar: &str, grid: Grid, name: &str) {
        *self.grid(bar) = grid;
        self.make(bar, &WELD);
        self.holds(dice, bar, name);
        for _ in 0..3 {
            self.reshape(dice, bar);
            self.holds(dice, bar, &format!("{name} worked"));
        }
    }

    /// Work on one bar that keeps it a bar.
    pub(crate) fn work(&mut self, dice: &mut Dice, bar: &str) {
        self.metal.take_up(bar);
        let [w, t] = [self.metal.bar.width.0, self.metal.bar.thickness.0];
        match dice.up_to(4) {
            0 => {
                let to = [w * dice.between(0.7, 1.3), t * dice.between(0.6, 1.3)];
                let sizes = Sizes {
                    width: Some(Mm(to[0])),
                    thickness: Some(Mm(to[1])),
                    length: None,
                };
                self.make(
                    bar,
                    &Move::Square {
                        to: sizes,
                        scale: Fraction::ZERO,
                    },
                );
                self.grid(bar).to(to);
            }
            1 => {
                let off = dice.between(0.0, 0.06) * w.min(t);
                let faces = if dice.up_to(2) == 0 {
                    Faces::Two
                } else {
                    Faces::Four
                };
                self.make(
                    bar,
                    &Move::Grind {
                        per_face: Mm(off),
                        faces,
                    },
                );
                let across = if faces == Faces::Four { off } else { 0.0 };
                self.grid(bar).off(across, off);
            }
            2 => {
                let share = dice.between(0.0, 0.06);
                self.make(
                    bar,
                    &Move::Normalise {
                        cycles: 1,
                        scale: Fraction(share),
                    },
                );
                // One depth all round: 4 s^2 - 2 (w + t) s + w t share = 0.
                let half = w + t;
                let depth = (half - (half * half - 4.0 * w * t * share).sqrt()) / 4.0;
                // The law of the skin is good to a few parts in a thousand: the cells follow the bar from there.
                let now = &self.metal.bar;
                let [across, through] = [(w - now.width.0) / 2.0, (t - now.thickness.0) / 2.0];
                for off in [across, through] {
                    assert!(
                        (off - depth).abs() < 0.05 * depth + 1e-9,
                        "{off} for {depth}"
                    );
                }
                self.grid(bar).off(across, through);
            }
            _ => {
                self.make(bar, &Move::QuarterTurn);
                let turned = self.grid(bar).turned();
                *self.grid(bar) = turned;
            }
        }
    }

    /// Work that goes through no bar of a section of many small ones.
    pub(crate) fn reshape(&mut self, dice: &mut Dice, bar: &str) {
        self.metal.take_up(bar);
        let [w, t] = [self.metal.bar.width.0, self.metal.bar.thickness.0];
        if dice.up_to(2) == 0 {
            self.make(bar, &Move::QuarterTurn);
            let turned = self.grid(bar).turned();
            *self.grid(bar) = turned;
            return;
        }
        let to = [w * dice.between(0.7, 1.3), t * dice.between(0.6, 1.3)];
        let sizes = Sizes {
            width: Some(Mm(to[0])),
            thickness: Some(Mm(to[1])),
            length: None,
        };
        let scale = Fraction::ZERO;
        self.make(bar, &Move::Square { to: sizes, scale });
        self.grid(bar).to(to);
        let off = 1e-3 * to[0].min(to[1]);
        let grind = Move::Grind {
            per_face: Mm(off),
            faces: Faces::Four,
        };
        if apply(&self.metal, &grind, &self.allow, &Reading::default()).is_ok() {
            self.make(bar, &grind);
            self.grid(bar).off(off, off);
        }
    }

    /// Lays bars on sides of another, and welds them.
    fn lay(&mut self, dice: &mut Dice, core: &str, others: &[String]) -> bool {
        let sides = [Side::Top, Side::Bottom, Side::Edge, Side::Spine];
        let mut put: Vec<FrameBar> = others
            .iter()
            .map(|bar| FrameBar {
                side: sides[dice.up_to(4)],
                piece: Piece::Of {
                    bar: bar.clone(),
                    turns: dice.up_to(4) as u8,
                },
            })
            .collect();
        let join = dice.up_to(3) == 0;
        if !join && dice.up_to(2) == 0 {
            // Plain bars on top and bottom of flat layers count as layers between edge bars that are on already,
            // so they are laid on sides here.
            let side = sides[2 + dice.up_to(2)];
            put.push(FrameBar::plain(
                side,
                SteelId(3),
                Mm(dice.between(1.0, 9.0)),
            ));
        }
        let made = if join {
            Move::Join {
                with: put.iter().map(|one| one.piece.clone()).collect(),
                lay: if dice.up_to(2) == 0 {
                    Lay::Pile
                } else {
                    Lay::Beside
                },
                fit: true,
            }
        } else {
            Move::Frame {
                bars: put,
                fit: true,
            }
        };
        let (put, _) = made.laid();
        self.metal.take_up(core);
        // A bar far too wide is refused where the grind would take its core.
        if let Err(why) = apply(&self.metal, &made, &self.allow, &Reading::default()) {
            assert_eq!(why.what, "the bar would be ground away");
            return false;
        }
        self.make(core, &made);
        let mut grid = self.grid(core).clone();
        let [own, _] = grid.size();
        for side in [Side::Bottom, Side::Top, Side::Edge, Side::Spine] {
            let flat = matches!(side, Side::Top | Side::Bottom);
            let covers = if flat { own } else { grid.size()[1] };
            for one in put.iter().filter(|one| one.side == side) {
                let on = match &one.piece {
                    Piece::Of { bar, turns } => {
                        let mut on = self.grid(bar).clone();
                        for _ in 0..*turns {
                            on = on.turned();
                        }
                        on.fitted(covers, flat)
                    }
                    Piece::Plain { steel, thickness } => {
                        let piece = StackPiece {
                            steel: *steel,
                            thickness: *thickness,
                        };
                        let mut on = Grid::stack(&[piece], covers);
                        if !flat {
                            on = on.turned();
                        }
                        on
                    }
                };
                grid = grid.lay(side, &on);
            }
        }
        *self.grid(core) = grid;
        self.make(core, &WELD);
        true
    }

    /// The tree, and the picture's way back, against the cells.
    pub(crate) fn holds(&mut self, dice: &mut Dice, bar: &str, what: &str) {
        self.metal.take_up(bar);
        let grid = self.grid(bar).clone();
        let metal = &self.metal;
        let section: &Bar = &metal.bar;
        let [w, t] = grid.size();
        assert!(
            (section.width.0 - w).abs() < 1e-6 * w,
            "{what}: width {} {w}",
            section.width.0
        );
        assert!(
            (section.thickness.0 - t).abs() < 1e-6 * t,
            "{what}: thickness"
        );
        for steel in (0..STEELS).map(SteelId) {
            let share = section.area_of(steel).0 / (w * t);
            assert!(
                (share - grid.share(steel)).abs() < 1e-7,
                "{what}: share of {steel:?} {share}"
            );
        }
        let chain = Chain::new(&metal.first, &metal.history, Hand::ruled());
        for _ in 0..60 {
            let (y, z) = (w * dice.next(), t * dice.next());
            if !grid.clear(y, z) {
                continue;
            }
            let wanted = grid.steel(y, z);
            assert_eq!(
                section.steel_at(Mm(y), Mm(z)),
                Some(wanted),
                "{what}: {y} {z} of {w} {t}"
            );
            let seen = chain.steel_at(Mm(1.0), Mm(y - 0.5 * w), Mm(z - 0.5 * t));
            assert_eq!(seen, Some(wanted), "{what}: picture at {y} {z} of {w} {t}");
            assert_eq!(
                section.through(Mm(y)).bands(),
                grid.bands(y),
                "{what}: bands at {y}"
            );
            assert_eq!(
                section.across(Mm(z)).bands(),
                grid.turned().bands(t - z),
                "{what}: bands across at {z}"
            );
        }
        let middle = [
            section.frame_on(Side::Edge) + section.core_width() / 2.0,
            section.frame_on(Side::Bottom) + section.core_thickness() / 2.0,
        ];
        if grid.clear(middle[0].0, middle[1].0) {
            grid.counts(section, middle.map(|mm| mm.0), what);
        }
    }
}

#[test]
fn three_hundred_jobs_of_several_bars_are_their_cells_worked_one_by_one() {
    let mut dice = Dice(2_026);
    let (mut made, mut members, mut joined) = (0, 0, 0);
    for number in 0..300 {
        let count = 2 + dice.up_to(4);
        let mut job = Job::new(&mut dice, count);
        let mut free: Vec<String> = job.grids.iter().map(|(name, _)| name.clone()).collect();
        for bar in &free.clone() {
            job.begin(&mut dice, bar, 4);
            job.holds(&mut dice, bar, &format!("job {number}, {bar}"));
        }
        while free.len() > 1 {
            let core = free.remove(dice.up_to(free.len()));
            let some = 1 + dice.up_to(free.len());
            let laid: Vec<String> = free.drain(..some).collect();
            if !job.lay(&mut dice, &core, &laid) {
                free = vec![core];
                break;
            }
            joined += 1;
            job.holds(
                &mut dice,
                &core,
                &format!("job {number}, {core} on {laid:?}"),
            );
            for _ in 0..dice.up_to(5) {
                job.work(&mut dice, &core);
                job.holds(&mut dice, &core, &format!("job {number}, {core} worked"));
            }
            free.push(core);
        }
        made += job.made;
        job.metal.take_up(&free[0]);
        members += job.metal.bar.frame.len();
    }
    assert!(
        made > 4_000 && members > 300 && joined > 300,
        "{made} moves, {members} members, {joined} joined"
    );
}

/// Bands of blocks, turned and not, along a line through the thickness and one across the width.
#[test]
fn five_hundred_blocks_are_counted_along_both_lines() {
    let mut dice = Dice(1_234_567);
    for number in 0..500 {
        let mut job = Job::new(&mut dice, 1);
        let bar = "bar-0";
        let same = |job: &mut Job, made: Move| job.make(bar, &made);
        let weld = || WELD;
        let square = |to: [f64; 2]| Move::Square {
            to: Sizes {
                width: Some(Mm(to[0])),
                thickness: Some(Mm(to[1])),
                length: None,
            },
            scale: Fraction::ZERO,
        };
        same(&mut job, Move::STACK);
        same(&mut job, weld());
        if dice.up_to(2) == 0 {
            same(&mut job, Move::QuarterTurn);
            let turned = job.grid(bar).turned();
            *job.grid(bar) = turned;
        }
        let turned = dice.up_to(2) == 0;
        let side = dice.between(12.0, 25.0);
        let to = [
            side,
            if turned {
                side
            } else {
                dice.between(8.0, 25.0)
            },
        ];
        same(&mut job, square(to));
        job.grid(bar).to(to);
        let (columns, rows) = (1 + dice.up_to(4), 1 + dice.up_to(4));
        if columns * rows < 2 {
            continue;
        }
        let pieces = (columns * rows) as u32;
        let cut = Move::Cut {
            pieces,
            length: None,
            kerf: Mm::ZERO,
            keep_rest: false,
        };
        job.allow.shortest = Mm(0.1);
        job.allow.mark = Mm(0.001);
        same(&mut job, cut);
        let arrange = Arrange::Block {
            columns: columns as u32,
            rows: rows as u32,
            turned,
        };
        same(&mut job, Move::Restack { arrange });
        let piece = job.grid(bar).clone();
        let lain = |row: usize, column: usize| match turned && (row + column) % 2 == 1 {
            true => piece.turned(),
            false => piece.clone(),
        };
        let row = |row: usize| {
            let first = lain(row, 0);
            (1..columns).fold(first, |all, column| all.beside(&lain(row, column)))
        };
        let first = row(0);
        let mut block = (1..rows).fold(first, |all, above| all.under(&row(above)));
        let what = format!("block {number}: {columns} x {rows}, turned: {turned}");
        let held = |job: &Job, block: &Grid| {
            let [w, t] = block.size();
            let middle = [w / columns as f64 / 2.0, t / rows as f64 / 2.0];
            // A line along a seam of the piece meets one of two layers.
            if block.clear(middle[0], middle[1]) || !turned {
                block.counts(&job.metal.bar, middle, &what);
            }
        };
        held(&job, &block);
        same(&mut job, weld());
        let to = [dice.between(20.0, 60.0), dice.between(10.0, 40.0)];
        same(&mut job, square(to));
        block.to(to);
        held(&job, &block);
        assert_eq!(job.metal.bar.counts().exact, !turned, "{what}");
        if !turned {
            let off = dice.between(0.0, 3.0);
            same(
                &mut job,
                Move::Grind {
                    per_face: Mm(off),
                    faces: Faces::Four,
                },
            );
            block.off(off, off);
            held(&job, &block);
        }
    }
}

// By hand: nine layers, plain outside. Four abreast show nine bands whatever their number; two high they
// are 2 x 9 - 1. Turned by turns, a line through the first column meets the nine of one and one of the other,
// which is of the steel that they meet in.
#[test]
fn like_bars_abreast_are_not_more_bands() {
    let nine: Vec<StackPiece> = (0..9)
        .map(|at| StackPiece {
            steel: SteelId(at % 2),
            thickness: Mm(3.0),
        })
        .collect();
    let bar = Billet::new(&nine, Mm(27.0), Mm(400.0), steels());
    let block = |columns, rows, turned| {
        let cut = Move::Cut {
            pieces: columns * rows,
            length: None,
            kerf: Mm(1.0),
            keep_rest: false,
        };
        let arrange = Arrange::Block {
            columns,
            rows,
            turned,
        };
        let mut metal = bar.clone();
        for made in [Move::STACK, WELD, cut, Move::Restack { arrange }] {
            metal = apply(&metal, &made, &allowances(), &Reading::default())
                .unwrap()
                .billet;
        }
        let counts = metal.counts();
        (metal.bands(), counts.through, counts.across)
    };
    assert_eq!(block(4, 1, false), (9, 9, 1));
    assert_eq!(block(2, 2, false), (17, 17, 1));
    assert_eq!(block(2, 2, true), (9, 9, 9));
    assert_eq!(block(4, 1, true), (17, 9, 17));
}

/// A plan of two bars: steps follow.
fn two(steps: &str) -> String {
    format!(
        "title = \"Test\"\nunits = \"mm\"\n[goal]\npattern = \"straight\"\nbands = [2, 900]\n\
         [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n[steels]\nA = \"SAE 1095\"\nB = \"75Ni8\"\n\
         [shop]\nhand = true\nscale = \"0 %\"\nshortest = 1\n\
         [[bar]]\nname = \"core\"\nwidth = 30\nlength = 200\npieces = [\"A 5 mm\", \"B 5 mm\", \"A 5 mm\"]\n\
         [[bar]]\nname = \"side\"\nwidth = 30\nlength = 200\npieces = [\"A 4 mm\", \"B 4 mm\"]\n{steps}"
    )
}

fn made(bar: &str) -> String {
    format!(
        "[[step]]\nkind = \"prepare\"\nbar = \"{bar}\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n"
    )
}

fn found(steps: &str) -> Vec<String> {
    let all = errors(&two(steps)).into_iter();
    all.map(|one| one.split_once(": ").unwrap().1.to_owned())
        .collect()
}

#[test]
fn errors_name_the_bar_how_far_it_is_off_and_what_to_do() {
    let (core, side) = (made("core"), made("side"));
    let join = "[[step]]\nkind = \"join\"\nbar = \"core\"\nwith = \"side\"\n";
    let says = |steps: &str, wanted: &str| {
        let all = found(steps);
        assert!(all.iter().any(|one| one == wanted), "{wanted}\n{all:#?}");
    };
    assert_eq!(
        found(&format!("{core}{side}{join}[[step]]\nkind = \"weld\"\n")),
        [""; 0]
    );
    says(
        &core,
        "bar 'side' is never used; lay it in a frame or a join, or leave it out",
    );
    says(
        &format!(
            "{core}{side}[[step]]\nkind = \"end-day\"\n[[step]]\nkind = \"trim\"\nbar = \"core\"\nends = 1\n"
        ),
        "bar 'side' is made and goes into no other bar; lay it in a frame or a join, or leave it out",
    );
    says(
        &format!("{core}{join}"),
        "bar 'side' is not welded yet; make bar 'side' in the steps before this one",
    );
    says(
        &format!(
            "{core}{side}[[step]]\nkind = \"join\"\nbar = \"core\"\nwith = [\"side\", \"side\"]\n"
        ),
        "bar 'side' is used up: it went into bar 'core'; use it once, or cut it to more pieces before",
    );
    says(
        &format!(
            "{core}{side}{join}[[step]]\nkind = \"weld\"\n[[step]]\nkind = \"trim\"\nbar = \"side\"\n"
        ),
        "bar 'side' is used up: it went into bar 'core'; work bar 'core', or move this step further up",
    );
    says(
        &format!("{core}{side}[[step]]\nkind = \"trim\"\nends = 10\n{join}"),
        "bar 'side' is 180 mm long and bar 'core' 200 mm: bar 'core' is 20 mm longer; trim bar 'core' to 180 mm, or draw bar 'side' longer",
    );
    says(
        &format!("{core}{side}[[step]]\nkind = \"square\"\nwidth = 34\nlength = 200\n{join}"),
        "bar 'side' is 34 mm wide where it covers 30 mm: 4 mm too much; draw bar 'side' to 30 mm, or grind 4 mm off it",
    );
    says(
        &format!("{core}{side}[[step]]\nkind = \"join\"\nbar = \"core\"\nwith = \"sides\"\n"),
        "with 'sides' is not a bar of this plan; write one of core, side",
    );
    says(
        &format!("{core}{side}[[step]]\nkind = \"trim\"\nbar = \"cote\"\n"),
        "bar 'cote' is not a bar of this plan; write one of core, side",
    );
}

#[test]
fn what_is_made_to_fit_is_booked_and_the_rest_of_the_pieces_kept() {
    let fit = format!(
        "{}{}[[step]]\nkind = \"square\"\nwidth = 34\nlength = 150\n[[step]]\nkind = \"cut\"\npieces = 2\nlength = 70\n\
         [[step]]\nkind = \"join\"\nbar = \"core\"\nwith = \"side\"\nfit = true\n[[step]]\nkind = \"weld\"\n",
        made("core"),
        made("side"),
    );
    let checked = plan::check(&two(&fit));
    assert_eq!(checked.errors(), 0, "{:?}", checked.found);
    let left = checked
        .found
        .iter()
        .find(|one| one.what.contains("left over"));
    assert_eq!(left.unwrap().what, "1 of bar 'side' left over");
    let walk = checked.walk.unwrap();
    let metal = &walk.rows.last().unwrap().billet;
    // The core loses 130 of 200 mm, 15 x 30 each: by hand.
    let trimmed = metal.ledger.total(anvilside::billet::Loss::Trim);
    assert!(trimmed.near(Mm3(130.0 * 15.0 * 30.0), 1.0), "{trimmed:?}");
    assert!(
        metal
            .ledger
            .total(anvilside::billet::Loss::Grind)
            .is_positive()
    );
    assert!(metal.bar.length.near(Mm(70.0), 1e-9));
}

#[test]
fn a_plan_of_one_bar_is_written_and_read_as_it_always_was() {
    let text = crate::common::plan_text("turned-w-petty");
    let (plan, _) = plan::read(&text).unwrap();
    assert_eq!(plan.bars.len(), 1);
    assert!(plan.bars[0].name.is_empty() && plan.steps.iter().all(|step| step.bar.is_empty()));
    let both = text.replace(
        "[stack]\n",
        "[[bar]]\nname = \"one\"\nwidth = 1\nlength = 1\npieces = [\"A 1 mm\"]\n[stack]\n",
    );
    let found = plan::read(&both).unwrap_err();
    assert!(
        found
            .iter()
            .any(|one| one.what == "the file has [stack] and [[bar]]"),
        "{found:?}"
    );
}

#[test]
fn another_bar_is_worked_while_one_soaks_and_a_kill_in_the_middle_loses_neither() {
    let mut desk = Desk::sample("framed-core");
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    let id = |desk: &Desk| desk.model.session.current().unwrap().id.0.clone();
    let cut = desk.model.session.current().unwrap();
    let cut = desk.model.session.plan.cut_list_of(cut);
    assert_eq!(
        cut.iter().map(|line| line.count).collect::<Vec<_>>(),
        [7, 6]
    );
    while id(&desk) != "weld-2" {
        desk.finish_step();
    }
    assert!(desk.shows("bar ten, 2 dots"), "{}", desk.screen(120, 40));
    desk.answer_card();
    desk.keys("+");
    desk.wait(Seconds(60.0));
    assert_eq!(desk.model.session.fire.0, Fire::In);
    // The core waits for its next day, and the join waits for all three: only the five layers may be worked.
    let free: Vec<String> = desk
        .model
        .session
        .may_turn_to()
        .map(|step| step.id.0.clone())
        .collect();
    assert_eq!(free, ["prepare-3"]);
    desk.keys("c1");
    assert_eq!(id(&desk), "prepare-3");
    assert_eq!(&*desk.model.session.billet.name, "five");
    let screen = desk.screen(120, 40);
    assert!(
        screen.contains("bar five, 3 dots") && screen.contains("ten SOAK 4:5"),
        "{screen}"
    );
    assert!(screen.contains("count its punch dots"), "{screen}");
    // Taken back and brought back as one entry.
    desk.keys("-");
    assert_eq!(
        (id(&desk).as_str(), desk.model.session.fire.0),
        ("weld-2", Fire::In)
    );
    desk.keys("r");
    assert_eq!(id(&desk), "prepare-3");
    let before = desk.model.session.laid_by.clone();
    let mut desk = desk.killed_and_reopened(Seconds(20.0));
    desk.foresees = false;
    desk.reckons = false;
    assert_eq!(id(&desk), "prepare-3");
    assert_eq!(desk.model.session.laid_by, before);
    desk.keys("+");
    desk.finish_step();
    // The weld goes on where it was left: in the fire, its card answered but for which bar this is.
    assert_eq!(id(&desk), "weld-2");
    let session = &desk.model.session;
    assert_eq!((&*session.billet.name, session.fire.0), ("ten", Fire::In));
    let blockers: Vec<String> = session
        .card()
        .items
        .iter()
        .filter(|item| item.blocks())
        .map(|item| item.caution.id.0.clone())
        .collect();
    assert_eq!(blockers, ["bars.which"]);
    desk.answer_card();
    desk.wait(Seconds(420.0));
    while !desk.model.session.is_finished() {
        desk.finish_step();
    }
    let metal = &desk.model.session.billet;
    let there: f64 = metal.whole().iter().map(|volume| volume.0).sum();
    assert!((metal.balance().left().0 - there).abs() < 1e-3);
    let lines: Vec<String> = desk
        .model
        .session
        .bars()
        .iter()
        .map(anvilside::session::BarLine::text)
        .collect();
    assert_eq!(lines[1], "bar ten (2 dots): in bar core");
    let again = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(again.billet, *metal);
}
