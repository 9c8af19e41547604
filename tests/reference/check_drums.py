"""Random small jobs through the real program, against the cheapest choice of drums that OR-Tools finds.

The model is built from design.md 4.5 and the catalogue files, not from the program's code: every way to cut a stock tube into drums
and to lay paintings on them is listed, and CP-SAT picks the cheapest that carries every painting once. What a choice costs: tubes (those on
the shelf cost nothing), kit by the drum and by the crate, padding and two layers of cover by area, interleaf by area, and the boards of a
crate round the padded tube. Jobs have no ways out, so that crates never forbid a drum. Every fifth job has thirty paintings, in turn of
several destinations and classes and small ones of one: they have to be proved, and at a cost between OR-Tools' bound and its best.
Usage: check_drums.py FACELAY COUNT [FIRST_SEED]
"""

import csv
import itertools
import json
import math
import random
import subprocess
import sys
import tempfile
import tomllib
from decimal import ROUND_CEILING, Decimal
from pathlib import Path

from ortools.sat.python import cp_model

CATALOGS = Path(__file__).parents[2] / "catalogs"
UNITS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
GRAVITY = 9.80665
# Every so many seeds the job has thirty paintings instead of a few large ones.
MANY = 5


def mm(text):
    """`12 ft`, `5/16 in`, `100 m` or a bare number of mm."""
    if not text:
        return None
    number, _, unit = text.partition(" ")
    top, _, bottom = number.partition("/")
    return float(top) / float(bottom or 1) * UNITS[unit or "mm"]


def table(name):
    with open(CATALOGS / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


MATERIALS = {row["id"]: row for row in table("materials.csv")}
OFFERS = table("offers.csv")
STRAINS = {row["give"]: row for row in table("strain.csv")}
LAYERS = {row["id"]: row for row in table("layers.csv")}
DRUM = tomllib.loads((CATALOGS / "drum.toml").read_text(encoding="utf-8"))
CRATE = tomllib.loads((CATALOGS / "crate.toml").read_text(encoding="utf-8"))


def cents(material):
    """The cheapest price of one unit, up to a whole cent."""
    prices = [Decimal(row["price"]) / Decimal(row["pack"]) for row in OFFERS if row["material"] == material]
    return int((min(prices) * 100).to_integral_value(ROUND_CEILING)) if prices else None


def per_m2(material):
    row = MATERIALS[material]
    return (cents(material) or 0) / (mm(row["width"]) * mm(row["length"]) / 1e6)


def counted(uses, per):
    return sum(use["rate"] * (cents(use["material"]) or 0) for use in uses if use["per"] == per)


def grams_per_m2(material):
    row = MATERIALS[material]
    return float(row["g_per_m2"] or 0) or mm(row["thickness"]) * float(row["density_g_ml"]) * 1000


MARGIN, LEADER, OUT = mm(DRUM["end_margin"]), mm(DRUM["leader"]), mm(DRUM["interleaf_margin"])
KERF = math.ceil(mm(DRUM["kerf"]))
LOOSE = 1 + float(DRUM["looseness"].rstrip(" %")) / 100
PADDING = mm(MATERIALS[DRUM["padding"]]["thickness"]) + mm(MATERIALS[DRUM["cover"]]["thickness"])
FACE_GRAMS = grams_per_m2(DRUM["padding"]) + 2 * grams_per_m2(DRUM["cover"])
FACE_CENTS = per_m2(DRUM["padding"]) + 2 * per_m2(DRUM["cover"])
EACH = counted(DRUM["uses"], "drum") + counted(CRATE["uses"], "crate")
BOARD, BATTEN = mm(MATERIALS[CRATE["board"]]["thickness"]), mm(MATERIALS[CRATE["batten"]]["thickness"])
SKID = mm(MATERIALS[CRATE.get("skid", CRATE["batten"])]["thickness"])
BOARD_CENTS = per_m2(CRATE["board"])


class Tube:
    def __init__(self, row):
        self.outer, wall = mm(row["diameter"]), mm(row["wall"])
        inner = self.outer - 2 * wall
        self.area = math.pi / 4 * (self.outer**2 - inner**2)
        self.inertia = math.pi / 64 * (self.outer**4 - inner**4)
        self.modulus, self.strength = float(row["modulus_mpa"]), float(row["strength_mpa"])
        self.grams_per_mm = self.area * float(row["density_g_ml"]) / 1000
        self.key = (self.outer, wall, self.modulus, self.strength, row["density_g_ml"])

    def bears(self, face, grams_per_mm):
        load = (grams_per_mm + self.grams_per_mm + FACE_GRAMS * math.pi * self.outer / 1e6) / 1000 * GRAVITY
        shear = self.modulus / 2.6
        sag = 5 * load * face**4 / 384 / self.modulus / self.inertia + load * face**2 / 8 / 0.5 / shear / self.area
        stress = load * face**2 / 8 * self.outer / 2 / self.inertia
        return sag <= DRUM["sag_limit"] * face and stress <= DRUM["stress_share"] * self.strength

    def drum_cents(self, face):
        """A drum with its kit, its padding and film, and its crate, without the tube."""
        side = self.outer + 2 * PADDING + 2 * mm(CRATE["clearance"]) + 2 * (BOARD + BATTEN)
        length = face + 2 * mm(CRATE["end_clearance"]) + 2 * (BOARD + BATTEN)
        high = side + SKID
        boards = 2 * (length * side + length * high + side * high) / 1e6 * BOARD_CENTS
        return EACH + math.pi * self.outer * face / 1e6 * FACE_CENTS + boards


def stack(panel):
    """Thickness, modulus and mass of residue, canvas, ground and paint; a measured thickness goes to the canvas."""
    rows = [LAYERS[name] for name in (f"residue-{panel['adhesive']}", "canvas", "size-ground", "paint")]
    return [(float(row["thickness_mm"]), float(row["modulus_mpa"]), float(row["density_g_ml"])) for row in rows]


def painting(panel):
    layers = stack(panel)
    strain = STRAINS[panel["give"]]
    allowed, base, stiffness, moment = float(strain["limit"]) / float(strain["reserve"]), 0.0, 0.0, 0.0
    for thickness, modulus, _ in layers:
        stiffness += thickness * modulus
        moment += thickness * modulus * (base + thickness / 2)
        base += thickness
    low = base - layers[-1][0]
    axes = [moment / stiffness, (low + base) / 2]
    least = max(2 * (max(abs(base - axis), abs(low - axis)) / allowed - axis) for axis in axes)
    grams = sum(thickness * density * 1000 for thickness, _, density in layers)
    return {"least": max(least, float(strain["floor"])), "thick": base, "grams_m2": grams, "turns": float(strain["turns"])}


def ways(panel, tube):
    """How a painting lies on a tube: width of face with a margin, cents of interleaf, grams a mm."""
    about, interleaf, found = painting(panel), DRUM["interleaf"], []
    if tube.outer < about["least"] - 1e-9:
        return found
    for along, across in ((panel["width"], panel["height"]), (panel["height"], panel["width"])):
        core = tube.outer + 2 * PADDING
        wrap = about["thick"] * LOOSE + mm(MATERIALS[interleaf]["thickness"])
        wound = along + 2 * LEADER
        turns = (math.sqrt(core**2 + 4 * wrap * wound / math.pi) - core) / (2 * wrap)
        area = (wound + 2 * OUT) * (across + 2 * OUT) / 1e6
        load = (along * across / 1e6 * about["grams_m2"] + area * grams_per_m2(interleaf)) / across
        if turns <= about["turns"]:
            found.append((math.ceil(across + MARGIN), area * per_m2(interleaf), load))
    return found


def drums_on(tube, longest, panels):
    """For every set of paintings, the ways to put it on one drum: (face, cents)."""
    lying = [ways(panel, tube) for panel in panels]
    drums = {}
    for size in range(1, len(panels) + 1):
        for chosen in itertools.combinations(range(len(panels)), size):
            if len({(panels[index]["destination"], panels[index]["return_date"]) for index in chosen}) > 1:
                continue
            options = set()
            for way in itertools.product(*(lying[index] for index in chosen)):
                face = math.ceil(MARGIN) + sum(width for width, _, _ in way)
                if face <= longest and tube.bears(face, max(load for _, _, load in way)):
                    options.add((face, tube.drum_cents(face) + sum(extra for _, extra, _ in way)))
            if options:
                drums[sum(1 << index for index in chosen)] = sorted(options)
    return drums


def bars(length, drums):
    """For every set of paintings, the cheapest way to have them all on drums from one stock tube, without the tube."""
    best = {}

    def dive(first, mask, used, cost):
        for more, options in drums.items():
            # Each set of drums once: by the lowest painting of each.
            if more & mask or (more & -more) <= first:
                continue
            for face, price in options:
                if used + face <= length:
                    together = mask | more
                    best[together] = min(best.get(together, math.inf), cost + price)
                    dive(more & -more, together, used + face + KERF, cost + price)

    dive(0, 0, 0, 0.0)
    return best


def cheapest(panels, shelf):
    columns, supply = [], []
    kinds = {}
    for row in MATERIALS.values():
        if row["kind"] == "tube":
            tube = Tube(row)
            kinds.setdefault(tube.key, (tube, []))[1].append((math.floor(mm(row["length"]) + 1e-9), row["id"]))
    for tube, stocks in kinds.values():
        drums = drums_on(tube, max(stocks)[0], panels)
        for length, name in stocks if drums else []:
            for mask, cost in bars(length, drums).items():
                columns.append((mask, cost + cents(name), None))
                if shelf.get(name):
                    columns.append((mask, cost, name))
    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in columns]
    for index in range(len(panels)):
        model.add_exactly_one(var for var, (mask, _, _) in zip(taken, columns) if mask >> index & 1)
    for name, count in shelf.items():
        model.add(sum(var for var, column in zip(taken, columns) if column[2] == name) <= count)
    model.minimize(sum(round(cost * 1000) * var for var, (_, cost, _) in zip(taken, columns)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return solver.objective_value / 1000


def cheapest_of_many(panels):
    """Bounds on the least cost of many paintings: each goes into one of a few bars, a drum a kin in each, without listing the fillings."""
    kinds = {}
    for row in MATERIALS.values():
        if row["kind"] == "tube":
            tube = Tube(row)
            kinds.setdefault(tube.key, (tube, []))[1].append((math.floor(mm(row["length"]) + 1e-9), cents(row["id"])))
    model, cost = cp_model.CpModel(), []
    on = {index: [] for index in range(len(panels))}
    kins = sorted({panel["destination"] for panel in panels})
    loads, margin = 1000, math.ceil(MARGIN)
    longest = max(length for _, stocks in kinds.values() for length, _ in stocks)
    narrow = sum(min(panel["width"], panel["height"]) + margin for panel in panels)
    order = []
    for _ in range(math.ceil(narrow / longest) + 4):
        used_as = []
        for tube, stocks in kinds.values():
            lying = [ways(panel, tube) for panel in panels]
            if not any(lying):
                continue
            length = []
            for stock, price in stocks:
                used = model.new_bool_var("")
                used_as.append(used)
                length.append((stock + KERF, used))
                cost.append((price * loads, used))
            each, per_mm = tube.drum_cents(0), tube.drum_cents(1) - tube.drum_cents(0)
            # The heaviest a millimetre decides for all.
            heaviest = max(load for found in lying for _, _, load in found)
            assert tube.bears(max(stocks)[0], heaviest), "these paintings do not sag too far on any tube"
            in_bar = []
            for kin in kins:
                made = model.new_bool_var("")
                cost.append((round((each + per_mm * margin) * loads), made))
                in_bar.append((margin + KERF, made))
                for index, found in enumerate(lying):
                    for width, extra, _ in found if panels[index]["destination"] == kin else []:
                        var = model.new_bool_var("")
                        model.add_implication(var, made)
                        on[index].append(var)
                        in_bar.append((width, var))
                        cost.append((round((per_mm * width + extra) * loads), var))
            model.add(sum(width * var for width, var in in_bar) <= sum(stock * used for stock, used in length))
        model.add(sum(used_as) <= 1)
        order.append(sum(number * used for number, used in enumerate(used_as, 1)))
    for first, second in itertools.pairwise(order):
        model.add(first >= second)
    for index in on:
        model.add_exactly_one(on[index])
    model.minimize(sum(factor * var for factor, var in cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = 25
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
    return solver.best_objective_bound / loads, solver.objective_value / loads


JOB = """title = "Random drums"
currency = "EUR"
unit = "mm"
first_day = 2027-01-11
order_day = 2026-11-25
default_recipe = "plain"
[[place]]
role = "site"
name = "Hall"
hours = { mon-fri = ["08:00-17:00"] }
temperature = "20 °C"
humidity = "50 %"
[[person]]
name = "conservator"
count = 4
skills = ["conservator", "carpenter", "assistant"]
cost = "34.00"
charge = "58.00"
"""
RECIPE = """id = "plain"
name = "Plain"
about = "Released, rolled and crated."
[[step]]
id = "release"
name = "Release"
kind = "release"
work = ["release"]
skill = "conservator"
crew = [1, 4]
[[step]]
id = "roll"
name = "Roll"
kind = "roll"
work = ["roll-drum"]
skill = "conservator"
crew = [1, 4]
[[step]]
id = "crate"
name = "Crate"
kind = "crate"
work = ["crate-pack"]
skill = "carpenter"
crew = [1, 2]
"""
HEAD = ["panel", "width", "height", "give", "adhesive", "destination", "return_date"]


def write(folder, dice, many):
    panels = []
    for number in range(30 if many else dice.randint(2, 6)):
        if many == "of several kinds":
            panels.append({"panel": f"P{number}", "width": dice.randint(300, 1200), "height": dice.randint(300, 1200),
                           "give": dice.choice(["supple", "stiff", "brittle"]), "adhesive": "paste",
                           "destination": dice.choice(["", "store"]), "return_date": ""})
            continue
        if many:
            panels.append({"panel": f"P{number}", "width": dice.randint(120, 500), "height": dice.randint(120, 500), "give": "supple",
                           "adhesive": "paste", "destination": "", "return_date": ""})
            continue
        panels.append({
            "panel": f"P{number}", "width": dice.randint(400, 2800), "height": dice.randint(400, 2800),
            "give": dice.choice(["supple", "supple", "stiff", "brittle"]), "adhesive": dice.choice(["paste", "glue", "oil-lead"]),
            "destination": dice.choice(["", "", "store"]), "return_date": dice.choice(["", "", "2027-09-01"]),
        })
    shelf = {dice.choice(["tube-400-3000", "tube-500-4000", "tube-900-3000"]): 1} if not many and dice.random() < 0.5 else {}
    (folder / "recipes").mkdir()
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    (folder / "recipes" / "plain.toml").write_text(RECIPE, encoding="utf-8")
    rows = [",".join(HEAD), *(",".join(str(panel[key]) for key in HEAD) for panel in panels)]
    (folder / "panels.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    if shelf:
        rows = ["material,quantity,unit", *(f"{name},{count},each" for name, count in shelf.items())]
        (folder / "stock.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return panels, shelf


def main(facelay, count, first=1):
    small = 0
    for seed in range(int(first), int(first) + int(count)):
        with tempfile.TemporaryDirectory() as folder:
            job, out = Path(folder, "job"), Path(folder, "out")
            job.mkdir()
            many = {0: "small", MANY: "of several kinds"}.get(seed % (2 * MANY))
            panels, shelf = write(job, random.Random(seed), many)
            run = subprocess.run([facelay, "plan", str(job), "--out", str(out)], capture_output=True, text=True, timeout=300)
            if run.returncode != 0:
                sys.exit(f"seed {seed}: exit code {run.returncode}\n{run.stderr}")
            plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
            flat = {entry["panel"] for entry in plan["flats"]}
            rolled = [panel for panel in panels if panel["panel"] not in flat]
            for panel in panels:
                served = any(ways(panel, Tube(row)) for row in MATERIALS.values() if row["kind"] == "tube")
                if panel["panel"] in flat and served and cheapest([panel], {}):
                    sys.exit(f"seed {seed}: {panel['panel']} stays flat, though a tube serves it")
            if many:
                found, (low, high) = plan["drum_choice"], cheapest_of_many(rolled)
                total, bound = float(found["cost"]) * 100, float(found["lower_bound"]) * 100
                small += 1
                if not found["proven"] or total < low - 1.0 or bound > high + 1.0 or total > high + 1.0:
                    sys.exit(f"seed {seed}: thirty paintings cost {found['cost']} of at least {found['lower_bound']} (proved: {found['proven']}), "
                             f"OR-Tools says {low / 100:.2f} to {high / 100:.2f}")
                continue
            found, right = plan["drum_choice"], cheapest(rolled, shelf)
            if not found["proven"] or abs(float(found["cost"]) * 100 - right) > 1.0:
                sys.exit(f"seed {seed}: drums cost {found['cost']} (proved: {found['proven']}), OR-Tools finds {right / 100:.2f}")
    print(f"the drums of {int(count) - small} random jobs cost as little as OR-Tools can make them; so do those of {small} with thirty paintings")


main(*sys.argv[1:])
