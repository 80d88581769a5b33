//! What is left of the day in hand, and when its fire should be out.

use crate::billet::Kind;
use crate::physics::Spread;
use crate::plan::least_watch;
use crate::planner::forecast::Forecast;
use crate::session::Session;
use crate::units::{Seconds, Stamp, show};

/// What is left of the day in hand; an estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayLeft {
    /// Work before the end of the day, minutes.
    pub work: Spread,
    /// When the work is done and the fire is out, at the best estimate.
    pub fire_out: Stamp,
    /// The fire watch that follows; none on a day without fire.
    pub watch: Option<Seconds>,
    /// When the watch has been kept.
    pub ends: Stamp,
}

impl DayLeft {
    /// At a moment; none once the job is done.
    pub(super) fn of(session: &Session, seen: &Forecast, now: Stamp) -> Option<Self> {
        let step = session.current()?;
        let first = seen.steps.first().filter(|first| first.step == step.id);
        let gone = first.map_or(0.0, |first| {
            let part = if step.kind().is_hot() && first.heats.best > 0.0 {
                f64::from(session.step.heats) / first.heats.best
            } else {
                let since = session.step.began.map_or(0.0, |at| now.since(at).minutes());
                since / first.minutes.best.max(1.0)
            };
            part.clamp(0.0, 1.0) * first.minutes.best
        });
        let ended = step.kind() == Kind::EndDay;
        let work = if ended {
            Spread::exact(0.0)
        } else {
            seen.today.map(|minutes| (minutes - gone).max(0.0))
        };
        let day = session.day();
        let of_today = session.plan.steps.iter().filter(|step| step.day == day);
        let burns = of_today.clone().any(|step| step.kind().is_hot());
        let running = session
            .watch
            .map(|(began, span)| (span - now.since(began)).max(Seconds::ZERO));
        let watch = running.or(burns.then_some(least_watch()));
        let fire_out = now.plus(Seconds::from_minutes(work.best));
        Some(Self {
            work,
            fire_out,
            watch,
            ends: fire_out.plus(watch.unwrap_or(Seconds::ZERO)),
        })
    }

    /// In words, the times by the wall clock at so many minutes ahead of UTC.
    #[must_use]
    pub fn text(&self, offset: i32) -> String {
        let [low, best, high] = [self.work.low, self.work.best, self.work.high]
            .map(|minutes| show::span(Seconds::from_minutes((minutes / 5.0).round() * 5.0)));
        let at = |at: Stamp| show::wall(at, offset);
        let work = if self.work.high < 2.5 {
            "no work of today is left".to_owned()
        } else if low == high {
            format!("today ~{best} of work left (give or take 5 min)")
        } else {
            format!("today ~{best} of work left ({low} to {high})")
        };
        match self.watch {
            Some(watch) => format!(
                "{work}: fire out ~{}, watch of {} kept ~{}",
                at(self.fire_out),
                show::span(watch),
                at(self.ends)
            ),
            None => format!("{work}: done ~{}", at(self.fire_out)),
        }
    }
}
