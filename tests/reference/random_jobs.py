"""Plans random jobs with the real program and has check_plan.py judge each.

A job that facelay refuses must say an error with something to do; a fault of the program (any exit code but 0 and 1) fails.
Usage: random_jobs.py FACELAY COUNT [FIRST_SEED]
"""

import random
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

RECIPES = ["supple-paste", "stiff-glue", "brittle-lead", "water-based"]


def settings(dice):
    closed = ", ".join(f"2027-01-{day:02}" for day in sorted(dice.sample(range(12, 30), dice.randint(0, 4))))
    hours = dice.choice(['{ mon-fri = ["08:00-12:00", "13:00-17:00"] }', '{ mon-thu = ["07:30-16:00"], sat = ["09:00-13:00"] }',
                         '{ mon-sat = ["09:00-12:15", "12:45-18:00"] }'])
    return f"""title = "Random job"
currency = "EUR"
unit = "mm"
first_day = 2027-01-11
{dice.choice(["", "", "today = 2027-01-13"])}
hand_over = 2027-0{dice.randint(2, 6)}-15
order_day = 2026-11-25
default_recipe = "{dice.choice(RECIPES)}"

[[place]]
role = "site"
name = "Hall"
hours = {hours}
closed = [{closed}]
temperature = "{dice.randint(8, 26)} °C"
humidity = "{dice.randint(30, 85)} %"
room_volume = "{dice.randint(200, 3000)} m3"
fresh_air = "{dice.randint(300, 6000)} m3/h"
travel_days = {dice.choice([0, 0, 1, 2])}
{dice.choice(["", 'daylight = "08:30-15:30"'])}
{dice.choice(["", 'cool = "06:00-11:30"'])}
flammable_limit = "{dice.choice([10, 30, 100])} l"
{dice.choice(["", 'lifts = ["1.9 m"]', 'lifts = [1500, 3300]', 'lifts = [1500, 3300]' + chr(10) + 'lift_reach = "120 mm"'])}
[[place.way_out]]
name = "door"
kind = "door"
width = "{dice.randint(800, 2000)} mm"
height = "{dice.randint(1900, 2600)} mm"

[[place]]
role = "studio"
name = "Studio"
hours = {{ mon-fri = ["08:30-17:00"] }}
temperature = "20 °C"
humidity = "50 %"

[[person]]
name = "conservator"
count = {dice.randint(4, 7)}
skills = ["conservator", "assistant"]
away = ["2027-01-{dice.randint(12, 20)}..2027-01-{dice.randint(21, 24)}"]
cost = "34.00"
charge = "58.00"

[[person]]
name = "carpenter"
skills = ["carpenter"]
cost = "30.00"
charge = "50.00"

[[equipment]]
name = "scaffold tower"
count = {dice.randint(2, 5)}
moving = "{dice.choice([0, 0, 20, 45])} min"
hire_day = "38.00"

[[equipment]]
name = "take-up track"

[[equipment]]
name = "extraction unit"
count = {dice.randint(1, 3)}

[[equipment]]
name = "studio extraction"

[terms]
contingency = "{dice.randint(0, 20)} %"
overhead = "{dice.randint(0, 20)} %"
markup = "{dice.randint(0, 15)} %"
tax = "{dice.choice([0, 7, 19, 20])} %"
"""


def panel(dice, name, openings):
    shape = dice.choice(["rectangle", "rectangle", "lunette", "arch", "ellipse"])
    width = dice.randint(700, 4200)
    height = dice.randint(600, 2600)
    spring = ""
    if shape == "lunette":
        height = dice.randint(300, width // 2)
    if shape == "arch":
        height = width // 2 + dice.randint(400, 1500)
        spring = height - dice.randint(width // 5, width // 2)
    if shape == "rectangle" and width > 1800 and height > 1500 and dice.random() < 0.6:
        for _ in range(dice.randint(1, 2)):
            left = 200 if not openings or openings[-1][0] != name else width // 2 + 100
            bottom = dice.choice([0, 250])
            openings.append((name, left, bottom, dice.randint(250, width // 2 - 350), dice.randint(400, height - 500)))
    give = dice.choices(["supple", "stiff", "brittle", "none"], [6, 3, 1, 0.5])[0]
    adhesive = dice.choice(["paste", "glue", "resin", "contact", "oil-lead"])
    paint = dice.choice(["sound", "cupped", "flaking", "powdering"])
    row = [name, f"wall {dice.randint(1, 3)}", shape, width, height, spring, dice.choice(RECIPES + [""]), dice.randint(1, 3), paint, give, adhesive]
    seams = sorted(dice.sample(range(100, width - 50), dice.choice([0, 0, 1, 2])))
    row += [dice.choice([0, 0, 400, 1700]), " ".join(f"{seam} mm" for seam in seams)]
    row += [dice.choice(["", "", "store"]), dice.choice(["", "", 1, 2, 3])]
    return ",".join(map(str, row))


def own_recipe(dice):
    """A built-in recipe with hours, speeds and crews of its own, under a name of its own."""
    text = (Path(__file__).parents[2] / "catalogs" / "recipes" / f"{dice.choice(RECIPES)}.toml").read_text(encoding="utf-8")
    text = text.replace('\nid = "', '\nid = "', 1)
    lines, first = [], True
    for line in text.splitlines():
        if first and line.startswith("id = "):
            line, first = 'id = "own"', False
        lines.append(line)
        if line.startswith("crew = [") and dice.random() < 0.5:
            fewest, most = (int(number) for number in line.split("[")[1].rstrip("]").split(","))
            speeds = [round(fewest + (crew - fewest) * dice.uniform(0.4, 1.0), 2) for crew in range(fewest, most + 1)]
            lines.append(f"speed = {sorted(speeds)}")
        if line.startswith("kind = ") and dice.random() < 0.25:
            lines.append(f'when = "{dice.choice(["daylight", "cool"])}"')
    return "\n".join(lines) + "\n"


def branched(text, dice):
    """The recipe with a step or two that wait for other steps than the one above."""
    found = tomllib.loads(text)["step"]
    ids = [step["id"] for step in found if step["kind"] != "crate"]
    lines = text.splitlines()
    for at in sorted(dice.sample(range(2, len(ids)), dice.randint(1, 2)), reverse=True):
        named = sorted(dice.sample(ids[:at], dice.randint(1, 2)))
        where = lines.index(f'id = "{ids[at]}"', lines.index("[[step]]"))
        lines.insert(where + 1, f"after = {named}".replace("'", '"'))
    return "\n".join(lines) + "\n"


def wishes(dice, rows):
    """Bays, held days and progress for the first panels."""
    single = [row.split(",")[0] for row in rows if row.split(",")[7] == "1"]
    text = ""
    if len(single) > 1 and dice.random() < 0.5:
        text += f'\n[[bay]]\nname = "one"\ntower = "scaffold tower"\npanels = {single[:2]}\n'.replace("'", '"')
    if single and dice.random() < 0.4:
        text += f'\n[[hold]]\nactivity = "{single[0]}/marks"\n{dice.choice(["day = 2027-01-18", "earliest = 2027-01-20", "latest = 2027-02-26"])}\n'
    progress = ""
    if single and dice.random() < 0.4:
        progress = f"panel,step,done,finished\n{single[-1]},marks,{dice.choice(['yes', '40 %'])},\n"
    return text, progress


def shelf(dice):
    """Whole units and offcuts of the recipes' sheets and rolls, and rests of the crates' boards and timber."""
    lines = ["material,quantity,unit,width,length,notes"]
    for material, width, length in (("tissue-12", 640, 970), ("mulberry-38", 640, 970), ("rag-80", 560, 760), ("gauze-25", 900, 30_000)):
        if dice.random() < 0.5:
            lines.append(f"{material},{dice.randint(0, 40)},,,,")
        for _ in range(dice.randint(0, 3)):
            across = dice.choice([width, dice.randint(100, width)])
            lines.append(f"{material},{dice.randint(1, 4)},,{across} mm,{dice.randint(100, length)} mm,left over")
    for material, width, length in (("plywood-12", 1220, 2440), ("foam-50", 1000, 2000), ("timber-70x25-4200", None, 4200)):
        for _ in range(dice.randint(0, 2)):
            across = f"{dice.randint(150, width)} mm" if width else ""
            lines.append(f"{material},{dice.randint(1, 3)},,{across},{dice.randint(200, length)} mm,left over")
    return lines


def sizes(dice):
    """Other sizes of two sheets, one of them with an offer, and what a cut takes."""
    head = "id,name,kind,width,length,thickness,g_per_m2,modulus_mpa,grain,kerf,same_as,source"
    rows = [f"mulberry-38-large,Mulberry paper large,sheet,{dice.randint(640, 1100)},{dice.randint(970, 1500)},0.11,38,1200,none,,mulberry-38,demo",
            f"rag-80,Cotton rag paper,sheet,560,760,0.16,80,1500,none,{dice.choice([0, 2, 5])},,demo"]
    offers = ["material,supplier,pack,price,lead_days,source", f"mulberry-38-large,paper-and-cloth,1,{dice.randint(200, 900) / 100},5,demo"]
    return [head, *rows], offers


def write(folder, seed):
    dice = random.Random(seed)
    openings = []
    rows = [panel(dice, f"P{number}", openings) for number in range(1, dice.randint(2, 9))]
    (folder / "stock.csv").write_text("\n".join(shelf(dice)) + "\n", encoding="utf-8")
    if dice.random() < 0.5:
        (folder / "catalogs").mkdir()
        for name, lines in zip(("materials", "offers"), sizes(dice)):
            (folder / "catalogs" / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    head = "panel,place,shape,width,height,spring,recipe,count,paint,give,adhesive,height_above_floor,seams,destination,return_order"
    own, (more, progress) = own_recipe(dice), wishes(dice, rows)
    if seed % 2:
        own = branched(own, random.Random(seed))
    if dice.random() < 0.5:
        (folder / "recipes").mkdir(exist_ok=True)
        (folder / "recipes" / "own.toml").write_text(own, encoding="utf-8")
        rows[0] = ",".join("own" if at == 6 else cell for at, cell in enumerate(rows[0].split(",")))
    if progress:
        (folder / "progress.csv").write_text(progress, encoding="utf-8")
    (folder / "job.toml").write_text(settings(dice) + more, encoding="utf-8")
    (folder / "panels.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    if openings:
        lines = [f"{name},rectangle,{left},{bottom},{width},{height}" for name, left, bottom, width, height in openings]
        (folder / "openings.csv").write_text("\n".join(["panel,shape,left,bottom,width,height", *lines]) + "\n", encoding="utf-8")


def reused(facelay, job, out):
    """What is said against the shelf as it is left, taken as the next job's stock."""
    shutil.copy(out / "stock-after.csv", job / "stock.csv")
    run = subprocess.run([facelay, "check", str(job)], capture_output=True, text=True, timeout=300)
    return "" if run.returncode == 0 else run.stderr


def main(facelay, count, first=1):
    planned = refused = 0
    for seed in range(int(first), int(first) + int(count)):
        with tempfile.TemporaryDirectory() as folder:
            job, out = Path(folder, "job"), Path(folder, "out")
            job.mkdir()
            write(job, seed)
            run = subprocess.run([facelay, "plan", str(job), "--out", str(out)], capture_output=True, text=True, timeout=300)
            if run.returncode == 1:
                refused += 1
                if "error:" not in run.stderr or "help:" not in run.stderr or out.exists() and any(out.iterdir()):
                    sys.exit(f"seed {seed}: refused without a remedy, or with something written:\n{run.stderr}")
                continue
            if run.returncode != 0:
                sys.exit(f"seed {seed}: exit code {run.returncode}\n{run.stderr}")
            planned += 1
            judge = subprocess.run([sys.executable, str(Path(__file__).with_name("check_plan.py")), str(out / "plan.json"), str(job)],
                                   capture_output=True, text=True)
            if judge.returncode != 0:
                sys.exit(f"seed {seed}:\n{judge.stderr}")
            again = reused(facelay, job, out)
            if again:
                sys.exit(f"seed {seed}: stock-after.csv cannot be the next job's stock.csv:\n{again}")
    if planned < refused:
        sys.exit(f"only {planned} of {planned + refused} random jobs could be planned")
    print(f"{planned} random jobs planned and judged, {refused} refused with a remedy")


main(*sys.argv[1:])
