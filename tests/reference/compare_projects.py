"""Plans project instances with the program's engine and with OR-Tools CP-SAT, two workers, in the same wall time.

Instances are in Patterson format (.rcp), as in ../shared/reference/instances. Without paths a few small projects are made up and
both must find the optimum, which CP-SAT proves.
Usage: compare_projects.py SECONDS PATH… -- COMMAND…   (the command is `cargo bench --bench published -- project` or the like)
"""

import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from ortools.sat.python import cp_model


def read(text):
    numbers = iter(map(int, text.split()))
    count, resources = next(numbers), next(numbers)
    capacities = [next(numbers) for _ in range(resources)]
    rows = []
    for _ in range(count):
        duration, demands = next(numbers), [next(numbers) for _ in range(resources)]
        rows.append((duration, demands, [next(numbers) - 1 for _ in range(next(numbers))]))
    return capacities, rows


def made_up(dice, count=14):
    """A small project with a first and a last milestone."""
    capacities = [dice.randint(8, 12) for _ in range(2)]
    rows = [(0, [0, 0], list(range(1, count + 1)))]
    for own in range(1, count + 1):
        later = sorted({dice.randint(own + 1, count + 1) for _ in range(2)})
        rows.append((dice.randint(1, 9), [dice.randint(0, 6) for _ in range(2)], later))
    rows.append((0, [0, 0], []))
    lines = [f"{len(rows)} 2", " ".join(map(str, capacities))]
    lines += [" ".join(map(str, [duration, *demands, len(after), *(to + 1 for to in after)])) for duration, demands, after in rows]
    return "\n".join(lines) + "\n"


def shortest(capacities, rows, seconds):
    """The makespan CP-SAT finds, whether it is proved, and the seconds it took."""
    begun = time.perf_counter()
    cp, horizon = cp_model.CpModel(), sum(row[0] for row in rows)
    starts = [cp.new_int_var(0, horizon, "") for _ in rows]
    spans = [cp.new_fixed_size_interval_var(start, row[0], "") for start, row in zip(starts, rows)]
    for start, (duration, _, after) in zip(starts, rows):
        for to in after:
            cp.add(starts[to] >= start + duration)
    for resource, capacity in enumerate(capacities):
        users = [at for at, row in enumerate(rows) if row[1][resource]]
        cp.add_cumulative([spans[at] for at in users], [rows[at][1][resource] for at in users], capacity)
    end = cp.new_int_var(0, horizon, "")
    for start, row in zip(starts, rows):
        cp.add(end >= start + row[0])
    cp.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 2, 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(cp)
    found = solver.value(end) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return found, status == cp_model.OPTIMAL, time.perf_counter() - begun


def ours(command, seconds, path):
    done = subprocess.run([*command, str(path), "--seconds", str(seconds)], capture_output=True, text=True, check=True)
    _, makespan, bound, _, took = done.stdout.split()
    return int(makespan), int(bound), float(took)


def main():
    words, command = sys.argv[1:sys.argv.index("--")], sys.argv[sys.argv.index("--") + 1:]
    seconds, paths = float(words[0]), [Path(word) for word in words[1:]]
    folder = tempfile.TemporaryDirectory()
    if not paths:
        for seed in range(5):
            (Path(folder.name) / f"made-up-{seed}.rcp").write_text(made_up(random.Random(seed)))
    files = sorted(file for path in paths or [Path(folder.name)] for file in (path.glob("**/*.rcp") if path.is_dir() else [path]))
    totals, wrong, both, judged = [0, 0], [], 0, 0
    for file in files:
        capacities, rows = read(file.read_text())
        own, bound, took = ours(command, seconds, file)
        theirs, proved, their_time = shortest(capacities, rows, seconds)
        print(f"{file.stem}\t{own}\t{theirs}\t{'proved' if proved else ''}\t{took:.2f}\t{their_time:.2f}", flush=True)
        judged += proved
        if proved and (own < theirs or bound > theirs or (not paths and own > theirs)):
            wrong.append(f"{file.stem}: {bound} to {own}, but the optimum is {theirs}")
        if theirs is not None:
            totals, both = [totals[0] + own, totals[1] + theirs], both + 1
    if not paths and judged < len(files) - 1:
        wrong.append(f"only {judged} of {len(files)} made-up projects were proved")
    for line in wrong:
        print(f"compare_projects.py: {line}", file=sys.stderr)
    print(f"compare_projects.py: {both} projects, mean makespan {totals[0] / max(both, 1):.2f}, CP-SAT's {totals[1] / max(both, 1):.2f}")
    sys.exit(1 if wrong else 0)


main()
