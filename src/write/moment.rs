//! Dates in files.

use time::OffsetDateTime;

/// A second in UTC, of the years 1970 to 9999.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Moment(OffsetDateTime);

impl Moment {
    /// The moment so many seconds after the start of 1970; none outside of its years.
    pub(super) fn of(seconds: i64) -> Option<Self> {
        let moment = OffsetDateTime::from_unix_timestamp(seconds).ok()?;
        (moment.year() >= 1970).then_some(Self(moment))
    }

    /// As PDF writes it (ISO 32000-1, 7.9.4).
    pub(super) fn pdf(self) -> String {
        let (year, month, day) = self.0.to_calendar_date();
        let (hour, minute, second) = self.0.to_hms();
        let month = u8::from(month);
        format!("D:{year:04}{month:02}{day:02}{hour:02}{minute:02}{second:02}Z")
    }

    /// As W3C-DTF and XML write it (ISO 8601).
    pub(super) fn xmp(self) -> String {
        let (year, month, day) = self.0.to_calendar_date();
        let (hour, minute, second) = self.0.to_hms();
        let month = u8::from(month);
        format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against `date -u -d @SECONDS` of GNU coreutils.
    #[test]
    fn seconds_are_dates() {
        for (seconds, date) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (1_709_251_199, "2024-02-29T23:59:59Z"),
            (4_102_444_800, "2100-01-01T00:00:00Z"),
        ] {
            assert_eq!(Moment::of(seconds).map(Moment::xmp).as_deref(), Some(date));
        }
        assert_eq!(Moment::of(-1), None);
        assert_eq!(Moment::of(i64::MAX / 4), None);
    }
}
