//! The summary of a plan: what is short and until when, on whom it falls, what is grown beside the orders, what it costs.

#[path = "common/small_plan.rs"]
mod small_plan;
#[path = "common/whole_plan.rs"]
mod whole_plan;

use small_plan::day;
use sowrota::plan::Plan;
use sowrota::plan::types::{PeopleWeek, Shortfall};
use sowrota::report::{self, weeks, weeks::Which};
use sowrota::scenario::{Casual, Field, OrderState, Sharing};
use sowrota::units::{Fixed, Money};
use std::path::Path;

fn shortfall(field: &str, trays: i64, decide_by: Option<&str>, help: Option<&str>) -> Shortfall {
    Shortfall {
        field: field.into(),
        part: 1,
        trays,
        reason: "beside the rest of the plan its only possible way goes beyond a limit: bed `yard`"
            .into(),
        help: help.map(str::to_string),
        decide_by: decide_by.map(day),
    }
}

fn text(plan: &Plan) -> String {
    let mut audit = sowrota::audit::audit(plan, &plan.scenario);
    audit.breaches.clear();
    let text = report::plan::text(plan, &audit, Money::whole(0), Path::new("out/ford"));
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    text
}

fn short_plan() -> Plan {
    let mut plan = whole_plan::plan();
    let hill = plan.scenario.fields[1].clone();
    let field = |id: &str, grower: &str| Field {
        id: id.into(),
        grower: grower.into(),
        ..hill.clone()
    };
    plan.scenario
        .fields
        .extend([field("holt", "Adeline"), field("moor", "Gisela")]);
    let enquiry = Field {
        trays: Some(1_340),
        state: OrderState::Enquiry,
        ..field("nook", "Hanno")
    };
    let cancelled = Field {
        state: OrderState::Cancelled,
        ..field("oast", "Ida")
    };
    plan.scenario.not_firm = vec![enquiry, cancelled];
    plan.scenario.sharing = Sharing::OrderDate;
    let help = "sown 2027-04-12 and planted 2027-05-06 it needs 60 trays more of bed `yard` from 2027-04-21";
    plan.shortfalls = vec![
        shortfall("holt", 110, Some("04-12"), Some(help)),
        shortfall("moor", 172, None, None),
    ];
    plan.cost.trays_short = 282;
    plan.cost.short_per_tray = Money::whole(50);
    plan.cost.shortage = Some(Money::whole(28_000));
    plan.cost.edge = Money::whole(12);
    plan.cost.total = Money::whole(12);
    plan
}

#[test]
fn what_is_short_is_said_with_its_reason_its_day_and_its_growers() {
    let text = text(&short_plan());
    // The weeks and the fullest days between are the audit's and have their own tests.
    let (short, rest) = text.split_once("\nWeeks").unwrap();
    let (_, cost) = rest.split_once("\nCost\n").unwrap();
    insta::assert_snapshot!(format!("{short}\nCost\n{cost}"));
}

#[test]
fn each_rule_of_sharing_has_its_words_and_cost_terms_of_nothing_have_none() {
    let mut plan = short_plan();
    for (sharing, said) in [
        (Sharing::FewestTrays, "the fewest trays are short"),
        (Sharing::MembersFirst, "members are served before others"),
        (
            Sharing::InProportion,
            "everybody gives up about the same share",
        ),
    ] {
        plan.scenario.sharing = sharing;
        assert!(text(&plan).contains(said));
    }
    assert!(text(&plan).contains("waiting at the edges of fields"));
    for silent in ["moves from bed to bed", "fields from more than one run"] {
        assert!(!text(&plan).contains(silent), "{silent}");
    }
    plan.shortfalls.clear();
    let all = text(&plan);
    assert!(
        !all.contains("Shared") && !all.contains("decide by"),
        "{all}"
    );
}

/// A week of a crew: people, hired, then minutes of work, of shifts and bought.
fn week(crew: &str, monday: &str, [people, casual]: [i64; 2], minutes: [i64; 3]) -> PeopleWeek {
    PeopleWeek {
        crew: crew.into(),
        week: day(monday).iso_week(),
        people,
        casual,
        needed_minutes: minutes[0],
        shift_minutes: minutes[1],
        bought_minutes: minutes[2],
    }
}

#[test]
fn people_are_shown_by_week_where_somebody_can_be_hired() {
    let mut plan = whole_plan::plan();
    plan.people = vec![
        week("line", "04-05", [8, 0], [0, 23_040, 0]),
        week("line", "04-12", [8, 0], [6_000, 23_040, 0]),
        week("line", "04-19", [8, 3], [36_001, 31_680, 4_500]),
        week("line", "04-26", [8, 0], [12_000, 23_040, 90]),
        week("beds", "04-12", [3, 0], [600, 8_640, 0]),
    ];
    assert!(!text(&plan).contains("People by week"));
    plan.scenario.crews[0].casual = Some(Casual {
        most: 4,
        ..Casual::default()
    });
    (plan.cost.casuals, plan.cost.changes) = (Money::whole(1_440), Money::whole(90));
    let summary = text(&plan);
    let table = "
People by week (idle: shifts without work of the plan)
crew       week      needed h  present h  bought h  people  hired  idle h
Line crew  2027-W15     100.0      384.0                 8          284.0
           2027-W16     600.0      528.0      75.0       8      3     3.0
           2027-W17     200.0      384.0       1.5       8          185.5
Line crew, the busiest week over the mean: 2 of hours needed, 1.22 of hours
  present
";
    assert!(summary.contains(table), "{summary}");
    for row in [
        "people hired by the week    1,440.00",
        "hiring and releasing them      90.00",
    ] {
        assert!(summary.contains(row), "{summary}");
    }
    // The figures, for all crews; a week without work is none of theirs.
    let all = weeks::of(&plan, Which::All);
    let crews: Vec<_> = all
        .iter()
        .map(|crew| (&crew.crew[..], crew.weeks.len()))
        .collect();
    assert_eq!(crews, [("line", 3), ("beds", 1)]);
    assert_eq!(all[0].needed_peak_to_mean, Some(Fixed(200)));
    assert_eq!(all[0].present_peak_to_mean, Some(Fixed(122)));
    assert_eq!(all[0].weeks[1].idle_minutes, 179);
    assert_eq!(all[1].needed_peak_to_mean, Some(Fixed(100)));
    assert!(weeks::text(&plan, Which::All).contains("\nBed crew "));
}

#[test]
fn what_must_happen_by_the_last_day_follows_from_what_grows_and_soaks() {
    let mut plan = short_plan();
    plan.scenario
        .opening
        .soaked
        .push(sowrota::scenario::Soaked {
            kind: "early".into(),
            kg_dry: sowrota::units::Fixed(10_000),
            soaked: day("04-01"),
        });
    assert!(text(&plan).contains("then its seed must go to soak, or onto the line"));
    plan.scenario.opening.sown.push(sowrota::scenario::Sown {
        opened: None,
        run: None,
        ahead: Default::default(),
        hardened: None,
        leaving: None,
        field: "holt".into(),
        part: 1,
        sown: day("04-01"),
        trays: 110,
        germination: "warm".into(),
        green_bed: "house".into(),
        harden_bed: "yard".into(),
    });
    assert!(text(&plan).contains("its trays grow already and must be planted then"));
}

#[test]
fn the_table_says_when_trays_leave_and_in_which_rows_they_stand_after_its_old_columns() {
    let table = report::plan::csv(&whole_plan::plan());
    let rows: Vec<&str> = table.lines().collect();
    assert_eq!(
        rows[0],
        "field,part,sow,plant,trays,line,germination,green_bed,harden_bed,leaves,green_rows,harden_rows"
    );
    assert_eq!(
        rows[1],
        "brook,1,2027-04-16,2027-05-05,220,line,warm,house,yard,,1 2 3 4,2 3 4 5"
    );
    assert_eq!(
        rows[3],
        "lane,1,2027-04-19,2027-05-06,318,line,warm,house,yard,2027-05-05,13 14 15 16 17 18,14 15 16 17 18 19"
    );
    assert!(
        rows.contains(&"mill,1,2027-04-16,2027-04-16,100,,,,,,,"),
        "{table}"
    );
}
