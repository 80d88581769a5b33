//! Asks the terminal what pictures it takes, once, before anything else reads the keyboard.
//!
//! First comes a question that every terminal answers. One that does not answer at once is asked
//! nothing more; should its answer still come, the keyboard knows it for no key.

use std::io::{self, Write};
use std::time::Duration;

use super::clock::{Clock, Now};
use super::graphics::{Answers, FIRST, Graphics, SECOND, SIZE, Wish};
use super::input::Input;
use super::keyboard::Keyboard;

/// Longest wait for the first answer.
const SOON: Duration = Duration::from_millis(200);
/// Longest wait for the others, of a terminal that has answered; and for the rest of one that is cut.
const LATER: Duration = Duration::from_millis(600);
/// Most bytes of answers; what sends more is no terminal.
const MOST: usize = 4096;

/// What comes of the wish at this terminal, which must be in raw mode; and the keys that were typed
/// while it was asked.
pub(super) fn settle(
    wish: Wish,
    tty: &mut impl Write,
    keyboard: &mut Keyboard,
    clock: Clock,
) -> (Option<Graphics>, Vec<(Input, Now)>) {
    let mut typed = Vec::new();
    // a console takes no pictures
    if wish == Wish::Blocks || cfg!(not(unix)) {
        return (None, typed);
    }
    let hear = |most| {
        let came = keyboard.hear(Some(most))?;
        typed.extend(came.keys);
        Ok(came.bytes)
    };
    let elapsed = || Duration::from_millis(clock.elapsed_ms());
    let answers = ask(wish, tty, hear, elapsed).unwrap_or_default();
    (wish.settled(&answers), typed)
}

fn ask(
    wish: Wish,
    tty: &mut impl Write,
    mut hear: impl FnMut(Duration) -> io::Result<Vec<u8>>,
    elapsed: impl Fn() -> Duration,
) -> io::Result<Answers> {
    let mut came = Vec::new();
    tty.write_all(FIRST.as_bytes())?;
    let first = listen(&mut hear, &elapsed, &mut came, 1, SOON)?;
    if first.attributes == 0 {
        return Ok(Answers::default());
    }
    let second = if wish == Wish::Ask { SECOND } else { SIZE };
    tty.write_all(second.as_bytes())?;
    listen(&mut hear, &elapsed, &mut came, 2, LATER)
}

/// Listens until the attributes have come so many times, or so long and to the end of an answer.
fn listen(
    hear: &mut impl FnMut(Duration) -> io::Result<Vec<u8>>,
    elapsed: &impl Fn() -> Duration,
    came: &mut Vec<u8>,
    times: u8,
    most: Duration,
) -> io::Result<Answers> {
    let due = elapsed() + most;
    loop {
        let answers = Answers::read(came);
        let late = if answers.cut { due + LATER } else { due };
        let left = late.saturating_sub(elapsed());
        if answers.attributes >= times || left.is_zero() {
            return Ok(answers);
        }
        came.extend(hear(left)?);
        if came.len() > MOST {
            return Ok(Answers::default());
        }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    /// The answers to a wish of a terminal that says these, with a pause where nothing stands.
    fn asked(wish: Wish, parts: &[&str]) -> (Answers, String) {
        let mut sent = Vec::new();
        let mut parts = parts.iter();
        let elapsed = Cell::new(Duration::ZERO);
        let hear = |most: Duration| {
            let part = parts.next().copied().unwrap_or_default();
            let pause = Duration::from_millis(if part.is_empty() { 20 } else { 1 });
            elapsed.set(elapsed.get() + pause.min(most));
            Ok(part.as_bytes().to_vec())
        };
        let answers = ask(wish, &mut sent, hear, || elapsed.get()).unwrap();
        (answers, String::from_utf8(sent).unwrap())
    }

    #[test]
    fn who_does_not_answer_is_asked_nothing_more() {
        let (answers, sent) = asked(Wish::Ask, &["q", "", "\x1b[A"]);
        assert_eq!((answers, sent.as_str()), (Answers::default(), FIRST));
    }

    #[test]
    fn an_answer_in_pieces_is_heard_to_its_end() {
        let parts = [
            "\x1b[?6",
            "",
            "2c",
            "",
            "\x1b_Gi=3",
            "",
            "1;OK\x1b\\\x1b[?62c",
        ];
        let (answers, sent) = asked(Wish::Ask, &parts);
        assert!(answers.kitty && answers.attributes == 2);
        assert_eq!(sent, format!("{FIRST}{SECOND}"));
    }

    #[test]
    fn a_wish_for_one_asks_for_the_cell_alone() {
        let parts = ["\x1b[?62c", "", "\x1b[6;20;10t\x1b[?62c"];
        let (answers, sent) = asked(Wish::Only(crate::shell::graphics::Protocol::Sixel), &parts);
        assert_eq!(answers.cell, Some([10, 20]));
        assert_eq!(sent, format!("{FIRST}{SIZE}"));
    }
}
