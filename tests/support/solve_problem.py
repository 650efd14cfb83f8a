"""Solves a problem written by `compat plan --export-problem` with OR-tools, for comparison.

usage: solve_problem.py PROBLEM.json...
Prints for each the weight of the best plan as four numbers, or `none`; then the seconds it took to solve,
the making of the model counted apart.
"""
import json
import sys
import time

try:
    from ortools.sat.python import cp_model
except ImportError:
    print("skipped: the package ortools is not there")
    sys.exit(0)


def main(path):
    with open(path, encoding="utf-8") as file:
        problem = json.load(file)
    began = time.perf_counter()
    model = cp_model.CpModel()
    chosen = []
    parts = ([], [], [], [])

    def add(weight, when):
        for part, amount in zip(parts, weight):
            if amount:
                part.append((amount, when))

    for place in problem["places"]:
        choices = [model.new_bool_var("") for _ in place["choices"]]
        model.add_exactly_one(choices)
        chosen.append(choices)
        for choice, variable in zip(place["choices"], choices):
            add(choice["weight"], variable)
    for rule in problem["rules"]:
        if not rule["places"]:
            if not rule["allowed"]:
                model.add_bool_or([])
            for _, weight in rule["adds"]:
                add(weight, model.new_constant(1))
            continue
        sorts = []
        for place, of in zip(rule["places"], rule["sorts"]):
            variable = model.new_int_var(0, max(of), "")
            for choice, sort in zip(chosen[place], of):
                model.add(variable == sort).only_enforce_if(choice)
            sorts.append(variable)
        if not rule["adds"]:
            model.add_allowed_assignments(sorts, rule["allowed"])
            continue
        row = model.new_int_var(0, len(rule["allowed"]) - 1, "")
        rows = [sort + [number] for number, sort in enumerate(rule["allowed"])]
        model.add_allowed_assignments([*sorts, row], rows)
        for number, weight in rule["adds"]:
            there = model.new_bool_var("")
            model.add(row == number).only_enforce_if(there)
            model.add(row != number).only_enforce_if(~there)
            add(weight, there)
    sums = [sum(amount * when for amount, when in part) for part in parts]
    if problem["budget"] is not None:
        model.add(sums[1] <= problem["budget"])
    made = time.perf_counter() - began
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    spent = 0.0
    best = []
    # One number after the other: the first that counts is made least, then the next.
    for total in sums:
        model.minimize(total)
        status = solver.solve(model)
        spent += solver.wall_time
        if status != cp_model.OPTIMAL:
            print("none")
            break
        best.append(round(solver.objective_value))
        model.add(total == best[-1])
    else:
        print(*best)
    print(f"model {made:.4f} s, solved {spent:.4f} s")


for name in sys.argv[1:]:
    main(name)
