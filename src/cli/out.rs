//! Words to standard output and standard error that never panic: a closed pipe ends quietly, and what else keeps
//! words from being written is said. Whatever they hold came through here, so nothing in a plan, a journal or a name
//! commands the terminal.

use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use super::FOUND;
use crate::shell::paths;
use crate::ui::glyphs::Glyphs;
use crate::units::show;

/// Reading a larger journal takes a while.
const LONG: u64 = 16 << 20;

/// True once words were lost on their way to standard output.
static LOST: AtomicBool = AtomicBool::new(false);

/// To standard output.
pub(super) fn say(text: &str) {
    lost(write(&mut io::stdout().lock(), text));
}

/// To standard error.
pub(super) fn complain(text: &str) {
    // where nothing can be said, nothing can be said of that either
    let _ = write(&mut io::stderr().lock(), text);
}

/// Says once that words were lost, but for a reader that has left.
pub(super) fn lost(written: io::Result<()>) {
    if let Err(why) = written
        && why.kind() != ErrorKind::BrokenPipe
        && !LOST.swap(true, Ordering::Relaxed)
    {
        complain(&format!(
            "anvilside: not all of it could be written: {why}; make room, or send it elsewhere"
        ));
    }
}

/// The code to end with: not well where words were lost.
pub(super) fn ended(code: u8) -> u8 {
    match LOST.load(Ordering::Relaxed) {
        true => code.max(FOUND),
        false => code,
    }
}

/// What a command comes to: its words and 0, or why not and 1.
pub(super) fn told(told: Result<String, String>) -> u8 {
    told_with(told.map_err(|why| (FOUND, why)))
}

/// What a command comes to: its words and 0, or a code and why not.
pub(super) fn told_with(told: Result<String, (u8, String)>) -> u8 {
    match told {
        Ok(text) => {
            say(&text);
            0
        }
        Err((code, why)) => {
            complain(&why);
            code
        }
    }
}

/// The screen, or in words why there is none.
pub(super) fn taken<T>(begun: io::Result<T>) -> Option<T> {
    if let Err(why) = &begun {
        complain(&format!("the screen cannot be taken: {why}"));
    }
    begun.ok()
}

/// What is wrong with the end of a journal.
pub(super) fn torn(bytes: usize) -> String {
    format!(
        "The end of the journal was cut short (a power cut?): its last {bytes} bytes are no whole entry"
    )
}

/// Says that a long journal is being read, which can be left.
pub(super) fn say_if_long(journal: &Path) {
    let size = journal.metadata().map_or(0, |about| about.len());
    if size > LONG {
        let name = paths::show(journal);
        complain(&format!("reading {name}, {} MB; Ctrl-C leaves", size >> 20));
    }
}

/// JSON to standard output: what would command a terminal is written as its number.
pub(super) fn json(value: &serde_json::Value) {
    let mut text = String::new();
    for c in format!("{value:#}").chars() {
        if c != '\n' && show::commands(c) {
            text.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            text.push(c);
        }
    }
    say(&text);
}

fn write(out: &mut impl Write, text: &str) -> io::Result<()> {
    let text = show::safe(text.trim_end_matches('\n'));
    let text = glyphs().words(&text);
    writeln!(out, "{text}")?;
    out.flush()
}

/// The characters that the terminal is known to have.
pub(super) fn glyphs() -> Glyphs {
    let set = |name: &str| std::env::var(name).ok().filter(|value| !value.is_empty());
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(set);
    let plain = matches!(locale.as_deref(), Some("C" | "POSIX"));
    if plain || set("TERM").as_deref() == Some("dumb") {
        Glyphs::Ascii
    } else {
        Glyphs::Blocks
    }
}
