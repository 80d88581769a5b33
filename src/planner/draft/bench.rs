//! Steps put down one after the other, each made on the metal at once.

use std::sync::Arc;

use super::pace::Pace;
use super::windows::Windows;
use super::wish::Wish;
use super::worn::Worn;
use crate::billet::{
    Allowances, Billet, Hand, Kind, Move, Reading, Refusal, StackPiece, Stage, SteelId, Stock,
    Struck, apply,
};
use crate::physics::melting::limit_of;
use crate::plan::{HeatWindow, Places, Plan, PlanBar, Step, StepId};
use crate::planner::warming::Warming;
use crate::units::{Celsius, Mm, Mm3, Seconds};

/// What a step says beside its work.
#[derive(Debug, Clone, Default)]
pub(super) struct Say {
    pub(super) title: Option<String>,
    pub(super) heats: u32,
    pub(super) window: Option<HeatWindow>,
    pub(super) soak: Option<Seconds>,
    pub(super) done: Option<String>,
    pub(super) cautions: Vec<String>,
    pub(super) notes: Vec<String>,
}

#[derive(Debug)]
pub(super) struct Bench<'w> {
    pub(super) wish: &'w Wish,
    pub(super) windows: Windows,
    pub(super) pace: &'w Pace,
    /// Minutes of each step.
    pub(super) spent: Vec<f64>,
    pub(super) allow: Allowances,
    pub(super) billet: Billet,
    pub(super) steps: Vec<Step>,
    pub(super) minutes: f64,
    pub(super) heats: u32,
    pub(super) welds: u32,
    /// Longest bar so far.
    pub(super) longest: Mm,
    /// Width and thickness of the bars that were worked, after each such step and, but for the first,
    /// before it.
    pub(super) worked: Vec<(Mm, Mm)>,
    /// The same of each draw but the first that makes a bar thinner: before, and after.
    pub(super) spread: Vec<[(Mm, Mm); 2]>,
    /// The bar in hand, in a plan of several.
    bar: String,
    /// What the plan calls the bar that it began with.
    main: String,
    /// Its like, of the other hand.
    twin: Option<String>,
    /// The bars begun beside it.
    extra: Vec<PlanBar>,
    /// What has gone off the faces of the layers.
    worn: Worn,
    /// Plain bars bought for frames, jackets and backings.
    plain: Vec<(SteelId, Mm3)>,
    day: u32,
}

/// Allowances with what the goal says.
pub(super) fn allowances(wish: &Wish) -> Allowances {
    let knife = wish.goal.volume();
    Allowances {
        finished: knife.is_positive().then_some(knife),
        units: wish.units,
        ..wish.shop.allowances
    }
}

fn stock(wish: &Wish) -> Arc<[Stock]> {
    let steels = wish.steels().into_iter();
    steels
        .map(|steel| Stock {
            letter: steel.letter,
            name: steel.steel.grade,
            density: steel.steel.density,
        })
        .collect()
}

impl<'w> Bench<'w> {
    fn with(wish: &'w Wish, windows: Windows, pace: &'w Pace, billet: Billet) -> Self {
        Self {
            wish,
            windows,
            pace,
            spent: Vec::new(),
            allow: allowances(wish),
            billet,
            steps: Vec::new(),
            minutes: 0.0,
            heats: 0,
            welds: 0,
            longest: Mm::ZERO,
            worked: Vec::new(),
            spread: Vec::new(),
            bar: String::new(),
            main: String::new(),
            twin: None,
            extra: Vec::new(),
            worn: Worn::default(),
            plain: Vec::new(),
            day: 1,
        }
    }

    /// With the loose pieces of a first stack on it.
    pub(super) fn stack(
        wish: &'w Wish,
        windows: Windows,
        pace: &'w Pace,
        pieces: &[StackPiece],
        width: Mm,
        length: Mm,
    ) -> Self {
        let billet = Billet::new(pieces, width, length, stock(wish));
        Self::with(wish, windows, pace, billet)
    }

    /// With a pile of that metal on it, as it lies before its last weld: for asking how much metal
    /// the steps from there on take.
    pub(super) fn pile(
        wish: &'w Wish,
        windows: Windows,
        pace: &'w Pace,
        metal: Mm3,
        at_least: Mm,
    ) -> Self {
        let side = at_least.max(Mm(10.0)) * 2.0;
        let piece = StackPiece {
            steel: SteelId(0),
            thickness: side,
        };
        let mut billet = Billet::new(&[piece], side, metal / (side * side), stock(wish));
        billet.stage = Stage::Pile;
        Self::with(wish, windows, pace, billet)
    }

    /// Puts a step down and makes it.
    pub(super) fn put(&mut self, made: Move, say: Say) -> Result<(), Refusal> {
        let mut outcome = apply(&self.billet, &made, &self.allow, &Reading::default())?;
        if made.kind().row().struck == Struck::Along {
            let size = |billet: &Billet| (billet.bar.width, billet.bar.thickness);
            let [start, end] = [&self.billet, &outcome.billet].map(size);
            if !self.worked.is_empty() {
                self.worked.push(start);
                if matches!(made.kind(), Kind::Draw | Kind::Square) {
                    self.spread.push([start, end]);
                }
            }
            self.worked.push(end);
            self.worn.draw(&outcome.billet);
        }
        for (steel, [width, thickness, length]) in made.plain_pieces(&outcome.billet.bar) {
            let metal = width * thickness * (length + self.allow.kerf);
            self.plain.push((steel, metal));
        }
        outcome.billet.history.clear();
        let kind = made.kind();
        let step = Step {
            id: StepId(format!("{}-{}", kind.word(), self.count(kind) + 1)),
            bar: self.bar.clone(),
            called: String::new(),
            made,
            title: say.title,
            day: self.day,
            heats: say.heats,
            window: say.window,
            soak: say.soak,
            machine: self.wish.shop.machine,
            done_when: say.done,
            cautions: say.cautions,
            notes: say.notes,
            line: 0,
            places: Places::default(),
        };
        let pieces = match kind {
            // Loose pieces lie on the bench as one block.
            Kind::Prepare => u32::try_from(self.billet.nominal).unwrap_or(u32::MAX),
            _ => self.billet.pieces,
        };
        let fire = self.wish.shop.fire;
        let floor = Warming::of_step(&step, &self.steps, step.window, fire, &self.billet);
        let minutes = self.pace.of_step(&step, &floor, pieces);
        self.minutes += minutes;
        self.spent.push(minutes);
        self.heats += say.heats;
        self.welds += u32::from(kind == Kind::Weld);
        if kind == Kind::EndDay {
            self.day += 1;
        }
        self.billet = outcome.billet;
        if self.billet.stage < Stage::Forged && kind.is_hot() {
            self.longest = self.longest.max(self.billet.bar.length);
        }
        self.steps.push(step);
        Ok(())
    }

    /// Gives the bar of a plan of one its name, for others are to come.
    pub(super) fn name(&mut self, name: &str) {
        if !self.bar.is_empty() {
            return;
        }
        for step in &mut self.steps {
            name.clone_into(&mut step.bar);
        }
        self.billet.name = name.into();
        (self.bar, self.main) = (name.to_owned(), name.to_owned());
    }

    /// Begins another bar, and takes it up.
    pub(super) fn begin_bar(&mut self, bar: PlanBar) {
        self.name("core");
        let lies = bar.lies(Arc::clone(&self.billet.steels));
        self.billet.others.push(Arc::new(lies));
        self.turn_to(&bar.name);
        self.extra.push(bar);
    }

    /// Takes another bar up.
    pub(super) fn turn_to(&mut self, name: &str) {
        if !self.bar.is_empty() {
            self.billet.take_up(name);
            name.clone_into(&mut self.bar);
        }
    }

    /// The name of the bar in hand, also where it has none yet.
    pub(super) fn bar_in_hand(&self) -> String {
        if self.bar.is_empty() {
            "core".to_owned()
        } else {
            self.bar.clone()
        }
    }

    /// Numbers of the pieces of the shelf that are bars already.
    pub(super) fn takes(&self) -> Vec<u32> {
        self.extra.iter().filter_map(|bar| bar.shelf).collect()
    }

    /// All that was done so far once more on a like bar, day by day, and twisted to the left.
    pub(super) fn again_to_the_left(&mut self, name: &str) {
        let mut like = self.billet.clone();
        like.name = name.into();
        like.others = Vec::new();
        self.billet.others.push(Arc::new(like));
        let mut all: Vec<Step> = Vec::new();
        for day in self
            .steps
            .split_inclusive(|step| step.kind() == Kind::EndDay)
        {
            let (ends, work): (Vec<&Step>, Vec<&Step>) =
                day.iter().partition(|step| step.kind() == Kind::EndDay);
            all.extend(work.iter().map(|step| (*step).clone()));
            all.extend(work.iter().chain(&ends).map(|step| {
                let mut step = (*step).clone();
                name.clone_into(&mut step.bar);
                if let Move::Twist { hand, .. } = &mut step.made {
                    *hand = Hand::Left;
                }
                step
            }));
        }
        self.steps = Vec::with_capacity(all.len());
        for mut step in all {
            let kind = step.kind();
            step.id = StepId(format!("{}-{}", kind.word(), self.count(kind) + 1));
            self.steps.push(step);
        }
        self.minutes *= 2.0;
        self.heats = self.heats.saturating_mul(2);
        self.twin = Some(name.to_owned());
    }

    /// From here on the faces of the layers are no longer those of the bar in hand.
    pub(super) fn faces_go(&mut self) {
        self.worn.faces_go(&self.billet);
    }

    /// The core in hand has its jacket on.
    pub(super) fn covered(&mut self) {
        self.worn.covered(&self.billet);
    }

    /// What has gone off the lower and the upper face of the layers since the first draw, of their height then;
    /// of a jacket, off the inner and the outer one.
    pub(super) fn off(&self) -> [Mm; 2] {
        self.worn.off(&self.billet)
    }

    /// Steel bought beside that of the first bar and its like, piece by piece.
    pub(super) fn beside(&self) -> impl Iterator<Item = (SteelId, Mm3)> + '_ {
        let kerf = self.allow.kerf;
        let bought = self.extra.iter().filter(|bar| bar.shelf.is_none());
        let pieces = bought.flat_map(move |bar| {
            let each = bar.pieces.iter();
            each.map(move |one| (one.steel, bar.width * one.thickness * (bar.length + kerf)))
        });
        pieces.chain(self.plain.iter().copied())
    }

    fn count(&self, kind: Kind) -> usize {
        self.steps.iter().filter(|step| step.kind() == kind).count()
    }

    /// One more note on the last step of that kind.
    pub(super) fn note_on(&mut self, kind: Kind, note: String) {
        let mut steps = self.steps.iter_mut().rev();
        if let Some(step) = steps.find(|step| step.kind() == kind) {
            step.notes.push(note);
        }
    }

    /// The end of a day.
    pub(super) fn end_day(&mut self, note: &str) -> Result<(), Refusal> {
        let notes = match note {
            "" => Vec::new(),
            note => vec![note.to_owned()],
        };
        self.put(
            Move::EndDay,
            Say {
                notes,
                ..Say::default()
            },
        )
    }

    /// Heats to draw the bar on the bench to a section.
    pub(super) fn draw_heats(&self, width: Mm, thickness: Mm) -> u32 {
        let bar = &self.billet.bar;
        self.pace.draw_heats(bar.section().0, (width * thickness).0)
    }

    /// A size in words.
    pub(super) fn say(&self, size: Mm) -> String {
        self.wish.units.length(size)
    }

    /// The plan so far.
    pub(super) fn plan(
        self,
        pieces: Vec<StackPiece>,
        width: Mm,
        length: Mm,
        title: String,
        notes: Vec<String>,
    ) -> Plan {
        let mut shop = self.wish.shop.clone();
        shop.allowances.units = self.wish.units;
        shop.allowances.finished = None;
        // No fire that burns what it heats, whatever the shop could do.
        let steels = self.wish.steels();
        let limits = steels
            .iter()
            .map(|one| limit_of(&one.steel, one.steel.nominal.c));
        let fire = limits.fold(shop.fire, Celsius::min);
        if fire < shop.fire {
            shop.fire = Celsius((fire.0 / 5.0).floor() * 5.0);
        }
        let main = PlanBar {
            name: self.main,
            width,
            length,
            pieces,
            ..PlanBar::default()
        };
        let twin = self.twin.map(|name| PlanBar {
            name,
            ..main.clone()
        });
        let mut steps = self.steps;
        for step in &mut steps {
            if !step.bar.is_empty() && step.kind() != Kind::EndDay {
                step.called = format!("{}: {}", step.bar, step.name());
            }
        }
        Plan {
            title,
            notes,
            units: self.wish.units,
            goal: self.wish.goal.clone(),
            steels,
            shop,
            bars: std::iter::once(main)
                .chain(twin)
                .chain(self.extra)
                .collect(),
            steps,
            places: Places::default(),
        }
    }
}
