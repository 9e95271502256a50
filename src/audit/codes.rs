//! The codes of breaches and the rule that each stands for. A code is never reused.

/// Every code with its rule, in the order of the count.
pub const CODES: &[(&str, &str)] = &[
    ("A001", "the scenario can be counted with"),
    ("A002", "every name is known"),
    ("A003", "every run has an id of its own"),
    ("A004", "one kind on one line and day is one run"),
    ("A005", "numbers and days are possible"),
    ("A006", "a run sows what its deliveries take"),
    ("A007", "trial trays are those of the line"),
    ("A008", "stacks are whole, enough and opened together"),
    ("A009", "a field gets the kind that it ordered"),
    ("A010", "the part of the field was ordered"),
    ("A011", "a part is delivered once"),
    ("A012", "no more trays than ordered"),
    ("A013", "what is not delivered is listed as short"),
    ("A014", "trays sown before the first day stay what they are"),
    ("A020", "sowing on days on which the line works"),
    ("A021", "sowing inside the horizon"),
    ("A022", "every run has a soak and a drain day"),
    ("A023", "soaking begins on a staffed day"),
    (
        "A024",
        "soaking begins inside the horizon, or in a batch that soaks already",
    ),
    (
        "A025",
        "seed is drained on the first staffed day that is due",
    ),
    ("A026", "seed has sprouted before it is sown"),
    ("A027", "sprouted seed waits no longer than it holds"),
    ("A028", "soaking begins as late as it can"),
    ("A030", "stacks are ready when opened"),
    ("A031", "stacks are opened on a staffed day"),
    ("A032", "ready stacks wait no longer than allowed"),
    ("A033", "stacks are opened on the first staffed day"),
    ("A034", "temperatures are known"),
    ("A035", "greening lasts long enough"),
    ("A036", "greening ends on a staffed day"),
    ("A037", "greening ends no later than allowed"),
    ("A038", "greening ends on the first staffed day"),
    ("A039", "a bed takes the stage"),
    ("A040", "no needless move between beds"),
    ("A041", "a move where the first bed does not take hardening"),
    ("A042", "planting only on a field that is ready"),
    ("A043", "planting on the days that the block's water leaves"),
    (
        "A044",
        "planting on the days that the harvest before leaves",
    ),
    ("A045", "planting inside the field's window"),
    ("A046", "no planting on a closed day of the field"),
    ("A047", "planting on planting days"),
    ("A048", "planting inside the horizon"),
    ("A049", "planting after hardening has begun"),
    ("A050", "not planted too young"),
    ("A051", "not planted too old"),
    ("A052", "the stated age is the age"),
    ("A053", "pinned dates are kept"),
    ("A054", "not planted too young by a further limit"),
    ("A055", "not planted too old by a further limit"),
    ("A060", "line hours"),
    ("A061", "places in the day's order count from 1"),
    ("A062", "order of runs with the least set-up"),
    ("A063", "stack places"),
    ("A064", "bed floor"),
    ("A065", "clean trays"),
    ("A066", "only dirty trays are washed"),
    ("A067", "washing rate"),
    ("A068", "washing on staffed days"),
    ("A069", "washing is listed once for each day of the horizon"),
    ("A070", "crew hours: shift and overtime"),
    ("A071", "crew hours: people on a day off"),
    ("A072", "time beyond the shift is bought"),
    ("A073", "bought time is stated as it is needed and priced"),
    ("A074", "people by week are stated as counted"),
    ("A075", "planting machines"),
    ("A076", "seed that soaks already"),
    ("A077", "floor is cleared before other trays take it"),
    ("A078", "seed stores"),
    ("A079", "soil stores"),
    ("A080", "cost of age"),
    ("A081", "cost of days off the preferred day"),
    ("A082", "cost of set-ups"),
    ("A083", "cost of overtime"),
    ("A084", "cost of days off worked"),
    ("A085", "total cost"),
    ("A086", "trays short are counted"),
    ("A087", "price of a tray short"),
    ("A088", "the bound lies below the cost"),
    ("A090", "format of the plan"),
    ("A091", "hash of the scenario"),
    ("A092", "water of the day"),
    ("A093", "soaking tank"),
    ("A094", "vehicles"),
    (
        "A095",
        "places are named where the trays stand, and nowhere else",
    ),
    (
        "A096",
        "seed is handed over from a run of its own, on the day of the run",
    ),
    (
        "A097",
        "sprouted trays leave on the day their stack is opened",
    ),
    (
        "A098",
        "as many trays are sown as must be so that its own leave",
    ),
    ("A099", "trays leave on planting days of the horizon"),
    (
        "A100",
        "trays leave after hardening has begun and before they are planted",
    ),
    (
        "A101",
        "trays wait at the field's edge no longer than allowed",
    ),
    ("A102", "a run has the least number of trays"),
    ("A103", "trays thrown out are those of the kind before"),
    ("A104", "only kinds that may follow each other do so"),
    ("A105", "rows are as many as the trays take, inside the bed"),
    ("A106", "a row of a bed holds one part at a time"),
    ("A107", "agent stores"),
    ("A108", "cost of waiting at the edges of fields"),
    ("A109", "cost of moves between beds"),
    ("A110", "cost of further runs of one field"),
    ("A111", "price of all trays short, as they are shared"),
    ("A112", "the last day for deciding on trays short"),
    ("A113", "no more people are hired than can be"),
    ("A114", "people are hired for crews that can hire"),
    ("A115", "hours of a person's week"),
    ("A116", "no tray stands in a closed bed"),
    ("A117", "cost of people hired"),
    ("A118", "cost of changes of the number of people hired"),
    ("A140", "cost of planting days moved"),
    (
        "A141",
        "what stood already on the first day was opened and hardened on the days stated",
    ),
    ("A142", "days promised are those that the scenario states"),
];

/// The rule that `code` stands for; empty for an unknown code.
pub fn title(code: &str) -> &'static str {
    CODES
        .iter()
        .find(|(known, _)| *known == code)
        .map_or("", |(_, title)| title)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_and_in_order() {
        assert!(CODES.windows(2).all(|pair| pair[0].0 < pair[1].0));
        assert_eq!(title("A063"), "stack places");
    }
}
