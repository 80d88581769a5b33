//! Values of the file. Every reader says what is wrong and gives `None`.

use toml::de::DeValue;

use super::section::Node;
use crate::metal::Window;
use crate::units::bounds::Bounds;
use crate::units::parse::{self, Quantity};
use crate::units::{Celsius, Fault, Fraction, Mm, NumberError, Units, near, show};

/// Longest text of a title or a note.
const TEXT_WIDTH: usize = 2000;
/// Most notes or cautions of one step.
const MAX_TEXTS: usize = 60;

/// Line ends to spaces, the rest by [`show::plain`].
pub(super) fn clean(text: &str) -> String {
    let flat = text.replace(['\r', '\n', '\t'], " ");
    show::plain(flat.trim(), 2 * TEXT_WIDTH)
}

/// A TOML type in everyday words.
fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(whole) if whole.radix() != 10 => "not a decimal number",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

impl<'s> Node<'s> {
    pub(super) fn wrong_type<T>(&self) -> Option<T> {
        self.bad(&format!("is {}", type_name(self.value)), self.wanted())
    }

    fn units(&self) -> Units {
        self.section.doc.units.get()
    }

    /// Says a refused number: as it is in the file, why not, and what to write.
    pub(super) fn refuse_number<T>(&self, wants: &str, fault: &Fault) -> Option<T> {
        let remedy = match fault {
            Fault::Unit { allowed, .. } => format!("use {allowed}"),
            _ => format!("write {wants}"),
        };
        self.bad(&fault.to_string(), remedy)
    }

    /// A quantity: text with a unit, or a bare number in the unit that text without one is in.
    pub(super) fn quantity<T: Quantity>(&self) -> Option<T> {
        self.number_by(
            |text| parse::quantity(text, self.units()),
            |value| parse::bare(value, self.units()),
        )
    }

    /// A plain number between limits.
    pub(super) fn number(&self, within: &Bounds) -> Option<f64> {
        self.number_by(
            |text| parse::within(text, within),
            |value| within.check(value),
        )
    }

    fn number_by<T>(
        &self,
        from_text: impl Fn(&str) -> Result<T, NumberError>,
        from_bare: impl Fn(f64) -> Result<T, Fault>,
    ) -> Option<T> {
        let bare = |digits: &str| digits.parse().ok().map(&from_bare);
        let read = match self.value {
            DeValue::String(text) => Some(from_text(text).map_err(|error| error.fault)),
            DeValue::Integer(whole) if whole.radix() == 10 => bare(whole.as_str()),
            DeValue::Float(float) => bare(float.as_str()),
            _ => None,
        };
        match read {
            Some(Ok(value)) => Some(value),
            Some(Err(fault)) => self.refuse_number(&self.section.wants(self.key), &fault),
            None => self.wrong_type(),
        }
    }

    /// A size that may be zero.
    pub(super) fn allowance(&self) -> Option<Mm> {
        self.quantity()
    }

    /// A size above zero.
    pub(super) fn size(&self) -> Option<Mm> {
        let size = self.allowance()?;
        if size.0 >= 1e-3 {
            return Some(size);
        }
        self.refuse_number(&self.section.wants(self.key), &Fault::Zero)
    }

    /// Two values, the lower first.
    fn rising<T: Copy + PartialOrd>(
        &self,
        read: impl Fn(&Self) -> Option<T>,
        is_odd: impl Fn(T, T) -> bool,
        [why, remedy]: [&str; 2],
    ) -> Option<[T; 2]> {
        let [low, high] = self.pair()?;
        let (low, high) = read(&low).zip(read(&high))?;
        if is_odd(low, high) {
            return self.bad(why, remedy);
        }
        Some([low, high])
    }

    /// Two temperatures.
    pub(super) fn window(&self) -> Option<Window> {
        let words = ["does not rise", "write the lower temperature first"];
        let [low, high] = self.rising(Self::quantity::<Celsius>, |low, high| low >= high, words)?;
        Some(Window { low, high })
    }

    /// Two counts.
    pub(super) fn range(&self, most: u64) -> Option<[u64; 2]> {
        let words = ["falls", "write the lower number first"];
        self.rising(|node| node.count(1, most), |low, high| low > high, words)
    }

    pub(super) fn pair(&self) -> Option<[Self; 2]> {
        let Some(items) = self.items() else {
            return self.wrong_type();
        };
        match items.as_slice() {
            [a, b] => Some([a.clone(), b.clone()]),
            many => self.bad(
                &format!("lists {} values, not two", many.len()),
                self.wanted(),
            ),
        }
    }

    /// A loss: a share that leaves something.
    pub(super) fn loss(&self) -> Option<Fraction> {
        let share = self.quantity::<Fraction>()?;
        if share.0 < 0.95 {
            return Some(share);
        }
        self.bad("leaves nothing of the bar", "write a share under 95 %")
    }

    /// A whole number of things.
    pub(super) fn count(&self, least: u64, most: u64) -> Option<u64> {
        let value = match self.value {
            DeValue::Integer(whole) if whole.radix() == 10 => {
                whole.as_str().replace('_', "").parse::<i128>().ok()
            }
            DeValue::String(text) => parse::count(text).ok().map(i128::from),
            DeValue::Float(_) => None,
            _ => return self.wrong_type(),
        };
        let Some(value) = value else {
            return self.bad("is not a whole number", self.wanted());
        };
        match u64::try_from(value) {
            Ok(value) if value >= least && value <= most => Some(value),
            _ => self.bad(
                "is not possible",
                format!("write a whole number from {least} to {most}"),
            ),
        }
    }

    /// Yes or no.
    pub(super) fn flag(&self) -> Option<bool> {
        match self.value {
            DeValue::Boolean(value) => Some(*value),
            _ => self.wrong_type(),
        }
    }

    /// Text as written.
    pub(super) fn raw(&self) -> Option<&'s str> {
        match self.value {
            DeValue::String(text) => Some(text),
            _ => self.wrong_type(),
        }
    }

    /// Text safe to draw; line ends become spaces.
    pub(super) fn text(&self) -> Option<String> {
        let raw = self.raw()?;
        if raw.chars().count() > TEXT_WIDTH {
            let what = format!("{} is longer than {TEXT_WIDTH} characters", self.key);
            self.refuse(what, "make a list of shorter texts");
            return None;
        }
        let words = clean(raw);
        if words.is_empty() {
            let remedy = format!("{}, or leave it out", self.wanted());
            self.refuse(format!("{} is empty", self.key), remedy);
            return None;
        }
        Some(words)
    }

    /// One text or a list of them.
    pub(super) fn texts(&self) -> Option<Vec<String>> {
        let Some(items) = self.items() else {
            return self.text().map(|one| vec![one]);
        };
        if items.len() > MAX_TEXTS {
            let what = format!("{} lists {} texts", self.key, items.len());
            self.refuse(what, format!("write at most {MAX_TEXTS}"));
            return None;
        }
        items.iter().map(Self::text).collect()
    }

    /// One of a few words.
    pub(super) fn choice(&self, words: &[&'static str]) -> Option<&'static str> {
        let word = self.raw()?;
        if let Some(known) = words.iter().find(|known| **known == word) {
            return Some(known);
        }
        // Of two words the nearer one says less than both.
        let near = near::nearest(word, words.iter().copied()).filter(|_| words.len() > 3);
        let remedy = near.map_or_else(|| self.wanted(), |near| format!("write \"{near}\""));
        self.bad("is not known", remedy)
    }
}
