//! Dates as spreadsheet programs keep them: days since 1899-12-30.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// Days since 1899-12-30 of an ISO date `2026-05-30`, from 1900-03-01 to 9999-12-31.
pub fn parse_date(text: &str) -> Option<Decimal> {
    let mut parts = text.trim().get(..10)?.splitn(3, '-').map(|p| p.parse::<i64>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let last = match month {
        2 => 28 + i64::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    if !(1900..=9999).contains(&year) || !(1..=last).contains(&day) {
        return None;
    }
    // Days from civil date, counting years from March; the constant shifts day 0 to 1899-12-30.
    let (y, m) = if month <= 2 { (year - 1, month + 9) } else { (year, month - 3) };
    let days = 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1 - 693_899;
    (days >= 61).then(|| Decimal::from(days))
}

/// Days of a date as people type it: ISO with or without its zeros (`2026-5-3`), or month, day and year as they are
/// written in the US (`5/3/2026`). Years have four digits; anything else could be more than one day.
pub fn parse_typed_date(text: &str) -> Option<Decimal> {
    let text = text.trim();
    let parts = |sign: char| {
        let parts: Vec<&str> = text.split(sign).collect();
        let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        (parts.len() == 3 && parts.iter().all(digits)).then_some(parts)
    };
    let iso = |year: &str, month: &str, day: &str| {
        let whole = year.len() == 4 && month.len() <= 2 && day.len() <= 2;
        whole.then(|| parse_date(&format!("{year}-{month:0>2}-{day:0>2}"))).flatten()
    };
    match (parts('-'), parts('/')) {
        (Some(dashed), _) => iso(dashed[0], dashed[1], dashed[2]),
        (_, Some(slashed)) => iso(slashed[2], slashed[0], slashed[1]),
        _ => parse_date(text),
    }
}

/// Year, month and day of a serial number; a time of day is dropped. `None` outside 1899-12-30 to 9999-12-31.
/// Programs count a 29 February 1900 that never was, so earlier days come out a day early.
pub fn civil_date(serial: Decimal) -> Option<(i64, u8, u8)> {
    let days = serial.floor().to_i64().filter(|d| (0..=2_958_465).contains(d))?;
    // The inverse of the count in `parse_date`: years from March, in cycles of 400 years of 146,097 days.
    let days = days + 693_899;
    let cycle = days / 146_097;
    let in_cycle = days % 146_097;
    let year = (in_cycle - in_cycle / 1_460 + in_cycle / 36_524 - in_cycle / 146_096) / 365;
    let in_year = in_cycle - (365 * year + year / 4 - year / 100);
    let month = (5 * in_year + 2) / 153;
    let day = in_year - (153 * month + 2) / 5 + 1;
    let (month, carry) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
    Some((400 * cycle + year + carry, month as u8, day as u8))
}

/// `2026-05-30`; a time of day alone as `12:30`; anything outside the calendar as its number.
pub fn date_text(serial: Decimal) -> String {
    if serial > Decimal::ZERO && serial < Decimal::ONE {
        let minutes = (serial * Decimal::from(1440)).round().to_u32().unwrap_or(0);
        return format!("{}:{:02}", minutes / 60, minutes % 60);
    }
    match civil_date(serial) {
        Some((year, month, day)) => format!("{year:04}-{month:02}-{day:02}"),
        None => serial.normalize().to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_count_as_spreadsheet_programs_do() {
        // Serial numbers by LibreOffice 7.4: 2026-01-02 is 46024, 2000-02-29 is 36585.
        assert_eq!(parse_date("2026-01-02"), Some(Decimal::from(46024)));
        assert_eq!(parse_date("2000-02-29"), Some(Decimal::from(36585)));
        assert_eq!(parse_date("2001-02-29"), None);
    }

    #[test]
    fn dates_are_read_as_they_are_typed_where_they_can_be_but_one_day() {
        let may = parse_date("2026-05-01");
        for text in ["2026-05-01", "2026-5-1", "5/1/2026", "05/01/2026", " 5/1/2026 "] {
            assert_eq!(parse_typed_date(text), may, "{text}");
        }
        for text in ["13/1/2026", "5/1/26", "1.5.2026", "5-1-2026", "2026/5/1", "5/1", "May 1", "5/32/2026", ""] {
            assert_eq!(parse_typed_date(text), None, "{text}");
        }
    }

    #[test]
    fn every_day_comes_back() {
        for days in (61..2_958_466).step_by(13).chain([61, 2_958_465]) {
            let serial = Decimal::from(days);
            assert_eq!(parse_date(&date_text(serial)), Some(serial), "{days}");
        }
        assert_eq!(civil_date(Decimal::from(2_958_466)), None);
        assert_eq!(date_text("0.52083333".parse().unwrap()), "12:30");
    }
}
