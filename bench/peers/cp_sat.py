#!/usr/bin/env python3
"""A peer for `bench/run`: has the CP-SAT solver of OR-Tools work on a program in an MPS file, as a whole and as it is.

`cp_sat.py MPS SOLUTION --seconds 100` writes the best answer as lines `NAME VALUE` and prints one line of JSON: status, cost and bound, null
where there is none. Reading the file counts in the seconds.

CP-SAT knows whole numbers only. `--way shares` leaves it to OR-Tools to make such of columns that are none, thousandths; `--way whole` counts each
of these columns in the finest decimal of the rows that it stands in, and makes whole numbers of the rows too. Nothing is lost by that in our
programs: their only such columns carry a sum from one day to the next, by factors of 1, so that they are multiples of that decimal in
some best answer.
"""
import math
import sys
import time

from ortools.linear_solver.python import model_builder
from ortools.sat.python import cp_model

from shared import arguments_of, say, write_answer

FAR = 1 << 40  # Bounds beyond this are none to CP-SAT, which wants sums that stay inside 64 bits.
FINEST = 10 ** 6  # Rows with fractions are multiplied by no more than this, twice where columns have fractions too.


def read(path):
    model = model_builder.Model()
    if not model.import_from_mps_file(path):
        sys.exit(f"error: `{path}` cannot be read")
    return model


def shares(model, seconds, workers):
    """Through the front that scales for itself."""
    solver = model_builder.ModelSolver("sat")
    if not solver.solver_is_supported():
        sys.exit("error: this OR-Tools has no CP-SAT")
    solver.set_time_limit_in_seconds(seconds)
    # Sums of milliseconds go beyond its usual largest number.
    solver.set_solver_specific_parameters(f"num_workers:{workers} mip_var_scaling:1000 mip_max_bound:1e9 mip_max_activity_exponent:55")
    status = solver.solve(model)
    found = status in (model_builder.SolveStatus.OPTIMAL, model_builder.SolveStatus.FEASIBLE)
    cost = solver.objective_value if found else None
    bound = solver.best_objective_bound
    # Nothing known comes back as no number of any kind.
    bound = float(bound) if isinstance(bound, (int, float)) else None
    values = [(variable.name, solver.value(variable)) for variable in model.get_variables()] if found else []
    return status.name, cost, bound, values


def multiplier(numbers):
    """The least power of ten that makes whole numbers of all of them, or the finest there is."""
    times = 1
    for number in numbers:
        while times < FINEST and abs(number * times - round(number * times)) > 1e-6:
            times *= 10
    return times


def units(proto):
    """In how small a unit each column is counted: 1 where it is a whole number already."""
    counted = [1] * len(proto.variable)
    for row in proto.constraint:
        ends = [end for end in (row.lower_bound, row.upper_bound) if math.isfinite(end)]
        times = multiplier(list(row.coefficient) + ends)
        for at in row.var_index:
            if not proto.variable[at].is_integer:
                counted[at] = max(counted[at], times)
    return counted


def whole(model, seconds, workers):
    """Straight to CP-SAT, every column a whole number of its unit."""
    proto = model.export_to_proto()
    made = cp_model.CpModel()
    counted = units(proto)
    columns = []
    for variable, unit in zip(proto.variable, counted):
        low = max(math.ceil(variable.lower_bound * unit - 1e-6), -FAR) if math.isfinite(variable.lower_bound) else -FAR
        high = min(math.floor(variable.upper_bound * unit + 1e-6), FAR) if math.isfinite(variable.upper_bound) else FAR
        columns.append(made.new_int_var(low, high, variable.name))
    for row in proto.constraint:
        ends = [end for end in (row.lower_bound, row.upper_bound) if math.isfinite(end)]
        # A column in hundredths wants its factor divided by a hundred.
        times = multiplier(list(row.coefficient) + ends) * max((counted[at] for at in row.var_index), default=1)
        factors = [round(number * times / counted[at]) for number, at in zip(row.coefficient, row.var_index)]
        lower = math.ceil(row.lower_bound * times - 1e-6) if math.isfinite(row.lower_bound) else None
        upper = math.floor(row.upper_bound * times + 1e-6) if math.isfinite(row.upper_bound) else None
        # Smaller numbers are easier on it.
        shrink = math.gcd(*factors) if factors else 1
        if shrink > 1:
            factors = [factor // shrink for factor in factors]
            lower = None if lower is None else -(-lower // shrink)
            upper = None if upper is None else upper // shrink
        total = cp_model.LinearExpr.weighted_sum([columns[at] for at in row.var_index], factors)
        if lower is not None and lower == upper:
            made.add(total == lower)
            continue
        if lower is not None:
            made.add(total >= lower)
        if upper is not None:
            made.add(total <= upper)
    times = multiplier([variable.objective_coefficient for variable in proto.variable]) * max(counted, default=1)
    made.minimize(cp_model.LinearExpr.weighted_sum(
        columns, [round(variable.objective_coefficient * times / unit) for variable, unit in zip(proto.variable, counted)]))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(made)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    cost = solver.objective_value / times + proto.objective_offset if found else None
    bound = solver.best_objective_bound / times + proto.objective_offset
    values = [(variable.name, solver.value(column) / unit) for variable, column, unit in zip(proto.variable, columns, counted)] if found else []
    return solver.status_name(status), cost, bound, values


def main():
    begun = time.monotonic()
    parser = arguments_of("CP-SAT")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--way", choices=["shares", "whole"], default="whole")
    arguments = parser.parse_args()
    model = read(arguments.mps)
    reading = time.monotonic() - begun
    left = max(arguments.seconds - reading, 1.0)
    way = shares if arguments.way == "shares" else whole
    status, cost, bound, values = way(model, left, arguments.workers)
    if values:
        write_answer(arguments.solution, values)
    say(status, cost, bound, (model.num_variables, model.num_constraints), reading)


if __name__ == "__main__":
    main()
