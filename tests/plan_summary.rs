//! The summary of a plan: what is short and until when, on whom it falls, what is grown beside the orders, what it costs.

#[path = "common/small_plan.rs"]
mod small_plan;
#[path = "common/whole_plan.rs"]
mod whole_plan;

use small_plan::day;
use sowrota::plan::Plan;
use sowrota::plan::types::Shortfall;
use sowrota::report;
use sowrota::scenario::{Field, OrderState, Sharing};
use sowrota::units::Money;
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
        "lane,1,2027-04-19,2027-05-06,318,line,warm,house,yard,2027-05-05,LANEROWS"
    );
    assert!(
        rows.contains(&"mill,1,2027-04-16,2027-04-16,100,,,,,,,"),
        "{table}"
    );
}
