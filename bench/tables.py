"""Tables of what `bench/run` measured, in Markdown, written between two lines of bench/README.md."""
import os
import pathlib
import statistics

BEGIN, END = "<!-- measured: begin -->", "<!-- measured: end -->"
# Solvers of the whole-lot program: what the tables call each, its script in bench/peers, and what the script is given besides.
PEERS = {"highs": ("HiGHS", "highs.py", "--threads 2"), "cp-sat": ("CP-SAT", "cp_sat.py", "--workers 2")}
NAMES = {"sowrota": "sowrota", "greedy": "one after the other", **{peer: name for peer, (name, *_) in PEERS.items()},
         "clarabel": "clarabel", "microlp": "microlp", "highs simplex": "HiGHS, simplex", "highs interior point": "HiGHS, interior point"}
# A peer has proved its plan the best when its bound is this near.
PROVED = 1e-4


def label(record):
    """Who it was, and with what."""
    given, name = record["given"], NAMES[record["solver"]]
    if record["solver"] == "sowrota":
        return f"{name}, {given['effort']}" + (f", {given['seconds']} s" if given["seconds"] else "")
    if record["solver"] == "cp-sat" and "--way shares" in given["flags"]:
        name += ", scaled by itself"
    return f"{name}, {given['seconds']} s" if "seconds" in given else name


def nursery(record):
    return record["lots"], record["kind"], record["seasons"], record["seed"]


def latest(records, what):
    """The newest measurement of each nursery by each solver."""
    newest = {}
    for record in records:
        if record["what"] == what:
            newest[(*nursery(record), label(record))] = record
    # What was measured on a nursery that has been made differently since says nothing beside the others.
    marks = {nursery(record): record["nursery"] for record in records}
    return [record for record in newest.values() if record["nursery"] == marks[nursery(record)]]


def number(value, places=0):
    return "–" if value is None else f"{value:,.{places}f}"


def percent(value):
    return "–" if value is None else f"{100 * value:.1f} %"


def middle(values):
    values = [value for value in values if value is not None]
    return statistics.median(values) if values else None


def gap(record):
    """How far the plan may be above the best one, by its own bound."""
    if record.get("bound") is None or not record.get("cost"):
        return None
    return max(record["cost"] - record["bound"], 0) / record["cost"]


def table(head, rows):
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(row) + " |" for row in rows])


def order(name):
    """Ours first, then by name."""
    return (not name.startswith(NAMES["sowrota"]), name.startswith(NAMES["greedy"]), name)


def plans(records):
    """The newest measurements that made plans, of all kinds."""
    kinds = sorted({record["what"] for record in records} - {"relaxations"})
    return [record for what in kinds for record in latest(records, what)]


def cheapest(records):
    """The least cost of any plan of each nursery."""
    best = {}
    for record in records:
        if record.get("cost") is not None:
            best[nursery(record)] = min(best.get(nursery(record), record["cost"]), record["cost"])
    return best


def contradictions(records):
    """Bounds above a plan that was audited: somebody's proof is wrong."""
    best = cheapest(plans(records))
    found = [record for record in plans(records) if record.get("bound") is not None]
    return [f"{record['lots']} lots, {record['kind']}, seed {record['seed']}, {label(record)}: bound {record['bound']}, a plan costs {best[nursery(record)]}"
            for record in found if nursery(record) in best and record["bound"] > best[nursery(record)] + max(0.01, 1e-5 * best[nursery(record)])]


def costs(records):
    """Costs, one line for each size, kind and solver: medians over the seeds."""
    found = latest(records, "costs")
    best = cheapest(found)
    groups = {}
    for record in found:
        groups.setdefault((record["seasons"], record["kind"], record["lots"], order(label(record)), label(record)), []).append(record)
    rows = []
    for (seasons, kind, lots, _, name), group in sorted(groups.items()):
        planned = [record for record in group if record.get("cost") is not None]
        above = [record["cost"] / best[nursery(record)] - 1 for record in planned if best[nursery(record)]]
        rows.append([
            f"{lots:,}", kind, str(seasons), name, number(middle(record["money"] for record in planned)),
            number(middle(record["short"] for record in planned)), percent(middle(above)),
            number(middle(record.get("bound") for record in group)), percent(middle(gap(record) for record in planned)),
            number(middle(record.get("seconds") for record in group), 1), number(middle(record.get("mib") for record in group)),
            f"{len(planned)} of {len(group)}",
        ])
    head = ["lots", "nursery", "seasons", "by", "talers", "trays short", "above the best", "bound", "gap", "s", "MiB", "plans"]
    return table(head, rows) if rows else ""


def seconds_of(ours):
    """What a peer is given to prove its bound in: the seconds that ours took, rounded up."""
    return max(int(ours["seconds"] + 0.999), 2)


def bounds(records):
    """Bounds: ours at two efforts, the peers' in the same time."""
    ours = {effort: [record for record in latest(records, "bounds") if record["given"].get("effort") == effort] for effort in ("usual", "thorough")}
    best = cheapest(plans(records))
    rows = []
    for effort in ("usual", "thorough"):
        seconds = {nursery(record): seconds_of(record) for record in ours[effort] if "fault" not in record}
        theirs = {}
        for record in latest(records, f"bounds, {effort}"):
            if seconds.get(nursery(record)) == record["given"]["seconds"]:
                theirs[(nursery(record), record["solver"])] = record
        groups = {}
        for record in ours[effort]:
            groups.setdefault((record["seasons"], record["kind"], record["lots"]), []).append(record)
        for (seasons, kind, lots), group in sorted(groups.items()):
            row = [f"{lots:,}", kind, str(seasons), effort, number(middle(record.get("seconds") for record in group), 1),
                   number(middle(best.get(nursery(record)) for record in group)), number(middle(record.get("bound") for record in group))]
            for solver in PEERS:
                row.append(number(middle(theirs.get((nursery(record), solver), {}).get("bound") for record in group)))
            below = lambda bound, record: None if bound is None or not best.get(nursery(record)) else 1 - bound / best[nursery(record)]
            row.append(percent(middle(below(record.get("bound"), record) for record in group)))
            for solver in PEERS:
                row.append(percent(middle(below(theirs.get((nursery(record), solver), {}).get("bound"), record) for record in group)))
            rows.append(row)
    peers = [name for name, *_ in PEERS.values()]
    head = ["lots", "nursery", "seasons", "effort", "s", "best plan known", "bound", *peers, "below the best", *peers]
    return table(head, rows) if rows else ""


def optima(records):
    """Small nurseries: ours beside the best that is proved."""
    found = {}
    for record in latest(records, "optima"):
        found.setdefault(nursery(record), []).append(record)
    rows, within, proved = [], 0, 0
    for (lots, _, _, seed), group in sorted(found.items()):
        planned = [record for record in group if record.get("cost") is not None]
        ours = next((record for record in planned if record["solver"] == "sowrota"), None)
        if not planned or ours is None:
            continue
        best = min(record["cost"] for record in planned)
        bound = max((record["bound"] for record in group if record.get("bound") is not None), default=0)
        by = [NAMES[record["solver"]] for record in group if record.get("bound") is not None and record["bound"] >= best * (1 - PROVED)]
        above = ours["cost"] / best - 1 if best else 0
        proved += bool(by)
        within += bool(by) and above <= 0.01
        other = lambda solver: number(min((record["cost"] for record in planned if record["solver"] == solver), default=None), 2)
        rows.append([str(lots), str(seed), number(ours["cost"], 2), number(ours["seconds"], 1), *(other(peer) for peer in PEERS), other("greedy"),
                     number(best, 2), number(bound, 2), " and ".join(by) or "nobody", percent(above)])
    if not rows:
        return ""
    head = ["lots", "seed", "sowrota", "s", *(name for name, *_ in PEERS.values()), "one after the other", "best", "bound", "proved by", "ours above the best"]
    count = f"Of {len(rows)} nurseries {proved} have a plan that is proved the best; on {within} of these ours is within 1 % of it."
    return table(head, rows) + "\n\n" + count


def paces(records):
    """How soon ours is near its last plan: medians over the seeds."""
    groups = {}
    for record in latest(records, "pace"):
        if "fault" not in record:
            groups.setdefault((record["seasons"], record["kind"], record["lots"]), []).append(record)
    rows = [[f"{lots:,}", kind, str(seasons), *(number(middle(record.get(key) for record in group), places)
                                                for key, places in (("cost", 0), ("short", 0), ("near", 1), ("seconds", 1), ("mib", 0))),
             str(len(group))] for (seasons, kind, lots), group in sorted(groups.items())]
    head = ["lots", "nursery", "seasons", "talers", "trays short", "s to within 2 % of the last plan", "s in all", "MiB", "seeds"]
    return table(head, rows) if rows else ""


def relaxations(records):
    """Solvers of linear programs: seconds without reading, memory, cost; medians over the seeds."""
    groups = {}
    for record in latest(records, "relaxations"):
        groups.setdefault((record["seasons"], record["kind"], record["lots"], record["solver"]), []).append(record)
    rows = []
    for (seasons, kind, lots, solver), group in sorted(groups.items()):
        ended = [record for record in group if "fault" not in record]
        rows.append([f"{lots:,}", kind, str(seasons), NAMES[solver], number(middle(record.get("solving") for record in ended), 1),
                     number(middle(record.get("mib") for record in ended)), number(middle(record.get("cost") for record in ended), 2),
                     f"{len([record for record in ended if record.get('cost') is not None])} of {len(group)}"])
    head = ["lots", "nursery", "seasons", "solver", "s", "MiB", "least cost", "solved"]
    return table(head, rows) if rows else ""


def machine():
    """Processors, their model, memory."""
    def line(file, begins):
        try:
            lines = pathlib.Path(file).read_text(encoding="utf-8").splitlines()
        except OSError:
            return ""
        return next((line.split(":", 1)[1].strip() for line in lines if line.startswith(begins)), "")
    memory = line("/proc/meminfo", "MemTotal").split()
    return (f"{os.cpu_count()} processors ({line('/proc/cpuinfo', 'model name') or 'model not told'}), "
            + (f"{int(memory[0]) / 1024 ** 2:.0f} GiB of memory" if memory else "memory not told"))


def text(records):
    """All tables that something was measured for."""
    parts = [f"On a machine with {machine()}; a cost counts trays short at their price where it says *above the best*; medians over the seeds."]
    faults = [record for what in sorted({record["what"] for record in records}) for record in latest(records, what) if "fault" in record]
    for name, made in (("Costs", costs), ("What is proved, in the same time", bounds), ("Ten small nurseries", optima),
                       ("How soon ours is near its last plan", paces), ("Solvers of the relaxation", relaxations)):
        made = made(records)
        if made:
            parts += [f"### {name}", made]
    if faults:
        parts.append("Not measured: " + "; ".join(
            f"{record['lots']} lots, {record['kind']}, seed {record['seed']}, {label(record)}: {record['fault']}" for record in faults) + ".")
    wrong = contradictions(records)
    if wrong:
        parts.append("**Contradiction:** " + "; ".join(wrong) + ".")
    commits = sorted({record["commit"] for record in plans(records) if record["solver"] == "sowrota" and record.get("commit")})
    if commits:
        parts.append(f"Commits measured: {', '.join(commits)}.")
    return "\n\n".join(parts)


def write(readme, records):
    """Puts the tables between their two lines, the whole file or nothing."""
    before = readme.read_text(encoding="utf-8")
    if before.count(BEGIN) != 1 or before.count(END) != 1 or before.index(BEGIN) > before.index(END):
        raise SystemExit(f"error: {readme.name} needs the lines `{BEGIN}` and `{END}`, once each")
    head, rest = before.split(BEGIN)
    tail = rest.split(END)[1]
    made = text(records) if records else "Nothing measured yet."
    new = readme.with_suffix(".new")
    new.write_text(f"{head}{BEGIN}\n\n{made}\n\n{END}{tail}", encoding="utf-8", newline="\n")
    os.replace(new, readme)
