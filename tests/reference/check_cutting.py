"""Has a general solver confirm that the cutting engines are optimal on small random cases.

One dimension: CP-SAT of OR-Tools finds the least number of bins. Two dimensions, straight cuts from edge to edge, no turning: every
set of pieces that one sheet holds is found by enumerating slicing trees (the least widths and heights of each set), and CP-SAT
covers the pieces with the fewest such sets; its packing without the rule of straight cuts is a bound from below.
Usage: check_cutting.py COMMAND…, which runs the benchmark on published instances: `cargo bench --bench published --`.
"""

import random
import subprocess
import sys
import tempfile
from pathlib import Path

from ortools.sat.python import cp_model

LINES, SHEETS = 40, 30


def solved(model):
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 5
    status = solver.solve(model)
    return (round(solver.objective_value), status == cp_model.OPTIMAL) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else (None, False)


def fewest_bins(capacity, sizes):
    """Assignment of items to bins, bins used in order."""
    model = cp_model.CpModel()
    most = len(sizes)
    used = [model.new_bool_var("") for _ in range(most)]
    inside = [[model.new_bool_var("") for _ in range(most)] for _ in sizes]
    for row in inside:
        model.add_exactly_one(row)
    for bin in range(most):
        model.add(sum(size * row[bin] for size, row in zip(sizes, inside)) <= capacity * used[bin])
    for one, two in zip(used, used[1:]):
        model.add_implication(two, one)
    model.minimize(sum(used))
    return solved(model)


def envelopes(pieces, width, height):
    """By set of pieces (as bits), the least widths and heights of all its slicing trees that a sheet holds."""
    least = {1 << at: [piece] for at, piece in enumerate(pieces)}
    for group in range(1, 1 << len(pieces)):
        if group in least:
            continue
        found = set()
        part = (group - 1) & group
        while part > group ^ part:
            for w, h in least.get(part, ()):
                for w2, h2 in least.get(group ^ part, ()):
                    found.add((w + w2, max(h, h2)))
                    found.add((max(w, w2), h + h2))
            part = (part - 1) & group
        fits = sorted(size for size in found if size[0] <= width and size[1] <= height)
        front = []
        for size in fits:
            if not front or size[1] < front[-1][1]:
                front.append(size)
        if front:
            least[group] = front
    return least


def fewest_sheets(pieces, width, height):
    """Covers the pieces with the fewest sets that one sheet holds by straight cuts."""
    groups = list(envelopes(pieces, width, height))
    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in groups]
    for at in range(len(pieces)):
        model.add_exactly_one(var for var, group in zip(taken, groups) if group >> at & 1)
    model.minimize(sum(taken))
    return solved(model)


def holds_freely(pieces, width, height, sheets):
    """Whether so many sheets hold the pieces without the rule of straight cuts: sheets side by side, none over a border."""
    model = cp_model.CpModel()
    across, along = [], []
    for w, h in pieces:
        sheet = model.new_int_var(0, sheets - 1, "")
        x = model.new_int_var(0, width - w, "")
        left = model.new_int_var(0, width * sheets - w, "")
        model.add(left == width * sheet + x)
        across.append(model.new_fixed_size_interval_var(left, w, ""))
        along.append(model.new_fixed_size_interval_var(model.new_int_var(0, height - h, ""), h, ""))
    model.add_no_overlap_2d(across, along)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 1
    return solver.solve(model) != cp_model.INFEASIBLE


def answers(bench, engine, folder):
    run = subprocess.run([*bench, engine, str(folder), "--seconds", "0.2"], capture_output=True, text=True, check=True)
    rows = [line.split("\t") for line in run.stdout.splitlines()]
    return {name: (int(value), int(bound)) for name, value, bound, _ in rows}


def judge(what, name, ours, optimum, proved):
    value, bound = ours
    if not proved:
        return 0
    if value != optimum:
        sys.exit(f"{what} {name}: {value}, the optimum is {optimum}")
    if bound > optimum:
        sys.exit(f"{what} {name}: the lower bound {bound} is above the optimum {optimum}")
    return 1


def lines(bench, folder, dice):
    cases = {}
    for number in range(LINES):
        capacity = dice.choice([60, 100, 150])
        low, high = dice.choice([(1, capacity), (capacity // 5, capacity // 2), (capacity // 4, capacity // 2)])
        sizes = [dice.randint(low, high) for _ in range(dice.randint(8, 18))]
        cases[f"line{number:02}"] = (capacity, sizes)
        (folder / f"line{number:02}.txt").write_text("\n".join(map(str, [len(sizes), capacity, *sizes])) + "\n")
    found = answers(bench, "packing", folder)
    return sum(judge("packing", name, found[name], *fewest_bins(*case)) for name, case in cases.items())


def sheets(bench, folder, dice):
    cases = {}
    for number in range(SHEETS):
        width, height = dice.choice([(10, 10), (12, 18), (30, 40)])
        pieces = [(dice.randint(1, width * 4 // 5), dice.randint(1, height * 4 // 5)) for _ in range(dice.randint(5, 8))]
        name = f"sheet{number:02}"
        cases[name] = (pieces, width, height)
        rows = [f"{at},{w},{h}" for at, (w, h) in enumerate(pieces)]
        (folder / f"{name}_items.csv").write_text("\n".join(["ID,WIDTH,HEIGHT", *rows]) + "\n")
        (folder / f"{name}_bins.csv").write_text(f"ID,WIDTH,HEIGHT\n0,{width},{height}\n")
    found = answers(bench, "cutting", folder)
    confirmed = straight = 0
    for name, case in cases.items():
        optimum, proved = fewest_sheets(*case)
        confirmed += judge("cutting", name, found[name], optimum, proved)
        straight += proved and optimum > 1 and not holds_freely(*case, optimum - 1)
    return confirmed, straight


def main(*bench):
    dice = random.Random(20261125)
    with tempfile.TemporaryDirectory() as folder:
        for name in ("lines", "sheets"):
            Path(folder, name).mkdir()
        in_line = lines(bench, Path(folder, "lines"), dice)
        in_sheet, freely = sheets(bench, Path(folder, "sheets"), dice)
    if in_line < LINES * 9 // 10 or in_sheet < SHEETS:
        sys.exit(f"only {in_line} of {LINES} and {in_sheet} of {SHEETS} small cases could be solved to compare with")
    print(f"cutting: {in_line} of {LINES} cases of bin packing and {in_sheet} of {SHEETS} of sheets confirmed optimal; "
          f"{freely} of the latter could not do with a sheet fewer even without straight cuts")


if __name__ == "__main__":
    main(*sys.argv[1:])
