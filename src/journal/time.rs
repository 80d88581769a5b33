//! Wall-clock stamps as the journal writes them: `2026-11-25T09:12:33.120Z`, always UTC, always three
//! decimals, always 24 characters. No clock is read here.
//!
//! The form is the `date-time` of RFC 3339 (section 5.6) with `Z` and milliseconds.

use jiff::Timestamp;

use crate::units::Stamp;

/// 0000-01-01T00:00:00.000Z.
const FIRST: i64 = -62_167_219_200_000;
/// 9999-12-30T22:00:00.000Z, the last that the calendar library holds.
const LAST: i64 = 253_402_207_200_000;

/// The stamp as text; `None` outside the years 0000 to 9999.
///
/// ```
/// use anvilside::journal::write_stamp;
/// use anvilside::units::Stamp;
/// assert_eq!(write_stamp(Stamp(0)).as_deref(), Some("1970-01-01T00:00:00.000Z"));
/// ```
#[must_use]
pub fn write_stamp(stamp: Stamp) -> Option<String> {
    let inside = (FIRST..=LAST).contains(&stamp.0).then_some(stamp.0)?;
    let at = Timestamp::from_millisecond(inside).ok()?;
    Some(format!("{at:.3}"))
}

/// The stamp of exactly that form; `None` for any other text or a date that does not exist.
#[must_use]
pub fn read_stamp(text: &str) -> Option<Stamp> {
    // The library reads other forms too, and a leap second as the one before it.
    let is_ours = text.len() == FORM.len() && text.bytes().zip(FORM.bytes()).all(fits);
    if !is_ours || text.get(17..19) == Some("60") {
        return None;
    }
    let at: Timestamp = text.parse().ok()?;
    let stamp = Stamp(at.as_millisecond());
    (FIRST..=LAST).contains(&stamp.0).then_some(stamp)
}

const FORM: &str = "0000-00-00T00:00:00.000Z";

fn fits((byte, form): (u8, u8)) -> bool {
    match form {
        b'0' => byte.is_ascii_digit(),
        _ => byte == form,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Days since 1970-01-01 counted year by year and month by month, by the rule of the Gregorian
    /// calendar: an opinion from outside the library.
    fn counted(year: i64, month: usize, day: i64) -> i64 {
        let leap = |y: i64| y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
        let length = |y: i64| if leap(y) { 366 } else { 365 };
        let years: i64 = if year >= 1970 {
            (1970..year).map(length).sum()
        } else {
            -(year..1970).map(length).sum::<i64>()
        };
        let february = if leap(year) { 29 } else { 28 };
        let months = [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        years + months[..month - 1].iter().sum::<i64>() + day - 1
    }

    #[test]
    fn the_ends_hold_and_nothing_is_written_beyond_them() {
        assert_eq!(
            write_stamp(Stamp(FIRST)).unwrap(),
            "0000-01-01T00:00:00.000Z"
        );
        assert_eq!(
            write_stamp(Stamp(LAST)).unwrap(),
            "9999-12-30T22:00:00.000Z"
        );
        assert_eq!(write_stamp(Stamp(FIRST - 1)), None);
        assert_eq!(write_stamp(Stamp(LAST + 1)), None);
        assert_eq!(write_stamp(Stamp(i64::MIN)), None);
    }

    #[test]
    fn other_texts_are_refused() {
        for text in [
            "",
            "2026-02-29T00:00:00.000Z",
            "2026-13-01T00:00:00.000Z",
            "2026-00-01T00:00:00.000Z",
            "2026-04-31T00:00:00.000Z",
            "2026-04-00T00:00:00.000Z",
            "2026-04-01T24:00:00.000Z",
            "2026-04-01T00:00:60.000Z",
            "2026-04-01t00:00:00.000Z",
            "2026-04-01T00:00:00.00Z",
            "2026-04-01T00:00:00.000z",
            "2026-04-01T00:00:00.000+",
            "2026-04-01T02:00:00.000+02:00",
            "2026-04-01 00:00:00.000Z",
            "+026-04-01T00:00:00.000Z",
        ] {
            assert_eq!(read_stamp(text), None, "{text}");
        }
        assert!(read_stamp("2024-02-29T00:00:00.000Z").is_some());
    }

    proptest! {
        #[test]
        fn every_stamp_reads_back(ms in FIRST..=LAST) {
            let text = write_stamp(Stamp(ms)).unwrap();
            prop_assert_eq!(text.len(), 24);
            prop_assert_eq!(read_stamp(&text), Some(Stamp(ms)));
        }

        #[test]
        fn a_date_is_the_day_that_the_calendar_counts(
            year in 0_i64..=9998,
            month in 1_usize..=12,
            day in 1_i64..=28,
            second in 0_i64..86_400,
        ) {
            let (h, m, s) = (second / 3600, second / 60 % 60, second % 60);
            let text = format!("{year:04}-{month:02}-{day:02}T{h:02}:{m:02}:{s:02}.007Z");
            let at = counted(year, month, day) * 86_400_000 + second * 1000 + 7;
            prop_assert_eq!(read_stamp(&text), Some(Stamp(at)));
        }
    }
}
