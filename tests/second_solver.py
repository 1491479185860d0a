"""Solves a program in MPS with a general-purpose solver and prints the status
and the optimum as JSON. Without a file, says whether the solver is there."""

import json
import sys

import highspy


def main() -> None:
    if len(sys.argv) == 1:
        print(json.dumps({"version": highspy.Highs().version()}))
        return
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", 1e-9)
    solver.setOptionValue("mip_abs_gap", 1e-9)
    solver.setOptionValue("mip_feasibility_tolerance", 1e-9)
    solver.setOptionValue("primal_feasibility_tolerance", 1e-9)
    solver.setOptionValue("dual_feasibility_tolerance", 1e-9)
    # One thread: the test runs several of these side by side.
    solver.setOptionValue("threads", 1)
    if solver.readModel(sys.argv[1]) == highspy.HighsStatus.kError:
        sys.exit("the solver cannot read the program")
    solver.run()
    status = solver.modelStatusToString(solver.getModelStatus())
    answer = {"status": status}
    if status == "Optimal":
        answer["objective"] = solver.getInfo().objective_function_value
    print(json.dumps(answer))


main()
