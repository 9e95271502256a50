"""Reads back what the program writes with readers that share nothing with it: icalendar, vobject, openpyxl, and Python's own csv.

Usage: read_back.py PROGRAM SCENARIO FOLDER. Plans the scenario into FOLDER, writes its calendars and tables there, and compares them with
the plan.
"""

import csv
import datetime
import json
import pathlib
import subprocess
import sys

import icalendar
import openpyxl
import vobject


def run(*arguments):
    """Runs the program; its own exit codes for a short plan are no failure."""
    ended = subprocess.run([str(one) for one in arguments], capture_output=True, text=True)
    if ended.returncode not in (0, 3):
        sys.exit(f"{arguments}: {ended.returncode}\n{ended.stderr}")


def same(what, found, wanted):
    if found != wanted:
        sys.exit(f"{what}: {found!r} is not {wanted!r}")


def calendars(folder, plan):
    """Every file by both readers: the same events, and planted trays that add up to the plan."""
    planted = {"season": 0, "grower": 0}
    count = 0
    for path in sorted(folder.glob("*.ics")):
        data = path.read_bytes()
        first = [one for one in icalendar.Calendar.from_ical(data).walk("VEVENT")]
        calendar = vobject.readOne(data.decode("utf-8"))
        calendar.validate(raiseException=True)
        second = list(calendar.vevent_list)
        same(f"{path}: events", len(second), len(first))
        for one, two in zip(first, second):
            same(f"{path}: uid", str(one["UID"]), two.uid.value)
            same(f"{path}: summary", str(one["SUMMARY"]), two.summary.value)
            same(f"{path}: start", one["DTSTART"].dt, two.dtstart.value)
            end = one["DTEND"].dt if "DTEND" in one else None
            same(f"{path}: end", end, two.dtend.value if hasattr(two, "dtend") else None)
            start = one["DTSTART"].dt
            if isinstance(start, datetime.datetime):
                same(f"{path}: floating", start.tzinfo, None)
            else:
                same(f"{path}: one day", end - start, datetime.timedelta(days=1))
            word = str(one["UID"]).split("/")[0]
            kind = path.name.split("-")[0]
            if (kind, word) in (("season", "plant"), ("grower", "grower-plant")):
                planted[kind] += int(one["X-SOWROTA-TRAYS"])
        count += len(first)
    trays = sum(one["trays"] for one in plan["deliveries"])
    same("trays planted by calendars", planted, {"season": trays, "grower": trays})
    return count


def tables(folder, plan):
    """The workbook holds days as days and numbers as numbers, no formula, and the same as the CSV files."""
    book = openpyxl.load_workbook(folder / "plan.xlsx")
    cells = 0
    for sheet in book:
        with open(folder / f"{sheet.title}.csv", newline="", encoding="utf-8") as file:
            rows = list(csv.reader(file, strict=True))
        same(f"{sheet.title}: rows", sheet.max_row, len(rows))
        for row, texts in zip(sheet.iter_rows(), rows):
            for cell, text in zip(row, texts):
                cells += 1
                same(f"{sheet.title} {cell.coordinate}: formula", cell.data_type == "f", False)
                value = cell.value
                if value is None:
                    same(f"{sheet.title} {cell.coordinate}", text, "")
                elif isinstance(value, datetime.datetime):
                    same(f"{sheet.title} {cell.coordinate}", text, value.date().isoformat())
                elif isinstance(value, (int, float)):
                    same(f"{sheet.title} {cell.coordinate}", float(text), float(value))
                else:
                    same(f"{sheet.title} {cell.coordinate}", text.removeprefix("'"), value)
    head, *rows = book["deliveries"].iter_rows(values_only=True)
    at = head.index("trays")
    trays = sum(one["trays"] for one in plan["deliveries"])
    same("trays in the workbook", sum(row[at] for row in rows), trays)
    return cells


def main():
    program, scenario, folder = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    run(program, "plan", scenario, "--out", folder, "--moves", 500, "--quiet")
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    for by in ("season", "crew", "grower"):
        run(program, "calendar", folder, "--by", by, "--to", folder / "calendars")
    run(program, "export", folder, "--to", folder / "tables")
    run(program, "export", folder, "--to", folder / "tables", "--xlsx")
    events = calendars(folder / "calendars", plan)
    cells = tables(folder / "tables", plan)
    print(f"{events} events by two readers, {cells} cells by two")


main()
