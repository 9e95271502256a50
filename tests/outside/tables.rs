//! CSV as a published description has it, through the reader of a scenario's tables.

use sowrota::scenario::{Checked, read_bytes};

const SMALLEST: &str = include_str!("../smallest/nursery.json");

/// The smallest scenario with this table of fields.
fn read(table: &str) -> Checked {
    let from = SMALLEST.find("\"fields\": [").unwrap();
    let to = SMALLEST.find("  \"lines\"").unwrap();
    let (before, after) = (&SMALLEST[..from], &SMALLEST[to..]);
    let json = format!("{before}\"fields\": \"fields.csv\",\n{after}");
    read_bytes("nursery.json", json.as_bytes(), &|_| {
        Ok(table.as_bytes().to_vec())
    })
}

/// A table of two fields, of which the first has this cell for its grower.
fn with_grower(cell: &str) -> String {
    let head = "id,grower,area_ha,kind,window,mats_per_ha";
    let first = format!("a,{cell},0.5,early,2027-05-10/2027-05-16,200");
    let second = "b,plain,1.2,late,2027-05-20/2027-05-29,190";
    [head, &first, second, ""].join("\r\n")
}

// Source: Shafranovich, RFC 4180, 2005, section 2: CRLF ends a line and may be left out at the end of the file (1, 2), a first line of names (3), commas and quotes within quotes, quotes
// doubled (5 to 7); RFC 7111, 2014: UTF-8.
#[test]
fn quoted_cells_come_back_as_they_were() {
    for (cell, wanted) in [
        ("plain", "plain"),
        ("\"plain\"", "plain"),
        ("\"B,2\"", "B,2"),
        ("\"C \"\"3\"\"\"", "C \"3\""),
        ("\"\"\"\"", "\""),
        ("苗6", "苗6"),
    ] {
        let table = with_grower(cell);
        for table in [table.as_str(), table.trim_end(), &table.replace('\r', "")] {
            let checked = read(table);
            assert_eq!(checked.problems.0, [], "{cell}");
            let fields = checked.scenario.unwrap().fields;
            let growers: Vec<&str> = fields.iter().map(|field| field.grower.as_str()).collect();
            assert_eq!(growers, [wanted, "plain"]);
        }
    }
}

// Source: the same, rule 4 (as many cells in each line) and rule 6 (a line's end within quotes). The second is allowed there and refused here on purpose: no cell of a nursery's table
// has two lines, and a quote that was never closed looks the same.
#[test]
fn lines_that_do_not_fit_the_head_are_refused_with_their_line() {
    for cell in ["a,b", "\"two\r\nlines\""] {
        let checked = read(&with_grower(cell));
        assert!(checked.scenario.is_none(), "{cell}");
        let problem = checked.problems.0[0].to_string();
        assert!(problem.contains("fields.csv:2"), "{problem}");
    }
}
