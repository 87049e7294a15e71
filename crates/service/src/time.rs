//! Times on the wire: RFC 3339 in universal time, to the millisecond.

/// Milliseconds since 1970 as an RFC 3339 text, such as `2026-03-01T12:00:00.250Z`.
pub fn rfc3339(ms: i64) -> String {
    let (days, ms_of_day) = (ms.div_euclid(86_400_000), ms.rem_euclid(86_400_000));
    let (year, month, day) = civil(days);
    let (second_of_day, millis) = (ms_of_day / 1000, ms_of_day % 1000);
    let (hour, minute, second) = (
        second_of_day / 3600,
        second_of_day / 60 % 60,
        second_of_day % 60,
    );
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}.{millis:03}Z")
}

/// The proleptic Gregorian date of a day counted from 1970-01-01.
///
/// Years are counted from 1 March, so that the leap day is the last day of its year; an era is
/// the 400 years after which the calendar repeats.
fn civil(days: i64) -> (i64, i64, i64) {
    const ERA: i64 = 146_097;
    const TO_MARCH_OF_YEAR_0: i64 = 719_468;
    let day = days + TO_MARCH_OF_YEAR_0;
    let (era, day_of_era) = (day.div_euclid(ERA), day.rem_euclid(ERA));
    let leap_days = day_of_era / 1_460 - day_of_era / 36_524 + day_of_era / 146_096;
    let year_of_era = (day_of_era - leap_days) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day_of_month = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = (month_from_march + 2) % 12 + 1;
    let year = era * 400 + year_of_era + i64::from(month <= 2);
    (year, month, day_of_month)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The last three are the examples of RFC 3339, section 5.8, in universal time, without
    /// the leap second [values from memory; the counts of seconds by `date -u -d ... +%s`].
    #[test]
    fn known_instants() {
        assert_eq!(rfc3339(0), "1970-01-01T00:00:00.000Z");
        assert_eq!(rfc3339(951_782_400_000), "2000-02-29T00:00:00.000Z");
        assert_eq!(rfc3339(482_196_050_520), "1985-04-12T23:20:50.520Z");
        assert_eq!(rfc3339(851_042_397_000), "1996-12-20T00:39:57.000Z");
        assert_eq!(rfc3339(-1_041_337_172_130), "1937-01-01T11:40:27.870Z");
    }
}
