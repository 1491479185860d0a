"""Solves programs in MPS with a general-purpose solver and prints the status and
the optimum of each as one line of JSON. Programs are named as arguments or, with
"-", one a line on standard input; a tab and "plainly" behind a name leave out the
solver's presolve, a tab and "timed" take its own tolerances and a gap of 1e-7.
Without a name, says whether the solver is there."""

import json
import sys
import time

import highspy


def solve(question: str) -> dict[str, object]:
    path, _, how = question.partition("\t")
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    gap = 1e-7 if how == "timed" else 1e-9
    solver.setOptionValue("mip_rel_gap", gap)
    solver.setOptionValue("mip_abs_gap", 1e-9)
    if how != "timed":
        solver.setOptionValue("mip_feasibility_tolerance", 1e-9)
        solver.setOptionValue("primal_feasibility_tolerance", 1e-9)
        solver.setOptionValue("dual_feasibility_tolerance", 1e-9)
    if how == "plainly":
        solver.setOptionValue("presolve", "off")
    # One thread: the tests run several of these side by side.
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("time_limit", 300.0)
    if solver.readModel(path) == highspy.HighsStatus.kError:
        return {"status": "Unreadable"}
    start = time.perf_counter()
    solver.run()
    seconds = time.perf_counter() - start
    if solver.getModelStatus() == highspy.HighsModelStatus.kUnboundedOrInfeasible:
        # Which of both, presolve need not know.
        solver.setOptionValue("presolve", "off")
        solver.run()
    answer: dict[str, object] = {"status": solver.modelStatusToString(solver.getModelStatus())}
    answer["seconds"] = seconds
    if answer["status"] == "Optimal":
        answer["objective"] = solver.getInfo().objective_function_value
    return answer


def main() -> None:
    names = sys.argv[1:]
    if not names:
        print(json.dumps({"version": highspy.Highs().version()}))
        return
    for path in sys.stdin if names == ["-"] else names:
        print(json.dumps(solve(path.rstrip("\n"))), flush=True)


main()
