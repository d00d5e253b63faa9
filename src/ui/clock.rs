//! The time, as the binary hands it to the window: nothing here reads it.

/// Tells the time.
pub trait Clock {
    /// Now, Unix seconds.
    fn now_s(&self) -> i64;
    /// A moment as people here say it, such as "08:45" today and "Mon 08:45" before.
    fn words(&self, at_s: i64) -> String;
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
