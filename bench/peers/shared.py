"""What the peers have in common: their arguments, the file of an answer and the line that they print."""
import argparse
import json
import math


def arguments_of(solver):
    """A parser with what every peer takes."""
    parser = argparse.ArgumentParser(description=f"Solve a program with {solver}.")
    parser.add_argument("mps")
    parser.add_argument("solution")
    parser.add_argument("--seconds", type=float, default=100)
    return parser


def write_answer(path, values):
    """Pairs of name and value as lines `NAME VALUE`, without those that are 0."""
    with open(path, "w", encoding="utf-8") as out:
        for name, value in values:
            if abs(value) > 1e-9:
                out.write(f"{name} {float(value)!r}\n")


def say(status, cost, bound, size, reading):
    """One line of JSON; `size` is columns and rows, `reading` the seconds that reading took."""
    print(json.dumps({
        "status": status, "cost": cost, "bound": bound if bound is not None and math.isfinite(bound) else None,
        "columns": size[0], "rows": size[1], "reading": round(reading, 2),
    }))
