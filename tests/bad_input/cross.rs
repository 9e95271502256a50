//! Faults of values against one another.

use super::{Case, edited, with};

pub fn cross_cases() -> Vec<Case> {
    let sown = |field: &str, part: u32, day: &str, trays: u32| {
        with(
            "opening",
            &format!(
                "{{ \"sown\": [{{ \"field\": \"{field}\", \"part\": {part}, \"sown\": \"{day}\", \"trays\": {trays}, \
             \"germination\": \"room\", \"green_bed\": \"house\", \"harden_bed\": \"house\" }}] }}"
            ),
        )
    };
    vec![
        ("unknown kind", edited("\"kind\": \"early\"", "\"kind\": \"erly\""), "S020", "nursery.json:7:45 fields[0].kind"),
        ("unknown crew", with("work", "{ \"sow\": { \"crew\": \"night\" } }"), "S020", "nursery.json:4:30 work.sow.crew"),
        ("unknown planter", edited("200 }", "200, \"planter\": \"big\" }"), "S020", "nursery.json:7:120 fields[0].planter"),
        ("double field", edited("\"id\": \"bank\"", "\"id\": \"mill\""), "S021", "nursery.json:8:13 fields[1].id"),
        ("window outside the horizon", edited("2027-05-10/2027-05-16", "2027-08-10/2027-08-16"), "S040", "nursery.json:7:64 fields[0].window"),
        ("horizon of three years", edited("2027-04-05/2027-06-12", "2027-04-05/2030-06-12"), "S041", "nursery.json:4:14 horizon"),
        ("ages out of order", edited("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"age\": { \"youngest\": 20, \"target\": 18, \"oldest\": 25 } }"), "S042", "nursery.json:5:37 kinds[0].age"),
        ("thresholds out of order", edited("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"growth\": { \"base_c\": 31 } }"), "S043", "nursery.json:5:40 kinds[0].growth"),
        ("no hardening", edited("120", "120, \"stages\": [\"green\"]"), "S048", "nursery.json:12:11 beds"),
        ("pin to nothing", with("pins", "[{ \"field\": \"hill\", \"plant\": \"2027-05-12\" }]"), "S020", "nursery.json:4:23 pins[0].field"),
        ("pin to a part that is not there", with("pins", "[{ \"field\": \"mill\", \"part\": 2, \"plant\": \"2027-05-12\" }]"), "S050", "nursery.json:4:39 pins[0].part"),
        ("pin outside the window", with("pins", "[{ \"field\": \"mill\", \"plant\": \"2027-05-20\" }]"), "S049", "nursery.json:4:40 pins[0].plant"),
        ("pin without a day", with("pins", "[{ \"field\": \"mill\" }]"), "S049", "nursery.json:4:12 pins[0]"),
        ("sown in the future", sown("mill", 1, "2027-04-05", 100), "S051", "nursery.json:4:63 opening.sown[0].sown"),
        ("sown for a part that is not there", sown("mill", 3, "2027-04-01", 100), "S050", "nursery.json:4:52 opening.sown[0].part"),
        ("more trays sown than owned", sown("mill", 1, "2027-04-01", 501), "S053", "nursery.json:14:23 trays.stock"),
        ("more parts than trays", edited("0.5,", "0.005, \"parts\": 3,"), "S050", "nursery.json:7:48 fields[0].parts"),
        ("window outside its season", edited("200 }", "200, \"season\": \"dry\" }").and("\"horizon\"", "\"seasons\": [{ \"id\": \"dry\", \"span\": \"2027-05-12/2027-05-20\" }],\n  \"horizon\""), "S054", "nursery.json:8:64 fields[0].window"),
        ("no weather where leaves are counted", edited("{ \"id\": \"early\" }", "{ \"id\": \"early\", \"age\": { \"clock\": \"leaves\", \"youngest\": 2, \"target\": 2, \"oldest\": 3 } }"), "S046", "nursery.json weather"),
        ("set-up pair twice", edited("[{ \"id\": \"line\" }]", "[{ \"id\": \"line\", \"set_up_pairs\": [{ \"from\": \"late\", \"to\": \"late\", \"minutes\": 4 }] }]"), "S057", "nursery.json:10:46 lines[0].set_up_pairs[0]"),
    ]
}
