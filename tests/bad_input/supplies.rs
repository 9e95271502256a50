//! Faults of anchors, return curves, stores, limits and vehicles.

use super::{Case, Files, SMALLEST, edited, fields, raw, read, table, with};
use std::collections::BTreeMap;

/// The smallest file with something more said of its first field.
pub fn first_field(more: &str) -> Files {
    edited("200 }", &format!("200, {more} }}"))
}

/// The smallest file with something more said of its first kind.
pub fn first_kind(more: &str) -> Files {
    edited(
        "{ \"id\": \"early\" }",
        &format!("{{ \"id\": \"early\", {more} }}"),
    )
}

const NO_WINDOW: &str = "\"window\": \"2027-05-10/2027-05-16\", ";

pub fn supply_cases() -> Vec<Case> {
    let curve = |points: &str| {
        with(
            "growers",
            &format!("[{{ \"id\": \"mill\", \"returns\": {points} }}]"),
        )
    };
    let block = |water: &str, first: u32, last: u32| {
        with(
            "blocks",
            &format!(
                "[{{ \"id\": \"b\", \"water\": \"{water}\", \"first_days\": {first}, \"last_days\": {last} }}]"
            ),
        )
    };
    vec![
        ("curve whose days fall", curve("[{ \"days\": 10, \"share\": 0.5 }, { \"days\": 3, \"share\": 0.8 }]"), "S080", "nursery.json:4:73 growers[0].returns[1]"),
        ("curve whose share stays", curve("[{ \"days\": 3, \"share\": 0.5 }, { \"days\": 10, \"share\": 0.5 }]"), "S080", "nursery.json:4:72 growers[0].returns[1]"),
        ("curve beyond all trays", curve("[{ \"days\": 3, \"share\": 1.2 }]"), "S009", "nursery.json:4:65 growers[0].returns[0].share"),
        ("grower twice", with("growers", "[{ \"id\": \"mill\", \"returns\": [{ \"days\": 3, \"share\": 1 }] }, { \"id\": \"mill\", \"returns\": [{ \"days\": 4, \"share\": 1 }] }]"), "S021", "nursery.json:4:81 growers[1].id"),
        ("block with days in disorder", block("2027-05-06", 4, 2), "S059", "nursery.json:4:64 blocks[0].first_days"),
        ("unknown block", first_field("\"block\": \"nord\"").and("\"horizon\"", "\"blocks\": [{ \"id\": \"north\", \"water\": \"2027-05-06\", \"first_days\": 2, \"last_days\": 9 }],\n  \"horizon\""), "S020", "nursery.json:8:118 fields[0].block"),
        ("water after the horizon", block("2027-08-06", 2, 4).and("200 }", "200, \"block\": \"b\" }").and(NO_WINDOW, ""), "S040", "nursery.json:4:36 blocks[0].water"),
        ("harvest after the horizon", first_field("\"harvest_before\": \"2027-06-10\", \"harvest_first_days\": 5").and(NO_WINDOW, ""), "S040", "nursery.json:7:92 fields[0].harvest_before"),
        ("harvest far before the horizon", first_field("\"harvest_before\": \"2027-03-01\", \"harvest_last_days\": 10"), "S040", "nursery.json:7:127 fields[0].harvest_before"),
        ("harvest days in disorder", first_field("\"harvest_before\": \"2027-05-01\", \"harvest_first_days\": 10, \"harvest_last_days\": 5"), "S059", "nursery.json:7:188 fields[0].harvest_last_days"),
        ("days after no harvest", first_field("\"harvest_first_days\": 5"), "S059", "nursery.json:7:131 fields[0].harvest_first_days"),
        ("last days after no harvest", first_field("\"harvest_last_days\": 5"), "S059", "nursery.json:7:130 fields[0].harvest_last_days"),
        ("neither window nor anchor", edited(NO_WINDOW, ""), "S006", "nursery.json:7:5 fields[0].window"),
        ("anchor outside its season", first_field("\"season\": \"dry\", \"harvest_before\": \"2027-05-01\", \"harvest_last_days\": 9").and(NO_WINDOW, "").and("\"horizon\"", "\"seasons\": [{ \"id\": \"dry\", \"span\": \"2027-05-12/2027-05-20\" }],\n  \"horizon\""), "S054", "nursery.json:8:109 fields[0].harvest_before"),
        ("pin before the water", block("2027-05-10", 2, 4).and("200 }", "200, \"block\": \"b\" }").and("\"horizon\"", "\"pins\": [{ \"field\": \"mill\", \"plant\": \"2027-05-11\" }],\n  \"horizon\""), "S049", "nursery.json:5:40 pins[0].plant"),
        ("a text where true or false should be", first_field("\"ready\": \"no\""), "S007", "nursery.json:7:118 fields[0].ready"),
        ("two stores of one kind", with("seed_stores", "[{ \"kind\": \"late\", \"kg_dry\": 5 }, { \"kind\": \"late\", \"kg_dry\": 6 }]"), "S058", "nursery.json:4:62 seed_stores[1].kind"),
        ("seed of an unknown kind", with("seed_stores", "[{ \"kind\": \"lat\", \"kg_dry\": 5 }]"), "S020", "nursery.json:4:29 seed_stores[0].kind"),
        ("less than no seed", with("seed_stores", "[{ \"kind\": \"late\", \"kg_dry\": -1 }]"), "S009", "nursery.json:4:47 seed_stores[0].kg_dry"),
        ("delivery without a day", with("soil_stores", "[{ \"id\": \"loam\", \"litres\": 0, \"deliveries\": [{ \"litres\": 90 }] }]"), "S006", "nursery.json:4:63 soil_stores[0].deliveries[0].day"),
        ("unknown soil", first_kind("\"bed_soil\": \"laom\"").and("\"horizon\"", "\"soil_stores\": [{ \"id\": \"loam\", \"litres\": 9 }],\n  \"horizon\""), "S020", "nursery.json:6:42 kinds[0].bed_soil"),
        ("cover soil without any store", first_kind("\"cover_soil\": \"fine\""), "S020", "nursery.json:5:44 kinds[0].cover_soil"),
        ("two rates of one kind", edited("[{ \"id\": \"line\" }]", "[{ \"id\": \"line\", \"rates\": [{ \"kind\": \"late\", \"set_trays_per_h\": 200 }, { \"kind\": \"late\", \"set_trays_per_h\": 300 }] }]"), "S058", "nursery.json:10:93 lines[0].rates[1].kind"),
        ("rate of an unknown kind", edited("[{ \"id\": \"line\" }]", "[{ \"id\": \"line\", \"rates\": [{ \"kind\": \"lat\", \"set_trays_per_h\": 200 }] }]"), "S020", "nursery.json:10:49 lines[0].rates[0].kind"),
        ("a bag heavier than the tank", first_kind("\"bag_kg\": 25").and("\"horizon\"", "\"tank\": { \"kg_dry\": 20 },\n  \"horizon\""), "S081", "nursery.json:6:40 kinds[0].bag_kg"),
        ("a tank for nothing", with("tank", "{ \"kg_dry\": 0 }"), "S009", "nursery.json:4:23 tank.kg_dry"),
        ("a limit without an age", first_kind("\"limits\": [{ \"clock\": \"days\" }]"), "S082", "nursery.json:5:41 kinds[0].limits[0]"),
        ("a limit without a clock", first_kind("\"limits\": [{ \"oldest\": 20 }]"), "S006", "nursery.json:5:41 kinds[0].limits[0].clock"),
        ("a limit in disorder", first_kind("\"limits\": [{ \"clock\": \"days\", \"youngest\": 22, \"oldest\": 20 }]"), "S042", "nursery.json:5:41 kinds[0].limits[0]"),
        ("a limit against the kind's own", first_kind("\"limits\": [{ \"clock\": \"days\", \"oldest\": 16 }]"), "S082", "nursery.json:5:41 kinds[0].limits[0]"),
        ("a limit against another", with("weather", "{ \"min_c\": 9, \"max_c\": 20 }").and("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"limits\": [{ \"clock\": \"leaves\", \"oldest\": 2 }, { \"clock\": \"leaves\", \"youngest\": 2.5 }] }"), "S082", "nursery.json:6:77 kinds[0].limits[1]"),
        ("a limit in leaves without weather", first_kind("\"limits\": [{ \"clock\": \"leaves\", \"oldest\": 3 }]"), "S046", "nursery.json weather"),
        ("vehicle twice", with("vehicles", "[{ \"id\": \"v\", \"trips_per_day\": 1, \"trays_per_trip\": 9, \"kg_per_trip\": 90 }, { \"id\": \"v\", \"trips_per_day\": 1, \"trays_per_trip\": 9, \"kg_per_trip\": 90 }]"), "S021", "nursery.json:4:99 vehicles[1].id"),
        ("water without an amount", with("water", "{ \"care_l_per_tray\": 1 }"), "S006", "nursery.json:4:12 water.litres_per_day"),
        ("a word for true or false in a cell", table("id,area_ha,kind,window,mats_per_ha,ready\na,1,early,2027-05-10,200,\nb,1,early,2027-05-10,200,perhaps\n"), "S015", "fields.csv:3 ready"),
        ("a capital letter in a cell", table("id,area_ha,kind,window,mats_per_ha,lifted\na,1,early,2027-05-10,200,Yes\n"), "S015", "fields.csv:2 lifted"),
        ("unknown block in a cell", table("id,area_ha,kind,block,mats_per_ha\na,1,early,north,200\n"), "S020", "fields.csv:2 block"),
        ("neither window nor anchor in a row", table("id,area_ha,kind,window,harvest_before,mats_per_ha\na,1,early,2027-05-10,,200\nb,1,early,,2027-05-01,200\nc,1,early,,,200\n"), "S006", "fields.csv:4 window"),
        ("no column that says when", table("id,area_ha,kind,mats_per_ha\na,1,early,200\nb,1,early,200\n"), "S006", "nursery.json:6:13 fields"),
        ("a misspelt column of windows", fields("window", "windwo"), "S035", "fields.csv:1 windwo"),
        ("harvest outside the horizon in a cell", table("id,area_ha,kind,harvest_before,mats_per_ha\na,1,early,2027-09-01,200\n"), "S040", "fields.csv:2 harvest_before"),
        ("days after no harvest in a cell", table("id,area_ha,kind,window,harvest_first_days,mats_per_ha\na,1,early,2027-05-10,5,200\n"), "S059", "fields.csv:2 harvest_first_days"),
        ("half a day after harvest in a cell", table("id,area_ha,kind,harvest_before,harvest_last_days,mats_per_ha\na,1,early,2027-05-01,9.5,200\n"), "S010", "fields.csv:2 harvest_last_days"),
    ]
}

#[test]
fn anchors_and_marks_in_a_table_say_the_same_as_in_the_list() {
    let (from, to) = (
        SMALLEST.find("\"fields\": [").unwrap(),
        SMALLEST.find("  \"lines\"").unwrap(),
    );
    let blocks = "\"blocks\": [{ \"id\": \"b\", \"water\": \"2027-05-06\", \"first_days\": 2, \"last_days\": 9 }],\n";
    let around = |fields: &str| {
        format!(
            "{}{blocks}\"fields\": {fields},\n{}",
            &SMALLEST[..from],
            &SMALLEST[to..]
        )
    };
    let listed = read(&raw(around(
        r#"[{ "id": "x", "area_ha": 1, "kind": "late", "mats_per_ha": 200, "block": "b", "ready": false, "collected": true },
            { "id": "y", "area_ha": 1, "kind": "late", "mats_per_ha": 200, "harvest_before": "2027-05-02", "harvest_first_days": 5, "harvest_last_days": 10, "ready": true, "lifted": true },
            { "id": "z", "area_ha": 1, "kind": "late", "mats_per_ha": 200, "window": "2027-05-20", "lifted": false }]"#,
    )));
    let csv = "\
id,area_ha,kind,mats_per_ha,window,block,harvest_before,harvest_first_days,harvest_last_days,ready,collected,lifted
x,1,late,200,,b,,,,no,yes,
y,1,late,200,,,2027-05-02,5,10,true,,yes
z,1,late,200,2027-05-20,,,,,,,false
";
    let tabled = read(&Files {
        json: around("\"fields.csv\"").into(),
        tables: BTreeMap::from([("fields.csv", csv.into())]),
    });
    assert_eq!(tabled.problems.0, []);
    let scenario = listed.scenario.unwrap();
    assert_eq!(tabled.scenario.as_ref(), Some(&scenario));
    let [x, y, z] = &scenario.fields[..] else {
        panic!("three fields");
    };
    assert_eq!((x.ready, x.collected, x.lifted), (false, true, false));
    assert_eq!((y.ready, y.collected, y.lifted), (true, false, true));
    assert_eq!((z.ready, z.collected, z.lifted), (true, false, false));
    assert_eq!((x.block.as_deref(), y.block.as_deref()), (Some("b"), None));
    assert_eq!((y.harvest_first_days, y.harvest_last_days), (5, Some(10)));
    assert_eq!((x.window.len(), y.window.len(), z.window.len()), (0, 0, 1));
}
