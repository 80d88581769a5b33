//! Asks the terminal what pictures it takes, once, before anything else reads the keyboard.
//!
//! First comes a question that every terminal answers. One that does not answer at once is asked
//! nothing more; should its answer still come, the library that reads the keys knows it for no key.

use std::fs::File;
use std::io::{self, IsTerminal, Read, Write};
use std::thread;
use std::time::Duration;

use super::clock::{Clock, Now};
use super::graphics::{Answers, FIRST, Graphics, SECOND, SIZE, Wish};
use super::input::Input;
use super::typed::Came;

/// Longest wait for the first answer.
const SOON: Duration = Duration::from_millis(200);
/// Longest wait for the others, of a terminal that has answered; and for the rest of one that is cut.
const LATER: Duration = Duration::from_millis(600);
/// How often it is looked.
const STEP: Duration = Duration::from_millis(4);
/// Most bytes of answers; what sends more is no terminal.
const MOST: usize = 4096;

/// What comes of the wish at this terminal, which must be in raw mode; and the keys that were typed
/// while it was asked.
pub(super) fn settle(
    wish: Wish,
    tty: &mut File,
    clock: Clock,
) -> (Option<Graphics>, Vec<(Input, Now)>) {
    let mut came = Came::default();
    if wish == Wish::Blocks {
        return (None, Vec::new());
    }
    let answers = if io::stdin().is_terminal() {
        keyboard().map(|mut keys| ask(wish, tty, &mut keys, &mut came, clock))
    } else {
        None
    };
    let answers = answers.and_then(Result::ok).unwrap_or_default();
    (wish.settled(&answers), came.keys())
}

fn ask(
    wish: Wish,
    tty: &mut impl Write,
    keys: &mut impl Read,
    came: &mut Came,
    clock: Clock,
) -> io::Result<Answers> {
    tty.write_all(FIRST.as_bytes())?;
    let first = listen(keys, came, clock, 1, SOON)?;
    if first.attributes == 0 {
        return Ok(Answers::default());
    }
    let second = if wish == Wish::Ask { SECOND } else { SIZE };
    tty.write_all(second.as_bytes())?;
    listen(keys, came, clock, 2, LATER)
}

/// Listens until the attributes have come so many times, or so long and to the end of an answer.
fn listen(
    keys: &mut impl Read,
    came: &mut Came,
    clock: Clock,
    times: u8,
    most: Duration,
) -> io::Result<Answers> {
    let mut waited = Duration::ZERO;
    loop {
        let mut buffer = [0; 256];
        match keys.read(&mut buffer) {
            Ok(0) => return Ok(Answers::read(&came.bytes)),
            Ok(n) => came.take(buffer.get(..n).unwrap_or_default(), clock.now()),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) if e.kind() == io::ErrorKind::WouldBlock => {
                let answers = Answers::read(&came.bytes);
                let late = waited >= most && !(answers.cut && waited < most + LATER);
                if answers.attributes >= times || late {
                    return Ok(answers);
                }
                thread::sleep(STEP);
                waited += STEP;
            }
            Err(e) => return Err(e),
        }
        if came.bytes.len() > MOST {
            return Ok(Answers::default());
        }
    }
}

/// The keyboard, opened anew so that not waiting for keys holds for nobody else; none where the flag for
/// that is not known.
#[cfg(unix)]
fn keyboard() -> Option<File> {
    use std::os::unix::fs::OpenOptionsExt;
    // O_NONBLOCK of the systems' own headers (from memory)
    let flag = if cfg!(all(
        target_os = "linux",
        any(
            target_arch = "x86_64",
            target_arch = "x86",
            target_arch = "aarch64",
            target_arch = "arm",
            target_arch = "riscv64"
        )
    )) {
        0o4000
    } else if cfg!(any(
        target_os = "macos",
        target_os = "freebsd",
        target_os = "openbsd",
        target_os = "netbsd"
    )) {
        0x4
    } else {
        return None;
    };
    let mut options = File::options();
    options.read(true).custom_flags(flag);
    options.open("/dev/tty").ok()
}

/// None: the console of this system takes no pictures.
#[cfg(not(unix))]
fn keyboard() -> Option<File> {
    None
}

#[cfg(test)]
mod tests {
    use std::collections::VecDeque;

    use super::*;

    /// Gives these one by one, then nothing.
    struct Keys(VecDeque<&'static str>);

    impl Read for Keys {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let next = self.0.pop_front().filter(|part| !part.is_empty());
            let part = next.ok_or(io::ErrorKind::WouldBlock)?.as_bytes();
            buffer[..part.len()].copy_from_slice(part);
            Ok(part.len())
        }
    }

    fn asked(wish: Wish, parts: &[&'static str]) -> (Answers, String) {
        let mut sent = Vec::new();
        let mut keys = Keys(parts.iter().copied().collect());
        let mut came = Came::default();
        let answers = ask(wish, &mut sent, &mut keys, &mut came, Clock::start()).unwrap();
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
