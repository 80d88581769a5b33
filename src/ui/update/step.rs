//! The step in hand: card, fire, clocks, readings, done.

use super::super::choices::{clock_runs, cycles, looks_over, watch_due};
use super::super::effect::Effect;
use super::super::entry::{current_field, echo};
use super::super::model::mode::{Mode, Purpose, Then};
use super::super::model::{Model, Tone};
use super::super::view::{leaves, page_rows};
use super::{ahead, card, menu, open, plan_file, write};
use crate::billet::{Dimension, Kind, Move};
use crate::journal::{Counted, Event, Fire};
use crate::plan::{Answer, Step};
use crate::session::CountdownKind;

/// Space: the next thing.
pub(super) fn next(model: &mut Model) -> Vec<Effect> {
    if model.leaf + 1 < leaves(model) {
        model.leaf += 1;
        return Vec::new();
    }
    match &model.mode {
        Mode::Legal => {
            if model.session.legal_read {
                return open(model, Mode::Step);
            }
            write(model, vec![Event::LegalRead], Then::ToStep)
        }
        Mode::Resume => open(model, Mode::Step),
        Mode::AskPlan { .. } => plan_file::take_asked(model),
        Mode::Review => finish(model),
        Mode::Step => next_in_step(model),
        _ => Vec::new(),
    }
}

fn next_in_step(model: &mut Model) -> Vec<Effect> {
    if let Some((kind, name)) = model.alarm() {
        return answer_alarm(model, kind, name);
    }
    let Some(step) = model.session.current().cloned() else {
        return Vec::new();
    };
    if model.card_asks() {
        return card::settle(model, &step);
    }
    if step.kind().is_hot() && step.heats > 0 {
        return fire(model, &step);
    }
    if let Some(timed) = cycles(&step) {
        return cycle(model, &step, timed);
    }
    match &step.made {
        Move::EndDay if watch_due(model) => watch(model),
        _ => review(model),
    }
}

/// Space at the end of a day: starts the clock of the fire watch.
fn watch(model: &mut Model) -> Vec<Effect> {
    if model.session.watch.is_some() {
        model.say(
            Tone::Plain,
            "the fire watch runs; ENTER to pass over what is left of it, with a reason",
        );
        return Vec::new();
    }
    let span = model.settings.watch;
    write(model, vec![Event::WatchBegan { span }], Then::Show)
}

fn answer_alarm(model: &mut Model, kind: CountdownKind, name: String) -> Vec<Effect> {
    let Some(step) = model.session.current().map(|step| step.id.clone()) else {
        return Vec::new();
    };
    let answered = Event::TimerDone {
        step: step.clone(),
        name,
    };
    if kind != CountdownKind::FireWatch {
        model.say(Tone::Plain, "clock answered");
        return write(model, vec![answered], Then::Show);
    }
    model.say(Tone::Plain, "fire watch kept");
    // The watch is the last thing of a day: kept, the day is over.
    let ends = model.session.current().map(Step::kind) == Some(Kind::EndDay);
    let mut stops = model.situation.card.items.iter();
    let stopped = stops.any(|item| item.caution.answer != Answer::Watch && item.blocks());
    if ends && !stopped && !looks_over(model) {
        return write(model, vec![answered, Event::Done { step }], Then::ToStep);
    }
    write(model, vec![answered], Then::Show)
}

/// Space in hot work: into the fire, out of the fire, back into the fire.
fn fire(model: &mut Model, step: &Step) -> Vec<Effect> {
    if let Some(effects) = card::blocked(model) {
        return effects;
    }
    let session = &model.session;
    let step = step.id.clone();
    let event = match (session.piece(model.now), session.comes_out(model.now)) {
        (Fire::In, _) => Event::Fire {
            step,
            now: Fire::Out,
        },
        (Fire::Cold | Fire::Out, None) => Event::Fire {
            step,
            now: Fire::In,
        },
        // One goes in, the other comes out: one press a heat.
        (Fire::Cold | Fire::Out, Some(piece)) => Event::Piece {
            step,
            piece,
            swapped: true,
        },
    };
    write(model, vec![event], Then::Show)
}

/// The next of several like pieces is taken up.
pub(super) fn next_piece(model: &mut Model) -> Vec<Effect> {
    let step = model.session.current().map(|step| step.id.clone());
    let Some((step, piece)) = step.zip(model.session.next_piece()) else {
        model.say(Tone::Plain, "there is one piece in this step");
        return Vec::new();
    };
    let event = Event::Piece {
        step,
        piece,
        swapped: false,
    };
    write(model, vec![event], Then::ToStep)
}

/// Space in a step of timed cycles: starts the next one's clock, then the review.
fn cycle(model: &mut Model, step: &Step, (word, cycles): (&str, u32)) -> Vec<Effect> {
    if clock_runs(model) {
        model.say(
            Tone::Plain,
            "the clock runs; ENTER to end the step before it is over",
        );
        return Vec::new();
    }
    let run = model.session.step.timers.len();
    let Some(span) = model.session.soak().filter(|_| run < cycles as usize) else {
        return review(model);
    };
    let event = Event::Timer {
        step: step.id.clone(),
        name: format!("{word} {}", run + 1),
        span,
    };
    write(model, vec![event], Then::Show)
}

/// Looks the step over before it is done.
fn review(model: &mut Model) -> Vec<Effect> {
    if let Some(effects) = card::blocked(model) {
        return effects;
    }
    if looks_over(model) {
        open(model, Mode::Review)
    } else {
        finish(model)
    }
}

/// The step is done.
fn finish(model: &mut Model) -> Vec<Effect> {
    let Some(step) = model.session.current().cloned() else {
        return open(model, Mode::Step);
    };
    let lacking = model.session.lacking(model.now);
    if let Some(lacking) = lacking.or_else(|| model.hardly_hot()) {
        let purpose = Purpose::Early(lacking);
        return open(
            model,
            Mode::Reason {
                purpose,
                text: String::new(),
            },
        );
    }
    write(model, vec![Event::Done { step: step.id }], Then::ToStep)
}

/// Enter: takes what is typed; with nothing typed, looks the step over.
pub(super) fn accept(model: &mut Model) -> Vec<Effect> {
    match &model.mode {
        Mode::Leave => return super::leave(model),
        Mode::Reason { .. } | Mode::Line { .. } => return menu::keep_line(model),
        Mode::Number { .. } => return ahead::keep_number(model),
        _ => {}
    }
    let Some(step) = model.session.current().cloned() else {
        return Vec::new();
    };
    if model.card_asks() {
        return card::accept_answer(model, &step);
    }
    if model.entry.is_empty() {
        return review(model);
    }
    accept_size(model, &step)
}

fn accept_size(model: &mut Model, step: &Step) -> Vec<Effect> {
    let Some(field) = current_field(model) else {
        return Vec::new();
    };
    let what = field.what;
    let echo = match echo(model, field) {
        Ok(echo) => echo,
        Err(why) => {
            model.say(Tone::Caution, why.to_string());
            return Vec::new();
        }
    };
    if let Some(why) = echo.refused {
        model.say(Tone::Stop, why);
        model.entry.clear();
        return vec![Effect::Bell];
    }
    if let Some(doubt) = echo.doubt
        && !model
            .insisted
            .as_ref()
            .is_some_and(|(text, anew)| *text == model.entry && (*anew || !echo.twice))
    {
        let way = if echo.twice {
            "read it once more: typed again, it is taken"
        } else {
            "ENTER again takes it as it is"
        };
        model.say(Tone::Stop, format!("{}: {doubt} - {way}", echo.text));
        model.insisted = Some((model.entry.clone(), false));
        return vec![Effect::Bell];
    }
    let event = Event::Measured {
        step: step.id.clone(),
        what,
        cold: echo.cold,
        typed: model.entry.split('@').next().unwrap_or_default().to_owned(),
        hot: echo.hot,
        counted: echo.between.map(|[low, high]| Counted {
            low,
            high,
            photo: None,
        }),
    };
    let event = match echo.earlier {
        Some(at) => event.earlier(at),
        None => event,
    };
    write(model, vec![event], Then::ClearEntry)
}

/// Arrows: card items, fields, or lines of a page.
pub(super) fn move_cursor(model: &mut Model, down: bool) -> Vec<Effect> {
    let to = |at: usize, last: usize| {
        if down {
            (at + 1).min(last)
        } else {
            at.saturating_sub(1)
        }
    };
    if let Mode::Page { top, page } = &model.mode {
        let (columns, rows) = model.size;
        let room = usize::from(rows.saturating_sub(3));
        let last = page_rows(model, page, columns).len().saturating_sub(room);
        let top = to((*top).min(last), last);
        if let Mode::Page { top: shown, .. } = &mut model.mode {
            *shown = top;
        }
        return Vec::new();
    }
    if model.card_asks() {
        let last = model.situation.card.items.len().saturating_sub(1);
        model.cursor = Some(to(model.item().unwrap_or(0), last));
        return Vec::new();
    }
    let all: Vec<Dimension> = model
        .situation
        .bar
        .sizes
        .iter()
        .map(|size| size.what)
        .collect();
    let at = current_field(model)
        .and_then(|field| all.iter().position(|what| *what == field.what))
        .unwrap_or(0);
    // Down goes round, so that one key of the number pad reaches every size.
    let next = match down {
        true => (at + 1) % all.len().max(1),
        false => at.saturating_sub(1),
    };
    model.field = all.get(next).copied();
    model.insisted = None;
    Vec::new()
}
