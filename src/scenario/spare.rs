//! Which order lines count, and the pooled spare of a kind: the last step to the fields that are planned.

use super::trays;
use super::types::{Field, HandOver, Kind, MatsPerHectare, OrderState, Scenario};
use crate::calendar::{DayRange, IsoWeek};
use crate::units::{Fixed, Share, fit};
use std::collections::BTreeMap;

/// Grower of the spare.
pub const GROWER: &str = "spare";
/// What the id of every spare begins with.
pub const PREFIX: &str = "spare-";
/// The spare may be used on the last day that it stands by for, and on so many days before it.
const DAYS_BEFORE: i32 = 3;

/// True when nothing stands in the way of growing it.
pub fn is_firm(field: &Field) -> bool {
    field.state == OrderState::Firm
}

/// Puts the order lines that are not firm aside, and sorts both by id.
pub fn settle(scenario: &mut Scenario) {
    let (mut firm, mut not_firm): (Vec<Field>, Vec<Field>) = std::mem::take(&mut scenario.fields)
        .into_iter()
        .partition(is_firm);
    let by_id = |a: &Field, b: &Field| a.id.cmp(&b.id);
    firm.sort_by(by_id);
    not_firm.sort_by(by_id);
    (scenario.fields, scenario.not_firm) = (firm, not_firm);
}

/// Trays of one spare so far, and the days of the windows that it stands by for.
struct Pool {
    ordered: i64,
    window: DayRange,
}

/// The spare of every kind: one field for each season and each ISO week in which windows of firm fields end.
pub fn fields(scenario: &Scenario) -> Vec<Field> {
    let asked = scenario.kinds.iter().filter(|kind| kind.spare_share.0 > 0);
    asked.flat_map(|kind| of_kind(scenario, kind)).collect()
}

fn of_kind(scenario: &Scenario, kind: &Kind) -> Vec<Field> {
    let mut pools: BTreeMap<(Option<&str>, IsoWeek), Pool> = BTreeMap::new();
    // Seed and sprouted trays are not grown on: nothing of a seedling's age stands by for them.
    let grown = |field: &&Field| {
        let seedlings = field.stage == HandOver::Seedlings;
        field.kind == kind.id && is_firm(field) && seedlings && !field.spare
    };
    for field in scenario.fields.iter().filter(grown) {
        let Some(last) = field.window.iter().map(|span| span.last).max() else {
            continue;
        };
        let trays = trays::of_field(field).total;
        let window = DayRange {
            first: last.plus(-DAYS_BEFORE),
            last,
        };
        let pool = pools
            .entry((field.season.as_deref(), last.iso_week()))
            .or_insert(Pool { ordered: 0, window });
        pool.ordered = pool.ordered.saturating_add(trays);
        if last > pool.window.last {
            pool.window = window;
        }
    }
    let spare = |((season, week), pool)| field(kind, season, week, &pool);
    pools.into_iter().map(spare).collect()
}

fn field(kind: &Kind, season: Option<&str>, week: IsoWeek, pool: &Pool) -> Field {
    let id = match season {
        Some(season) => format!("{PREFIX}{}-{season}-{week}", kind.id),
        None => format!("{PREFIX}{}-{week}", kind.id),
    };
    Field {
        id,
        grower: GROWER.to_owned(),
        area_ha: Fixed(0),
        kind: kind.id.clone(),
        season: season.map(str::to_owned),
        window: vec![pool.window],
        preferred: None,
        mats: MatsPerHectare::Given(Fixed(0)),
        reserve: Fixed(0),
        parts: 1,
        planter: None,
        closed: vec![],
        block: None,
        harvest_before: None,
        harvest_first_days: 0,
        harvest_last_days: None,
        ready: true,
        collected: true,
        lifted: true,
        trays: Some(share_of(kind.spare_share, pool.ordered)),
        state: OrderState::Firm,
        ordered: None,
        stage: HandOver::Seedlings,
        edge_days: 0,
        travel_group: None,
        spare: true,
    }
}

/// A share of so many trays, rounded up.
fn share_of(share: Share, trays: i64) -> i64 {
    let millionths = i128::from(share.0) * i128::from(trays);
    fit((millionths + 999_999) / 1_000_000)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{Tables, read_bytes};
    use serde_json::{Value, json};

    const SMALLEST: &str = include_str!("../../tests/smallest/nursery.json");

    /// The smallest nursery with a spare of 7 % of kind `early`, and these fields of that kind.
    fn with(fields: Value) -> Scenario {
        let mut file: Value = serde_json::from_str(SMALLEST).unwrap();
        file["kinds"][0]["spare_share"] = json!(0.07);
        file["seasons"] = json!([{ "id": "wet", "span": "2027-04-05/2027-06-12" }]);
        file["fields"] = fields;
        let tables: &Tables = &|_| Err("none".to_owned());
        let checked = read_bytes("nursery.json", file.to_string().as_bytes(), tables);
        assert_eq!(checked.problems.0, []);
        checked.scenario.unwrap()
    }

    fn order(id: &str, trays: i64, window: &str) -> Value {
        json!({ "id": id, "kind": "early", "trays": trays, "area_ha": 1, "window": window })
    }

    /// Id, trays and window of the spare.
    fn spare(scenario: &Scenario) -> Vec<(&str, i64, String)> {
        let fields = scenario.fields.iter().filter(|field| field.spare);
        fields
            .map(|field| {
                (
                    field.id.as_str(),
                    field.trays.unwrap(),
                    field.window[0].to_string(),
                )
            })
            .collect()
    }

    #[test]
    fn a_week_is_the_iso_week_of_the_last_day_of_all_spans() {
        // Sunday 16 May 2027 ends week 19, Monday 17 May begins week 20.
        let scenario = with(json!([
            order("a", 100, "2027-05-10/2027-05-16"),
            order("b", 100, "2027-05-17"),
            order("c", 100, "2027-05-20 2027-05-11"),
        ]));
        assert_eq!(
            spare(&scenario),
            [
                (
                    "spare-early-2027-W19",
                    7,
                    "2027-05-13/2027-05-16".to_owned()
                ),
                (
                    "spare-early-2027-W20",
                    14,
                    "2027-05-17/2027-05-20".to_owned()
                ),
            ]
        );
    }

    #[test]
    fn trays_are_added_before_they_are_rounded_up() {
        // 7 % of 15 + 15 is 2.1; each alone would give 2 + 2. 7 % of 100 is 7 to the tray.
        let scenario = with(json!([
            order("a", 15, "2027-05-12"),
            order("b", 15, "2027-05-11"),
        ]));
        assert_eq!(
            spare(&scenario),
            [(
                "spare-early-2027-W19",
                3,
                "2027-05-09/2027-05-12".to_owned()
            )]
        );
        assert_eq!(share_of(Fixed(70_000), 100), 7);
        assert_eq!(share_of(Fixed(1), 1), 1);
    }

    #[test]
    fn each_season_has_its_own() {
        let mut wet = order("a", 100, "2027-05-12");
        wet["season"] = json!("wet");
        let scenario = with(json!([wet, order("b", 50, "2027-05-12")]));
        let spare = spare(&scenario);
        assert_eq!(spare[0].0, "spare-early-2027-W19");
        assert_eq!((spare[1].0, spare[1].1), ("spare-early-wet-2027-W19", 7));
        let field = |id: &str| scenario.fields.iter().find(|field| field.id == id).unwrap();
        let one = field("spare-early-wet-2027-W19");
        assert_eq!(one.season.as_deref(), Some("wet"));
        assert!(one.collected && one.lifted && one.grower == GROWER);
        assert_eq!(trays::of_field(one).total, 7);
    }

    #[test]
    fn what_is_not_firm_or_has_no_window_asks_for_none_and_all_is_sorted() {
        let mut asked = order("z", 900, "2027-05-12");
        asked["state"] = json!("enquiry");
        let mut gone = order("b", 900, "2027-05-12");
        gone["state"] = json!("cancelled");
        let follows = json!({ "id": "d", "kind": "early", "trays": 900, "area_ha": 1, "harvest_before": "2027-05-01" });
        let late = json!({ "id": "x", "kind": "late", "trays": 900, "area_ha": 1, "window": "2027-05-12" });
        let scenario = with(json!([
            asked,
            late,
            order("t", 20, "2027-05-12"),
            follows,
            gone
        ]));
        let ids = |fields: &[Field]| fields.iter().map(|f| f.id.clone()).collect::<Vec<_>>();
        assert_eq!(
            ids(&scenario.fields),
            ["d", "spare-early-2027-W19", "t", "x"]
        );
        assert_eq!(ids(&scenario.not_firm), ["b", "z"]);
        assert_eq!(spare(&scenario)[0].1, 2);
    }
}
