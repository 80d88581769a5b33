//! The only place where clocks are read.

use std::time::{Duration, Instant, SystemTime};

use crate::units::Stamp;

/// A moment on both clocks. The wall clock can be set and jump; the other only ever counts up, and may
/// stand still while the computer sleeps. Where the two disagree, one of these has happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    /// Wall clock.
    pub at: Stamp,
    /// Milliseconds since the program started.
    pub mono_ms: u64,
}

/// Both clocks.
#[derive(Debug, Clone, Copy)]
pub struct Clock {
    start: Instant,
}

impl Clock {
    /// Starts counting.
    #[must_use]
    #[expect(clippy::disallowed_methods, reason = "this is the one place")]
    pub fn start() -> Self {
        Self {
            start: Instant::now(),
        }
    }

    /// This moment.
    #[must_use]
    #[expect(clippy::disallowed_methods, reason = "this is the one place")]
    pub fn now(&self) -> Now {
        Now {
            at: stamp(SystemTime::now()),
            mono_ms: self.elapsed_ms(),
        }
    }

    /// Milliseconds since the start.
    #[must_use]
    pub fn elapsed_ms(&self) -> u64 {
        u64::try_from(self.start.elapsed().as_millis()).unwrap_or(u64::MAX)
    }

    /// How long until so much time since the start has passed; nothing when it has.
    #[must_use]
    pub fn until(&self, due: Duration) -> Duration {
        due.saturating_sub(self.start.elapsed())
    }
}

/// Whatever the year: the calendar of text ends with 9999, the clock does not.
fn stamp(time: SystemTime) -> Stamp {
    let ms = |span: Duration| i64::try_from(span.as_millis()).unwrap_or(i64::MAX);
    Stamp(match time.duration_since(SystemTime::UNIX_EPOCH) {
        Ok(after) => ms(after),
        Err(before) => -ms(before.duration()),
    })
}

/// Minutes that local time is ahead of UTC at that moment; 0 where the computer does not know its zone.
#[must_use]
pub fn offset_minutes(at: Stamp) -> i32 {
    offset_in(&jiff::tz::TimeZone::system(), at)
}

fn offset_in(zone: &jiff::tz::TimeZone, at: Stamp) -> i32 {
    jiff::Timestamp::from_millisecond(at.0).map_or(0, |t| zone.to_offset(t).seconds() / 60)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::read_stamp;

    #[test]
    fn both_clocks_go_forward() {
        let clock = Clock::start();
        let (a, b) = (clock.now(), clock.now());
        assert!(b.mono_ms >= a.mono_ms);
        // after the day this was written and before the calendar's end
        assert!(a.at > read_stamp("2025-01-01T00:00:00.000Z").unwrap());
        assert!(crate::journal::write_stamp(a.at).is_some());
        assert_eq!(clock.until(Duration::ZERO), Duration::ZERO);
        assert!(clock.until(Duration::MAX) > Duration::from_secs(1_000_000));
    }

    #[test]
    fn no_year_ends_the_program() {
        // the last second of the year 9999 is 253402300799, POSIX.1 seconds since the epoch
        let after = SystemTime::UNIX_EPOCH + Duration::from_secs(253_402_300_800);
        assert_eq!(stamp(after), Stamp(253_402_300_800_000));
        assert_eq!(offset_minutes(stamp(after)), 0);
        let before = SystemTime::UNIX_EPOCH - Duration::from_millis(1500);
        assert_eq!(stamp(before), Stamp(-1500));
    }

    #[test]
    fn the_offset_follows_the_clock_change() {
        // POSIX rule of central Europe: UTC+1, and UTC+2 from the last Sunday of March to that of October
        let zone = jiff::tz::TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
        let offset = |text| offset_in(&zone, read_stamp(text).unwrap());
        assert_eq!(offset("2026-01-15T12:00:00.000Z"), 60);
        assert_eq!(offset("2026-07-15T12:00:00.000Z"), 120);
        assert_eq!(offset("2026-03-29T00:59:59.000Z"), 60);
        assert_eq!(offset("2026-03-29T01:00:00.000Z"), 120);
        let west = jiff::tz::TimeZone::posix("NST3:30").unwrap();
        assert_eq!(offset_in(&west, Stamp(0)), -210);
        assert_eq!(offset_in(&west, Stamp(i64::MAX)), 0);
    }
}
