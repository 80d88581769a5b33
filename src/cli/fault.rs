//! A job whose journal makes the program fail: which entry is at fault, and taking it back.

use std::path::Path;

use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::Look;
use crate::journal::{Entry, Event, write_stamp};
use crate::session::Session;
use crate::shell::clock::Clock;
use crate::shell::guard::caught;
use crate::shell::paths::{JobPaths, show};
use crate::shell::run::{Ending, Shell};
use crate::shell::{Store, read_entries};
use crate::ui::{Fault, Mode, Model, Settings, draw, said};

/// Most entries, from the newest back, that are tried one by one.
const MOST: usize = 40;

/// An entry that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Faulty {
    seq: u64,
    words: String,
}

/// Says which entry is at fault and takes it back when that is wanted; true to open the job again. What
/// keeps it from that, as a sentence.
pub(super) fn mend(
    shell: &mut Option<Shell>,
    plan: &Path,
    look: &Look,
    why: &str,
) -> Result<bool, String> {
    let paths = JobPaths::of(plan);
    let entries = read_entries(plan)?;
    let file = show(&paths.journal);
    let cannot = |what: &str| format!("{file}: {why}; {what}");
    let Some(faulty) = find(&entries) else {
        return Err(cannot(
            "no entry can be taken back; keep the file and start the job anew",
        ));
    };
    let running = match shell {
        Some(shell) => shell,
        None => shell.insert(look.shell(Clock::start(), Some(paths))?),
    };
    let mut page = Fault::new(file.clone(), faulty.words, why.to_owned(), look.settings());
    let ended = running.run(&mut page, None);
    if !page.take_back || !matches!(ended, Ok(Ending::Quit)) {
        return Ok(false);
    }
    let mut store = Store::open(plan)?.store;
    let undone = Entry {
        seq: store.next_seq(),
        at: Clock::start().now().at,
        event: Event::Undone { seq: faulty.seq },
    };
    store.append(&undone)?;
    Ok(true)
}

/// The newest entry without which the job can be shown; else the first that cannot be taken up.
fn find(entries: &[Entry]) -> Option<Faulty> {
    let undoable = |entry: &&Entry| entry.seq > 1 && entry.event.can_undo();
    let newest = entries.iter().rev().filter(undoable);
    let without = |entry: &&Entry| {
        let mut rest = entries.to_vec();
        rest.push(Entry {
            seq: entries.len() as u64 + 1,
            at: entry.at,
            event: Event::Undone { seq: entry.seq },
        });
        works(rest)
    };
    let found = newest.clone().take(MOST).find(without);
    let found = found.or_else(|| first_refused(entries).filter(undoable));
    found.or_else(|| newest.clone().next()).map(|entry| Faulty {
        seq: entry.seq,
        words: format!(
            "entry {}, {}: {}",
            entry.seq,
            write_stamp(entry.at).unwrap_or_default(),
            said(&entry.event)
        ),
    })
}

/// True when a journal folds and its job can be drawn.
fn works(entries: Vec<Entry>) -> bool {
    caught(|| {
        let at = entries
            .last()
            .map_or(crate::units::Stamp(0), |entry| entry.at);
        let session = Session::fold(entries).ok()?;
        let mut model = Model::new(session, Settings::default(), at);
        model.mode = Mode::Step;
        let mut terminal = Terminal::new(TestBackend::new(120, 40)).ok()?;
        terminal.draw(|frame| draw(&model, frame)).ok().map(drop)
    })
    .is_ok_and(|drawn| drawn.is_some())
}

fn first_refused(entries: &[Entry]) -> Option<&Entry> {
    let (first, rest) = entries.split_first()?;
    let mut session = caught(|| Session::fold(vec![first.clone()])).ok()?.ok()?;
    rest.iter().find(|entry| {
        let taken = caught(|| session.take((*entry).clone()));
        !matches!(taken, Ok(Ok(())))
    })
}
