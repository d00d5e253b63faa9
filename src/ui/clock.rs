//! The time, as the binary hands it to the window: nothing here reads it.

/// Tells the time.
pub trait Clock {
    /// Now, Unix seconds.
    fn now_s(&self) -> i64;
    /// A moment as people here say it, such as "08:45" today and "Mon 08:45" before.
    fn words(&self, at_s: i64) -> String;

    /// Seconds since midnight of the day of a moment, as clocks on walls here say it.
    fn second_of_day(&self, at_s: i64) -> i64 {
        at_s.rem_euclid(DAY_S)
    }

    /// The day of a moment, such as "Mon 2 Mar 2026".
    fn date_words(&self, at_s: i64) -> String {
        date_words(at_s, &jiff::tz::TimeZone::UTC)
    }

    /// A moment as the time of its day, such as "08:45".
    fn time_words(&self, at_s: i64) -> String {
        let minutes = self.second_of_day(at_s).div_euclid(60);
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    }

    /// A moment as it stands on paper, such as "Mon 2 Mar 2026, 08:45".
    fn date(&self, at_s: i64) -> String {
        format!("{}, {}", self.date_words(at_s), self.time_words(at_s))
    }

    /// The day of a moment as people here say it: today and yesterday by name.
    fn day_words(&self, at_s: i64) -> String {
        let now_s = self.now_s();
        let date = self.date_words(at_s);
        let yesterday_s = now_s.saturating_sub(self.second_of_day(now_s)).saturating_sub(1);
        if date == self.date_words(now_s) {
            format!("Today, {date}")
        } else if date == self.date_words(yesterday_s) {
            format!("Yesterday, {date}")
        } else {
            date
        }
    }
}

/// A day, s.
const DAY_S: i64 = 86_400;

/// The day of a moment in a time zone.
pub fn date_words(at_s: i64, zone: &jiff::tz::TimeZone) -> String {
    jiff::Timestamp::from_second(at_s).map_or_else(
        |_| "an unknown day".to_owned(),
        |at| at.to_zoned_datetime(zone.clone()).strftime("%a %-d %b %Y").to_string(),
    )
}

/// A clock that stands, for trials: hours and minutes count from midnight UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandingClock(pub i64);

impl Clock for StandingClock {
    fn now_s(&self) -> i64 {
        self.0
    }

    fn words(&self, at_s: i64) -> String {
        let minutes = at_s.div_euclid(60).rem_euclid(24 * 60);
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_have_names() {
        // 2026-03-02 09:00 UTC, a Monday.
        let clock = StandingClock(1_772_442_000);
        let hours = |hours: i64| clock.day_words(clock.0 + 3600 * hours);
        assert_eq!(hours(0), "Today, Mon 2 Mar 2026");
        assert_eq!(hours(-9), "Today, Mon 2 Mar 2026");
        assert_eq!(hours(-10), "Yesterday, Sun 1 Mar 2026");
        assert_eq!(hours(-34), "Sat 28 Feb 2026");
        assert_eq!(clock.time_words(clock.0 - 60), "08:59");
        assert_eq!(clock.date_words(i64::MAX), "an unknown day");
    }
}
