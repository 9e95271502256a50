//! The codes of what a roster breaks and the rule that each stands for. A code is never reused.

/// Every code with its rule, in the order of the count.
pub const CODES: &[(&str, &str)] = &[
    ("N001", "the roster is one of this plan"),
    ("N002", "every name is known"),
    ("N003", "one duty a day and person"),
    ("N004", "people do the work that they can do"),
    ("N005", "nobody has a duty while away"),
    ("N006", "days of duty in a row"),
    ("N007", "days of duty in a week"),
    ("N008", "free days next to each other in a week"),
    ("N009", "rest between two duties"),
    ("N010", "fixed days off are the same every week"),
    ("N011", "a duty has a place of the plan, with its hours"),
    ("N012", "every place is filled, or listed as unfilled"),
    ("N013", "late shifts are marked"),
    (
        "N014",
        "somebody with the licence is there, or listed as missing",
    ),
    ("N015", "places of hired people are stated as counted"),
    ("N016", "sums by person are stated as counted"),
];
