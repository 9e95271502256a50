//! Days and weeks against the standards, and date chains against published calendars.

use crate::{day, growth, kind, reached};
use sowrota::calendar::{Day, DayError, DayRange, IsoWeek};
use sowrota::growth::{age, soak_days, sum_between, units_of_age};
use sowrota::scenario::{AgeClock, Kind, Method};
use sowrota::units::{Age, Fixed};

/// Age in days on `at` of what was sown on `sow`.
fn days_old(sow: &str, at: &str) -> Age {
    let clock = growth(Method::Days, 8.0, 30.0, 42.0);
    let a_day = |_: Day| Some(units_of_age(AgeClock::Days, &clock, 12.0, 24.0));
    age(sum_between(0.0, day(sow), day(at), a_day).unwrap()).unwrap()
}

/// The day on which what was sown on `sow` is `days` old.
fn grown(sow: &str, days: i32) -> Day {
    reached(f64::from(days), day(sow), 1.0)
}

/// Sow days from which a planting window can be met: first day less the greatest age, last day less the least.
fn counted_back(window: &str, least: i32, most: i32) -> DayRange {
    let window = DayRange::parse(window).unwrap();
    DayRange {
        first: window.first.plus(-most),
        last: window.last.plus(-least),
    }
}

/// True when the two spans share a day.
fn overlap(one: DayRange, other: &str) -> bool {
    let other = DayRange::parse(other).unwrap();
    one.iter().any(|day| other.contains(day))
}

// Source: ISO 8601, week dates: weeks begin on Monday, week 1 holds the year's first Thursday.
#[test]
fn iso_weeks_at_the_turn_of_the_year() {
    for (text, week, number) in [
        ("2026-01-01", "2026-W01", 4),
        ("2026-12-28", "2026-W53", 1),
        ("2026-12-31", "2026-W53", 4),
        ("2027-01-01", "2026-W53", 5),
        ("2027-01-03", "2026-W53", 7),
        ("2027-01-04", "2027-W01", 1),
        ("2024-12-30", "2025-W01", 1),
        ("2020-12-31", "2020-W53", 4),
        ("2021-01-03", "2020-W53", 7),
        ("2016-01-01", "2015-W53", 5),
        ("2028-02-29", "2028-W09", 2),
        ("2033-01-01", "2032-W53", 6),
    ] {
        let at = day(text);
        assert_eq!(at.iso_week().to_string(), week, "{text}");
        assert_eq!(at.weekday() as i32 + 1, number, "{text}");
        let monday = IsoWeek::parse(week).unwrap().monday().unwrap();
        assert_eq!(monday.plus(number - 1), at, "{text}");
    }
}

// Source: ISO 8601; years with 53 weeks by the closed formula p(y) = (y + y/4 − y/100 + y/400) mod 7, 53 when p(y) = 4 or p(y − 1) = 3.
#[test]
fn years_with_53_weeks() {
    let long = |year: &i32| {
        IsoWeek {
            year: *year,
            week: 53,
        }
        .monday()
        .is_some()
    };
    let listed = [
        2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048, 2054, 2060,
    ];
    assert_eq!((2000..=2060).filter(long).collect::<Vec<i32>>(), listed);
    let p = |year: i32| (year + year / 4 - year / 100 + year / 400) % 7;
    for year in 1990..=2200 {
        assert_eq!(long(&year), p(year) == 4 || p(year - 1) == 3, "{year}");
        // 28 December always lies in the year's last week.
        let last = Day::from_ymd(year, 12, 28).unwrap().iso_week();
        assert_eq!(
            last,
            IsoWeek {
                year,
                week: if long(&year) { 53 } else { 52 }
            }
        );
    }
}

// Source: the rule of the Gregorian calendar.
#[test]
fn leap_days() {
    for (year, leap) in [
        (2000, true),
        (2024, true),
        (2026, false),
        (2028, true),
        (2100, false),
    ] {
        assert_eq!(Day::from_ymd(year, 2, 29).is_ok(), leap, "{year}");
    }
    assert_eq!(day("2028-02-27").plus(5), day("2028-03-03"));
    assert_eq!(day("2027-02-27").plus(5), day("2027-03-04"));
    assert_eq!(day("2026-12-28").plus(7), day("2027-01-04"));
    let ordinal = |text: &str| day(text).since(day("2028-01-01")) + 1;
    assert_eq!((ordinal("2028-02-29"), ordinal("2028-12-31")), (60, 366));
}

// Source: ISO 8601, calendar and week dates: what does not exist, and what is written loosely.
#[test]
fn dates_to_refuse() {
    for text in ["2026-02-29", "2026-04-31", "2026-13-01", "2100-02-29"] {
        assert_eq!(Day::parse(text), Err(DayError::Missing), "{text}");
    }
    for text in ["2026-4-20", "2026-W54-1", "20260420", "2026-04-20T00:00"] {
        assert_eq!(Day::parse(text), Err(DayError::Shape), "{text}");
    }
    for text in [
        "2026-W54", "2025-W53", "2024-W53", "2026-W00", "2026-W5", "+026-W05",
    ] {
        assert_eq!(IsoWeek::parse(text), None, "{text}");
        let read: Result<IsoWeek, _> = serde_json::from_str(&format!("\"{text}\""));
        assert!(read.is_err(), "{text}");
    }
    let sunday = IsoWeek::parse("2026-W53")
        .unwrap()
        .monday()
        .unwrap()
        .plus(6);
    assert_eq!(sunday, day("2027-01-03"));
}

// Source: calendar days have no hours: two days over each change of clocks (Europe 29 March and 25 October 2026, United States 8 March 2026).
#[test]
fn days_are_days_when_clocks_change() {
    for (from, to) in [
        ("2026-03-28", "2026-03-30"),
        ("2026-10-24", "2026-10-26"),
        ("2026-03-07", "2026-03-09"),
    ] {
        assert_eq!(day(to).since(day(from)), 2, "{from}");
    }
}

// From memory: soak on 10 April at 12.5 °C on average, sprouts ready on 18 April, sow on 20 April, into the house on 23 April, plant on 10 May.
#[test]
fn a_spring_from_soaking_to_planting() {
    let spring = Kind {
        soak_water_c: Fixed(1_250),
        ..kind()
    };
    let drained = day("2026-04-10").plus(soak_days(&spring));
    assert_eq!(drained, day("2026-04-18"));
    let sow = drained.plus(spring.sprout_days);
    assert_eq!(sow, day("2026-04-20"));
    assert_eq!(
        reached(spring.stack.need.as_f64(), sow, 1.0),
        day("2026-04-23")
    );
    assert_eq!(days_old("2026-04-20", "2026-05-10"), Fixed::whole(20));
    assert_eq!(day("2026-05-10").since(day("2026-04-10")), 30);
}

// Source: Fukui farm cooperative, "Good rice starts with sound seedlings", undated: three cultivars with age, sowing and planting; late April is 21 to 30 April. The third is one
// day off, as the source counts in thirds of a month.
#[test]
fn three_cultivars_of_fukui() {
    assert!(overlap(
        counted_back("2026-05-15", 18, 18),
        "2026-04-21/2026-04-30"
    ));
    let planted = DayRange {
        first: grown("2026-04-01", 25),
        last: grown("2026-04-10", 25),
    };
    assert_eq!(planted, DayRange::parse("2026-04-26/2026-05-05").unwrap());
    assert!(overlap(planted, "2026-04-21/2026-04-30"));
    assert_eq!(
        counted_back("2026-05-10", 20, 20).first.plus(1),
        day("2026-04-21")
    );
}

// Source: Iwate prefecture, crop technical information no. 1 (rice), 17 March 2022: plant 10–20 May in the south; young seedlings 20–25 days, middle 30–35: count back.
#[test]
fn counted_back_in_iwate() {
    let window = "2026-05-10/2026-05-20";
    let span = |text: &str| DayRange::parse(text).unwrap();
    assert_eq!(counted_back(window, 20, 25), span("2026-04-15/2026-04-30"));
    assert_eq!(counted_back(window, 30, 35), span("2026-04-05/2026-04-20"));
    // Sown on either end, the seedlings are of age on some day of the window.
    assert!(overlap(
        DayRange {
            first: grown("2026-04-15", 20),
            last: grown("2026-04-15", 25)
        },
        window
    ));
    assert!(overlap(
        DayRange {
            first: grown("2026-04-30", 20),
            last: grown("2026-04-30", 25)
        },
        window
    ));
}

// Source: Yaeyama news, 17 January 2015, earliest transplanting on Ishigaki: sown 16 December 2014, planted 17 January 2015, harvest 10–13 May.
#[test]
fn over_new_year_on_ishigaki() {
    assert_eq!(days_old("2014-12-16", "2015-01-17"), Fixed::whole(32));
    assert_eq!(day("2015-05-10").since(day("2015-01-17")), 113);
    assert_eq!(day("2015-05-13").since(day("2015-01-17")), 116);
}

// Source: Gifu growing calendar, 2005: soak 27 April, sow 10 May, 20–30 days in the nursery; about a week of soaking and one or two days of sprouting.
#[test]
fn seed_is_ready_in_gifu() {
    let gifu = Kind {
        soak_water_c: Fixed::whole(15),
        ..kind()
    };
    let ready = day("2026-04-27").plus(soak_days(&gifu) + gifu.sprout_days);
    assert!(ready <= day("2026-05-10"), "{ready}");
    assert_eq!(ready.since(day("2026-04-27")), 9);
    assert_eq!(grown("2026-05-10", 20), day("2026-05-30"));
    assert_eq!(grown("2026-05-10", 30), day("2026-06-09"));
}

// Source: "Rice production technology" (Bangladesh), 2012: aman sown 29 June – 14 July, 25–30 days, planted 30 July – 14 August. Two windows of 16 days; 30 days join
// them but for one day, as the source converts from another calendar.
#[test]
fn two_windows_of_aman() {
    let sow = DayRange::parse("2026-06-29/2026-07-14").unwrap();
    let plant = DayRange::parse("2026-07-30/2026-08-14").unwrap();
    assert_eq!((sow.days(), plant.days()), (16, 16));
    assert_eq!(grown("2026-06-29", 30).plus(1), plant.first);
    assert_eq!(grown("2026-07-14", 30).plus(1), plant.last);
}

// Source: page on a Bangladeshi boro cultivar, undated: sown 15 November – 4 December, 35–40 days. Over the turn of the year.
#[test]
fn boro_over_new_year() {
    assert_eq!(grown("2026-11-15", 35), day("2026-12-20"));
    assert_eq!(grown("2026-12-04", 40), day("2027-01-13"));
}

// Source: Guangdong Academy of Agricultural Sciences, tray seedlings, 2013: late rice sown 10–15 July, 10–15 days.
#[test]
fn late_rice_of_guangdong() {
    assert_eq!(grown("2026-07-10", 10), day("2026-07-20"));
    assert_eq!(grown("2026-07-15", 15), day("2026-07-30"));
}

// Source: Hokkaido Sorachi branch, mature seedlings, 1959–61: sown 20 April and 18 May, planted 20 May and 17 June, "about 30 days".
#[test]
fn thirty_days_in_hokkaido() {
    assert_eq!(days_old("2026-04-20", "2026-05-20"), Fixed::whole(30));
    assert_eq!(days_old("2026-05-18", "2026-06-17"), Fixed::whole(30));
}
