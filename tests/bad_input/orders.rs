//! Faults of order lines: what counts, what is handed over, when it was ordered, who is short, and the spare.

use super::oddities::Oddity;
use super::supplies::{first_field, first_kind};
use super::{Case, Files, SMALLEST, edited, raw, read, table, with};

/// The smallest file without the area of its first field, with something more said of it.
fn by_trays(more: &str) -> Files {
    first_field(more).and("\"area_ha\": 0.5, ", "")
}

/// The smallest file with both order lines in that state.
fn both(state: &str) -> Files {
    let said = format!("\"state\": \"{state}\" }}");
    first_field(&format!("\"state\": \"{state}\"")).and("190 }", &format!("190, {said}"))
}

/// The smallest file with trays of a field that stand sown.
fn standing(field: &str, more: &str) -> Files {
    let opening = format!(
        "{{ \"sown\": [{{ \"field\": \"{field}\", \"sown\": \"2027-04-01\", \"trays\": 105, \
         \"germination\": \"room\", \"green_bed\": \"house\", \"harden_bed\": \"house\" }}] }}"
    );
    let files = with("opening", &opening);
    if more.is_empty() {
        files
    } else {
        files.and("200 }", &format!("200, {more} }}"))
    }
}

fn pinned(field: &str, day: &str, more: &str) -> Files {
    with("pins", &format!("[{{ \"field\": \"{field}\", {day} }}]"))
        .and("200 }", &format!("200, {more} }}"))
}

const SPARE: &str = "{ \"id\": \"early\", \"spare_share\": 0.05 }";
const EARLY: &str = "{ \"id\": \"early\" }";

pub fn order_cases() -> Vec<Case> {
    vec![
        ("neither area nor trays", edited("\"area_ha\": 0.5, ", ""), "S006", "nursery.json:7:5 fields[0].area_ha"),
        ("trays and no way to an area", edited("\"area_ha\": 0.5, ", "\"trays\": 120, ").and(", \"mats_per_ha\": 200", ""), "S006", "nursery.json:7:5 fields[0]"),
        ("half a tray ordered", by_trays("\"trays\": 120.5"), "S010", "nursery.json:7:102 fields[0].trays"),
        ("no tray ordered", by_trays("\"trays\": 0"), "S009", "nursery.json:7:102 fields[0].trays"),
        ("trays in words", by_trays("\"trays\": \"120\""), "S007", "nursery.json:7:102 fields[0].trays"),
        ("more parts than trays ordered", by_trays("\"trays\": 2, \"parts\": 3"), "S050", "nursery.json:7:114 fields[0].parts"),
        ("trays of a field without end", by_trays("\"trays\": 10000000").and("200,", "0.5,"), "S009", "nursery.json:7:102 fields[0].trays"),
        ("unknown state", first_field("\"state\": \"frim\""), "S015", "nursery.json:7:118 fields[0].state"),
        ("no line is firm", both("enquiry"), "S083", "nursery.json:6:13 fields"),
        ("all lines are cancelled", both("cancelled"), "S083", "nursery.json:6:13 fields"),
        ("an order day that is not there", first_field("\"ordered\": \"2027-02-30\""), "S013", "nursery.json:7:120 fields[0].ordered"),
        ("an order day with points", first_field("\"ordered\": \"2027.1.20\""), "S012", "nursery.json:7:120 fields[0].ordered"),
        ("unknown stage", first_field("\"stage\": \"sprouts\""), "S015", "nursery.json:7:118 fields[0].stage"),
        ("a machine for seed", first_field("\"stage\": \"soaked_seed\", \"planter\": \"p\"").and("\"horizon\"", "\"planters\": [{ \"id\": \"p\", \"ha_per_day\": 1 }],\n  \"horizon\""), "S090", "nursery.json:8:144 fields[0].planter"),
        ("mats of trays that have only come up", first_field("\"stage\": \"sprouted\", \"lifted\": true"), "S090", "nursery.json:7:140 fields[0].lifted"),
        ("sprouted trays at the edge", first_field("\"stage\": \"sprouted\", \"edge_days\": 1"), "S090", "nursery.json:7:143 fields[0].edge_days"),
        ("weeks at the edge", first_field("\"edge_days\": 21"), "S009", "nursery.json:7:122 fields[0].edge_days"),
        ("waiting at the edge without weather", first_field("\"edge_days\": 1").and(EARLY, "{ \"id\": \"early\", \"age\": { \"clock\": \"leaves\", \"youngest\": 2, \"target\": 2, \"oldest\": 3 } }").and("\"stack_places\": 30", "\"stack_places\": 30, \"temperature\": { \"own_c\": 30 }").and("120 }", "120, \"temperature\": { \"own_c\": 20 } }"), "S046", "nursery.json weather"),
        ("two ways to say the warmth at the edge", with("edge", "{ \"own_c\": 12, \"day_plus_c\": 1 }"), "S019", "nursery.json:4:11 edge"),
        ("unknown travel group", first_field("\"travel_group\": \"vally\"").and("\"horizon\"", "\"travel_groups\": [{ \"id\": \"valley\", \"round_trip_minutes\": 50 }],\n  \"horizon\""), "S020", "nursery.json:8:125 fields[0].travel_group"),
        ("no travel group at all", first_field("\"travel_group\": \"valley\""), "S020", "nursery.json:7:125 fields[0].travel_group"),
        ("unknown way to share", with("sharing", "\"by_date\""), "S015", "nursery.json:4:14 sharing"),
        ("a member in words", with("growers", "[{ \"id\": \"mill\", \"member\": \"yes\" }]"), "S007", "nursery.json:4:41 growers[0].member"),
        ("a field named like a spare", edited("\"mill\"", "\"spare-mill\"").and(EARLY, SPARE), "S093", "nursery.json:7:13 fields[0].id"),
        ("a grower named like the spare's", first_field("\"grower\": \"spare\"").and(EARLY, SPARE), "S093", "nursery.json:7:119 fields[0].grower"),
        ("two spares of one name", with("seasons", "[{ \"id\": \"b\", \"span\": \"2027-05-01/2027-05-31\" }]").and(EARLY, "{ \"id\": \"a\", \"spare_share\": 0.1 }, { \"id\": \"a-b\", \"spare_share\": 0.1 }").and("\"early\"", "\"a\"").and("200 }", "200, \"season\": \"b\" }").and("\"kind\": \"late\", \"window\": \"2027-05-20/2027-05-29\"", "\"kind\": \"a-b\", \"window\": \"2027-05-16\""), "S093", "nursery.json:6:12 kinds"),
        ("a spare that is not there stands sown", standing("spare-early-2027-W18", "").and(EARLY, SPARE), "S020", "nursery.json:4:36 opening.sown[0].field"),
        ("a spare where none is asked", standing("spare-early-2027-W19", ""), "S020", "nursery.json:4:36 opening.sown[0].field"),
        ("a spare share in per cent", first_kind("\"spare_share\": 5"), "S009", "nursery.json:5:45 kinds[0].spare_share"),
        ("trays stand sown for a cancelled order", standing("mill", "\"state\": \"cancelled\""), "S097", "nursery.json:4:36 opening.sown[0].field"),
        ("trays stand sown for an enquiry", standing("mill", "\"state\": \"enquiry\""), "S097", "nursery.json:4:36 opening.sown[0].field"),
        ("trays stand sown where seed is handed over", standing("mill", "\"stage\": \"soaked_seed\""), "S097", "nursery.json:4:36 opening.sown[0].field"),
        ("a pin to a cancelled order", pinned("mill", "\"plant\": \"2027-05-12\"", "\"state\": \"cancelled\""), "S097", "nursery.json:4:23 pins[0].field"),
        ("a sow day where seed is handed over", pinned("mill", "\"sow\": \"2027-04-20\"", "\"stage\": \"soaked_seed\""), "S097", "nursery.json:4:38 pins[0].sow"),
        ("a decimal comma", edited("0.5", "0,5"), "S004", "nursery.json:7:34"),
        ("a decimal comma in quotes", edited("0.5", "\"0,5\""), "S007", "nursery.json:7:32 fields[0].area_ha"),
        ("a number in quotes", edited("0.5", "\"0.5\""), "S007", "nursery.json:7:32 fields[0].area_ha"),
        ("a plan instead of a scenario", raw("{\n  \"format\": \"sowrota-plan/1\",\n  \"scenario\": {}\n}\n"), "S094", "nursery.json:2:13 format"),
        ("what only the completed form holds", first_field("\"spare\": true"), "S005", "nursery.json:7:109 fields[0].spare"),
        ("lines put aside by hand", with("not_firm", "[]"), "S005", "nursery.json:4:3 not_firm"),
    ]
}

const COLUMNS: &str =
    "id,area_ha,kind,window,mats_per_ha,trays,state,ordered,stage,edge_days,travel_group\n";

/// A table with all columns of an order, one line of it as given below a sound one.
fn row(cells: &str) -> Files {
    table(format!(
        "{COLUMNS}a,1,early,2027-05-10,200,,firm,2027-01-20,seedlings,1,\n{cells}\n"
    ))
}

pub fn order_tables() -> Vec<Case> {
    vec![
        (
            "neither area nor trays in a row",
            row("b,,early,2027-05-10,200,,,,,,"),
            "S006",
            "fields.csv:3 area_ha",
        ),
        (
            "no column for area or trays",
            table("id,kind,window,mats_per_ha\na,early,2027-05-10,200\nb,early,2027-05-10,200\n"),
            "S036",
            "fields.csv:1 area_ha",
        ),
        (
            "trays and no way to an area in a row",
            row("b,,early,2027-05-10,,120,,,,,"),
            "S006",
            "fields.csv:3",
        ),
        (
            "half a tray in a cell",
            row("b,,early,2027-05-10,200,60.5,,,,,"),
            "S010",
            "fields.csv:3 trays",
        ),
        (
            "a state in capitals in a cell",
            row("b,1,early,2027-05-10,200,,Firm,,,,"),
            "S015",
            "fields.csv:3 state",
        ),
        (
            "an order day of two figures in a cell",
            row("b,1,early,2027-05-10,200,,,20.1.27,,,"),
            "S012",
            "fields.csv:3 ordered",
        ),
        (
            "a stage in two words in a cell",
            row("b,1,early,2027-05-10,200,,,,soaked seed,,"),
            "S015",
            "fields.csv:3 stage",
        ),
        (
            "sprouted trays at the edge in a row",
            row("b,1,early,2027-05-10,200,,,,sprouted,2,"),
            "S090",
            "fields.csv:3 edge_days",
        ),
        (
            "half a day at the edge in a cell",
            row("b,1,early,2027-05-10,200,,,,,0.5,"),
            "S010",
            "fields.csv:3 edge_days",
        ),
        (
            "unknown travel group in a cell",
            row("b,1,early,2027-05-10,200,,,,,,hill"),
            "S020",
            "fields.csv:3 travel_group",
        ),
        (
            "a decimal comma in a row",
            table("id,area_ha,kind,window,mats_per_ha\na,0,5,early,2027-05-10,200\n"),
            "S034",
            "fields.csv:2",
        ),
        (
            "spaces for thousands in a cell",
            row("b,,early,2027-05-10,200,1 200,,,,,"),
            "S007",
            "fields.csv:3 trays",
        ),
        (
            "a column that only the completed form has",
            table("id,area_ha,kind,window,mats_per_ha,spare\na,1,early,2027-05-10,200,no\n"),
            "S035",
            "fields.csv:1 spare",
        ),
    ]
}

/// Order lines that are accepted, and warned of.
pub fn odd_orders() -> Vec<Oddity> {
    vec![
        ("a margin beside trays", by_trays("\"trays\": 120, \"reserve\": 0.1"), &["S095"]),
        ("ordered after the window", first_field("\"ordered\": \"2028-01-20\""), &["S091"]),
        ("shared by dates that nobody wrote", with("sharing", "\"order_date\""), &["S092"]),
        ("members first, and no members", with("sharing", "\"members_first\""), &["S092"]),
        ("a grower of whom nothing is said", with("growers", "[{ \"id\": \"mill\" }, { \"id\": \"bank\", \"returns\": [] }]"), &["S095", "S095"]),
        ("a grower who is no member among members", with("growers", "[{ \"id\": \"mill\" }, { \"id\": \"bank\", \"member\": true }]"), &[]),
        ("a member whom no field names", with("growers", "[{ \"id\": \"mil\", \"member\": true }]"), &["S074"]),
        (
            "a group for seed, and for trays that are fetched",
            first_field("\"stage\": \"soaked_seed\", \"travel_group\": \"v\"")
                .and("190 }", "190, \"collected\": true, \"travel_group\": \"v\" }")
                .and("\"horizon\"", "\"travel_groups\": [{ \"id\": \"v\", \"round_trip_minutes\": 50 }],\n  \"horizon\""),
            &["S095", "S095"],
        ),
        (
            "a spare of a kind without windows",
            edited(EARLY, SPARE).and("\"window\": \"2027-05-10/2027-05-16\"", "\"harvest_before\": \"2027-05-10\""),
            &["S095"],
        ),
        (
            "fewer trays will leave than are ordered",
            standing("mill", "").and(EARLY, "{ \"id\": \"early\", \"losses\": { \"bed\": 0.1 } }"),
            &["S076"],
        ),
        ("an enquiry outside the horizon", first_field("\"state\": \"enquiry\"").and("2027-05-10/2027-05-16", "2028-05-10"), &[]),
    ]
}

#[test]
fn orders_by_trays_take_the_area_that_follows_and_say_so() {
    let checked = read(&by_trays("\"trays\": 121"));
    assert_eq!(checked.problems.0, []);
    let field = &checked.scenario.unwrap().fields[1];
    // 121 ÷ 200 ha = 6050 m².
    assert_eq!((field.id.as_str(), field.area_ha.0), ("mill", 6_050));
    let used = checked
        .defaults
        .iter()
        .find(|used| used.path == "fields[0].area_ha");
    assert_eq!(used.unwrap().value, "0.605");
    // 100 ÷ 0.3 ha = 333.333 trays a hectare.
    let both = first_field("\"trays\": 100")
        .and("0.5", "0.3")
        .and(", \"mats_per_ha\": 200", "");
    let scenario = read(&both).scenario.unwrap();
    let given = sowrota::scenario::MatsPerHectare::Given(sowrota::units::Fixed(33_333));
    assert_eq!(scenario.fields[1].mats, given);
    assert_eq!(
        sowrota::scenario::trays::of_field(&scenario.fields[1]).total,
        100
    );
    // 7 trays at 150 a hectare are 466.67 m², at 160 they are 437.5: halves go up.
    for (mats, m2) in [("150", 467), ("160", 438)] {
        let files = by_trays("\"trays\": 7").and("200,", &format!("{mats},"));
        assert_eq!(read(&files).scenario.unwrap().fields[1].area_ha.0, m2);
    }
    // By spacing, 30 cm × 18 cm, 20 picks, 13 mm: 415 × 0.054 m² × 11,600 ÷ 13 = 19,996.6 m².
    let spaced = by_trays("\"trays\": 415").and(
        "\"mats_per_ha\": 200",
        "\"row_cm\": 30, \"hill_cm\": 18, \"picks\": 20, \"feed_mm\": 13",
    );
    assert_eq!(read(&spaced).scenario.unwrap().fields[1].area_ha.0, 19_997);
}

#[test]
fn orders_in_a_table_say_the_same_as_in_the_list() {
    let (from, to) = (
        SMALLEST.find("\"fields\": [").unwrap(),
        SMALLEST.find("  \"lines\"").unwrap(),
    );
    let groups = "\"travel_groups\": [{ \"id\": \"v\", \"round_trip_minutes\": 50 }],\n";
    let around = |fields: &str| {
        format!(
            "{}{groups}\"fields\": {fields},\n{}",
            &SMALLEST[..from],
            &SMALLEST[to..]
        )
    };
    let listed = read(&raw(around(
        r#"[{ "id": "x", "trays": 120, "kind": "late", "window": "2027-05-20", "mats_per_ha": 200, "ordered": "2027-01-20", "edge_days": 2, "travel_group": "v" },
            { "id": "y", "area_ha": 1, "kind": "late", "window": "2027-05-20", "mats_per_ha": 200, "stage": "soaked_seed", "state": "firm" },
            { "id": "z", "area_ha": 1, "trays": 9, "kind": "late", "window": "2027-05-20", "state": "cancelled", "stage": "sprouted" }]"#,
    )));
    let csv = "\
id,area_ha,kind,window,mats_per_ha,trays,state,ordered,stage,edge_days,travel_group
z,1,late,2027-05-20,,9,cancelled,,sprouted,,
y,1,late,2027-05-20,200,,firm,,soaked_seed,,
x,,late,2027-05-20,200,120,,2027-01-20,,2,v
";
    let mut files = raw(around("\"fields.csv\""));
    files.tables.insert("fields.csv", csv.into());
    let tabled = read(&files);
    assert_eq!(tabled.problems.0, []);
    assert_eq!(listed.problems.0, []);
    assert_eq!(tabled.scenario, listed.scenario);
    let scenario = listed.scenario.unwrap();
    let ids = |fields: &[sowrota::scenario::Field]| -> Vec<String> {
        fields.iter().map(|field| field.id.clone()).collect()
    };
    assert_eq!(ids(&scenario.fields), ["x", "y"]);
    assert_eq!(ids(&scenario.not_firm), ["z"]);
    assert_eq!(
        scenario.fields[0].ordered.unwrap().to_string(),
        "2027-01-20"
    );
}

#[test]
fn a_spare_may_stand_sown_and_be_pinned() {
    let files = standing("spare-early-2027-W19", "").and(EARLY, SPARE).and(
        "\"horizon\"",
        "\"pins\": [{ \"field\": \"spare-early-2027-W19\", \"plant\": \"2027-05-14\" }],\n  \"horizon\"",
    );
    let checked = read(&files);
    assert_eq!(checked.problems.0, []);
    assert_eq!(
        checked.scenario.unwrap().opening.sown[0].field,
        "spare-early-2027-W19"
    );
}
