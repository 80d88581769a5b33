//! Charts of the fire: temperature against the clock of each day, and carbon against time in the fire.

use maud::Markup;

use super::plot::{Axis, Plot, Sample};
use super::shown::Page;
use crate::physics::Spread;
pub(super) use crate::session::HOT;
use crate::session::HeatData;
use crate::units::{Celsius, Seconds, Stamp, Units, show};

/// Without a heat for so long, the time between is left out of a day's chart.
const PAUSE: Seconds = Seconds(20.0 * 60.0);

fn shown(units: Units, c: f64) -> f64 {
    match units {
        Units::Mm => c,
        Units::Inch => Celsius(c).fahrenheit(),
    }
}

fn unit(units: Units) -> &'static str {
    match units {
        Units::Mm => "C",
        Units::Inch => "F",
    }
}

/// `12 (10 to 14) min`, out of seconds.
pub(super) fn minutes(of: Spread) -> String {
    format!("{} min", of.map(|s| s / 60.0).words(0))
}

/// When a heat began and when it was over.
fn span(heat: &HeatData) -> Option<(Stamp, Stamp)> {
    let into = crate::journal::read_stamp(&heat.into)?;
    let long = heat.course.last().map_or(0.0, |[s, _]| *s);
    Some((into, into.plus(Seconds(long))))
}

/// A day's heats one after another: long pauses are cut out.
struct Clock {
    /// Begin and end of each stretch, and where it begins on the axis, in seconds.
    stretches: Vec<(Stamp, Stamp, f64)>,
}

impl Clock {
    fn of(heats: &[&HeatData]) -> Self {
        let mut joined: Vec<(Stamp, Stamp)> = Vec::new();
        for (from, to) in heats.iter().filter_map(|heat| span(heat)) {
            match joined.last_mut() {
                Some((_, end)) if from.since(*end) < PAUSE => *end = (*end).max(to),
                _ => joined.push((from, to)),
            }
        }
        let all: f64 = joined.iter().map(|(from, to)| to.since(*from).0).sum();
        let gap = (all * 0.04).max(60.0);
        let mut at = 0.0;
        let stretches = joined.into_iter().map(|(from, to)| {
            let begins = at;
            at += to.since(from).0 + gap;
            (from, to, begins)
        });
        Self {
            stretches: stretches.collect(),
        }
    }

    fn place(&self, at: Stamp) -> Option<f64> {
        let mut own = self.stretches.iter().rev();
        let (from, _, begins) = own.find(|(from, _, _)| *from <= at)?;
        Some(begins + at.since(*from).0)
    }

    fn end(&self) -> f64 {
        let last = self.stretches.last();
        last.map_or(1.0, |(from, to, begins)| begins + to.since(*from).0)
    }

    /// The clock at the head of each stretch, and every half hour or so inside it, as far as there is room.
    fn axis(&self, offset: i32) -> Axis {
        let end = self.end().max(1.0);
        let room = end / 7.0;
        let mut ticks: Vec<(f64, String)> = Vec::new();
        for (from, to, begins) in &self.stretches {
            let mut along = 0.0;
            while along <= to.since(*from).0 {
                let at = begins + along;
                if ticks.last().is_none_or(|(last, _)| at - last >= room) {
                    ticks.push((at, show::wall(from.plus(Seconds(along)), offset)));
                }
                along += room.max(60.0);
            }
        }
        Axis {
            from: 0.0,
            to: end,
            label: "time of day; pauses over 20 min are left out".to_owned(),
            ticks,
        }
    }
}

/// Temperature against time, a chart for each day with fire.
pub(super) fn days(page: &Page<'_>) -> Vec<Markup> {
    let record = &page.account.record;
    let mut days: Vec<u32> = record.steps.iter().map(|step| step.day).collect();
    days.dedup();
    let of = |day: u32| -> Vec<&HeatData> {
        let own = |heat: &&HeatData| {
            let step = record.steps.get(heat.number.wrapping_sub(1));
            step.is_some_and(|step| step.day == day)
        };
        record.heats.iter().filter(own).collect()
    };
    days.into_iter()
        .map(|day| (day, of(day)))
        .filter(|(_, heats)| !heats.is_empty())
        .map(|(day, heats)| one_day(page, day, &heats))
        .collect()
}

fn one_day(page: &Page<'_>, day: u32, heats: &[&HeatData]) -> Markup {
    let units = page.session.plan.units;
    let clock = Clock::of(heats);
    let values = heats.iter().flat_map(|heat| heat.course.iter());
    let y = Axis::over(
        values.map(|[_, c]| shown(units, *c)),
        true,
        format!("{}, mean of the piece (estimate)", unit(units)),
    );
    let sum = |of: fn(&Spread) -> f64| heats.iter().map(|heat| of(&heat.above_1100_s)).sum();
    let above = Spread {
        low: sum(|one| one.low),
        best: sum(|one| one.best),
        high: sum(|one| one.high),
    };
    let highest = heats.iter().map(|heat| heat.reached_c).fold(0.0, f64::max);
    let hot = units.temperature(HOT);
    let says = format!(
        "{}, worked from the times in and out of the fire; at most {}. Above {hot} for {}.",
        show::counted(heats.len(), "heat"),
        units.about(Celsius(highest)),
        minutes(above)
    );
    let title = format!("Fire, day {day}");
    let mut plot = Plot::new(
        &format!("fire-{day}"),
        &title,
        says,
        clock.axis(page.session.offset),
        y,
    );
    let mut rows = Vec::new();
    for heat in heats {
        let Some((into, _)) = span(heat) else {
            continue;
        };
        let points = heat.course.iter().filter_map(|[s, c]| {
            let at = clock.place(into.plus(Seconds(*s)))?;
            Some((at, shown(units, *c)))
        });
        plot.line(&points.collect::<Vec<_>>(), Sample::Line);
        rows.push(vec![
            format!("{} {}", page.clock(&heat.into), heat.step),
            show::span(Seconds(heat.inside_s)),
            units.about(Celsius(heat.reached_c)),
            minutes(heat.above_1100_s),
        ]);
    }
    if highest > HOT.0 {
        plot.across(shown(units, HOT.0), &hot);
    }
    for (_, _, begins) in clock.stretches.iter().skip(1) {
        plot.upright(*begins);
    }
    plot.tell(
        Sample::Line,
        format!(
            "one line a heat; above {hot} for {} (estimate)",
            minutes(above)
        ),
    );
    let above_head = format!("above {hot} (estimate)");
    plot.draw(
        &["into the fire", "in it", "reached (estimate)", &above_head],
        &rows,
    )
}

/// Carbon by steel against time in the fire.
pub(super) fn carbon(page: &Page<'_>) -> Option<Markup> {
    let record = &page.account.record;
    let first = record.carbon.first()?;
    let hours = |number: usize| {
        let heats = record.heats.iter().filter(|heat| heat.number <= number);
        heats.map(|heat| heat.inside_s).sum::<f64>() / 60.0
    };
    let steels: Vec<char> = first.by_steel.iter().map(|steel| steel.letter).collect();
    let means = record.carbon.iter().flat_map(|at| &at.by_steel);
    let values = means.flat_map(|steel| [steel.mean.low, steel.mean.high]);
    let as_bought = page
        .session
        .plan
        .steels
        .iter()
        .map(|steel| steel.steel.nominal.c);
    let values: Vec<f64> = values.chain(as_bought).collect();
    let end = hours(usize::MAX);
    let x = Axis::over(
        [0.0, end * 1.04],
        true,
        "time in the fire so far, min".to_owned(),
    );
    let y = Axis::over(values, true, "carbon, % by mass (estimate)".to_owned());
    let mut told = Vec::new();
    let mut lines = Vec::new();
    for steel in &page.session.plan.steels {
        let own: Vec<(f64, Spread)> = record
            .carbon
            .iter()
            .filter_map(|at| {
                let mut all = at.by_steel.iter();
                let found = all.find(|one| one.letter == steel.letter)?;
                Some((hours(at.number), found.mean))
            })
            .collect();
        let Some((_, last)) = own.last() else {
            continue;
        };
        told.push(format!(
            "{} {}: {} % as bought, {} % now",
            steel.letter,
            steel.steel.grade,
            show::trimmed(steel.steel.nominal.c, 2),
            last.words(2)
        ));
        let mut run = vec![(0.0, Spread::exact(steel.steel.nominal.c))];
        run.extend(own);
        lines.push((steel.letter, run));
    }
    let says = format!(
        "Mean carbon of each steel in the layers. {}.",
        told.join("; ")
    );
    let mut plot = Plot::new("carbon", "Carbon", says, x, y);
    for (_, run) in &lines {
        let side = |of: fn(&Spread) -> f64| -> Vec<(f64, f64)> {
            run.iter().map(|(x, mean)| (*x, of(mean))).collect()
        };
        plot.range(&side(|m| m.low), &side(|m| m.high));
    }
    let strokes = [Sample::Line, Sample::Dash, Sample::Points].into_iter();
    for ((letter, run), stroke) in lines.iter().zip(strokes.cycle()) {
        let best: Vec<(f64, f64)> = run.iter().map(|(x, mean)| (*x, mean.best)).collect();
        plot.line(&best, stroke);
        plot.letter(best.last().copied(), *letter);
        plot.tell(stroke, format!("{letter}, mean"));
    }
    plot.tell(Sample::Range, "bare faces (least) to sealed ones (most)");
    let mut head = vec!["after step".to_owned(), "in the fire".to_owned()];
    head.extend(steels.iter().map(|letter| format!("{letter}, %")));
    head.push("edge, %".to_owned());
    let rows: Vec<Vec<String>> = record
        .carbon
        .iter()
        .map(|at| {
            let mut row = vec![
                format!("{}. {}", at.number, at.step),
                format!("{} min", show::trimmed(hours(at.number), 0)),
            ];
            row.extend(steels.iter().map(|letter| {
                let mut all = at.by_steel.iter();
                let found = all.find(|one| one.letter == *letter);
                found.map_or_else(|| "-".to_owned(), |one| one.mean.words(2))
            }));
            row.push(at.edge.map_or_else(|| "-".to_owned(), |edge| edge.words(2)));
            row
        })
        .collect();
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    Some(plot.draw(&head, &rows))
}
