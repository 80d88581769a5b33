//! `anvilside enter PLAN`: what was read and done earlier, as on the wall sheet, entered later with its time.

use std::path::{Path, PathBuf};

use clap::Args;

use super::out;
use crate::billet::Dimension;
use crate::journal::{Counted, Entry, Event, Resolution, read_local};
use crate::physics::expansion::cold_from_hot;
use crate::planner::doubt::{doubt, off_by};
use crate::session::{Session, when};
use crate::shell::clock::Clock;
use crate::shell::{Mode, Opened, Store, read_entries};
use crate::units::{Celsius, Mm, Stamp, parse, show};

/// Why a caution that was on paper alone is passed over.
const ON_PAPER: &str = "worked from the wall sheet; its card was on paper";

/// What is entered, of the step that the job stands at.
#[derive(Debug, Args)]
pub(super) struct EnterArgs {
    /// The plan file
    plan: PathBuf,
    /// When it was: 14:20, the last that was; or "2026-03-02 14:20"
    #[arg(long, value_name = "TIME")]
    at: String,
    /// The step that is meant; refused where the job stands at another
    #[arg(long, value_name = "ID")]
    step: Option<String>,
    /// As typed in `work`: 12.5, 12,5, 3/8, with a unit where it is another
    #[arg(long, value_name = "SIZE")]
    thickness: Option<String>,
    /// Across the bar
    #[arg(long, value_name = "SIZE")]
    width: Option<String>,
    /// Along the bar
    #[arg(long, value_name = "SIZE")]
    length: Option<String>,
    /// Of one piece
    #[arg(long, value_name = "MASS")]
    mass: Option<String>,
    /// Counted on an etched end
    #[arg(long, value_name = "N")]
    bands: Option<String>,
    /// The sizes were read hot, at this temperature
    #[arg(long, value_name = "TEMP")]
    hot: Option<String>,
    /// A line of words
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// A size that can hardly be is as it was typed
    #[arg(long)]
    sure: bool,
    /// The step was done then; what is open on its card is kept as passed over, worked from paper
    #[arg(long)]
    done: bool,
}

/// Enters it; 0, or 1 when nothing was entered.
pub(super) fn run(args: &EnterArgs) -> u8 {
    out::told(enter(args))
}

/// A job that has begun, and where its entries are added.
///
/// # Errors
/// Why nothing can be added, and what to do.
pub(super) fn open(plan: &Path) -> Result<(Session, Store), String> {
    // opening would make the journal
    if read_entries(plan)?.is_empty() {
        return Err(format!(
            "{}: the job is not begun; open it with `anvilside work` first",
            plan.display()
        ));
    }
    let Opened {
        entries,
        store,
        mode,
        ..
    } = Store::open(plan)?;
    if let Mode::ReadOnly(why) | Mode::Refused(why) = mode {
        return Err(why);
    }
    let session = Session::fold(entries).map_err(|why| why.to_string())?;
    Ok((session, store))
}

/// Adds events at the end of a journal; the entries that they have become.
///
/// # Errors
/// Why the disk did not take them.
pub(super) fn add(store: &mut Store, at: Stamp, events: Vec<Event>) -> Result<Vec<Entry>, String> {
    let seq = store.next_seq();
    let new: Vec<Entry> = events
        .into_iter()
        .zip(seq..)
        .map(|(event, seq)| Entry { seq, at, event })
        .collect();
    store.append_all(&new)?;
    Ok(new)
}

fn enter(args: &EnterArgs) -> Result<String, String> {
    let (mut session, mut store) = open(&args.plan)?;
    super::status::say_of_the_file(&args.plan, &session);
    let now = Clock::start().now().at;
    let at = time(&session, &args.at, now)?;
    let step = session.current().cloned();
    let step = step.ok_or("the job is done: nothing more is entered for its steps")?;
    if args.step.as_ref().is_some_and(|id| *id != step.id.0) {
        return Err(format!(
            "the job stands at `{}`; enter that step first, or leave --step out",
            step.id
        ));
    }
    let (mut events, mut said) = (Vec::new(), Vec::new());
    for (what, typed) in [
        (Dimension::Thickness, &args.thickness),
        (Dimension::Width, &args.width),
        (Dimension::Length, &args.length),
        (Dimension::Mass, &args.mass),
        (Dimension::Bands, &args.bands),
    ] {
        let Some(typed) = typed else { continue };
        let event = reading(&session, &step, what, typed, args.hot.as_deref())?;
        let sizes = session.sizes();
        let size = sizes.iter().find(|size| size.what == what);
        if let Event::Measured { cold, hot, .. } = &event
            && let Some(size) = size
        {
            let off = off_by(&session, size, *cold);
            if off.far && !args.sure {
                return Err(format!(
                    "--{} {typed}: {}; enter it once more with --sure where it is so",
                    what.word(),
                    off.why.unwrap_or_else(|| "it is far off".to_owned())
                ));
            }
            let doubt = off.why.or_else(|| doubt(&session, what, *cold, *hot));
            said.extend(doubt.map(|doubt| format!("look again: {} {typed}: {doubt}", what.word())));
        }
        said.push(format!("{} {typed}", what.word()));
        // The next one is held against those before it.
        let seq = session.seq + 1;
        let event = event.earlier(at);
        let entry = Entry {
            seq,
            at: now,
            event,
        };
        session.take(entry.clone()).map_err(|why| why.to_string())?;
        events.push(entry.event);
    }
    let odd = session.live.warnings.iter().filter(|_| !events.is_empty());
    said.extend(odd.map(|odd| format!("look again: {}", odd.text)));
    if let Some(text) = &args.note {
        if text.trim().is_empty() {
            return Err("the note is empty: write what is to be kept".to_owned());
        }
        let (text, step) = (show::plain(text, 200), step.id.clone());
        events.push(Event::Note { step, text }.earlier(at));
        said.push("a note".to_owned());
    }
    if args.done {
        let card = session.card();
        let open = card.items.iter().filter(|item| item.is_open());
        let items: Vec<_> = open
            .map(|item| {
                let how = Resolution::Overridden(ON_PAPER.to_owned());
                (item.caution.id.clone(), how)
            })
            .collect();
        if !items.is_empty() {
            said.push(format!(
                "{} of its card passed over",
                show::counted(items.len(), "item")
            ));
            let step = step.id.clone();
            events.push(Event::Cautions { step, items }.earlier(at));
        }
        let step = step.id.clone();
        events.push(Event::Done { step }.earlier(at));
        said.push("done".to_owned());
    }
    if events.is_empty() {
        return Err("nothing to enter: name a size, --note or --done".to_owned());
    }
    add(&mut store, now, events)?;
    Ok(format!(
        "{}, as of {}: {}; `work` shows it, and takes it back",
        step.id,
        when(at, session.offset),
        said.join(", ")
    ))
}

/// When it was: not before what was already there.
fn time(session: &Session, text: &str, now: Stamp) -> Result<Stamp, String> {
    let at = read_local(text, now, session.offset).ok_or_else(|| {
        format!(
            "--at '{}' is no time that has been; write 14:20, or \"2026-03-02 14:20\"",
            show::plain(text, 40)
        )
    })?;
    let done = session.done.last().map(|done| done.ended);
    let heat = session.heats.iter().last().map(|heat| heat.into);
    let least = done.max(heat).or(session.started);
    match least {
        Some(least) if at < Stamp(least.0 - least.0.rem_euclid(60_000)) => Err(format!(
            "{} is before {}, when the last thing before it was done; write its date where it was another day",
            when(at, session.offset),
            when(least, session.offset)
        )),
        // The minute that is written may have begun before what stands in the journal to the millisecond.
        Some(least) => Ok(at.max(least)),
        None => Ok(at),
    }
}

fn reading(
    session: &Session,
    step: &crate::plan::Step,
    what: Dimension,
    typed: &str,
    hot: Option<&str>,
) -> Result<Event, String> {
    let units = session.plan.units;
    let wrong = |why: crate::units::NumberError| format!("--{} {why}", what.word());
    if !session.sizes().iter().any(|size| size.what == what) {
        return Err(format!("`{}` reads no {}", step.id, what.word()));
    }
    let (raw, counted) = what.read(typed, units).map_err(wrong)?;
    let hot = match hot.filter(|_| what.is_length()) {
        Some(text) => {
            let at =
                parse::quantity::<Celsius>(text, units).map_err(|why| format!("--hot {why}"))?;
            Some(at)
        }
        None => None,
    };
    let cold = hot.map_or(raw, |at| {
        cold_from_hot(Mm(raw), at, &session.mean_analysis()).0
    });
    if let Some(why) = session.cannot_be(what, cold) {
        return Err(why);
    }
    Ok(Event::Measured {
        step: step.id.clone(),
        what,
        cold,
        typed: show::plain(typed, 24),
        hot,
        counted: counted.map(|[low, high]| Counted {
            low,
            high,
            photo: None,
        }),
    })
}
