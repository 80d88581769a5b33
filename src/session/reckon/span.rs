//! Trips to the fire as the log has them.

use super::cooling::{Cooling, FOLLOWED};
use super::course::Courses;
use std::collections::BTreeMap;
use std::sync::Arc;

use crate::physics::section::{Course, SHOP_AIR};
use crate::session::{HeatLog, Session};
use crate::units::{Celsius, Mm, Seconds, Stamp};

/// Most trips to the fire that are followed, the newest: several times what a job takes.
const MOST: usize = 300;

/// One trip to the fire as the log has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatSpan {
    /// When it went in, and which of several like pieces; 0 where there is one.
    pub log: (Stamp, u32),
    /// Cold width and thickness that went in.
    pub section: (Mm, Mm),
    /// The temperature that it went in at.
    pub from: Celsius,
    /// Time in the fire.
    pub inside: Seconds,
    /// Time out of it before it went back in or was laid down; none while it is in.
    pub outside: Option<Seconds>,
    /// The window's lower end at that step.
    pub floor: Celsius,
    /// The temperature that it was taken to.
    pub top: Celsius,
    /// How hot the fire stood.
    pub furnace: Celsius,
}

impl HeatSpan {
    /// From the log, up to `now`; the section is the one given, `last` the trip before.
    fn of(
        log: &HeatLog,
        section: (Mm, Mm),
        last: Option<&Self>,
        now: Stamp,
        courses: &Courses,
    ) -> Self {
        let out = log.out;
        let outside = out.map(|out| log.ended.unwrap_or(now).since(out).max(Seconds::ZERO));
        Self {
            log: (log.into, log.piece),
            section,
            from: match last {
                _ if log.from_cold => SHOP_AIR,
                Some(last) => last.left_at(courses).min(log.top),
                None => log.floor.min(log.top),
            },
            inside: out.unwrap_or(now).since(log.into).max(Seconds::ZERO),
            outside,
            floor: log.floor,
            top: log.top,
            furnace: log.furnace,
        }
    }
}

impl HeatSpan {
    /// The way up to heat: the time it took, of the time inside, and the course followed.
    pub(super) fn way_up(&self, courses: &Courses) -> Option<(Seconds, Arc<Course>)> {
        let up = courses.course(self.section, self.from, self.top, Some(self.furnace))?;
        Some((up.length().min(self.inside), up))
    }

    /// How hot it got in the fire.
    pub(super) fn reached(&self, courses: &Courses) -> Celsius {
        let up = self.way_up(courses);
        up.map_or(self.top, |(ramp, up)| up.at(ramp).mean)
    }

    /// Where it has cooled to since it came out; the top of its heat while it is in.
    pub(super) fn left_at(&self, courses: &Courses) -> Celsius {
        let reached = self.reached(courses);
        let Some(outside) = self.outside else {
            return reached;
        };
        Cooling::of(self.section, reached, self.floor, courses)
            .and_then(|cooling| cooling.after(outside))
            .map_or(FOLLOWED.min(reached), |at| Celsius(at.best))
            .max(SHOP_AIR)
    }
}

/// Part of the way from one size to another, by equal ratios.
pub(super) fn between(from: Mm, to: Mm, part: f64) -> Mm {
    if part > 0.0 && from.is_positive() && to.is_positive() {
        Mm(from.0 * (to.0 / from.0).powf(part))
    } else {
        from
    }
}

impl Session {
    /// How many trips to the fire lie too far back to be followed.
    pub(super) fn not_followed(&self) -> usize {
        self.heats.len().saturating_sub(MOST)
    }

    /// The trips to the fire, step by step: those of each step done, then those of the step in hand.
    /// A bar that is drawn over several heats goes into each of them thinner than into the last.
    pub(super) fn spans(&self, now: Stamp, courses: &Courses) -> Vec<Vec<HeatSpan>> {
        // Of several like pieces the one in hand is followed.
        self.spans_of(self.hand, now, courses)
    }

    /// The same of any of several like pieces.
    pub(super) fn spans_of(&self, piece: u32, now: Stamp, courses: &Courses) -> Vec<Vec<HeatSpan>> {
        let own = |heat: &&HeatLog| heat.piece == 0 || heat.piece == piece;
        let heats = self.heats.iter().skip(self.not_followed()).filter(own);
        let heats: Vec<&HeatLog> = heats.collect();
        let mut bars: BTreeMap<&str, Vec<&HeatLog>> = BTreeMap::new();
        for heat in heats {
            bars.entry(&heat.bar).or_default().push(heat);
        }
        let mut left: BTreeMap<&str, &[&HeatLog]> = BTreeMap::new();
        left.extend(bars.iter().map(|(bar, heats)| (*bar, heats.as_slice())));
        let mut lasts: BTreeMap<&str, HeatSpan> = BTreeMap::new();
        let mut out = Vec::with_capacity(self.done.len() + 1);
        let first = self.plan.first_billet();
        let mut before = &first;
        for done in &self.done {
            let after = &done.made.billet;
            let bar: &str = &done.step.bar;
            let spans = taken(left.entry(bar).or_default(), done.ended);
            let own = before.in_hand(&done.step.bar);
            let sizes = [&*own, after].map(|b| (b.bar.width, b.bar.thickness));
            let found = follow(spans, sizes, 0, lasts.get(bar).copied(), (now, courses));
            lasts.extend(found.last().map(|last| (bar, *last)));
            out.push(found);
            before = after;
        }
        let here = &self.billet.bar;
        let after = self.expected().map_or(here, |billet| &billet.bar);
        let sizes = [here, after].map(|bar| (bar.width, bar.thickness));
        let each = self.current().map_or(0, |step| step.heats) / self.in_turn();
        let planned = each as usize;
        let bar: &str = &self.billet.name;
        let last = lasts.get(bar).copied();
        let left = left.get(bar).copied().unwrap_or_default();
        out.push(follow(left, sizes, planned, last, (now, courses)));
        out
    }
}

/// The heats at the front that were begun by the end of a step.
fn taken<'a, 'b>(left: &mut &'a [&'b HeatLog], ended: Stamp) -> &'a [&'b HeatLog] {
    let many = left.iter().take_while(|log| log.into <= ended).count();
    let (front, rest) = left.split_at(many);
    *left = rest;
    front
}

/// The heats of one step, from the section before it to the section after it.
fn follow(
    logs: &[&HeatLog],
    [before, after]: [(Mm, Mm); 2],
    planned: usize,
    mut last: Option<HeatSpan>,
    (now, courses): (Stamp, &Courses),
) -> Vec<HeatSpan> {
    #[expect(clippy::cast_precision_loss, reason = "a handful of heats")]
    let part = |n: usize| n as f64 / logs.len().max(planned).max(1) as f64;
    logs.iter()
        .enumerate()
        .map(|(n, log)| {
            let section = (
                between(before.0, after.0, part(n)),
                between(before.1, after.1, part(n)),
            );
            let span = HeatSpan::of(log, section, last.as_ref(), now, courses);
            last = Some(span);
            span
        })
        .collect()
}
