#!/usr/bin/env python3
"""For `bench/run --what relaxations`: has HiGHS solve a program of shares in an MPS file, on one thread, by one of its methods.

`linear.py simplex|ipm MPS --seconds 600` prints one line of JSON: the seconds of the solver, status, cost and bound, null where it was not solved.
"""
import argparse
import json
import sys
import time

import highspy


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("method", choices=["simplex", "ipm"])
    parser.add_argument("mps")
    parser.add_argument("--seconds", type=float, default=600)
    arguments = parser.parse_args()
    solver = highspy.Highs()
    for option, value in [("output_flag", False), ("threads", 1), ("solver", arguments.method), ("time_limit", arguments.seconds)]:
        solver.setOptionValue(option, value)
    if solver.readModel(arguments.mps) == highspy.HighsStatus.kError:
        sys.exit(f"error: `{arguments.mps}` cannot be read")
    begun = time.monotonic()
    solver.run()
    solving = round(time.monotonic() - begun, 3)
    program, status = solver.getLp(), solver.getModelStatus()
    cost = solver.getInfo().objective_function_value if status == highspy.HighsModelStatus.kOptimal else None
    print(json.dumps({"solving": solving, "status": solver.modelStatusToString(status), "cost": cost, "bound": cost,
                      "columns": program.num_col_, "rows": program.num_row_}))


if __name__ == "__main__":
    main()
