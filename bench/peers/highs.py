#!/usr/bin/env python3
"""A peer for `bench/run`: has the HiGHS solver work on a program in an MPS file, as a whole and as it is.

`highs.py MPS SOLUTION --seconds 100` writes the best answer as lines `NAME VALUE` and prints one line of JSON: status, cost and bound, null
where there is none. Reading the file counts in the seconds.
"""
import argparse
import json
import math
import sys
import time

import highspy


def main():
    begun = time.monotonic()
    parser = argparse.ArgumentParser(description="Solve a program with HiGHS.")
    parser.add_argument("mps")
    parser.add_argument("solution")
    parser.add_argument("--seconds", type=float, default=100)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--log", default="", help="file for the solver's own messages")
    arguments = parser.parse_args()
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", bool(arguments.log))
    if arguments.log:
        solver.setOptionValue("log_to_console", False)
        solver.setOptionValue("log_file", arguments.log)
    solver.setOptionValue("threads", arguments.threads)
    solver.setOptionValue("parallel", "on" if arguments.threads > 1 else "off")
    if solver.readModel(arguments.mps) == highspy.HighsStatus.kError:
        sys.exit(f"error: `{arguments.mps}` cannot be read")
    reading = time.monotonic() - begun
    solver.setOptionValue("time_limit", max(arguments.seconds - reading, 1.0))
    solver.run()
    info = solver.getInfo()
    program = solver.getLp()
    whole = any(kind != highspy.HighsVarType.kContinuous for kind in program.integrality_)
    found = info.primal_solution_status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
    bound = info.mip_dual_bound if whole else info.objective_function_value if found else None
    if found:
        with open(arguments.solution, "w", encoding="utf-8") as out:
            for name, value in zip(program.col_names_, solver.getSolution().col_value):
                if abs(value) > 1e-9:
                    out.write(f"{name} {value!r}\n")
    print(json.dumps({
        "status": solver.modelStatusToString(solver.getModelStatus()),
        "cost": info.objective_function_value if found else None,
        "bound": bound if bound is not None and math.isfinite(bound) else None,
        "columns": program.num_col_, "rows": program.num_row_, "reading": round(reading, 2),
    }))


if __name__ == "__main__":
    main()
