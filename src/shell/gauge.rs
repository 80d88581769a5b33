//! A caliper or scale on a serial line: each line that holds a number is a reading.

use std::io;
use std::path::PathBuf;
use std::sync::mpsc::Sender;
use std::thread;
use std::time::Duration;

use super::clock::{Clock, Now};
use super::paths::show;
use crate::units::{parse, show::plain};

/// How often a line that is not there is looked for.
const AGAIN: Duration = Duration::from_secs(1);
/// A gauge that sends sooner than this after its last line sends without being asked, ms.
const PAUSE_MS: u64 = 400;
/// Longest line.
const LINE: usize = 200;
/// Bits a second where nothing else is said.
const SPEED: u32 = 9600;

/// What a gauge has to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Said {
    /// A number, perhaps with its unit.
    Reading(String),
    /// Something that the smith should know.
    Trouble(String),
}

/// A device, and how fast it speaks: `/dev/ttyUSB0`, or `/dev/ttyUSB0:4800`.
fn device(text: &str) -> (PathBuf, u32) {
    let split = text.rsplit_once(':');
    let speed = split.and_then(|(device, speed)| Some((device, speed.parse().ok()?)));
    let (device, speed) = speed.unwrap_or((text, SPEED));
    (PathBuf::from(device), speed)
}

/// Listens to it for as long as the program runs, whether it is plugged in or not.
///
/// # Errors
/// When the system gives no thread.
pub(super) fn listen<M: Send + 'static>(
    text: &str,
    clock: Clock,
    to: Sender<M>,
    message: impl Fn(Said, Now) -> M + Send + 'static,
) -> io::Result<()> {
    let (path, speed) = device(text);
    let run = move || {
        let tell = |said| to.send(message(said, clock.now())).is_ok();
        let mut told = false;
        loop {
            let why: io::Error = match line::open(&path, speed) {
                Ok(mut port) => {
                    if told && !tell(Said::Trouble("the gauge is there again".to_owned())) {
                        return;
                    }
                    told = false;
                    match hear(&mut port, clock, &tell) {
                        None => return,
                        Some(why) => why,
                    }
                }
                Err(why) => why,
            };
            let words = format!(
                "no gauge at {} ({why}): type the sizes, or plug it in again",
                show(&path)
            );
            if !std::mem::replace(&mut told, true) && !tell(Said::Trouble(words)) {
                return;
            }
            thread::sleep(AGAIN);
        }
    };
    thread::Builder::new()
        .name("gauge".into())
        .spawn(run)
        .map(drop)
}

/// Takes lines until the gauge is gone, and why; none when nobody listens any more.
fn hear(port: &mut line::Port, clock: Clock, tell: &impl Fn(Said) -> bool) -> Option<io::Error> {
    let mut lines = Lines::default();
    loop {
        let bytes = match port.read() {
            Ok(bytes) => bytes,
            Err(why) => return Some(why),
        };
        for said in lines.take(&bytes, clock.elapsed_ms()) {
            if !tell(said) {
                return None;
            }
        }
    }
}

/// Bytes, put together to lines.
#[derive(Debug, Default)]
struct Lines {
    line: Vec<u8>,
    last: Option<u64>,
    streams: bool,
}

impl Lines {
    fn take(&mut self, bytes: &[u8], at_ms: u64) -> Vec<Said> {
        let mut said = Vec::new();
        for byte in bytes {
            if !matches!(byte, b'\r' | b'\n') {
                if self.line.len() < LINE {
                    self.line.push(*byte);
                }
                continue;
            }
            let line = std::mem::take(&mut self.line);
            let Some(text) = reading(&String::from_utf8_lossy(&line)) else {
                continue;
            };
            let soon = self.last.is_some_and(|last| at_ms < last + PAUSE_MS);
            self.last = Some(at_ms);
            if !soon {
                self.streams = false;
                said.push(Said::Reading(text));
            } else if !std::mem::replace(&mut self.streams, true) {
                let words = "the gauge sends without being asked: set it to send at a key press";
                said.push(Said::Trouble(words.to_owned()));
            }
        }
        said
    }
}

/// The number in a line, with its unit where that is one of length or mass. Of several the last with a
/// point or comma, else the last.
fn reading(line: &str) -> Option<String> {
    let inside = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let mut found: Option<(String, bool)> = None;
    let mut rest = line;
    while let Some(begin) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(begin);
        let end = from.find(|c: char| !inside(c)).unwrap_or(from.len());
        let (number, behind) = from.split_at(end);
        rest = behind;
        let number = number.trim_end_matches(['.', ',']);
        let point = number.contains(['.', ',']);
        if parse::number(number).is_err() || found.as_ref().is_some_and(|(_, held)| *held && !point)
        {
            continue;
        }
        let less = before.trim_end().ends_with('-');
        let whole = number.trim_start_matches('0');
        let zero = if whole.starts_with(|c: char| c.is_ascii_digit()) {
            ""
        } else {
            "0"
        };
        let unit: String = behind
            .trim_start()
            .chars()
            .take_while(|c| c.is_ascii_alphabetic() || *c == '"')
            .collect::<String>()
            .to_lowercase();
        let known = ["mm", "cm", "in", "inch", "\"", "g", "kg", "lb", "lbs", "oz"];
        let unit = if known.contains(&unit.as_str()) {
            unit
        } else {
            String::new()
        };
        let sign = if less { "-" } else { "" };
        found = Some((format!("{sign}{zero}{whole}{unit}"), point));
    }
    found.map(|(text, _)| plain(&text, 20))
}

#[cfg(unix)]
mod line {
    use std::fs::File;
    use std::io::{self, ErrorKind, Read};
    use std::os::unix::fs::{FileTypeExt, OpenOptionsExt};
    use std::path::Path;

    use rustix::termios::{ControlModes, OptionalActions, isatty, tcgetattr, tcsetattr};

    use crate::shell::keyboard::ready;

    /// An open line.
    #[derive(Debug)]
    pub(super) struct Port(File);

    /// Opens the line raw, at this speed.
    ///
    /// # Errors
    /// When it is not there, or no serial line.
    pub(super) fn open(path: &Path, speed: u32) -> io::Result<Port> {
        if !std::fs::metadata(path)?.file_type().is_char_device() {
            return Err(io::Error::new(
                ErrorKind::InvalidInput,
                "it is no serial line",
            ));
        }
        let flags = rustix::fs::OFlags::NONBLOCK | rustix::fs::OFlags::NOCTTY;
        let mut options = File::options();
        options.read(true).custom_flags(flags.bits().cast_signed());
        let file = options.open(path)?;
        if !isatty(&file) {
            return Err(io::Error::new(
                ErrorKind::InvalidInput,
                "it is no serial line",
            ));
        }
        let mut modes = tcgetattr(&file)?;
        modes.make_raw();
        modes.control_modes |= ControlModes::CLOCAL | ControlModes::CREAD;
        modes.set_speed(speed)?;
        tcsetattr(&file, OptionalActions::Now, &modes)?;
        Ok(Port(file))
    }

    impl Port {
        /// Waits for bytes.
        ///
        /// # Errors
        /// When the line is gone.
        pub(super) fn read(&mut self) -> io::Result<Vec<u8>> {
            let mut buffer = [0; 256];
            ready(&self.0, None)?;
            match self.0.read(&mut buffer) {
                Ok(0) => Err(ErrorKind::UnexpectedEof.into()),
                Ok(n) => Ok(buffer.get(..n).unwrap_or_default().to_vec()),
                Err(e) if matches!(e.kind(), ErrorKind::Interrupted | ErrorKind::WouldBlock) => {
                    Ok(Vec::new())
                }
                Err(e) => Err(e),
            }
        }
    }
}

/// Serial lines are set up by hand here.
#[cfg(not(unix))]
mod line {
    use std::fs::File;
    use std::io::{self, Read};
    use std::path::Path;

    /// An open line.
    #[derive(Debug)]
    pub(super) struct Port(File);

    /// Opens the line as the system has set it up.
    ///
    /// # Errors
    /// When it is not there.
    pub(super) fn open(path: &Path, _speed: u32) -> io::Result<Port> {
        File::open(path).map(Port)
    }

    impl Port {
        /// Waits for bytes.
        ///
        /// # Errors
        /// When the line is gone.
        pub(super) fn read(&mut self) -> io::Result<Vec<u8>> {
            let mut buffer = [0; 256];
            match self.0.read(&mut buffer)? {
                0 => Err(io::ErrorKind::UnexpectedEof.into()),
                n => Ok(buffer.get(..n).unwrap_or_default().to_vec()),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_and_its_unit_are_found_in_any_line() {
        for (line, wanted) in [
            ("11.11", Some("11.11")),
            ("  12,50 mm", Some("12,50mm")),
            ("01A+00012.345", Some("12.345")),
            ("ST,GS,+  0123.4 g", Some("123.4g")),
            ("ST,NT,  1583 g", Some("1583g")),
            ("N  +  1.203 kg", Some("1.203kg")),
            ("0.4375 in", Some("0.4375in")),
            ("0.4375\"", Some("0.4375\"")),
            ("- 0.02 mm", Some("-0.02mm")),
            ("00.00 MM", Some("0.00mm")),
            ("2.88 LB", Some("2.88lb")),
            ("7 of 9: 12.7 stable", Some("12.7")),
            ("1.234,5", None),
            ("ERR", None),
            ("", None),
        ] {
            assert_eq!(reading(line).as_deref(), wanted, "{line}");
        }
    }

    #[test]
    fn lines_come_in_pieces_and_a_stream_is_refused() {
        let mut lines = Lines::default();
        assert_eq!(lines.take(b"11.", 0), []);
        let taken = |text: &str| vec![Said::Reading(text.to_owned())];
        assert_eq!(lines.take(b"11\r\n", 4), taken("11.11"));
        assert_eq!(lines.take(b"22.22 mm\r", 2000), taken("22.22mm"));
        assert!(matches!(
            lines.take(b"22.23\r", 2100)[..],
            [Said::Trouble(_)]
        ));
        assert_eq!(lines.take(b"22.24\r", 2200), []);
        assert_eq!(lines.take(b"22.25\r", 2900), taken("22.25"));
        let long = "9".repeat(100_000);
        assert_eq!(lines.take(long.as_bytes(), 3000), []);
        assert!(lines.line.len() <= LINE);
    }

    #[test]
    fn the_speed_stands_behind_the_device() {
        assert_eq!(
            device("/dev/ttyUSB0"),
            (PathBuf::from("/dev/ttyUSB0"), 9600)
        );
        assert_eq!(
            device("/dev/ttyS1:4800"),
            (PathBuf::from("/dev/ttyS1"), 4800)
        );
        assert_eq!(device("/dev/by:id"), (PathBuf::from("/dev/by:id"), 9600));
    }
}
