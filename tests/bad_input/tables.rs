//! Faults of tables.

use super::{Case, FIELDS, edited, every_day, fields, table, weather, with};

pub fn table_cases() -> Vec<Case> {
    let mut latin = FIELDS.as_bytes().to_vec();
    latin[60] = 0xe9;
    vec![
        (
            "table that is not there",
            edited("\"horizon\"", "\"weather\": \"sky.csv\",\n  \"horizon\""),
            "S030",
            "nursery.json:4:14 weather",
        ),
        (
            "table outside the folder",
            with("weather", "\"../sky.csv\""),
            "S030",
            "nursery.json:4:14 weather",
        ),
        ("empty table", table(""), "S031", "fields.csv"),
        (
            "table without rows",
            table("id,area_ha,kind,window,mats_per_ha\n"),
            "S031",
            "fields.csv",
        ),
        (
            "table that is not UTF-8",
            table(latin),
            "S001",
            "fields.csv:2:18",
        ),
        (
            "mixed separators in the first line",
            fields("id,area_ha", "id;area_ha"),
            "S032",
            "fields.csv:1",
        ),
        (
            "mixed separators below",
            fields(
                "mill,0.5,early,2027-05-10/2027-05-16,200,0.05",
                "mill;0.5;early;2027-05-10/2027-05-16;200;0.05",
            ),
            "S032",
            "fields.csv:2",
        ),
        (
            "tabs",
            table(FIELDS.replace(',', "\t")),
            "S032",
            "fields.csv:1",
        ),
        (
            "decimal comma and point",
            table(FIELDS.replace(',', ";").replacen("0.5", "0,5", 1)),
            "S032",
            "fields.csv",
        ),
        (
            "a cell too many",
            fields("mill,0.5", "mill,0,5"),
            "S034",
            "fields.csv:2",
        ),
        (
            "a fault below blank lines",
            table(FIELDS.replace('\n', "\n\n").replace("1.2", "x")),
            "S007",
            "fields.csv:5 area_ha",
        ),
        (
            "comma for the decimal point, in quotes",
            fields("1.2", "\"1,2\""),
            "S007",
            "fields.csv:3 area_ha",
        ),
        (
            "unknown column",
            fields("area_ha", "area_hectares"),
            "S035",
            "fields.csv:1 area_hectares",
        ),
        (
            "missing column",
            table("id,area_ha,window,mats_per_ha\nmill,0.5,2027-05-10,200\n"),
            "S036",
            "fields.csv:1 kind",
        ),
        (
            "no column for trays",
            table("id,area_ha,kind,window\na,1,early,2027-05-10\nb,1,early,2027-05-10\n"),
            "S036",
            "fields.csv:1",
        ),
        (
            "column twice",
            fields("reserve", "area_ha"),
            "S037",
            "fields.csv:1 area_ha",
        ),
        (
            "open quote",
            fields("mill,", "\"mill,"),
            "S038",
            "fields.csv:2",
        ),
        (
            "empty cell that must be filled",
            fields("mill,0.5", "mill,"),
            "S006",
            "fields.csv:2 area_ha",
        ),
        (
            "NaN in a cell",
            fields("0.5", "NaN"),
            "S011",
            "fields.csv:2 area_ha",
        ),
        (
            "infinity in a cell",
            fields("0.5", "-inf"),
            "S011",
            "fields.csv:2 area_ha",
        ),
        (
            "1e308 in a cell",
            fields("1.2", "1e308"),
            "S011",
            "fields.csv:3 area_ha",
        ),
        (
            "words for a number",
            fields("1.2", "much"),
            "S007",
            "fields.csv:3 area_ha",
        ),
        (
            "negative area in a cell",
            fields("1.2", "-1.2"),
            "S009",
            "fields.csv:3 area_ha",
        ),
        (
            "unknown kind in a cell",
            fields("early", "earyl"),
            "S020",
            "fields.csv:2 kind",
        ),
        (
            "double field in a table",
            fields("bank", "mill"),
            "S021",
            "fields.csv:3 id",
        ),
        (
            "spans with a comma between",
            fields("2027-05-22 2027-05-27", "2027-05-22|2027-05-27"),
            "S012",
            "fields.csv:3 window",
        ),
        (
            "window outside the horizon in a table",
            fields("2027-05-10/2027-05-16", "2026-05-10/2026-05-16"),
            "S040",
            "fields.csv:2 window",
        ),
        (
            "weather with a gap",
            weather(&every_day(&[15, 16])),
            "S044",
            "weather.csv:7 date",
        ),
        (
            "weather with a day twice",
            weather(&every_day(&[]).replace("2027-05-13", "2027-05-12")),
            "S045",
            "weather.csv:5 date",
        ),
        (
            "weather that ends early",
            weather(&every_day(&[28, 29])),
            "S046",
            "nursery.json:4:50 weather",
        ),
        (
            "lowest above highest",
            weather(&every_day(&[]).replace("2027-05-12,9", "2027-05-12,21")),
            "S047",
            "weather.csv:4 min_c",
        ),
    ]
}
