//! Wall-clock stamps as the journal writes them: `2026-11-25T09:12:33.120Z`, always UTC, always three
//! decimals, always 24 characters. No clock is read here.
//!
//! The form is the `date-time` of RFC 3339 (section 5.6) with `Z` and milliseconds.

use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

use crate::units::{Seconds, Stamp};

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
    let is_ours = text.len() == FORM.len() && text.bytes().zip(FORM.bytes()).all(fits);
    if !is_ours {
        return None;
    }
    // Field by field: the library's own reader takes more forms, and twice the time on a long journal.
    let field = |from: usize, to: usize| text.get(from..to)?.parse::<i16>().ok();
    let small = |from: usize| field(from, from + 2).and_then(|n| i8::try_from(n).ok());
    let nanoseconds = i32::from(field(20, 23)?) * 1_000_000;
    let date = Date::new(field(0, 4)?, small(5)?, small(8)?).ok()?;
    let clock = Time::new(small(11)?, small(14)?, small(17)?, nanoseconds).ok()?;
    let at = TimeZone::UTC.to_timestamp(date.to_datetime(clock)).ok()?;
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

/// A time of the day that a smith writes, as `14:20`: the last one that was before now; or with its date, as
/// `2026-03-02 14:20`. In the shop's time, so many minutes ahead of UTC. None where it is no time, or to come.
///
/// ```
/// use anvilside::journal::{read_local, read_stamp};
/// let now = read_stamp("2026-03-03T08:00:00.000Z").unwrap();
/// let at = |text| read_local(text, now, 60);
/// assert_eq!(at("08:30"), read_stamp("2026-03-03T07:30:00.000Z"));
/// assert_eq!(at("14:20"), read_stamp("2026-03-02T13:20:00.000Z"));
/// assert_eq!(at("2026-03-01 9:05"), read_stamp("2026-03-01T08:05:00.000Z"));
/// assert_eq!(at("2026-03-04 09:00"), None);
/// assert_eq!(at("25:00"), None);
/// ```
#[must_use]
pub fn read_local(text: &str, now: Stamp, offset_minutes: i32) -> Option<Stamp> {
    const DAY: Seconds = Seconds(86_400.0);
    let ahead = Seconds(f64::from(offset_minutes) * 60.0);
    let today = write_stamp(now.plus(ahead))?;
    let (date, clock) = match text.trim().split_once([' ', 'T']) {
        Some((date, clock)) => (Some(date), clock.trim()),
        None => (None, text.trim()),
    };
    let (hours, minutes) = clock.split_once(':')?;
    let digits = |part: &str, least: usize| {
        let all = part.len() >= least && part.len() <= 2;
        all && part.bytes().all(|b| b.is_ascii_digit())
    };
    if !digits(hours, 1) || !digits(minutes, 2) {
        return None;
    }
    let day = date.or(today.get(..10))?;
    let local = read_stamp(&format!("{day}T{hours:0>2}:{minutes}:00.000Z"))?;
    let at = local.plus(ahead * -1.0);
    if at <= now {
        return Some(at);
    }
    date.is_none().then(|| at.plus(DAY * -1.0))
}

/// A moment inside an entry, written as before it.
pub(super) mod text {
    use serde::de::Error as _;
    use serde::ser::Error as _;
    use serde::{Deserialize, Deserializer, Serializer};

    use crate::units::Stamp;

    pub(in crate::journal) fn serialize<S: Serializer>(
        at: &Stamp,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        let text = super::write_stamp(*at);
        to.serialize_str(&text.ok_or_else(|| S::Error::custom("a time past all calendars"))?)
    }

    pub(in crate::journal) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Stamp, D::Error> {
        let text = String::deserialize(from)?;
        super::read_stamp(&text).ok_or_else(|| D::Error::custom("no time"))
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
