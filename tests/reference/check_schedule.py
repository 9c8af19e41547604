"""Plans small random timetables with the program's engine and judges them with OR-Tools CP-SAT.

The model is written from the rules of design.md 4.7, not from the engine: work in working hours, lags and longest times on the
clock, same-day and unbroken tasks, crews of skilled people, shared equipment and things held from one task to another.
Every plan must keep all rules, no bound may be above the optimum, and the finishes together may lie little above the optima.
Usage: check_schedule.py COUNT [FIRST_SEED] -- COMMAND…   (the command takes files of timetables, as benches/published does)
"""

import json
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from ortools.sat.python import cp_model

STEP = 30  # all times are multiples of half an hour
DAY = 1440 // STEP
DAYS = 14
MOST_ABOVE = 0.02


def timetable(dice):
    """A random job: chains of tasks as of panels, some tied by a longest time, some holding a bay."""
    hours = dice.choice([[[480, 720], [780, 1020]], [[480, 960]], [[540, 720], [750, 1050]]])
    week = [hours if day < 5 or (day == 5 and dice.random() < 0.4) else [] for day in range(7)]
    people = [{"skills": dice.choice([1, 1, 3])} for _ in range(dice.randint(1, 3))]
    people[0]["skills"] = 3
    tasks, links = [], []
    for _ in range(dice.randint(2, 3)):
        first, length = len(tasks), dice.randint(2, 3)
        for place in range(length):
            skill = dice.choice([0, 0, 1])
            able = sum(1 for one in people if one["skills"] >> skill & 1)
            fewest = dice.randint(1, min(2, able))
            same_day = dice.random() < 0.3
            tasks.append({
                "skill": skill, "fewest": fewest, "most": dice.randint(fewest, able), "same_day": same_day,
                "work": STEP * 6 * dice.choice([1, 1, 2]),
                "pausable": same_day or dice.random() < 0.6, "earliest": STEP * dice.choice([0, 0, 0, 20]),
                "equipment": [[0, 1]] if dice.random() < 0.4 else [], "holds": []})
            if place:
                lag = STEP * dice.choice([0, 0, 4, 24])
                within = lag + STEP * dice.choice([20, 40, 60]) if dice.random() < 0.4 else None
                links.append({"before": len(tasks) - 2, "after": len(tasks) - 1, "lag": lag, "within": within,
                              "to_finish": dice.random() < 0.3})
        if dice.random() < 0.5:
            tasks[first]["holds"] = [[1, 1, len(tasks) - 1]]
    return {"effort": 2000, "week": week, "closed": sorted(dice.sample(range(1, 6), dice.randint(0, 1))), "people": people,
            "resources": [dice.randint(1, 2), dice.randint(1, 2)], "tasks": tasks, "links": links}


def places(stated, task, crew):
    """All (start, finish) in steps that a task may have with a crew, by trying every start."""
    length = -(-task["work"] // crew)
    if length % STEP:
        return []
    open_steps = set()
    for day in range(DAYS):
        if day not in stated["closed"]:
            for begin, end in stated["week"][day % 7]:
                open_steps.update(range(day * DAY + begin // STEP, day * DAY + end // STEP))
    found = []
    for start in sorted(open_steps):
        if start * STEP < task["earliest"]:
            continue
        at, left = start, length // STEP
        while left and at < DAYS * DAY:
            left -= at in open_steps
            at += 1
        if left or (task["same_day"] and start // DAY != (at - 1) // DAY):
            continue
        if task["pausable"] or at - start == length // STEP:
            found.append((start, at))
    return found


class Model:
    """The rules as constraints; `fix` pins a plan to judge it."""

    def __init__(self, stated):
        self.cp, self.start, self.end, self.on = cp_model.CpModel(), [], [], []
        cp, people = self.cp, stated["people"]
        turns = [[] for _ in people]
        for index, task in enumerate(stated["tasks"]):
            start, end = (cp.new_int_var(0, DAYS * DAY, f"{what}{index}") for what in ("start", "end"))
            crew = cp.new_int_var(task["fewest"], task["most"], f"crew{index}")
            rows = [(crew_size, *span) for crew_size in range(task["fewest"], task["most"] + 1)
                    for span in places(stated, task, crew_size)]
            cp.add_allowed_assignments([crew, start, end], rows)
            able = [cp.new_bool_var(f"on{index}_{one}") if person["skills"] >> task["skill"] & 1 else None
                    for one, person in enumerate(people)]
            cp.add(sum(on for on in able if on is not None) == crew)
            for one, on in enumerate(able):
                if on is not None:
                    size = cp.new_int_var(0, DAYS * DAY, "")
                    turns[one].append(cp.new_optional_interval_var(start, size, end, on, f"turn{index}_{one}"))
            self.start.append(start), self.end.append(end), self.on.append(able)
        for turn in turns:
            cp.add_no_overlap(turn)
        for link in stated["links"]:
            before, after = link["before"], link["after"]
            cp.add(self.start[after] * STEP >= self.end[before] * STEP + link["lag"])
            if link["within"] is not None:
                last = (self.end if link["to_finish"] else self.start)[after]
                cp.add(last * STEP <= self.end[before] * STEP + link["within"])
        for resource, capacity in enumerate(stated["resources"]):
            spans, units = [], []
            for index, task in enumerate(stated["tasks"]):
                taken = [(index, amount) for kind, amount in task["equipment"] if kind == resource]
                taken += [(until, amount) for kind, amount, until in task["holds"] if kind == resource]
                for until, amount in taken:
                    size = cp.new_int_var(0, DAYS * DAY, "")
                    spans.append(cp.new_interval_var(self.start[index], size, self.end[until], ""))
                    units.append(amount)
            cp.add_cumulative(spans, units, capacity)
        self.finish = cp.new_int_var(0, DAYS * DAY, "finish")
        cp.add_max_equality(self.finish, self.end)

    def shortest(self):
        self.cp.minimize(self.finish)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers, solver.parameters.random_seed, solver.parameters.max_time_in_seconds = 2, 1, 20
        status = solver.solve(self.cp)
        if status == cp_model.INFEASIBLE:
            return None
        return solver.value(self.finish) * STEP if status == cp_model.OPTIMAL else -1

    def allows(self, tasks):
        for index, (start, finish, people) in enumerate(tasks):
            if start % STEP or finish % STEP:
                return False
            self.cp.add(self.start[index] == start // STEP), self.cp.add(self.end[index] == finish // STEP)
            for one, on in enumerate(self.on[index]):
                if on is None and one in people:
                    return False
                if on is not None:
                    self.cp.add(on == (one in people))
        return cp_model.CpSolver().solve(self.cp) == cp_model.OPTIMAL


def main():
    words, command = sys.argv[1:sys.argv.index("--")], sys.argv[sys.argv.index("--") + 1:]
    count, first = int(words[0]), int(words[1]) if len(words) > 1 else 1
    jobs = [timetable(random.Random(seed)) for seed in range(first, first + count)]
    with tempfile.TemporaryDirectory() as folder:
        files = [Path(folder) / f"{seed}.json" for seed in range(count)]
        for file, stated in zip(files, jobs):
            file.write_text(json.dumps(stated))
        done = subprocess.run([*command, *map(str, files)], capture_output=True, text=True, check=True)
    plans = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    assert len(plans) == count, f"{len(plans)} plans for {count} timetables: {done.stderr}"
    wrong, found, optima, exact, none, open_ = [], 0, 0, 0, 0, 0
    for seed, (stated, plan) in enumerate(zip(jobs, plans), first):
        best = Model(stated).shortest()
        if best is None:
            none += 1
            if "none" not in plan and not plan["broken"]:
                wrong.append(f"seed {seed}: a plan where there is none")
            continue
        if best < 0:
            open_ += 1
            continue
        if "none" in plan:
            wrong.append(f"seed {seed}: refused ({plan['none']}), but a plan of {best} keeps all rules")
            continue
        if plan["bound"] > best:
            wrong.append(f"seed {seed}: bound {plan['bound']} above the optimum {best}")
        if plan["broken"]:
            wrong.append(f"seed {seed}: rules broken, but a plan of {best} keeps them")
            continue
        if plan["finish"] < best or not Model(stated).allows(plan["tasks"]):
            wrong.append(f"seed {seed}: the plan ends at {plan['finish']} and breaks a rule; optimum {best}")
        found, optima, exact = found + plan["finish"], optima + best, exact + (plan["finish"] == best)
    if optima and found > optima * (1 + MOST_ABOVE):
        wrong.append(f"all finishes together are {found / optima - 1:.1%} above the optima")
    if open_ > count // 4:
        wrong.append(f"{open_} of {count} timetables were not proved: too few are judged")
    for line in wrong:
        print(f"check_schedule.py: {line}", file=sys.stderr)
    print(f"check_schedule.py: {count} timetables, {exact} at the optimum, {none} without a plan, {open_} not proved; "
          f"{found / max(optima, 1) - 1:.2%} above the optima together")
    sys.exit(1 if wrong else 0)


main()
