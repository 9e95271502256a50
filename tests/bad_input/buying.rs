//! Faults of what is bought when: days ahead, samples, reserves and lots.

use super::{Case, Files, with};

fn seed(more: &str) -> Files {
    with(
        "seed_stores",
        &format!("[{{ \"kind\": \"late\", \"kg_dry\": 5, {more} }}]"),
    )
}

fn soil(more: &str) -> Files {
    with(
        "soil_stores",
        &format!("[{{ \"id\": \"loam\", \"litres\": 9, {more} }}]"),
    )
}

fn agent(more: &str) -> Files {
    with(
        "agents",
        &format!("[{{ \"id\": \"dip\", \"ml\": 9, {more} }}]"),
    )
}

pub fn buying_cases() -> Vec<Case> {
    vec![
        (
            "seed ordered after it is there",
            seed("\"lead_days\": -1"),
            "S009",
            "nursery.json:4:63 seed_stores[0].lead_days",
        ),
        (
            "seed ordered three years ahead",
            seed("\"lead_days\": 1000"),
            "S009",
            "nursery.json:4:63 seed_stores[0].lead_days",
        ),
        (
            "half a day from order to seed",
            seed("\"lead_days\": 1.5"),
            "S010",
            "nursery.json:4:63 seed_stores[0].lead_days",
        ),
        (
            "less than no sample",
            seed("\"sample_kg\": -0.5"),
            "S009",
            "nursery.json:4:63 seed_stores[0].sample_kg",
        ),
        (
            "a sample finer than a gram",
            seed("\"sample_kg\": 0.0005"),
            "S010",
            "nursery.json:4:63 seed_stores[0].sample_kg",
        ),
        (
            "a reserve in per cent",
            seed("\"reserve_share\": 5"),
            "S009",
            "nursery.json:4:67 seed_stores[0].reserve_share",
        ),
        (
            "lots of no soil",
            soil("\"lot_litres\": 0"),
            "S009",
            "nursery.json:4:62 soil_stores[0].lot_litres",
        ),
        (
            "lots of seed by volume",
            seed("\"lot_litres\": 500"),
            "S005",
            "nursery.json:4:50 seed_stores[0].lot_litres",
        ),
        (
            "soil ordered after it is there",
            soil("\"lead_days\": -7"),
            "S009",
            "nursery.json:4:61 soil_stores[0].lead_days",
        ),
        (
            "bottles of nothing",
            agent("\"lot_ml\": 0"),
            "S009",
            "nursery.json:4:48 agents[0].lot_ml",
        ),
        (
            "half a millilitre in a bottle",
            agent("\"lot_ml\": 0.5"),
            "S010",
            "nursery.json:4:48 agents[0].lot_ml",
        ),
        (
            "an agent ordered in a text",
            agent("\"lead_days\": \"a week\""),
            "S007",
            "nursery.json:4:51 agents[0].lead_days",
        ),
    ]
}
