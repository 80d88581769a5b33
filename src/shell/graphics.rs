//! Sharp pictures: whether the terminal takes them, and the bytes that show one.
//!
//! The protocols are from memory of their public descriptions: the kitty graphics protocol, the inline
//! pictures of OSC 1337, and sixel (DEC VT300 series programmer's reference).

use crate::pattern::{EncodeError, iterm, kitty, kitty_clear, sixel};
use crate::ui::Plate;

/// The way a terminal takes pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Protocol {
    /// Pictures with a number, that lie on the cells until taken away.
    Kitty,
    /// Files in OSC 1337; they go when their cells are wiped.
    Inline,
    /// Bands of six rows; they go when their cells are wiped.
    Sixel,
}

/// What the user wants of sharp pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Wish {
    /// None: half blocks, and the terminal is asked nothing.
    #[default]
    Blocks,
    /// What the terminal says that it takes.
    Ask,
    /// This, whatever the terminal says; it is asked for the size of its cells alone.
    Only(Protocol),
}

/// How the terminal takes pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Graphics {
    /// In which way.
    pub protocol: Protocol,
    /// Pixels across and down of a cell.
    pub cell: [u16; 2],
}

/// The one picture that is up has this number.
const NUMBER: u32 = 1;
/// Where the terminal does not tell: small, so that a picture does not leave its place.
const CELL: [u16; 2] = [8, 16];

impl Wish {
    /// Whether a terminal with these variables may be asked. Not over a network, where the answer may
    /// come late and be taken for keys; not through a program that draws for several terminals; not a
    /// terminal known to show letters alone.
    #[must_use]
    pub fn may_ask(variable: impl Fn(&str) -> Option<String>) -> bool {
        let set = |name| variable(name).is_some_and(|value| !value.is_empty());
        let far = ["SSH_CONNECTION", "SSH_TTY", "TMUX", "STY"];
        let term = variable("TERM").unwrap_or_default();
        let plain = ["", "dumb", "linux"].contains(&term.as_str());
        let shared = ["screen", "tmux"].iter().any(|name| term.starts_with(name));
        !(far.into_iter().any(set) || plain || shared)
    }

    /// What comes of the wish and the answers.
    pub(super) fn settled(self, answers: &Answers) -> Option<Graphics> {
        let said = [
            (answers.kitty, Protocol::Kitty),
            (answers.inline, Protocol::Inline),
            (answers.sixel, Protocol::Sixel),
        ];
        let protocol = match self {
            Self::Blocks => None,
            Self::Ask => said.into_iter().find(|(yes, _)| *yes).map(|(_, p)| p),
            Self::Only(protocol) => Some(protocol),
        }?;
        let cell = answers.cell.unwrap_or(CELL);
        Some(Graphics { protocol, cell })
    }
}

impl Graphics {
    /// Makes the picture and the bytes that put it in its place. Slow: for a thread of its own.
    ///
    /// # Errors
    /// [`EncodeError`] when the picture is too large for the format.
    pub fn encode(self, plate: &Plate) -> Result<Vec<u8>, EncodeError> {
        let area = plate.area;
        let mut bytes = format!("\x1b[{};{}H", area.y + 1, area.x + 1).into_bytes();
        let [wide, high] = plate.size;
        bytes.extend(match self.protocol {
            Protocol::Kitty => {
                let png = plate.render(plate.size).png_clear()?;
                kitty(&png, NUMBER, area.width, area.height)
            }
            Protocol::Inline => {
                let png = plate.render(plate.size).png_clear()?;
                iterm(&png, area.width, area.height)
            }
            // whole bands: the last one would hang into the row below
            Protocol::Sixel => sixel(&plate.render([wide, (high / 6 * 6).max(6)])),
        });
        Ok(bytes)
    }
}

impl Protocol {
    /// Takes the picture away. Where wiped cells do that, this wipes them all.
    pub(super) fn clear(self) -> Vec<u8> {
        match self {
            Self::Kitty => kitty_clear(NUMBER),
            Self::Inline | Self::Sixel => b"\x1b[2J".to_vec(),
        }
    }
}

/// What a terminal has said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Answers {
    /// To the primary device attributes, asked last: every terminal knows them. So many times.
    pub(super) attributes: u8,
    pub(super) kitty: bool,
    pub(super) inline: bool,
    pub(super) sixel: bool,
    /// Pixels across and down of a cell.
    pub(super) cell: Option<[u16; 2]>,
    /// The last answer has not come whole.
    pub(super) cut: bool,
}

/// Asks what every terminal answers.
pub(super) const FIRST: &str = "\x1b[c";
/// Asks a terminal that has answered: for kitty pictures with one of a single dot that is not kept, for
/// the size of a cell in pixels, for that of OSC 1337, and once more what every terminal answers.
pub(super) const SECOND: &str =
    "\x1b_Gi=31,s=1,v=1,a=q,t=d,f=24;AAAA\x1b\\\x1b[16t\x1b]1337;ReportCellSize\x07\x1b[c";
/// Only the size of a cell.
pub(super) const SIZE: &str = "\x1b[16t\x1b[c";

impl Answers {
    /// Reads what came; keys and anything unknown in between are passed over.
    pub(super) fn read(bytes: &[u8]) -> Self {
        let text = String::from_utf8_lossy(bytes);
        let mut found = Self::default();
        let mut points = None;
        // before the first of them are keys
        for part in text.split('\x1b').skip(1) {
            found.cut = false;
            if let Some(rest) = part.strip_prefix('[') {
                found.control(rest);
            } else if let Some(rest) = part.strip_prefix('_') {
                // its end is an escape sequence of its own
                found.kitty |= rest == "Gi=31;OK";
                found.cut = true;
            } else if let Some(rest) = part.strip_prefix(']') {
                let said = rest.strip_prefix("1337;ReportCellSize=");
                found.inline |= said.is_some();
                points = points.or(said.and_then(scaled));
                found.cut = !rest.contains('\x07');
            } else {
                found.cut = part.is_empty();
            }
        }
        found.cell = found.cell.or(points);
        found
    }

    /// One that begins with ESC [.
    fn control(&mut self, rest: &str) {
        let Some(end) = rest.find(|c: char| ('@'..='~').contains(&c)) else {
            self.cut = true;
            return;
        };
        let (numbers, last) = rest.split_at(end);
        if last.starts_with('c')
            && let Some(numbers) = numbers.strip_prefix('?')
        {
            self.attributes = self.attributes.saturating_add(1);
            // the first is the terminal's class
            self.sixel |= numbers.split(';').skip(1).any(|n| n == "4");
        } else if last.starts_with('t')
            && let Some((high, wide)) = numbers.strip_prefix("6;").and_then(|n| n.split_once(';'))
        {
            self.cell = sound(wide.parse().ok(), high.parse().ok());
        }
    }
}

/// The size of a cell, where it can be one.
fn sound(wide: Option<u16>, high: Option<u16>) -> Option<[u16; 2]> {
    let cell = [wide?, high?];
    cell.iter().all(|n| (4..=200).contains(n)).then_some(cell)
}

/// Height, width and scale: points, and pixels to a point.
fn scaled(text: &str) -> Option<[u16; 2]> {
    let mut numbers = text.trim_end_matches('\x07').split(';').map(str::parse);
    let (high, wide): (f64, f64) = (numbers.next()?.ok()?, numbers.next()?.ok()?);
    let scale = numbers.next().and_then(Result::ok).unwrap_or(1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast holds it to the range, and what is no size is refused"
    )]
    let pixels = |points: f64| Some((points * scale).round() as u16);
    sound(pixels(wide), pixels(high))
}

#[cfg(test)]
mod tests;
