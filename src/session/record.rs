//! The job's record: plain text that any editor opens, the same from the same journal.

use super::{BarLine, Done, Note, Session};
use crate::billet::{Billet, Dimension, Figure, Loss, Member, Move, Side, Stand};
use crate::journal::{Entry, Event, Resolution};
use crate::plan::{PlanSteel, all_cautions, legal};
use crate::units::{Fraction, Grams, Mm, Mm3, Seconds, Stamp, Units, show};

/// Local date and time, as `2026-03-02 08:15`.
pub(crate) fn when(at: Stamp, offset_minutes: i32) -> String {
    let local = at.plus(Seconds(f64::from(offset_minutes) * 60.0));
    let text = crate::journal::write_stamp(local).unwrap_or_default();
    text.get(..16).unwrap_or_default().replace('T', " ")
}

pub(crate) fn size(units: Units, billet: &Billet) -> String {
    format!(
        "{} x {}, {} in all, {}",
        billet.pieces,
        billet.outside(units),
        units.mass(billet.mass()),
        billet.counts_text()
    )
}

impl Session {
    /// The steel that makes the edge: the plain bar on the edge side, or the layer in the middle of flat ones
    /// that is thick enough to be one; none where the layers themselves run to the edge.
    #[must_use]
    pub fn edge_steel(&self) -> Option<&PlanSteel> {
        /// Where an edge ends up, either side of the middle.
        const REACH: Mm = Mm(0.1);
        let bar = &self.metal().bar;
        let outer = bar.on(Side::Edge).last();
        let middle = || {
            let core = &bar.core;
            let flat = core.figure == Figure::Flat && core.stand == Stand::Flat;
            let at = bar.thickness / 2.0 - bar.frame_on(Side::Bottom);
            let there = flat.then(|| core.layers.slice(at - REACH, at + REACH))?;
            let mut steels = there.by_steel();
            let only = steels.next().map(|(steel, _)| steel);
            only.filter(|_| steels.next().is_none())
        };
        let steel = outer.map_or_else(middle, Member::plain)?;
        self.plan.steels.get(steel.index())
    }

    /// The same in words.
    #[must_use]
    pub fn edge_words(&self) -> String {
        match self.edge_steel() {
            Some(steel) => format!("{} {}", steel.letter, steel.steel.grade),
            None => "the layers themselves".to_owned(),
        }
    }
}

fn readings(units: Units, done: &Done) -> Vec<String> {
    let reading = &done.reading;
    let sizes = [
        (
            Dimension::Thickness,
            reading.thickness.map(|v| units.length(v)),
        ),
        (Dimension::Width, reading.width.map(|v| units.length(v))),
        (Dimension::Length, reading.length.map(|v| units.length(v))),
        (Dimension::Mass, reading.mass.map(|v: Grams| units.mass(v))),
        (
            Dimension::Bands,
            reading.bands.map(|n| match reading.between {
                Some([low, high]) => format!("{n} ({low} to {high})"),
                None => n.to_string(),
            }),
        ),
    ];
    sizes
        .into_iter()
        .filter_map(|(what, value)| {
            let hot = match done.hot.get(&what) {
                Some(at) => format!(", read hot at {}", units.temperature(*at)),
                None => String::new(),
            };
            Some(format!("{} {} cold{hot}", what.word(), value?))
        })
        .collect()
}

pub(crate) fn losses(units: Units, done: &Done) -> Vec<String> {
    Loss::ALL
        .iter()
        .filter_map(|loss| {
            let of = done.made.losses.iter().filter(|entry| entry.loss == *loss);
            let measured = of.clone().any(|entry| entry.measured);
            let volume: Mm3 = of.map(|entry| entry.volume).sum();
            let how = if measured { "measured" } else { "allowance" };
            (volume.0.abs() > 0.5)
                .then(|| format!("{} {} ({how})", loss.word(), units.volume(volume)))
        })
        .collect()
}

fn step(session: &Session, number: usize, done: &Done, out: &mut Vec<String>) {
    let units = session.plan.units;
    let began = done.began.unwrap_or(done.ended);
    out.push(format!(
        "{number:>3}. {} [{}], {} to {}",
        done.step.name(),
        done.step.id,
        when(began, session.offset),
        when(done.ended, session.offset)
    ));
    if done.heats > 0 {
        let logged = session
            .heats
            .iter()
            .filter(|heat| heat.step == done.step.id);
        let inside: Seconds = logged
            .map(|heat| heat.out.unwrap_or(heat.into).since(heat.into))
            .sum();
        out.push(format!(
            "     heats {} (about {} planned), {} in the fire",
            done.heats,
            done.step.heats,
            show::span(inside)
        ));
    }
    if done.step.made == Move::Prepare {
        let cut = session.plan.cut_list_of(&done.step);
        out.extend(
            cut.iter()
                .map(|line| format!("     cut {}", line.text(units))),
        );
    }
    let read = readings(units, done);
    if read.is_empty() {
        out.push("     nothing read: sizes are as expected".to_owned());
    } else {
        out.push(format!("     read: {}", read.join("; ")));
    }
    out.push(format!("     after: {}", size(units, &done.made.billet)));
    if !read.is_empty() {
        out.push(format!("     expected: {}", size(units, &done.expected)));
    }
    let lost = losses(units, done);
    if !lost.is_empty() {
        out.push(format!("     lost: {}", lost.join("; ")));
    }
    if let Some(drift) = &done.made.drift {
        out.push(format!("     not as planned: {drift}"));
    }
    for (item, how) in &done.answers {
        let kind = match how {
            Resolution::Answered(_) => "answered",
            Resolution::Deferred(_) => "PUT OFF",
            Resolution::Overridden(_) => "PASSED OVER",
        };
        let item = done.item_words(&item.0);
        let item = item.trim_end_matches('.');
        out.push(match how.words() {
            "" => format!("     card: {item}: {kind}"),
            words => format!("     card: {item}: {kind}: {words}"),
        });
    }
    for (kind, notes) in [("note", &session.notes), ("decided", &session.decisions)] {
        let own = notes.iter().filter(|note| note.step == done.step.id);
        out.extend(own.map(|note| {
            let at = when(note.at, session.offset);
            format!("     {kind} {at}: {}", note.text)
        }));
    }
}

impl Done {
    /// What an item of its card says, by the item's name.
    #[must_use]
    pub fn item_words(&self, item: &str) -> String {
        let house = all_cautions()
            .find(|one| one.id.0 == item)
            .map(|one| one.text.clone());
        let own = || {
            let number: usize = item.strip_prefix("plan.")?.parse().ok()?;
            self.step.cautions.get(number.checked_sub(1)?).cloned()
        };
        house.or_else(own).unwrap_or_else(|| item.to_owned())
    }
}

impl Session {
    /// When the newest thing happened that the smith entered: of what was entered later, the time it names.
    #[must_use]
    pub fn worked_last(&self) -> Option<Stamp> {
        let own = |event: &Event| !matches!(event, Event::Opened { .. } | Event::Closed);
        let happened = self.log().iter().map(Entry::happened);
        let times = happened.filter(|(event, _)| own(event)).map(|(_, at)| at);
        times.max().or(self.last)
    }

    /// The whole record.
    #[must_use]
    pub fn record(&self) -> String {
        let units = self.plan.units;
        let mut out = vec![format!("RECORD OF {}", self.plan.title), String::new()];
        for part in legal().lines() {
            out.push(part.to_owned());
        }
        out.push(String::new());
        match self
            .started
            .zip(self.worked_last())
            .filter(|_| self.has_begun())
        {
            Some((first, last)) => out.push(format!(
                "From {} to {} ({})",
                when(first, self.offset),
                when(last, self.offset),
                match self.seq {
                    1 => "1 entry".to_owned(),
                    many => format!("{many} entries"),
                }
            )),
            None => out.push("Not begun: nothing has been done on this plan yet.".to_owned()),
        }
        let state = match self.current() {
            Some(step) => format!("NOT FINISHED: at {}", step.name()),
            None => "finished".to_owned(),
        };
        out.push(format!(
            "Steps done {} of {}: {state}",
            self.done.len(),
            self.plan.steps.len()
        ));
        for steel in &self.plan.steels {
            out.push(format!("Steel {}: {}", steel.letter, steel.with_lot()));
        }
        out.push(String::new());
        for (n, done) in self.done.iter().enumerate() {
            step(self, n + 1, done, &mut out);
        }
        if self.current().is_some() && !self.reading().is_empty() {
            out.push("Read in the step in hand:".to_owned());
            let read = self.sizes().into_iter().filter(|size| size.read.is_some());
            out.extend(read.map(|size| format!("     {}", size.line(units))));
        }
        let open = |note: &&Note| self.done.iter().all(|done| done.step.id != note.step);
        out.extend(self.notes.iter().filter(open).map(|note| {
            let at = when(note.at, self.offset);
            format!("Note {at}, at {}: {}", note.step, note.text)
        }));
        out.push(String::new());
        self.totals(units, &mut out);
        out.join("\n")
    }

    fn totals(&self, units: Units, out: &mut Vec<String>) {
        let billet = self.metal();
        let ledger = billet.balance();
        let [left, stock] = billet.whole();
        let whole = ledger.start + ledger.added;
        let share = |part: Mm3| {
            let part = if whole.is_positive() {
                part / whole
            } else {
                0.0
            };
            show::percent(Fraction(part), 1)
        };
        let of = match self.plan.bars.len() {
            0 | 1 => "",
            _ => " of all bars",
        };
        out.push(format!("Metal{of} in: {}", units.volume(whole)));
        for loss in Loss::ALL {
            let total = ledger.total(loss);
            if total.0.abs() > 0.5 {
                out.push(format!(
                    "  - {}: {}, {}",
                    loss.word(),
                    units.volume(total),
                    share(total)
                ));
            }
        }
        out.push(format!(
            "Metal out: {}, {}",
            units.volume(left),
            share(left)
        ));
        if stock.is_positive() {
            out.push(format!("Kept aside: {}", units.volume(stock)));
        }
        out.push(format!("Now: {}", size(units, billet)));
        out.extend(self.bars().iter().map(BarLine::text));
        let band: Mm = billet.mean_band();
        out.push(format!("Mean band: {} (estimate)", units.fine(band)));
        let heats = self.heats.len();
        let last = self.last.unwrap_or_default();
        out.push(format!(
            "Heats: {heats}, {} in the fire",
            show::span(self.in_fire(last))
        ));
        let edits = self
            .log()
            .iter()
            .filter(|e| matches!(e.event, Event::Plan { .. }))
            .count();
        let undone = self
            .log()
            .iter()
            .filter(|e| matches!(e.event, Event::Undone { .. }))
            .count();
        out.push(format!(
            "Plan edits taken: {}; entries taken back: {undone}",
            edits.saturating_sub(1)
        ));
        for (at, entered, words) in self.entered_later() {
            out.push(format!(
                "Entered later: {words}, of {}, on {}",
                when(at, self.offset),
                when(entered, self.offset)
            ));
        }
        for (seq, back) in self.jumps.iter() {
            out.push(format!(
                "The clock went back by {} at entry {seq}",
                show::span(*back)
            ));
        }
        if self.owed.is_empty() {
            out.push("Nothing is owed.".to_owned());
        }
        let owed = self.owed.iter();
        out.extend(owed.map(|owed| format!("OWED {}", owed.text())));
    }
}
