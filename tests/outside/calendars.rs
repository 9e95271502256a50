//! Calendars as the published description has them: good and bad files through the checker that judges what the program writes.

use crate::ics_bytes::check;
use sowrota::report::calendar_file::{escaped, folded};

fn file(name: &str) -> Vec<u8> {
    std::fs::read(super::folder().join("data/files").join(name)).unwrap()
}

// Source: Desruisseaux (ed.), RFC 5545, 2009, sections 3.1, 3.3.11, 3.6.1, 3.8.2.2; file made for this purpose, values read back with the Python packages icalendar 7.3.2 and vobject 0.9.9.
#[test]
fn a_good_calendar_is_read_as_two_readers_read_it() {
    let events = check(&file("good.ics")).unwrap();
    let days: Vec<(&str, Option<&str>)> = events
        .iter()
        .map(|event| (event.start.as_str(), event.end.as_deref()))
        .collect();
    assert_eq!(
        days[..4],
        [
            ("20280228", Some("20280301")),
            ("20261231", Some("20270101")),
            ("20260420", None),
            ("20260420", Some("20260423")),
        ]
    );
    assert_eq!(events.len(), 7);
    let text = "Comma, semicolon; backslash \\ newline\nend";
    assert_eq!(events[3].summary, text);
    assert_eq!(events[4].summary, "苗".repeat(30));
    // What we write of the same text are the same lines.
    let whole = String::from_utf8(file("good.ics")).unwrap();
    for event in &events {
        let ours = folded(&format!("SUMMARY:{}", escaped(&event.summary)));
        assert!(whole.contains(&ours), "{ours}");
    }
}

// Source: the same, sections 3.1 and 3.6.1; each file has one fault, which the two Python readers mostly let pass.
#[test]
fn six_bad_calendars_are_refused_each_for_its_fault() {
    for (name, why) in [
        ("bad_lf_only.ics", "CRLF"),
        ("bad_76_octets.ics", "76 octets"),
        ("bad_split_utf8.ics", "a character is cut"),
        ("bad_no_uid.ics", "UID stands 0 times"),
        ("bad_no_dtstamp.ics", "DTSTAMP stands 0 times"),
        ("bad_dtend_before.ics", "is not after DTSTART"),
    ] {
        let found = check(&file(name)).unwrap_err();
        assert!(found.contains(why), "{name}: {found}");
    }
}
