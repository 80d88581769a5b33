//! What of a journal file can be trusted. The rules are described in [`super`].

use super::{DecodeError, Entry, Event, decode};

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Flaw {
    /// It holds bytes that are no text.
    #[error("the line is not text (UTF-8)")]
    NoText,
    /// It is not whole.
    #[error(transparent)]
    Line(#[from] DecodeError),
    /// It takes back what comes later.
    #[error("the line takes back entry {0}, which comes later")]
    Later(u64),
    /// Entries are missing before it: the first that is, and its own number.
    #[error("entry {0} is missing: the line holds entry {1}")]
    Missing(u64, u64),
    /// Its number was there before: its own, and the one that is due.
    #[error("the line holds entry {0} again where entry {1} belongs")]
    Again(u64, u64),
}

/// The result of reading a journal's bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Scan {
    /// Whole entries, in order.
    pub entries: Vec<Entry>,
    /// Length of the good part in bytes; what lies behind it is a torn tail, or the damage.
    pub good: usize,
    /// Damage before the tail: line number from 1 and what is wrong. Nothing behind it is trusted.
    pub damage: Option<(usize, Flaw)>,
}

impl Scan {
    /// True when a write was cut short and `good` is shorter than the `len` bytes that were read.
    #[must_use]
    pub fn is_torn(&self, len: usize) -> bool {
        self.damage.is_none() && self.good < len
    }
}

/// No line of an entry is shorter: number, time, checksum and `"drank"`.
const SHORTEST: usize = 43;

/// Reads every whole entry.
#[must_use]
pub fn scan(bytes: &[u8]) -> Scan {
    let text = text_of(bytes);
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count();
    let mut scan = Scan {
        entries: Vec::with_capacity(lines.min(bytes.len() / SHORTEST)),
        good: 0,
        damage: None,
    };
    while let Some((end, line)) = next_line(bytes, text, scan.good) {
        match line.and_then(|line| read(line, scan.entries.len())) {
            Ok(entry) => scan.entries.push(entry),
            Err(what) => {
                let rest = bytes.get(scan.good..end).unwrap_or_default();
                // blocks of the last write that never reached the disk read as zeros
                let torn = end + 1 == bytes.len() && rest.contains(&0) && !holds_entry(rest);
                // and an editor may leave blank lines behind
                let left = bytes.get(scan.good..).unwrap_or_default();
                let torn = torn || left.iter().all(u8::is_ascii_whitespace);
                scan.damage = (!torn).then(|| (scan.entries.len() + 1, what));
                break;
            }
        }
        scan.good = end + 1;
    }
    scan
}

/// True when a whole entry, confirmed by its checksum, stands between zeros: no write that was cut
/// short leaves that behind.
fn holds_entry(rest: &[u8]) -> bool {
    rest.split(|byte| *byte == 0)
        .filter(|part| !part.is_empty())
        .filter_map(|part| std::str::from_utf8(part).ok())
        .any(|part| decode(part).is_ok())
}

/// The text up to the first byte that is none.
fn text_of(bytes: &[u8]) -> &str {
    match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) => {
            let valid = bytes.get(..e.valid_up_to()).unwrap_or_default();
            std::str::from_utf8(valid).unwrap_or_default()
        }
    }
}

/// The place of the next newline and the line before it; `None` when there is no newline.
fn next_line<'a>(
    bytes: &[u8],
    text: &'a str,
    from: usize,
) -> Option<(usize, Result<&'a str, Flaw>)> {
    if let Some(line) = text.get(from..).and_then(|t| t.split_once('\n')) {
        return Some((from + line.0.len(), Ok(line.0)));
    }
    let end = from + bytes.get(from..)?.iter().position(|&b| b == b'\n')?;
    Some((end, Err(Flaw::NoText)))
}

/// The entry of a line that must follow `before` others.
fn read(line: &str, before: usize) -> Result<Entry, Flaw> {
    let entry = decode(line)?;
    if let Event::Undone { seq } | Event::Redone { seq } = entry.event
        && seq >= entry.seq
    {
        return Err(Flaw::Later(seq));
    }
    let due = u64::try_from(before).unwrap_or(u64::MAX).saturating_add(1);
    if entry.seq == due {
        return Ok(entry);
    }
    let seq = entry.seq;
    Err(if seq > due {
        Flaw::Missing(due, seq)
    } else {
        Flaw::Again(seq, due)
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::journal::samples::{any_entries, bytes, work};

    #[test]
    fn nothing_is_an_empty_journal() {
        let scan = scan(b"");
        assert!(scan.entries.is_empty() && scan.good == 0 && scan.damage.is_none());
    }

    #[test]
    fn blank_lines_at_the_end_are_a_torn_tail_and_between_entries_damage() {
        let entries = work(5);
        let whole = bytes(&entries);
        for left in ["\n", " \n\r\n", "\n\n\t"] {
            let text = [&whole[..], left.as_bytes()].concat();
            let scan = scan(&text);
            assert_eq!(
                (scan.damage.clone(), scan.good),
                (None, whole.len()),
                "{left:?}"
            );
            assert!(scan.is_torn(text.len()) && scan.entries == entries);
        }
        let between = [&whole[..], b"\n", &whole[..]].concat();
        assert!(scan(&between).damage.is_some());
    }

    #[test]
    fn a_journal_cut_at_any_byte_gives_the_entries_before_the_cut() {
        let entries = work(12);
        let whole = bytes(&entries);
        for cut in 0..=whole.len() {
            let head = &whole[..cut];
            let lines = head.iter().filter(|&&b| b == b'\n').count();
            let scan = scan(head);
            assert_eq!(scan.damage, None, "cut at {cut}");
            assert_eq!(scan.entries, entries[..lines], "cut at {cut}");
            assert_eq!(&head[..scan.good], bytes(&entries[..lines]), "cut at {cut}");
            assert_eq!(
                scan.is_torn(cut),
                !head.is_empty() && !head.ends_with(b"\n")
            );
        }
    }

    #[test]
    fn any_single_byte_changed_anywhere_is_seen() {
        let entries = work(6);
        let whole = bytes(&entries);
        for at in 0..whole.len() {
            for other in [whole[at] ^ 1, whole[at] ^ 0x20, b'\n', b' ', 0, 0xff] {
                let mut bad = whole.clone();
                bad[at] = other;
                if bad == whole {
                    continue;
                }
                let scan = scan(&bad);
                assert!(scan.good < whole.len(), "byte {at} as {other}");
                assert!(entries.starts_with(&scan.entries));
            }
        }
    }

    #[test]
    fn damage_is_reported_by_line_and_nothing_behind_it_is_used() {
        let entries = work(8);
        let text = String::from_utf8(bytes(&entries)).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let damaged = |lines: &[&str]| scan(format!("{}\n", lines.join("\n")).as_bytes());

        let mut changed = lines.clone();
        let bad = changed[3].replace("2026", "2025");
        changed[3] = &bad;
        let found = damaged(&changed);
        assert_eq!(found.entries, entries[..3]);
        assert_eq!(found.damage.unwrap().0, 4);

        let mut missing = lines.clone();
        missing.remove(3);
        let (line, what) = damaged(&missing).damage.unwrap();
        assert_eq!(line, 4);
        assert_eq!(
            what.to_string(),
            "entry 4 is missing: the line holds entry 5"
        );

        let mut twice = lines.clone();
        twice.insert(3, lines[2]);
        let (line, what) = damaged(&twice).damage.unwrap();
        assert_eq!(line, 4);
        assert_eq!(
            what.to_string(),
            "the line holds entry 3 again where entry 4 belongs"
        );

        let mut blank = lines.clone();
        blank.insert(3, "");
        assert_eq!(damaged(&blank).damage.unwrap().0, 4);

        let mut last = lines.clone();
        let bad = last[7].replace("2026", "2025");
        last[7] = &bad;
        assert_eq!(
            damaged(&last).damage.unwrap().0,
            8,
            "a whole last line is not a torn tail"
        );
    }

    #[test]
    fn blocks_that_never_reached_the_disk_are_a_torn_tail() {
        let entries = work(4);
        let whole = bytes(&entries);
        let start = bytes(&entries[..3]).len();
        // all zeros, without and with the newline
        for keep in [0, 1] {
            let mut torn = whole.clone();
            let end = torn.len() - keep;
            torn[start + 5..end].fill(0);
            let scan = scan(&torn);
            assert_eq!(scan.damage, None);
            assert_eq!(scan.good, start);
        }
        // zeros in the middle of the file are damage
        let mut bad = whole;
        bad[start - 9..start - 4].fill(0);
        assert_eq!(scan(&bad).damage.unwrap().0, 3);
    }

    #[test]
    fn zeros_take_no_confirmed_entry_with_them() {
        let entries = work(8);
        let whole = bytes(&entries);
        // in place of any one end of line
        let ends = whole.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
        let ends: Vec<usize> = ends.map(|(at, _)| at).collect();
        for at in &ends[..ends.len() - 1] {
            let mut bad = whole.clone();
            bad[*at] = 0;
            let scan = scan(&bad);
            assert!(
                scan.damage.is_some(),
                "a whole entry was taken for a torn tail"
            );
        }
    }

    #[test]
    fn an_undo_of_what_is_not_there_yet_is_damage() {
        let entry = |seq, event| Entry {
            seq,
            at: crate::units::Stamp(0),
            event,
        };
        for (of, whole) in [(1, true), (2, false), (9, false)] {
            for event in [Event::Undone { seq: of }, Event::Redone { seq: of }] {
                let found = scan(&bytes(&[entry(1, Event::Drank), entry(2, event)]));
                assert_eq!(found.damage.is_none(), whole);
                assert!(whole || found.damage.unwrap().0 == 2);
            }
        }
    }

    #[test]
    fn a_line_that_is_not_text_is_damage_and_half_a_character_at_the_end_is_not() {
        let whole = bytes(&work(4));
        let start = bytes(&work(3)).len();
        let mut bad = whole.clone();
        bad[start - 20] = 0xff;
        let found = scan(&bad);
        assert_eq!(found.entries, work(2));
        assert_eq!(found.damage.unwrap(), (3, Flaw::NoText));
        let mut torn = whole;
        torn.extend("5 größ".as_bytes());
        torn.extend(&"ö".as_bytes()[..1]);
        let found = scan(&torn);
        assert_eq!((found.entries, found.damage), (work(4), None));
        assert!(found.good < torn.len());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn any_journal_reads_back(entries in any_entries()) {
            let whole = bytes(&entries);
            let scan = scan(&whole);
            prop_assert_eq!(scan.damage, None);
            prop_assert_eq!(scan.good, whole.len());
            prop_assert_eq!(scan.entries, entries);
        }

        #[test]
        fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
            let scan = scan(&bytes);
            prop_assert!(scan.entries.is_empty() && scan.good == 0);
        }
    }
}
