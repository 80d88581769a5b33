//! Times in and out of the fire for the piece in hand.

use super::Inputs;
use super::cooling::Cooling;
use super::course::Courses;
use super::span::HeatSpan;
use crate::journal::Fire;
use crate::physics::Spread;
use crate::physics::section::{SHOP_AIR, Section, soak_through};
use crate::units::{Celsius, Mm, Seconds};

/// Core and skin this near are taken as through.
const EVEN: Celsius = Celsius(25.0);
/// How far under its window a piece may be taken for one at heat: the surface figures are worth no more.
const NEARLY: Celsius = Celsius(40.0);
/// What the surface figures leave open, either way.
pub(super) const SURFACE: f64 = 0.15;

/// Times for the piece in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct FireNumbers {
    /// In the fire until hot and hot through; the surface figures are worth 15 % either way, and a lower
    /// face that lies on the hearth takes its share of the time more.
    pub through: Spread,
    /// Of the step's soak, what was held before this trip and still counts.
    pub soaked: Seconds,
    /// The hottest that the piece has been in this step; none without a trip to the fire.
    pub hottest: Option<Celsius>,
    /// How long it was held at heat in this step, all trips together.
    pub held: Seconds,
    /// Out of the fire until the window's lower end: best under the dies for part of the time, high
    /// in still air with a surface that gives off little, low with hard contact.
    pub left: Spread,
    /// From here: the top of the window, or what a short heat has reached.
    pub top: Celsius,
    /// To here.
    pub floor: Celsius,
    /// How it goes on cooling.
    pub cooling: Cooling,
}

/// Times for the piece in hand.
pub(super) fn fire(inputs: &Inputs, courses: &Courses) -> Option<FireNumbers> {
    let window = inputs.window?;
    let (top, floor) = (inputs.heating.top, window.low);
    let section = Section {
        width: inputs.section.0,
        thickness: inputs.section.1,
    };
    let running = inputs.running();
    let from = match running.filter(|span| span.outside.is_none()) {
        Some(span) => span.from,
        None if inputs.from_cold => SHOP_AIR,
        // Worked to the end of its window; lower where a short heat or a long wait left it.
        None => {
            let last = inputs.heats.last();
            last.map_or(floor, |span| span.left_at(courses).min(floor))
        }
    };
    let through = hot_through(section, from, (inputs.heating.furnace, top))?;
    let hearth = on_hearth(section);
    let through = Spread::factors(through.0, 1.0 - SURFACE, hearth * (1.0 + SURFACE));
    let start = match running {
        Some(span) => early(span, courses),
        // Out since an earlier step, from whose end its time is counted.
        None if inputs.piece == Fire::Out => inputs.heats.last().map(|span| span.left_at(courses)),
        None => None,
    };
    let start = start.unwrap_or(top);
    let cooling = Cooling::of(inputs.section, start, floor, courses)?;
    let left = if start <= floor {
        Spread::exact(0.0)
    } else {
        let left = cooling.until(floor)?;
        Spread {
            high: left.high * (1.0 + SURFACE),
            ..left
        }
    };
    Some(FireNumbers {
        through,
        soaked: soaked(inputs, floor, courses),
        hottest: hottest(own(inputs), courses),
        held: held(inputs),
        left,
        top: start,
        floor,
        cooling,
    })
}

/// How much longer a bar takes whose lower face has nothing of the fire: its surface over what is left.
fn on_hearth(section: Section) -> f64 {
    let (width, thickness) = (section.width.0, section.thickness.0);
    let around = 2.0 * (width + thickness);
    if around > width {
        around / (around - width)
    } else {
        1.0
    }
}

impl FireNumbers {
    /// What is missing of a soak, where it is more than the figures leave open.
    #[must_use]
    pub fn soak_short(&self, hold: Seconds) -> Option<Seconds> {
        self.hottest?;
        let short = hold - self.held;
        (short > hold * SURFACE).then_some(short)
    }

    /// The hottest that the piece has been, where that is well under the step's window.
    #[must_use]
    pub fn never_hot(&self) -> Option<Celsius> {
        never_hot(self.hottest, self.floor)
    }

    /// True where cold dies, tongs and anvil take most of the heat: a thin bar.
    #[must_use]
    pub fn contact_rules(&self) -> bool {
        self.left.low < 0.5 * self.left.high / (1.0 + SURFACE)
    }
}

/// Soak held in earlier trips of the step, as long as the piece did not fall out of its window since.
fn soaked(inputs: &Inputs, floor: Celsius, courses: &Courses) -> Seconds {
    let past = own(inputs).iter().filter(|span| span.outside.is_some());
    let held = past.fold(Seconds::ZERO, |held, span| {
        if span.left_at(courses) < floor {
            return Seconds::ZERO;
        }
        held + at_heat(span, courses)
    });
    held.min(inputs.hold)
}

/// The trips of the step in hand.
fn own(inputs: &Inputs) -> &[HeatSpan] {
    inputs.heats.get(inputs.step_heats..).unwrap_or_default()
}

/// Of a trip, the time behind the way up.
fn at_heat(span: &HeatSpan, courses: &Courses) -> Seconds {
    let ramp = span.way_up(courses).map_or(Seconds::ZERO, |(ramp, _)| ramp);
    (span.inside - ramp).max(Seconds::ZERO)
}

/// How long the piece was hot through in the step in hand, as its clock counts the soak down; nothing where none is
/// asked for.
fn held(inputs: &Inputs) -> Seconds {
    if !inputs.hold.is_positive() {
        return Seconds::ZERO;
    }
    let each = own(inputs).iter().map(|span| {
        let (width, thickness) = span.section;
        let section = Section { width, thickness };
        let through = hot_through(section, span.from, (span.furnace, span.top));
        (span.inside - through.unwrap_or(Seconds::ZERO)).max(Seconds::ZERO)
    });
    each.sum()
}

/// Time in a fire until a section is hot through; none where the law does not reach.
fn hot_through(
    section: Section,
    from: Celsius,
    (furnace, top): (Celsius, Celsius),
) -> Option<Seconds> {
    let from = from.min(top - Celsius(1.0));
    soak_through(section, from, furnace, top, EVEN).ok()
}

/// The hottest that a piece was, where that is well under the window that begins at `floor`.
pub(super) fn never_hot(hottest: Option<Celsius>, floor: Celsius) -> Option<Celsius> {
    hottest.filter(|at| *at < floor - NEARLY)
}

/// The hottest that a piece was in these trips.
pub(super) fn hottest(spans: &[HeatSpan], courses: &Courses) -> Option<Celsius> {
    let reached = spans.iter().map(|span| span.reached(courses));
    reached.max_by(|a, b| a.0.total_cmp(&b.0))
}

/// What a piece that came out well before it was hot through has reached.
fn early(span: &HeatSpan, courses: &Courses) -> Option<Celsius> {
    span.outside?;
    let up = courses.course(span.section, span.from, span.top, Some(span.furnace))?;
    let hot = up.mean_at(span.top - Celsius(5.0)).unwrap_or(up.length());
    (span.inside < hot * (1.0 - SURFACE)).then(|| up.at(span.inside).mean)
}

/// The heat in hand as it is expected to be: hot through, soaked, worked to the end of the window.
/// A heat that has run longer already counts as long as it has run.
pub(super) fn expected(inputs: &Inputs, fire: &FireNumbers) -> HeatSpan {
    let meant = Seconds(fire.through.best) + inputs.hold;
    let worked = Seconds(fire.left.best);
    let run = inputs.running();
    let section: (Mm, Mm) = run.map_or(inputs.section, |span| span.section);
    HeatSpan {
        log: run.map_or_else(Default::default, |span| span.log),
        section,
        from: run.map_or(
            if inputs.from_cold {
                SHOP_AIR
            } else {
                inputs.heating.floor
            },
            |span| span.from,
        ),
        inside: match run {
            Some(span) if span.outside.is_some() => span.inside,
            Some(span) => meant.max(span.inside),
            None => meant,
        },
        outside: Some(
            run.and_then(|span| span.outside)
                .map_or(worked, |so_far| worked.max(so_far)),
        ),
        floor: inputs.heating.floor,
        top: inputs.heating.top,
        furnace: inputs.heating.furnace,
    }
}
