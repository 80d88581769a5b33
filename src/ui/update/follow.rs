//! Following a job that another copy works: entries taken up as they come, nothing written.

use super::super::effect::Effect;
use super::super::model::follow::Followed;
use super::super::model::mode::Mode;
use super::super::model::{Model, Tone};
use super::open;
use crate::journal::{Entry, Event};
use crate::session::Session;
use crate::units::Stamp;

pub(super) fn heard(model: &mut Model, found: Followed) -> Vec<Effect> {
    match found {
        Followed::Free(free) => left(model, free),
        Followed::Journal(Err(why)) => {
            model.put_up("journal", Tone::Stop, format!("NOT FOLLOWING: {why}"));
            vec![Effect::Bell]
        }
        Followed::Journal(Ok(entries)) => journal(model, entries),
    }
}

fn journal(model: &mut Model, entries: Vec<Entry>) -> Vec<Effect> {
    let begun = model.following.as_ref().is_some_and(|held| held.begun);
    if entries.is_empty() {
        if !begun {
            return Vec::new();
        }
        let text = "NOT FOLLOWING: the journal is gone. What it last said stays here; put it back, or look \
            whether the folder is still shared";
        model.put_up("journal", Tone::Stop, text);
        return vec![Effect::Bell];
    }
    model.take_down("journal");
    let held = model.session.log();
    let goes_on = begun && entries.get(..held.len()) == Some(held);
    let taken = if goes_on {
        let new = entries.get(held.len()..).unwrap_or_default().to_vec();
        take(model, new)
    } else {
        // the first look, or a journal that was put back from a copy
        Session::fold(entries)
            .map_err(|why| why.to_string())
            .map(|session| {
                model.session = session;
                model.stood = None;
                model.reckoned = None;
                model.look_again();
            })
    };
    if let Some(following) = &mut model.following {
        following.begun = true;
    }
    match taken {
        Ok(()) => Vec::new(),
        Err(why) => {
            model.put_up("journal", Tone::Stop, format!("NOT FOLLOWING: {why}"));
            vec![Effect::Bell]
        }
    }
}

fn take(model: &mut Model, new: Vec<Entry>) -> Result<(), String> {
    let moved = new.iter().any(|entry| entry.event.moves_metal());
    for entry in new {
        model.session.take(entry).map_err(|why| why.to_string())?;
    }
    if moved {
        model.look_again();
    }
    Ok(())
}

/// The plan file, which the copy at work takes up; until it has begun, it is shown here as it is.
pub(super) fn plan_file(model: &mut Model, found: Result<String, String>) -> Vec<Effect> {
    let begun = model.following.as_ref().is_some_and(|held| held.begun);
    let text = match found {
        Ok(text) => text,
        Err(why) => {
            model.put_up("plan", Tone::Caution, why);
            return Vec::new();
        }
    };
    model.take_down("plan");
    let hash = crc32fast::hash(text.as_bytes());
    if hash == model.session.plan_hash || begun {
        // the journal says what comes of it
        return Vec::new();
    }
    let entry = Entry {
        seq: 1,
        at: Stamp(0),
        event: Event::Plan { hash, text },
    };
    match Session::fold(vec![entry]) {
        Ok(session) => {
            model.session = session;
            model.stood = None;
            model.look_again();
        }
        Err(why) => model.put_up("plan", Tone::Caution, why.to_string()),
    }
    Vec::new()
}

/// Another copy has come or gone.
fn left(model: &mut Model, free: bool) -> Vec<Effect> {
    let Some(following) = &mut model.following else {
        return Vec::new();
    };
    following.free = free;
    if free {
        open(model, Mode::TakeOver);
        return vec![Effect::Bell];
    }
    if model.mode == Mode::TakeOver {
        model.say(Tone::Caution, "another copy has this job open again");
        return open(model, Mode::Far);
    }
    Vec::new()
}

/// Asks about taking over.
pub(super) fn ask_over(model: &mut Model) -> Vec<Effect> {
    match &model.following {
        Some(held) if held.free => open(model, Mode::TakeOver),
        Some(held) if held.may_take_over => {
            let text = "the other copy still has the job: leave it there first";
            model.say(Tone::Caution, text);
            Vec::new()
        }
        _ => {
            let text = "this screen only follows; `anvilside work` works the job";
            model.say(Tone::Caution, text);
            Vec::new()
        }
    }
}

/// Ends this screen so that the job is opened again to be worked.
pub(super) fn take_over(model: &mut Model) -> Vec<Effect> {
    if let Some(following) = &mut model.following {
        following.taken = true;
    }
    vec![Effect::Quit]
}

/// Nothing is written by a screen that follows.
pub(super) fn refuse(model: &mut Model) -> Vec<Effect> {
    model.say(
        Tone::Caution,
        "FOLLOWING: this screen only shows and writes nothing",
    );
    vec![Effect::Bell]
}
