//! One entry, one line: `SEQ TIME CRC32 JSON\n`. The format is described in [`super`].

use super::time::{read_stamp, write_stamp};
use super::{Entry, Event};
use crate::units::Stamp;

/// Why a line is not an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DecodeError {
    /// Not four fields, or one of them is not of its form.
    #[error("the line is not an entry")]
    Shape,
    /// The checksum differs.
    #[error("the checksum does not agree: the line was changed or damaged")]
    Checksum,
    /// The words are not known to this version.
    #[error("the entry is not known to this version: {0}")]
    Unknown(String),
}

/// Why an entry may not be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum EncodeError {
    /// A number that is not finite, so that the line would not read back as it was.
    #[error("a number in it is not finite")]
    Number,
    /// The clock stands outside the years 0000 to 9999.
    #[error("the computer's clock stands outside the years 0000 to 9999; set it")]
    Clock,
}

/// The line for an entry, newline last.
///
/// # Errors
/// [`EncodeError`] when the line would not read back as the same entry.
pub fn encode(entry: &Entry) -> Result<String, EncodeError> {
    let time = write_stamp(entry.at).ok_or(EncodeError::Clock)?;
    let head = format!("{} {time} ", entry.seq);
    let json = serde_json::to_string(&entry.event).map_err(|_| EncodeError::Number)?;
    // JSON has no NaN: it is written as null, so the proof is in reading back
    let back: Result<Event, _> = serde_json::from_str(&json);
    if back.ok().as_ref() != Some(&entry.event) {
        return Err(EncodeError::Number);
    }
    let crc = checksum(&head, &json);
    Ok(format!("{head}{crc:08x} {json}\n"))
}

/// The entry of a line without its newline.
///
/// # Errors
/// [`DecodeError`] when it is not whole.
pub fn decode(line: &str) -> Result<Entry, DecodeError> {
    let (seq, at, crc, head, json) = fields(line).ok_or(DecodeError::Shape)?;
    if crc != checksum(head, json) {
        return Err(DecodeError::Checksum);
    }
    let event = serde_json::from_str(json).map_err(|e| DecodeError::Unknown(e.to_string()))?;
    Ok(Entry { seq, at, event })
}

/// Number, time, checksum, what the checksum covers before the JSON, and the JSON.
fn fields(line: &str) -> Option<(u64, Stamp, u32, &str, &str)> {
    let (seq, rest) = line.split_once(' ')?;
    let (time, rest) = rest.split_once(' ')?;
    let (crc, json) = rest.split_once(' ')?;
    let head = line.get(..seq.len() + time.len() + 2)?;
    Some((number(seq)?, read_stamp(time)?, hex(crc)?, head, json))
}

/// CRC-32 of the line as it would read without the checksum field: `head` is number and time with the
/// space behind each.
fn checksum(head: &str, json: &str) -> u32 {
    let mut crc = crc32fast::Hasher::new();
    crc.update(head.as_bytes());
    crc.update(json.as_bytes());
    crc.finalize()
}

/// Digits without sign or leading zero.
fn number(text: &str) -> Option<u64> {
    let plain = !text.starts_with(['0', '+']);
    plain.then(|| text.parse().ok()).flatten()
}

/// Exactly eight lower-case hexadecimal digits.
fn hex(text: &str) -> Option<u32> {
    let ours = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
    let whole = text.len() == 8 && text.bytes().all(ours);
    whole.then(|| u32::from_str_radix(text, 16).ok()).flatten()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::billet::Dimension;
    use crate::journal::samples::{any_entry, entry};
    use crate::plan::StepId;
    use crate::units::Celsius;

    #[test]
    fn a_line_reads_as_the_page_says() {
        let done = Event::Done {
            step: StepId("draw-1".into()),
        };
        let line = encode(&Entry {
            seq: 17,
            at: read_stamp("2026-11-25T09:12:33.120Z").unwrap(),
            event: done,
        })
        .unwrap();
        // checksum worked out apart with Python 3: zlib.crc32 of
        // b'17 2026-11-25T09:12:33.120Z {"done":{"step":"draw-1"}}'
        assert_eq!(
            line,
            "17 2026-11-25T09:12:33.120Z 2d01ba7b {\"done\":{\"step\":\"draw-1\"}}\n"
        );
    }

    #[test]
    fn the_checksum_is_the_published_one() {
        // check value of CRC-32/ISO-HDLC for "123456789" in the catalogue of parametrised CRC
        // algorithms: cbf43926 (from memory)
        let whole = crc32fast::hash(b"123456789");
        assert_eq!(format!("{whole:08x}"), "cbf43926");
        assert_eq!(checksum("1 2 ", "3"), crc32fast::hash(b"1 2 3"));
    }

    #[test]
    fn numbers_that_are_not_finite_are_refused() {
        let measured = |cold, hot| Event::Measured {
            step: StepId("draw-1".into()),
            what: Dimension::Thickness,
            cold,
            typed: "?".into(),
            hot,
            counted: None,
        };
        for event in [
            measured(f64::NAN, None),
            measured(f64::INFINITY, None),
            measured(1.0, Some(Celsius(f64::NAN))),
        ] {
            assert_eq!(encode(&entry(1, event)), Err(EncodeError::Number));
        }
        assert!(encode(&entry(1, measured(1.0, Some(Celsius(900.0))))).is_ok());
    }

    #[test]
    fn a_clock_beyond_the_calendar_is_refused() {
        let mut late = entry(1, Event::Closed);
        late.at = Stamp(i64::MAX);
        assert_eq!(encode(&late), Err(EncodeError::Clock));
    }

    #[test]
    fn text_never_breaks_the_line_nor_reaches_a_terminal_raw() {
        let note = Event::Note {
            step: StepId("draw-1".into()),
            text: "a\nb\r\u{1b}[2J\0".into(),
        };
        let line = encode(&entry(1, note)).unwrap();
        assert_eq!(line.matches('\n').count(), 1);
        assert!(!line.trim_end_matches('\n').contains(char::is_control));
    }

    #[test]
    fn near_misses_of_the_form_are_refused() {
        let line = encode(&entry(7, Event::Closed)).unwrap();
        let line = line.trim_end();
        assert!(decode(line).is_ok());
        for other in [
            format!("0{line}"),
            format!("+{line}"),
            format!(" {line}"),
            line.replace(' ', "  "),
            line.replace('Z', "z"),
            line.to_uppercase(),
            format!("{line}\r"),
            String::new(),
        ] {
            assert!(decode(&other).is_err(), "{other}");
        }
    }

    #[test]
    fn a_record_of_a_later_version_is_named() {
        let (head, json) = ("1 2026-11-25T09:12:33.120Z ", "{\"forged\":{}}");
        let crc = checksum(head, json);
        let error = decode(&format!("{head}{crc:08x} {json}")).unwrap_err();
        assert!(error.to_string().contains("forged"), "{error}");
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back(entry in any_entry()) {
            let line = encode(&entry).unwrap();
            prop_assert!(line.ends_with('\n'));
            prop_assert_eq!(decode(line.trim_end_matches('\n')), Ok(entry));
        }

        #[test]
        fn one_flipped_bit_is_seen(entry in any_entry(), at in any::<prop::sample::Index>(), bit in 0..8u8) {
            let mut bytes = encode(&entry).unwrap().into_bytes();
            bytes.pop();
            let at = at.index(bytes.len());
            bytes[at] ^= 1 << bit;
            if let Ok(line) = std::str::from_utf8(&bytes) {
                prop_assert!(decode(line).is_err());
            }
        }

        #[test]
        fn no_text_panics(text in any::<String>()) {
            prop_assert!(decode(&text).is_err());
        }
    }
}
