//! The page: what stands on it, what must never stand on it, what its command refuses. A browser opens it in `tests/browser/`.

#[path = "common/small_plan.rs"]
mod small_plan;
#[path = "common/whole_plan.rs"]
mod whole_plan;

use sowrota::audit::daily::{Counted, Load, PartCost, daily};
use sowrota::calendar::Day;
use sowrota::plan::Plan;
use sowrota::plan::file::save;
use sowrota::report::page::{Given, Why, gather, html};
use sowrota::units::Money;
use std::collections::BTreeMap;
use std::process::Command;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn page(plan: &Plan, today: &str) -> String {
    let why = BTreeMap::new();
    let given = Given {
        plan,
        today: day(today),
        earlier: None,
        beside: None,
        sweep: &[],
        why: &why,
    };
    html(&gather(given).unwrap())
}

/// The text between the first `from` and the next `to`.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = text.split_once(from).unwrap_or_else(|| panic!("no {from}"));
    rest.split_once(to).unwrap().0
}

fn sowrota(arguments: &[&str]) -> (i32, String, String) {
    let ended = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        ended.status.code().unwrap(),
        text(ended.stdout),
        text(ended.stderr),
    )
}

/// Holds the days of every ledger against its fullest day, found in another way: by sorting on the exact share.
fn agrees(counted: &Counted) {
    let audit = &counted.audit;
    assert!(!audit.fullest.is_empty());
    assert_eq!(counted.loads.len(), audit.fullest.len());
    for (full, load) in audit.fullest.iter().zip(&counted.loads) {
        let Load { ledger, id, days } = load;
        assert_eq!((ledger, id), (&full.ledger, &full.id));
        assert!(days.is_sorted_by(|one, next| one.day < next.day));
        let mut days = days.clone();
        // The highest share first; the sort is stable, so the earliest of equals stays first.
        days.sort_by(|a, b| {
            let (a, b) = (
                i128::from(a.used) * i128::from(b.there.max(1)),
                i128::from(b.used) * i128::from(a.there.max(1)),
            );
            b.cmp(&a)
        });
        let top = days[0];
        assert_eq!(
            (full.day, full.used, full.there),
            (top.day, top.used, top.there),
            "{ledger:?} {id}"
        );
    }
    let sum = |term: fn(&PartCost) -> Money| -> i64 {
        counted.parts.iter().map(|part| term(part).0).sum()
    };
    let cost = &audit.cost;
    assert_eq!(sum(|part| part.age), cost.age.0);
    assert_eq!(sum(|part| part.off_preferred), cost.off_preferred.0);
    assert_eq!(sum(|part| part.edge), cost.edge.0);
    assert_eq!(sum(|part| part.moves), cost.moves.0);
    assert_eq!(sum(|part| part.moved), cost.moved.0);
}

#[test]
fn days_agree_with_the_fullest_day_and_parts_with_the_sums() {
    for plan in [small_plan::plan(), whole_plan::plan()] {
        let counted = daily(&plan, &plan.scenario);
        agrees(&counted);
        assert_eq!(counted.parts.len(), plan.deliveries.len());
    }
}

#[test]
fn the_first_screen_says_what_to_do_today_and_tomorrow() {
    let plan = small_plan::plan();
    let text = page(&plan, "2027-04-16");
    let today = between(&text, "id=\"today\"", "</section>");
    assert!(today.contains("Today, Fri 16 Apr"), "{today}");
    assert!(today.contains("<b>SOW "), "{today}");
    assert!(between(&text, "id=\"tomorrow\"", "</section>").contains("Tomorrow, Sat 17 Apr"));
    for id in [
        "mats", "calls", "full", "changed", "lots", "fields", "loads", "crews", "stocks",
    ] {
        assert!(text.contains(&format!("id=\"{id}\"")), "{id}");
    }
    // Every lot has its row, every day with work its sheet.
    assert_eq!(text.matches("class=\"lot\"").count(), plan.deliveries.len());
    let data = between(&text, "id=\"data\">", "</script>");
    let data: serde_json::Value = serde_json::from_str(data).unwrap();
    assert_eq!(
        data["lots"].as_array().unwrap().len(),
        plan.deliveries.len()
    );
    let trays: i64 = plan.deliveries.iter().map(|one| one.trays).sum();
    let lots = data["lots"].as_array().unwrap().iter();
    assert_eq!(
        lots.map(|lot| lot["trays"].as_i64().unwrap()).sum::<i64>(),
        trays
    );
    assert!(data["sheets"]["2027-04-16"].is_array());
}

#[test]
fn same_plan_same_bytes() {
    let plan = whole_plan::plan();
    let first = plan.scenario.horizon.first.to_string();
    assert_eq!(page(&plan, &first), page(&plan, &first));
}

#[test]
fn what_is_for_the_wall_has_no_cost_and_nothing_of_the_search() {
    for mut plan in [small_plan::plan(), whole_plan::plan()] {
        plan.scenario_sha256 = "4f1d09c2".repeat(8);
        let text = page(&plan, "2027-04-16");
        assert!(!text.contains("4f1d09c2"));
        let shown = between(&text, "<main>", "<dialog").to_lowercase();
        for never in ["bound", "gap", "solver", "second", "cost", "wage"] {
            // As a word: `around` may be there.
            let found = shown.split(|sign: char| !sign.is_ascii_alphanumeric());
            assert!(found.into_iter().all(|word| word != never), "{never}");
        }
        // Nothing leads out of the file.
        for never in [
            "http:", "https:", "url(", "@import", "src=", "<link", "<iframe", "<img",
        ] {
            assert!(!text.contains(never), "{never}");
        }
    }
}

#[test]
fn pictures_hold_whole_numbers_only() {
    for plan in [small_plan::plan(), whole_plan::plan()] {
        let text = page(&plan, "2027-04-16");
        assert!(text.matches("<svg").count() > 8);
        for picture in text.split("<svg").skip(1) {
            let picture = picture.split("</svg>").next().unwrap();
            for d in picture.split(" d=\"").skip(1) {
                let d = d.split('"').next().unwrap();
                assert!(d.chars().all(|c| "MHVhvz -0123456789".contains(c)), "{d}");
            }
            let sizes = picture
                .split("viewBox=\"")
                .nth(1)
                .map_or("0 0 1 1", |box_| box_.split('"').next().unwrap());
            let sizes: Vec<i64> = sizes.split(' ').map(|size| size.parse().unwrap()).collect();
            assert!(
                sizes.len() == 4 && sizes[2] > 0 && sizes[3] > 0,
                "{sizes:?}"
            );
        }
    }
}

#[test]
fn names_that_carry_markup_or_control_characters_are_text() {
    let mut plan = small_plan::plan();
    let evil = "</script><script>alert(1)</script><img src=x onerror=alert(1)>\u{0}\u{7}\u{202e}\u{2028}\"'&amp;";
    plan.scenario.name = evil.into();
    plan.scenario.currency = evil.into();
    for kind in &mut plan.scenario.kinds {
        kind.name = evil.into();
    }
    for bed in &mut plan.scenario.beds {
        bed.name = evil.into();
    }
    for field in &mut plan.scenario.fields {
        field.grower = evil.into();
    }
    let plain = page(&small_plan::plan(), "2027-04-16");
    let text = page(&plan, "2027-04-16");
    for tag in ["<script", "</script", "<style", "<svg", "<button"] {
        assert_eq!(
            text.matches(tag).count(),
            plain.matches(tag).count(),
            "{tag}"
        );
    }
    assert!(!text.contains("<img"));
    assert!(!text.contains(['\u{0}', '\u{7}', '\u{202e}']));
    let data = between(&text, "id=\"data\">", "</script>");
    assert!(!data.contains(['<', '\u{2028}']));
    let data: serde_json::Value = serde_json::from_str(data).unwrap();
    assert!(
        data["lots"][0]["kind"]
            .as_str()
            .unwrap()
            .contains("</script><script>")
    );
}

#[test]
fn a_plan_before_another_plan_and_rain_are_shown() {
    let old = small_plan::plan();
    let mut new = old.clone();
    new.revision = old.revision + 1;
    let last = new.deliveries.last_mut().unwrap();
    last.day = last.day.plus(1);
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name).to_str().unwrap().to_string();
    save(
        &old,
        &home.path().join(format!("plan-{}.json", old.revision)),
    )
    .unwrap();
    save(&new, &home.path().join("plan.json")).unwrap();
    let cells = r#"[{"first":"2027-05-01","days":1,"at_risk":40,"short":0,"moved":2,"extra":1.5},
        {"first":"2027-05-01","days":2,"at_risk":40,"short":30,"moved":2,"extra":1.5}]"#;
    std::fs::write(at("sweep.json"), cells).unwrap();
    let other = at(&format!("plan-{}.json", old.revision));
    let (code, out, errors) = sowrota(&[
        "page",
        &at(""),
        "--today",
        "2027-04-16",
        "--beside",
        &other,
        "--sweep",
        &at("sweep.json"),
        "--to",
        &at("deep/er.html"),
    ]);
    assert_eq!((code, errors.as_str()), (0, ""), "{out}");
    let text = std::fs::read_to_string(at("deep/er.html")).unwrap();
    let changed = between(&text, "id=\"changed\"", "</section>");
    assert!(
        changed.contains("call by ") && changed.contains(", not "),
        "{changed}"
    );
    assert!(between(&text, "id=\"beside\"", "</table>").contains(">leave<"));
    let rain = between(&text, "id=\"rain\"", "</table>");
    assert!(
        rain.contains(">30!<") && rain.contains("class=\"moves\">2<"),
        "{rain}"
    );
}

#[test]
fn why_a_lot_goes_as_it_goes_has_its_place() {
    let plan = small_plan::plan();
    let one = &plan.deliveries[0];
    let line = "not on Sun 9 May: nobody loads";
    let why = BTreeMap::from([(
        (one.field.clone(), one.part),
        Why {
            lines: vec![line.into()],
        },
    )]);
    let given = Given {
        plan: &plan,
        today: day("2027-04-16"),
        earlier: None,
        beside: None,
        sweep: &[],
        why: &why,
    };
    let text = html(&gather(given).unwrap());
    assert_eq!(text.matches(line).count(), 1);
}

#[test]
fn what_cannot_be_used_is_refused_and_nothing_is_written() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| home.path().join(name).to_str().unwrap().to_string();
    save(&small_plan::plan(), &home.path().join("plan.json")).unwrap();
    std::fs::write(at("bad.json"), "[{\"first\":1}]").unwrap();
    std::fs::write(
        at("long.json"),
        r#"[{"first":"2027-05-01","days":4000000000,"at_risk":0,"short":0,"moved":0,"extra":0}]"#,
    )
    .unwrap();
    let folder = at("");
    for (more, said) in [
        (["--today", "2031-01-01"], "lies outside the days planned"),
        (["--today", "soon"], "--today"),
        (["--sweep", &at("bad.json")], "is not what a sweep prints"),
        (
            ["--sweep", &at("long.json")],
            "holds rain that no sweep tries",
        ),
    ] {
        let (code, out, errors) = sowrota(&["page", &folder, more[0], more[1]]);
        assert_eq!((code, out.as_str()), (2, ""), "{errors}");
        assert!(errors.contains(said), "{errors}");
        assert!(!home.path().join("page.html").exists());
    }
    let (code, _, errors) = sowrota(&["page", &folder, "--beside", &at("none.json")]);
    assert_eq!(code, 1, "{errors}");
    let (code, out, _) = sowrota(&["page", &folder]);
    assert_eq!(code, 0);
    assert!(out.starts_with("wrote ") && home.path().join("page.html").exists());
}
