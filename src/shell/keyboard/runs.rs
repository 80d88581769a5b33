//! Keys that follow each other faster than a hand can press them: a gauge that types its reading as a
//! keyboard does, or text that was pasted without the marks around it.
//!
//! What may begin a reading waits a moment, for only what follows tells whose it is. A bouncing contact
//! gives the same character twice and then nothing; a gauge goes on to other characters at the same pace.

use crossterm::event::{KeyCode, KeyModifiers};

use super::decode::Token;
use crate::shell::clock::Now;
use crate::shell::input::{Input, pressed};
use crate::units::parse;

/// Characters closer than this may be one reading, ms.
const PACE_MS: u64 = 35;
/// The same once a reading is under way: the computer may be busy, ms.
const PACE_ON_MS: u64 = 80;
/// Keys that came in one go are looked at with what follows at once, ms.
const AT_ONCE_MS: u64 = 8;
/// A reading that begins so soon behind other digits is the rest of one, ms.
const BROKEN_MS: u64 = 1000;
/// Longest reading of a gauge, with its unit.
const READING: usize = 20;
/// So many like digits in a row are a key held down.
const LIKE: usize = 4;
/// More keys than this in one go are pasted text.
const HAND: usize = 64;
/// Characters kept of pasted text; more than any line takes.
const TEXT: usize = 1000;

/// Sorts keys into those of a hand and those of a machine.
#[derive(Debug, Default)]
pub(super) struct Runs {
    /// Keys that wait for what follows.
    held: Vec<(Token, Now)>,
    /// Keys that are being taken for pasted text: what is kept of it, and when the last one came.
    pasted: Option<(String, Now)>,
    /// When the last digit went on as a key.
    typed: Option<u64>,
    /// When the last reading was ended.
    ended: Option<u64>,
    out: Vec<(Input, Now)>,
}

impl Runs {
    /// Takes up what came in one go.
    pub(super) fn take(&mut self, tokens: Vec<Token>, now: Now) -> Vec<(Input, Now)> {
        self.expire(now.mono_ms);
        let together = tokens.len() > 1;
        for token in tokens {
            self.one(token, now, together);
        }
        std::mem::take(&mut self.out)
    }

    /// When [`Runs::late`] is to be called, should nothing come before.
    pub(super) fn due(&self) -> Option<u64> {
        if let Some((_, last)) = &self.pasted {
            return Some(last.mono_ms + PACE_MS);
        }
        let (_, last) = self.held.last()?;
        let pace = match self.text() {
            Some(text) if is_beginning(&text) && is_mixed(&text) => PACE_ON_MS,
            Some(text) if is_beginning(&text) => PACE_MS,
            _ => AT_ONCE_MS,
        };
        Some(last.mono_ms + pace)
    }

    /// Lets go what was held, for nothing has followed.
    pub(super) fn late(&mut self, at_ms: u64) -> Vec<(Input, Now)> {
        self.expire(at_ms);
        std::mem::take(&mut self.out)
    }

    /// What is held, where it is all characters.
    fn text(&self) -> Option<String> {
        self.held
            .iter()
            .map(|(token, _)| character(token))
            .collect()
    }

    fn expire(&mut self, at_ms: u64) {
        if self.due().is_some_and(|due| at_ms >= due) {
            self.let_go();
        }
    }

    fn one(&mut self, token: Token, now: Now, together: bool) {
        let (code, modifiers) = match &token {
            Token::Paste(text) => {
                self.let_go();
                let text = text.chars().take(TEXT).collect();
                return self.out.push((Input::Paste(text), now));
            }
            Token::Key {
                code, modifiers, ..
            } => (*code, *modifiers),
        };
        if (code, modifiers) == (KeyCode::Char('c'), KeyModifiers::CONTROL) {
            self.let_go();
            return self.go(&token, now);
        }
        if let Some((text, last)) = &mut self.pasted {
            *last = now;
            if text.len() < TEXT {
                text.extend(in_text(&token));
            }
            return;
        }
        if ends_line(&token) {
            // some end it with two
            let again = self.ended.filter(|at| now.mono_ms < at + PACE_ON_MS);
            if again.is_some() && self.held.is_empty() {
                return;
            }
            if let Some(text) = self.text().filter(|text| is_reading(text)) {
                return self.reading(&text, now);
            }
        }
        self.held.push((token, now));
        let reads = self
            .text()
            .is_some_and(|text| is_beginning(&text) && !is_held_down(&text));
        if self.held.len() > HAND {
            let held = std::mem::take(&mut self.held);
            let text = held.iter().filter_map(|(token, _)| in_text(token));
            self.pasted = Some((text.collect(), now));
        } else if !reads && !together {
            let last = self.held.pop();
            self.let_go();
            // it may be the first of the next
            self.held.extend(last);
            let begins = self.text().is_some_and(|text| is_beginning(&text));
            if !begins {
                self.let_go();
            }
        }
    }

    /// A whole one, unless its first part came long before the rest.
    fn reading(&mut self, text: &str, now: Now) {
        let began = self.held.first().map_or(0, |(_, first)| first.mono_ms);
        let broken = self.typed.is_some_and(|at| began < at + BROKEN_MS);
        self.held.clear();
        self.typed = None;
        self.ended = Some(now.mono_ms);
        let text = (!broken).then(|| text.trim_start_matches('+').to_owned());
        self.out.push((Input::Reading(text), now));
    }

    fn let_go(&mut self) {
        if let Some(text) = self.pasted.take() {
            self.out.push((Input::Paste(text.0), text.1));
        }
        // nobody types unlike digits at such a pace; a gauge that sends no ENTER does
        let whole = self
            .text()
            .filter(|text| is_mixed(text) && parse::number(text).is_ok());
        let last = self.held.last().map(|(_, now)| *now);
        if let (Some(text), Some(now)) = (whole, last) {
            self.typed = Some(now.mono_ms);
            self.held.clear();
            self.out.push((Input::Paste(text), now));
        }
        for (token, now) in std::mem::take(&mut self.held) {
            self.go(&token, now);
        }
    }

    fn go(&mut self, token: &Token, now: Now) {
        if character(token).is_some_and(|c| c.is_ascii_digit()) {
            self.typed = Some(now.mono_ms);
        }
        if let Token::Key {
            code,
            modifiers,
            repeat,
        } = token
        {
            let input = pressed(*code, *modifiers, *repeat);
            self.out.extend(input.map(|input| (input, now)));
        }
    }
}

/// The character that a key types.
fn character(token: &Token) -> Option<char> {
    match token {
        Token::Key {
            code: KeyCode::Char(c),
            modifiers,
            ..
        } if modifiers.difference(KeyModifiers::SHIFT).is_empty() => Some(*c),
        _ => None,
    }
}

/// ENTER, TAB, or the line feed that some send.
fn ends_line(token: &Token) -> bool {
    match token {
        Token::Key {
            code, modifiers, ..
        } => match code {
            KeyCode::Enter | KeyCode::Tab => true,
            KeyCode::Char('j') => modifiers.contains(KeyModifiers::CONTROL),
            _ => false,
        },
        Token::Paste(_) => false,
    }
}

/// What a key is in pasted text.
fn in_text(token: &Token) -> Option<char> {
    if ends_line(token) {
        return Some(' ');
    }
    character(token)
}

/// True while this may become a gauge's reading: a sign, a number, a unit.
fn is_beginning(text: &str) -> bool {
    let number = text.strip_prefix(['+', '-']).unwrap_or(text);
    let unit = number.trim_start_matches(|c: char| c.is_ascii_digit() || ".,/- ".contains(c));
    text.len() <= READING
        && !number.starts_with(['-', ' ', '/'])
        && unit.len() <= 4
        && unit.chars().all(|c| c.is_ascii_alphabetic() || c == '"')
        && (unit.is_empty() || number.starts_with(|c: char| c.is_ascii_digit()))
}

/// True for a whole one. A sign alone before a digit is what a hand types: the keys of that name.
fn is_reading(text: &str) -> bool {
    let number = text.strip_prefix(['+', '-']);
    let whole = parse::number(number.unwrap_or(text)).is_ok();
    whole && text.len() >= 2 && (number.is_none() || text.contains(['.', ',']))
}

/// True for what no contact gives by bouncing.
fn is_mixed(text: &str) -> bool {
    let first = text.chars().next();
    text.len() >= 3 && text.chars().any(|c| Some(c) != first)
}

fn is_held_down(text: &str) -> bool {
    text.len() > LIKE && !is_mixed(text)
}

#[cfg(test)]
mod tests;
