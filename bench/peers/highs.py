#!/usr/bin/env python3
"""A peer for `bench/run`: has the HiGHS solver work on a program in an MPS file, as a whole and as it is.

`highs.py MPS SOLUTION --seconds 100` writes the best answer as lines `NAME VALUE` and prints one line of JSON: status, cost and bound, null
where there is none. Reading the file counts in the seconds.
"""
import sys
import time

import highspy

from shared import arguments_of, say, write_answer


def main():
    begun = time.monotonic()
    parser = arguments_of("HiGHS")
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
        write_answer(arguments.solution, zip(program.col_names_, solver.getSolution().col_value))
    status = solver.modelStatusToString(solver.getModelStatus())
    cost = info.objective_function_value if found else None
    say(status, cost, bound, (program.num_col_, program.num_row_), reading)


if __name__ == "__main__":
    main()
