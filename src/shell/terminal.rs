//! The terminal, taken and handed back.
//!
//! What is switched on here is switched off on every way out: return, error, signal, suspension and
//! panic in any thread. Handing back happens once, never prints through the standard streams (that
//! panics when the terminal is gone) and asks the terminal nothing. A picture that is up goes with it.

use std::cell::RefCell;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::mem::ManuallyDrop;
use std::panic::PanicHookInfo;
use std::process;
use std::rc::Rc;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};
use std::sync::{Mutex, MutexGuard, TryLockError};
use std::thread;
use std::time::Duration;

use crossterm::{Command, cursor, event, style, terminal};
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Rect;
use ratatui::{Frame, Terminal, TerminalOptions, Viewport};

use super::asking;
use super::clock::{Clock, Now};
use super::graphics::{Graphics, Protocol, Wish};
use super::guard;
use super::input::Input;
use super::keyboard::{self, Keyboard};
use super::out::Out;

/// True while the terminal is ours.
static OURS: AtomicBool = AtomicBool::new(false);
/// True once somebody wants the end: a terminal that takes nothing is not waited for any more.
static HURRY: AtomicBool = AtomicBool::new(false);
/// Held by who hands the terminal back; a second one waits until that is done.
static BACK: Mutex<()> = Mutex::new(());
/// Held while bytes go out, so that no frame follows the handing back.
static GATE: Mutex<()> = Mutex::new(());
/// The picture that is up, as [`number`] has it.
static UP: AtomicU8 = AtomicU8::new(0);
/// Most columns and rows that are drawn: more than any screen has, and little enough to draw at once.
const MOST: (u16, u16) = (500, 200);
/// How long a terminal that takes nothing is waited for once the end is wanted.
const PATIENCE: Duration = Duration::from_millis(150);
/// True from the first panic on.
static PANICKED: AtomicBool = AtomicBool::new(false);

fn number(protocol: Protocol) -> u8 {
    match protocol {
        Protocol::Kitty => 1,
        Protocol::Inline => 2,
        Protocol::Sixel => 3,
    }
}

/// What takes away the picture that is up; from then on none is.
fn clear() -> Vec<u8> {
    let up = UP.swap(0, Ordering::SeqCst);
    let all = [Protocol::Kitty, Protocol::Inline, Protocol::Sixel];
    all.into_iter()
        .find(|protocol| number(*protocol) == up)
        .map_or_else(Vec::new, Protocol::clear)
}

/// The screen while it is ours; hands the terminal back when dropped.
#[derive(Debug)]
pub struct Screen {
    // its own drop prints, and panics when it cannot
    terminal: ManuallyDrop<Terminal<CrosstermBackend<Gathered>>>,
    gathered: Gathered,
    tty: Out,
    /// What the terminal shows is not what was drawn last.
    stale: bool,
}

impl Screen {
    /// Takes the terminal.
    ///
    /// # Errors
    /// When there is none, or it refuses; it is then as it was.
    pub fn take() -> io::Result<Self> {
        there()?;
        // whether colours are sent is the theme's decision, not the library's
        style::force_color_output(true);
        let tty = Out::open()?;
        let gathered = Gathered::default();
        // what is drawn is measured before each frame
        let viewport = Viewport::Fixed(Rect::default());
        let backend = CrosstermBackend::new(gathered.clone());
        let terminal = Terminal::with_options(backend, TerminalOptions { viewport })?;
        let terminal = ManuallyDrop::new(terminal);
        enter()?;
        Ok(Self {
            terminal,
            gathered,
            tty,
            stale: true,
        })
    }

    /// Draws one frame, in one write that the terminal shows at once.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn draw(&mut self, draw: impl FnOnce(&mut Frame<'_>)) -> io::Result<()> {
        self.gather(terminal::BeginSynchronizedUpdate);
        let drawn = self
            .anew()
            .and_then(|()| self.terminal.draw(draw).map(drop));
        self.gather(terminal::EndSynchronizedUpdate);
        drawn.and(self.send())
    }

    /// Wipes the screen when asked to, so that what is drawn next is drawn whole.
    fn anew(&mut self) -> io::Result<()> {
        let (columns, rows) = self.size()?;
        let area = Rect::new(0, 0, columns, rows);
        if !std::mem::take(&mut self.stale) && self.terminal.get_frame().area() == area {
            return Ok(());
        }
        let cleared = clear();
        self.gathered.0.borrow_mut().extend_from_slice(&cleared);
        // the rest of a terminal that is larger stays blank
        self.gather(terminal::Clear(terminal::ClearType::All));
        // not `clear`, which asks the terminal for its cursor
        self.terminal.resize(area)
    }

    /// Sounds the bell.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn bell(&mut self) -> io::Result<()> {
        self.gathered.0.borrow_mut().push(7);
        self.send()
    }

    /// What comes of a wish for sharp pictures, and the keys typed while the terminal was asked. Only
    /// before the thread that reads the keyboard is started.
    pub(super) fn settle(
        &mut self,
        wish: Wish,
        keyboard: &mut Keyboard,
        clock: Clock,
    ) -> (Option<Graphics>, Vec<(Input, Now)>) {
        asking::settle(wish, &mut self.tty, keyboard, clock)
    }

    /// Puts a picture over the cells that were drawn.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn show(&mut self, picture: &[u8], protocol: Protocol) -> io::Result<()> {
        self.gathered.0.borrow_mut().extend_from_slice(picture);
        UP.store(number(protocol), Ordering::SeqCst);
        self.send()
    }

    /// True while a picture is up.
    pub fn has_picture(&self) -> bool {
        UP.load(Ordering::SeqCst) != 0
    }

    /// Makes the next frame draw every cell: the terminal may no longer show what was drawn.
    pub fn forget(&mut self) {
        self.stale = true;
    }

    /// Columns and rows that are drawn.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn size(&self) -> io::Result<(u16, u16)> {
        let size = self.terminal.size()?;
        Ok((size.width.min(MOST.0), size.height.min(MOST.1)))
    }

    /// Takes the terminal again after something else may have used it.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub fn retake(&mut self) -> io::Result<()> {
        // the library leaves a raw mode alone that it believes in
        hand_back();
        enter()?;
        self.forget();
        Ok(())
    }

    fn gather(&self, command: impl Command) {
        ansi(&mut self.gathered.0.borrow_mut(), command);
    }

    fn send(&mut self) -> io::Result<()> {
        let _gate = GATE.lock();
        let mut bytes = self.gathered.0.borrow_mut();
        let sent = if OURS.load(Ordering::SeqCst) {
            self.tty.send(&bytes, |waited| {
                waited >= PATIENCE && HURRY.load(Ordering::SeqCst)
            })
        } else {
            Ok(())
        };
        bytes.clear();
        sent
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        hand_back();
    }
}

/// Whether there is a terminal to take.
///
/// # Errors
/// Why not.
pub fn there() -> io::Result<()> {
    let kind = ErrorKind::Unsupported;
    if !io::stdout().is_terminal() {
        let why = "this needs a terminal, and the output goes elsewhere";
        return Err(io::Error::new(kind, why));
    }
    if !keyboard::is_there() {
        let why = "this needs a keyboard, and the input comes from elsewhere";
        return Err(io::Error::new(kind, why));
    }
    Ok(())
}

fn enter() -> io::Result<()> {
    // switches the console's own reading of these sequences on
    #[cfg(windows)]
    let _ = crossterm::ansi_support::supports_ansi();
    terminal::enable_raw_mode()?;
    OURS.store(true, Ordering::SeqCst);
    let mut bytes = Vec::new();
    ansi(&mut bytes, terminal::EnterAlternateScreen);
    ansi(&mut bytes, event::EnableBracketedPaste);
    ansi(&mut bytes, cursor::Hide);
    let entered = Out::open().and_then(|mut tty| tty.write_all(&bytes));
    if entered.is_err() {
        hand_back();
    }
    entered
}

/// Hands the terminal back as it was found, if it is ours. Safe to call at any time, from any thread,
/// any number of times; a terminal that is gone is no error.
pub fn hand_back() {
    let _back = held(&BACK, 2 * PATIENCE);
    if !OURS.swap(false, Ordering::SeqCst) {
        return;
    }
    // a frame on its way out is let finish; one stuck on a dead line is not waited for
    let _gate = held(&GATE, PATIENCE);
    let mut bytes = Vec::new();
    let cleared = clear();
    if !cleared.is_empty() {
        // it may still be on its way: its sequence ends here
        bytes.extend_from_slice(b"\x1b\\");
        bytes.extend_from_slice(&cleared);
    }
    ansi(&mut bytes, terminal::EndSynchronizedUpdate);
    ansi(&mut bytes, style::ResetColor);
    ansi(&mut bytes, event::DisableBracketedPaste);
    ansi(&mut bytes, terminal::LeaveAlternateScreen);
    ansi(&mut bytes, cursor::Show);
    // nothing more can be done for a terminal that does not take this
    let _ = Out::open().and_then(|mut tty| tty.send(&bytes, |waited| waited >= PATIENCE));
    let _ = terminal::disable_raw_mode();
}

/// From now on the end is wanted: what a terminal does not take at once is given up.
pub fn hurry() {
    HURRY.store(true, Ordering::SeqCst);
}

/// Ends the program with this code in a moment, should its last words find no taker.
pub fn end_soon(code: u8) {
    let run = move || {
        thread::sleep(Duration::from_millis(500));
        end_now(i32::from(code));
    };
    // without a thread the words are waited for
    let _ = thread::Builder::new().name("end".into()).spawn(run);
}

/// Ends the program now, terminal handed back; for when the main thread cannot.
#[expect(clippy::disallowed_methods, reason = "this is the one place")]
pub fn end_now(code: i32) -> ! {
    hand_back();
    process::exit(code)
}

/// Writes to the user's shell after the terminal was handed back; a stream that is gone is no error.
pub fn say(text: &str) {
    let _ = writeln!(io::stderr(), "{text}");
}

/// From now on a panic in any thread hands the terminal back, gives what is known of it to `note`,
/// says what that returns and ends the program with code 101. The journal needs nothing: it is on the
/// disk.
pub fn on_panic(note: impl Fn(&PanicHookInfo<'_>) -> String + Send + Sync + 'static) {
    std::panic::set_hook(Box::new(move |info| {
        if guard::catches() {
            return;
        }
        if PANICKED.swap(true, Ordering::SeqCst) {
            // a panic of this hook, or of a second thread while the first one's is being told
            thread::sleep(Duration::from_secs(2));
            end_now(101);
        }
        hand_back();
        // the terminal stays shut for the threads that still run
        let _gate = held(&GATE, PATIENCE);
        say(&note(info));
        end_now(101);
    }));
}

fn held(lock: &'static Mutex<()>, most: Duration) -> Option<MutexGuard<'static, ()>> {
    const STEP: Duration = Duration::from_millis(5);
    let mut waited = Duration::ZERO;
    loop {
        match lock.try_lock() {
            Ok(gate) => return Some(gate),
            Err(TryLockError::Poisoned(gate)) => return Some(gate.into_inner()),
            Err(TryLockError::WouldBlock) if waited >= most => return None,
            Err(TryLockError::WouldBlock) => thread::sleep(STEP),
        }
        waited += STEP;
    }
}

fn ansi(bytes: &mut Vec<u8>, command: impl Command) {
    let mut text = String::new();
    // writing to a string cannot fail
    let _ = command.write_ansi(&mut text);
    bytes.extend_from_slice(text.as_bytes());
}

/// Takes what is drawn, for the screen to send it whole.
#[derive(Debug, Clone, Default)]
struct Gathered(Rc<RefCell<Vec<u8>>>);

impl Write for Gathered {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
