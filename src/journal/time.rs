//! Wall-clock stamps as the journal writes them: `2026-11-25T09:12:33.120Z`, always UTC, always three
//! decimals, always 24 characters. No clock is read here.
//!
//! The form is the `date-time` of RFC 3339 (section 5.6) with `Z` and milliseconds. The count of days
//! follows the Gregorian calendar carried back without end, with years that begin in March so that the
//! leap day comes last.

use crate::units::Stamp;

const MS_PER_DAY: i64 = 86_400_000;
const DAYS_PER_400_YEARS: i64 = 146_097;
/// Days from 1 March of year 0 to 1 January 1970.
const MARCH_0_TO_1970: i64 = 719_468;
/// 0000-01-01T00:00:00.000Z.
const FIRST: i64 = -62_167_219_200_000;
/// 9999-12-31T23:59:59.999Z.
const LAST: i64 = 253_402_300_799_999;

/// The stamp as text; `None` outside the years 0000 to 9999.
///
/// ```
/// use anvilside::journal::write_stamp;
/// use anvilside::units::Stamp;
/// assert_eq!(write_stamp(Stamp(0)).as_deref(), Some("1970-01-01T00:00:00.000Z"));
/// ```
#[must_use]
pub fn write_stamp(stamp: Stamp) -> Option<String> {
    if !(FIRST..=LAST).contains(&stamp.0) {
        return None;
    }
    let (year, month, day) = date(stamp.0.div_euclid(MS_PER_DAY));
    let ms = stamp.0.rem_euclid(MS_PER_DAY);
    let (s, ms) = (ms / 1000, ms % 1000);
    let (h, m, s) = (s / 3600, s / 60 % 60, s % 60);
    Some(format!(
        "{year:04}-{month:02}-{day:02}T{h:02}:{m:02}:{s:02}.{ms:03}Z"
    ))
}

/// The stamp of exactly that form; `None` for any other text or a date that does not exist.
#[must_use]
pub fn read_stamp(text: &str) -> Option<Stamp> {
    let &[
        y0,
        y1,
        y2,
        y3,
        b'-',
        mo0,
        mo1,
        b'-',
        d0,
        d1,
        b'T',
        h0,
        h1,
        b':',
        mi0,
        mi1,
        b':',
        s0,
        s1,
        b'.',
        f0,
        f1,
        f2,
        b'Z',
    ] = text.as_bytes()
    else {
        return None;
    };
    let year = number(&[y0, y1, y2, y3])?;
    let (month, day) = (number(&[mo0, mo1])?, number(&[d0, d1])?);
    let (h, m, s) = (number(&[h0, h1])?, number(&[mi0, mi1])?, number(&[s0, s1])?);
    let ms = number(&[f0, f1, f2])?;
    if !(1..=12).contains(&month) || day < 1 || h > 23 || m > 59 || s > 59 {
        return None;
    }
    let days = days(year, month, day);
    // a day past the month's end comes back as another date
    if date(days) != (year, month, day) {
        return None;
    }
    Some(Stamp(
        days * MS_PER_DAY + ((h * 60 + m) * 60 + s) * 1000 + ms,
    ))
}

fn number(digits: &[u8]) -> Option<i64> {
    digits.iter().try_fold(0, |sum, &d| {
        d.is_ascii_digit().then(|| sum * 10 + i64::from(d - b'0'))
    })
}

/// Days since 1970-01-01 of a date.
fn days(year: i64, month: i64, day: i64) -> i64 {
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let of_era = year.rem_euclid(400);
    let march_month = (month + 9) % 12;
    // months from March: 31 30 31 30 31, twice, then 31 and February
    let of_year = (153 * march_month + 2) / 5 + day - 1;
    let day_of_era = of_era * 365 + of_era / 4 - of_era / 100 + of_year;
    era * DAYS_PER_400_YEARS + day_of_era - MARCH_0_TO_1970
}

/// Year, month, day of a count of days since 1970-01-01.
fn date(days: i64) -> (i64, i64, i64) {
    let days = days + MARCH_0_TO_1970;
    let era = days.div_euclid(DAYS_PER_400_YEARS);
    let of_era = days.rem_euclid(DAYS_PER_400_YEARS);
    // take out the leap days so that every year has 365
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let march_month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * march_month + 2) / 5 + 1;
    let month = (march_month + 2) % 12 + 1;
    let year = era * 400 + year + i64::from(month <= 2);
    (year, month, day)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The calendar library the shell uses, as an opinion from outside.
    fn outside(ms: i64) -> String {
        let stamp = jiff::Timestamp::from_millisecond(ms).unwrap();
        format!("{stamp:.3}")
    }

    #[test]
    fn the_examples_of_rfc_3339_read_as_the_library_reads_them() {
        // RFC 3339 section 5.8 gives 1985-04-12T23:20:50.52Z and 1996-12-19T16:39:57-08:00, the latter
        // equal to 1996-12-20T00:39:57Z; here with the three decimals that the journal always writes.
        for text in ["1985-04-12T23:20:50.520Z", "1996-12-20T00:39:57.000Z"] {
            let outside: jiff::Timestamp = text.parse().unwrap();
            let stamp = read_stamp(text).unwrap();
            assert_eq!(stamp.0, outside.as_millisecond());
            assert_eq!(write_stamp(stamp).unwrap(), text);
        }
    }

    #[test]
    fn the_ends_hold_and_nothing_is_written_beyond_them() {
        assert_eq!(
            write_stamp(Stamp(FIRST)).unwrap(),
            "0000-01-01T00:00:00.000Z"
        );
        assert_eq!(
            write_stamp(Stamp(LAST)).unwrap(),
            "9999-12-31T23:59:59.999Z"
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
            "+026-04-01T00:00:00.000Z",
        ] {
            assert_eq!(read_stamp(text), None, "{text}");
        }
        assert!(read_stamp("2024-02-29T00:00:00.000Z").is_some());
    }

    proptest! {
        #[test]
        fn every_stamp_reads_back_and_agrees_with_the_library(ms in FIRST..=LAST) {
            let text = write_stamp(Stamp(ms)).unwrap();
            prop_assert_eq!(&text, &outside(ms));
            prop_assert_eq!(read_stamp(&text), Some(Stamp(ms)));
        }
    }
}
