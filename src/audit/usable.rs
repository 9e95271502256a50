//! May the scenario be counted with at all? A plan embeds its scenario, so every number of it
//! may have been edited. Here bounds are set within which the count can neither divide by 0 nor overflow,
//! and every name must lead somewhere. The checks of the scenario's own reader are finer; these only guard the count.

use crate::growth;
use crate::scenario::{
    AgeClock, HandOver, Kind, MatsPerHectare, Method, OrderState, Per, PieceTask, Scenario,
    StackClock, Temperature,
};

/// Largest number, in the small unit of its type: products of three stay far inside `i128`.
const MOST: i64 = 100_000_000_000;
/// Most trays of anything.
pub(super) const MOST_TRAYS: i64 = 1_000_000_000;
/// Longest wait, sprouting, drying…, days.
const MOST_DAYS: i64 = 1_000;
/// Furthest day from the water or the harvest on which planting may be allowed, days either way.
const FURTHEST: i64 = 10_000;
/// Most of what is counted one by one: people, trips.
const MOST_COUNTED: i64 = 1_000_000;

/// Why `scenario` cannot be counted with, in words; empty when it can.
pub(super) fn flaws(scenario: &Scenario) -> Vec<String> {
    let mut gate = Gate { flaws: Vec::new() };
    let days = scenario.horizon.last.number() as i64 - scenario.horizon.first.number() as i64;
    gate.within("horizon, last day after the first", days, 0, 3_700);
    gate.prices(scenario);
    gate.kinds(scenario);
    gate.fields(scenario);
    gate.machines(scenario);
    gate.places(scenario);
    gate.crews(scenario);
    gate.work(scenario);
    gate.opening(scenario);
    gate.stores(scenario);
    gate.vehicles(scenario);
    gate.edge(scenario);
    gate.duty(scenario);
    gate.flaws
}

mod supplies;

struct Gate {
    flaws: Vec<String>,
}

impl Gate {
    fn within(&mut self, what: &str, value: i64, least: i64, most: i64) {
        if value < least || value > most {
            self.flaws.push(format!(
                "the scenario's {what} is {value}, outside {least} to {most}"
            ));
        }
    }

    fn known(&mut self, what: &str, id: &str, mut ids: impl Iterator<Item = impl AsRef<str>>) {
        if !ids.any(|known| known.as_ref() == id) {
            self.flaws.push(format!(
                "the scenario's {what} names `{id}`, which the scenario does not have"
            ));
        }
    }

    fn prices(&mut self, scenario: &Scenario) {
        self.within("prices.set_up", scenario.prices.set_up.0, 0, MOST);
        self.within(
            "prices.off_preferred",
            scenario.prices.off_preferred.0,
            0,
            MOST,
        );
        for (key, price) in [
            ("prices.bed_move", scenario.prices.bed_move),
            ("prices.edge_wait", scenario.prices.edge_wait),
            ("prices.split_run", scenario.prices.split_run),
            ("prices.promise_moved", scenario.prices.promise_moved),
            ("prices.plan_moved", scenario.prices.plan_moved),
        ] {
            self.within(key, price.0, 0, MOST);
        }
        let short = scenario.prices.short_per_tray.map_or(0, |price| price.0);
        self.within("prices.short_per_tray", short, 0, MOST);
    }

    fn kinds(&mut self, scenario: &Scenario) {
        for kind in &scenario.kinds {
            let at = |key: &str| format!("kind `{}`, {key}", kind.id);
            self.within(
                &at("seed_g_dry_per_tray"),
                kind.seed_g_dry_per_tray.0,
                0,
                MOST_TRAYS,
            );
            self.within(
                &at("soak_degree_days"),
                kind.soak_degree_days.0,
                0,
                10_000_000,
            );
            self.within(&at("soak_water_c"), kind.soak_water_c.0, 1, 10_000);
            self.within(&at("sprout_days"), kind.sprout_days.into(), 0, MOST_DAYS);
            self.within(&at("hold_days"), kind.hold_days.into(), 0, MOST_DAYS);
            self.within(
                &at("drain_wait_days"),
                kind.drain_wait_days.into(),
                0,
                MOST_DAYS,
            );
            self.within(
                &at("greening_days"),
                kind.greening_days.into(),
                0,
                MOST_DAYS,
            );
            self.within(
                &at("greening_wait_days"),
                kind.greening_wait_days.into(),
                0,
                MOST_DAYS,
            );
            self.within(&at("stack.need"), kind.stack.need.0, 0, MOST_TRAYS);
            for (key, age) in [
                ("age.youngest", kind.age.youngest),
                ("age.target", kind.age.target),
                ("age.oldest", kind.age.oldest),
            ] {
                self.within(&at(key), age.0, 0, MOST_TRAYS);
            }
            self.within(&at("cost_younger"), kind.cost_younger.0, 0, MOST);
            self.within(&at("cost_older"), kind.cost_older.0, 0, MOST);
            for limit in &kind.limits {
                for age in [limit.youngest, limit.oldest].into_iter().flatten() {
                    self.within(&at("limits"), age.0, 0, MOST_TRAYS);
                }
            }
            let losses = [kind.losses.line, kind.losses.stack, kind.losses.bed];
            for loss in losses {
                // Something is left of every tray.
                self.within(&at("losses in millionths"), loss.0, 0, 999_999);
            }
            self.within(&at("least_run_trays"), kind.least_run_trays, 0, MOST_TRAYS);
            let care = kind.care_times.0;
            self.within(&at("care_times in hundredths"), care, 0, MOST_TRAYS);
            self.takes(scenario, kind);
            let counts = |clock| {
                kind.age.clock == clock || kind.limits.iter().any(|limit| limit.clock == clock)
            };
            if counts(AgeClock::Leaves) {
                self.within(
                    &at("growth.phyllochron_cd"),
                    kind.growth.phyllochron_cd.0,
                    1,
                    MOST,
                );
            }
            let thermal = counts(AgeClock::Thermal) || kind.stack.clock == StackClock::Thermal;
            if thermal && kind.growth.method != Method::Days {
                for (key, value) in [
                    ("growth.base_c", kind.growth.base_c),
                    ("growth.upper_c", kind.growth.upper_c),
                    ("growth.ceiling_c", kind.growth.ceiling_c),
                ] {
                    self.within(&at(key), value.0, -10_000, 10_000);
                }
            }
            if self.flaws.is_empty() {
                let soak = growth::soak_days(kind).into();
                self.within(&at("days of soaking"), soak, 0, MOST_DAYS);
            }
        }
        for day in &scenario.weather {
            for value in [day.min_c, day.max_c] {
                self.within(
                    &format!("weather of {}", day.date),
                    value.0,
                    -10_000,
                    10_000,
                );
            }
        }
    }

    /// What a tray of the kind takes of seed, soil and water.
    fn takes(&mut self, scenario: &Scenario, kind: &Kind) {
        let at = |key: &str| format!("kind `{}`, {key}", kind.id);
        if let Some(bag) = kind.bag_kg {
            self.within(&at("bag_kg in g"), bag.0, 1, MOST);
        }
        for (key, depth, store) in [
            ("bed_soil", kind.bed_soil_mm, &kind.bed_soil),
            ("cover_soil", kind.cover_soil_mm, &kind.cover_soil),
        ] {
            self.within(
                &at(&format!("{key}_mm in hundredths")),
                depth.0,
                0,
                MOST_TRAYS,
            );
            if let Some(store) = store {
                let stores = scenario.soil_stores.iter().map(|store| &store.id);
                self.known(&at(key), store, stores);
            }
        }
        if let Some(treatment) = &kind.treatment {
            let ml = treatment.ml_per_kg.0;
            self.within(&at("treatment, ml_per_kg in tenths"), ml, 0, MOST_TRAYS);
        }
        self.within(
            &at("water_l_per_tray in hundredths"),
            kind.water_l_per_tray.0,
            0,
            MOST_TRAYS,
        );
    }

    fn fields(&mut self, scenario: &Scenario) {
        for field in &scenario.fields {
            let at = |key: &str| format!("field `{}`, {key}", field.id);
            self.within(&at("area_ha in m²"), field.area_ha.0, 0, MOST_TRAYS);
            self.within(
                &at("reserve in millionths"),
                field.reserve.0,
                0,
                100_000_000,
            );
            self.within(&at("parts"), field.parts.into(), 1, 10_000);
            self.within(&at("trays"), field.trays.unwrap_or(0), 0, MOST_TRAYS);
            self.within(&at("edge_days"), field.edge_days.into(), 0, MOST_DAYS);
            if field.state != OrderState::Firm {
                self.flaws.push(format!(
                    "the scenario's field `{}` is no firm order",
                    field.id
                ));
            }
            if let Some(group) = &field.travel_group {
                let groups = scenario.travel_groups.iter().map(|group| &group.id);
                self.known(&at("travel_group"), group, groups);
            }
            match field.mats {
                MatsPerHectare::Given(mats) => self.within(&at("mats"), mats.0, 0, 10_000_000),
                MatsPerHectare::Spacing {
                    row_cm,
                    hill_cm,
                    picks,
                    feed_mm,
                } => {
                    self.within(&at("row_cm in mm"), row_cm.0, 1, 1_000_000);
                    self.within(&at("hill_cm in mm"), hill_cm.0, 1, 1_000_000);
                    self.within(&at("picks"), picks.into(), 1, 10_000);
                    self.within(&at("feed_mm in hundredths"), feed_mm.0, 0, 1_000_000);
                }
            }
            self.known(
                &at("kind"),
                &field.kind,
                scenario.kinds.iter().map(|kind| &kind.id),
            );
            if let Some(planter) = &field.planter {
                let planters = scenario.planters.iter().map(|planter| &planter.id);
                self.known(&at("planter"), planter, planters);
            }
            if let Some(block) = &field.block {
                let blocks = scenario.blocks.iter().map(|block| &block.id);
                self.known(&at("block"), block, blocks);
            }
            let last = field.harvest_last_days.unwrap_or(0);
            for days in [field.harvest_first_days, last] {
                self.within(
                    &at("days after the harvest"),
                    days.into(),
                    -FURTHEST,
                    FURTHEST,
                );
            }
        }
        for block in &scenario.blocks {
            let what = format!("block `{}`, days after the water", block.id);
            for days in [block.first_days, block.last_days] {
                self.within(&what, days.into(), -FURTHEST, FURTHEST);
            }
        }
    }

    fn machines(&mut self, scenario: &Scenario) {
        for line in &scenario.lines {
            let at = |key: &str| format!("line `{}`, {key}", line.id);
            self.within(
                &at("set_trays_per_h in tenths"),
                line.set_trays_per_h.0,
                0,
                MOST,
            );
            for rate in &line.rates {
                let rate = rate.set_trays_per_h.0;
                self.within(&at("rates in tenths of trays/h"), rate, 0, MOST);
            }
            self.within(&at("share_run in millionths"), line.share_run.0, 0, MOST);
            self.within(
                &at("hours_per_day in hundredths"),
                line.hours_per_day.0,
                0,
                2_400,
            );
            self.within(&at("trial_trays"), line.trial_trays, 0, MOST_TRAYS);
            let hopper = line.hopper_g_dry.0;
            self.within(&at("hopper_g_dry in tenths"), hopper, 0, MOST);
            for span in &line.spans {
                let hours = span.hours_per_day.0;
                self.within(&at("spans, hours in hundredths"), hours, 0, 2_400);
            }
            for pair in &line.set_up_pairs {
                let thrown = pair.throw_out_trays;
                self.within(&at("throw_out_trays"), thrown, 0, MOST_TRAYS);
            }
            let pairs = line.set_up_pairs.iter().map(|pair| pair.minutes);
            for minutes in pairs.chain([line.first_set_up_minutes, line.set_up_minutes]) {
                self.within(
                    &at("set-up minutes in hundredths"),
                    minutes.0,
                    0,
                    MOST_TRAYS,
                );
            }
        }
        for planter in &scenario.planters {
            let at = |key: &str| format!("planter `{}`, {key}", planter.id);
            self.within(&at("ha_per_day in m²"), planter.ha_per_day.0, 0, MOST);
            let hours = planter.hours_per_day.0;
            self.within(&at("hours_per_day in hundredths"), hours, 0, 2_400);
            let move_minutes = planter.move_minutes.0;
            self.within(
                &at("move_minutes in hundredths"),
                move_minutes,
                0,
                MOST_TRAYS,
            );
        }
    }

    fn places(&mut self, scenario: &Scenario) {
        for place in &scenario.germination {
            let at = |key: &str| format!("place `{}`, {key}", place.id);
            self.within(&at("stack_places"), place.stack_places, 0, MOST_TRAYS);
            self.within(&at("height"), place.height, 1, MOST_TRAYS);
            self.within(&at("lid_trays"), place.lid_trays, 0, MOST_TRAYS);
            self.within(&at("base_trays"), place.base_trays, 0, MOST_TRAYS);
            self.within(
                &at("longest_wait_days"),
                place.longest_wait_days.into(),
                0,
                MOST_DAYS,
            );
            self.warmth(&place.id, &place.temperature);
            for span in &place.spans {
                self.warmth(&place.id, &Temperature::Own(span.own_c));
            }
        }
        for bed in &scenario.beds {
            let at = |key: &str| format!("bed `{}`, {key}", bed.id);
            self.within(&at("area_m2 in hundredths"), bed.area_m2.0, 0, MOST);
            self.within(
                &at("trays_per_m2 in hundredths"),
                bed.trays_per_m2.0,
                1,
                MOST,
            );
            self.within(&at("row_trays"), bed.row_trays.unwrap_or(1), 1, MOST_TRAYS);
            let turn_round = bed.turn_round_days.into();
            self.within(&at("turn_round_days"), turn_round, 0, MOST_DAYS);
            self.warmth(&bed.id, &bed.temperature);
        }
        let trays = &scenario.trays;
        self.within("trays.stock", trays.stock, 0, MOST_TRAYS);
        self.within("trays.return_days", trays.return_days.into(), 0, MOST_DAYS);
        self.within("trays.loss in millionths", trays.loss.0, 0, 1_000_000);
        self.within(
            "trays.wash_trays_per_h",
            trays.wash_trays_per_h,
            0,
            MOST_TRAYS,
        );
        self.within(
            "trays.wash_hours_per_day in hundredths",
            trays.wash_hours_per_day.0,
            0,
            2_400,
        );
        let spans = trays.dry_spans.iter().map(|span| span.dry_days);
        for days in spans.chain([trays.dry_days]) {
            self.within("trays.dry_days", days.into(), 0, MOST_DAYS);
        }
        for grower in &scenario.growers {
            let at = |key: &str| format!("grower `{}`, {key}", grower.id);
            for point in &grower.returns {
                self.within(&at("returns, days"), point.days.into(), 0, MOST_DAYS);
                let share = point.share.0;
                self.within(&at("returns, share in millionths"), share, 0, 1_000_000);
            }
            let points = grower.returns.windows(2);
            let mut points = points.map(|two| (two[0], two[1]));
            if points.any(|(one, next)| next.days < one.days || next.share < one.share) {
                self.flaws
                    .push(format!("the scenario's {} fall", at("returns")));
            }
        }
    }

    fn warmth(&mut self, id: &str, temperature: &Temperature) {
        let values = match temperature {
            Temperature::Own(own) => [*own, *own],
            Temperature::Outdoors {
                night_plus_c,
                day_plus_c,
            } => [*night_plus_c, *day_plus_c],
        };
        for value in values {
            let what = format!("temperature of `{id}` in hundredths of °C");
            self.within(&what, value.0, -10_000, 10_000);
        }
    }

    /// What limits the duties of people, and their staff.
    fn duty(&mut self, scenario: &Scenario) {
        let duty = &scenario.duty;
        let staff = scenario.staff.len() as i64;
        self.within("number of people on the staff", staff, 0, 200);
        let rest = duty.rest_hours_least.0;
        self.within("rest in hundredths of an hour", rest, 0, 4_800);
        for (what, days) in [
            ("days in a row", duty.days_in_a_row_most),
            ("days of duty in a week", duty.days_a_week_most),
            ("free days together", duty.free_days_together),
        ] {
            self.within(what, days, 0, MOST_DAYS);
        }
        if let Some(watch) = duty.night_watch {
            self.within("people of a watch", watch.people, 0, MOST_COUNTED);
            self.within("start of a watch", watch.start_minute, 0, 1_439);
            self.within("hours of a watch in hundredths", watch.hours.0, 0, 2_400);
        }
    }

    fn crews(&mut self, scenario: &Scenario) {
        for crew in &scenario.crews {
            let at = |key: &str| format!("crew `{}`, {key}", crew.id);
            self.within(&at("people"), crew.people, 0, MOST_COUNTED);
            for span in &crew.spans {
                let people = span.people.unwrap_or(0);
                self.within(&at("spans, people"), people, 0, MOST_COUNTED);
                let hours = span.shift_hours.map_or(0, |hours| hours.0);
                self.within(&at("spans, hours in hundredths"), hours, 0, 2_400);
            }
            self.within(&at("rest_day_people"), crew.rest_day_people, 0, 1_000_000);
            let hired = crew.casual.unwrap_or_default();
            self.within(&at("casual.most"), hired.most, 0, MOST_COUNTED);
            self.within(&at("casual.before"), hired.before, 0, MOST_COUNTED);
            for (key, price) in [
                ("casual.price_per_day", hired.price_per_day),
                ("casual.hire", hired.hire),
                ("casual.release", hired.release),
            ] {
                self.within(&at(key), price.0, 0, MOST);
            }
            let week = crew.week_hours_most.map_or(0, |hours| hours.0);
            self.within(&at("week_hours_most in hundredths"), week, 0, MOST_TRAYS);
            self.within(
                &at("shift_hours in hundredths"),
                crew.shift_hours.0,
                0,
                2_400,
            );
            self.within(
                &at("overtime_hours in hundredths"),
                crew.overtime_hours.0,
                0,
                2_400,
            );
            self.within(
                &at("overtime_price_per_h"),
                crew.overtime_price_per_h.0,
                0,
                MOST,
            );
            self.within(
                &at("rest_day_price_per_h"),
                crew.rest_day_price_per_h.0,
                0,
                MOST,
            );
        }
    }

    fn work(&mut self, scenario: &Scenario) {
        let work = &scenario.work;
        let crews = || scenario.crews.iter().map(|crew| &crew.id);
        for (name, task) in [("set_up", &work.set_up), ("sow", &work.sow)] {
            if let Some(task) = task {
                self.within(&format!("work.{name}.team"), task.team, 0, 1_000_000);
                self.known(&format!("work.{name}"), &task.crew, crews());
            }
        }
        for (name, task) in pieces(scenario) {
            let minutes = task.person_minutes.0;
            self.within(
                &format!("work.{name}.person_minutes"),
                minutes,
                0,
                MOST_TRAYS,
            );
            self.known(&format!("work.{name}"), &task.crew, crews());
            let refused = match name {
                "soak" | "drain" => task.per == Per::SquareMetre,
                "wash" => task.per != Per::HundredTrays,
                _ => false,
            };
            if refused {
                self.flaws.push(format!(
                    "the scenario's work.{name} cannot be counted by that unit"
                ));
            }
        }
    }

    fn opening(&mut self, scenario: &Scenario) {
        let opening = &scenario.opening;
        self.within("opening.dirty_trays", opening.dirty_trays, 0, MOST_TRAYS);
        for out in &opening.trays_out {
            self.within("opening.trays_out", out.trays, 0, MOST_TRAYS);
        }
        for drying in &opening.drying {
            self.within("opening.drying", drying.trays, 0, MOST_TRAYS);
        }
        for batch in &opening.soaked {
            self.within("opening.soaked, kg_dry in g", batch.kg_dry.0, 0, MOST);
            self.known(
                "opening.soaked",
                &batch.kind,
                scenario.kinds.iter().map(|kind| &kind.id),
            );
        }
        for sown in &opening.sown {
            self.within("opening.sown, trays", sown.trays, 1, MOST_TRAYS);
            let leaving = sown.leaving.unwrap_or(1);
            self.within("opening.sown, leaving", leaving, 1, sown.trays);
            let ahead = sown.ahead.0;
            self.within(
                "opening.sown, ahead in hundredths",
                ahead,
                -MOST_TRAYS,
                MOST_TRAYS,
            );
            self.known(
                "opening.sown",
                &sown.field,
                scenario.fields.iter().map(|field| &field.id),
            );
            let mut fields = scenario.fields.iter();
            let field = fields.find(|field| field.id == sown.field);
            let stage = field.map(|field| field.stage).unwrap_or_default();
            if stage == HandOver::SoakedSeed {
                self.flaws.push(format!(
                    "the scenario's opening.sown has trays of field `{}`, which takes seed",
                    sown.field
                ));
            }
            let places = scenario.germination.iter().map(|place| &place.id);
            self.known("opening.sown", &sown.germination, places);
            // What leaves before it comes into a bed is asked for none.
            let beds = [&sown.green_bed, &sown.harden_bed].into_iter();
            for bed in beds.filter(|_| stage == HandOver::Seedlings) {
                self.known("opening.sown", bed, scenario.beds.iter().map(|bed| &bed.id));
            }
        }
        let fields = || scenario.fields.iter().map(|field| &field.id);
        for part in &opening.parts {
            self.within("opening.parts, trays", part.trays, 0, MOST_TRAYS);
            self.known("opening.parts", &part.field, fields());
        }
        for told in &scenario.told {
            self.known("told", &told.field, fields());
        }
    }
}

/// The tasks counted in person-minutes that the scenario has, by name.
fn pieces(scenario: &Scenario) -> Vec<(&'static str, &PieceTask)> {
    let work = &scenario.work;
    let all = [
        ("soak", &work.soak),
        ("drain", &work.drain),
        ("stack", &work.stack),
        ("unstack", &work.unstack),
        ("green", &work.green),
        ("harden", &work.harden),
        ("load", &work.load),
        ("plant", &work.plant),
        ("collect", &work.collect),
        ("wash", &work.wash),
        ("care", &work.care),
    ];
    all.into_iter()
        .filter_map(|(name, task)| task.as_ref().map(|task| (name, task)))
        .collect()
}
