//! Signals of the system, as messages.

use std::io;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::Sender;

/// What a signal asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signal {
    /// The terminal went away: end.
    HangUp,
    /// Asked to end.
    End,
    /// Asked to stop until continued.
    Stop,
    /// Going on after a stop.
    Continued,
    /// The terminal has another size now.
    Resized,
}

/// How long the main thread may take to end before it is ended: it may be stuck writing to a dead line.
#[cfg(unix)]
const GRACE: std::time::Duration = std::time::Duration::from_millis(400);

/// Starts the thread that turns signals into messages. After a signal to end it waits a moment and,
/// where the program still runs, ends it: nothing confirmed is lost, the journal is on the disk.
///
/// # Errors
/// When the system gives no thread or refuses the handlers.
#[cfg(unix)]
pub fn listen<M: Send + 'static>(
    to: Sender<M>,
    message: impl Fn(Signal) -> M + Send + 'static,
) -> io::Result<()> {
    use signal_hook::consts::{
        SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGWINCH, SIGXFSZ,
    };

    let mut signals = signal_hook::iterator::Signals::new([
        SIGHUP, SIGTERM, SIGINT, SIGQUIT, SIGTSTP, SIGCONT, SIGXFSZ, SIGWINCH,
    ])?;
    let run = move || {
        for signal in signals.forever() {
            let signal = match signal {
                SIGHUP => Signal::HangUp,
                SIGTSTP => Signal::Stop,
                SIGCONT => Signal::Continued,
                SIGWINCH => Signal::Resized,
                // a file may not grow any more: the write that tried says so by itself
                SIGXFSZ => continue,
                _ => Signal::End,
            };
            let ends = matches!(signal, Signal::HangUp | Signal::End);
            if ends {
                super::terminal::hurry();
            }
            let sent = to.send(message(signal));
            if ends || sent.is_err() {
                std::thread::sleep(GRACE);
                super::terminal::end_now(0);
            }
        }
    };
    std::thread::Builder::new()
        .name("signals".into())
        .spawn(run)
        .map(drop)
}

/// There are no such signals here; closing the window ends the program, and the journal is on the disk.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn listen<M: Send + 'static>(
    _to: Sender<M>,
    _message: impl Fn(Signal) -> M + Send + 'static,
) -> io::Result<()> {
    Ok(())
}

/// A flag that the first Ctrl-C (or the wish to end) puts up, for work that can be broken off in good
/// order; the second ends the program at once.
///
/// # Errors
/// When the system refuses the handlers.
#[cfg(unix)]
pub fn interrupted() -> io::Result<Arc<AtomicBool>> {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};

    let flag = Arc::new(AtomicBool::new(false));
    for signal in [SIGINT, SIGTERM, SIGHUP] {
        signal_hook::flag::register_conditional_shutdown(signal, 1, Arc::clone(&flag))?;
        signal_hook::flag::register(signal, Arc::clone(&flag))?;
    }
    Ok(flag)
}

/// A flag that nothing puts up: Ctrl-C ends the program.
///
/// # Errors
/// Never, here.
#[cfg(not(unix))]
pub fn interrupted() -> io::Result<Arc<AtomicBool>> {
    Ok(Arc::new(AtomicBool::new(false)))
}

/// Stops the process until it is continued, where a shell can bring it back; returns at once otherwise.
/// The terminal must have been handed back.
pub fn stop_here() {
    #[cfg(unix)]
    let _ = signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP);
}

/// Whether somebody is there to continue us after a stop: a parent in our session that runs us as a
/// job of its own. A program that a terminal window started by itself would stop for ever, and one
/// behind a wrapper would leave the wrapper in the way.
///
/// Known from `/proc` (see proc(5), fields 4 to 6 of `stat`); where there is none, taken to be so.
#[must_use]
pub fn can_stop() -> bool {
    if cfg!(not(unix)) {
        return false;
    }
    let Some(us) = standing("self") else {
        return !cfg!(target_os = "linux");
    };
    standing(&us.parent).is_some_and(|p| p.session == us.session && p.group != us.group)
}

struct Standing {
    parent: String,
    group: String,
    session: String,
}

fn standing(process: &str) -> Option<Standing> {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    parse_standing(&stat)
}

fn parse_standing(stat: &str) -> Option<Standing> {
    // the name in brackets may hold anything, spaces and brackets too
    let (_, behind) = stat.rsplit_once(')')?;
    let mut fields = behind.split_ascii_whitespace().skip(1).map(str::to_owned);
    Some(Standing {
        parent: fields.next()?,
        group: fields.next()?,
        session: fields.next()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_process_is_read_whatever_its_name() {
        let us = parse_standing("4711 (a) S (b) R 12 4711 99 34816 4711 0").unwrap();
        assert_eq!(
            (us.parent.as_str(), us.group.as_str(), us.session.as_str()),
            ("12", "4711", "99")
        );
        assert!(parse_standing("4711 (a").is_none());
        assert!(parse_standing("4711 (a) S 1 2").is_none());
    }
}
