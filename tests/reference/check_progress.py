"""What people type into the workbooks comes back: fills them in, has LibreOffice save them as XLSX and ODS, plans the rest, and judges it.

What came is not bought again, what is on its way is not bought again, what is done is not planned again, half of what is half done is left, both
file formats say the same, the new workbooks say it all again, and the rates that follow are the ones typed.
Usage: check_progress.py FACELAY JOB WORK
"""

import csv
import datetime
import json
import math
import subprocess
import sys
from collections import defaultdict
from decimal import Decimal
from pathlib import Path

import openpyxl

SLOWER, THRIFTIER = 1.25, 0.9
FORMATS = {"xlsx": "xlsx:Calc MS Excel 2007 XML", "ods": "ods"}


def fail(text):
    sys.exit(f"check_progress: {text}")


def plan(facelay, job, out, *more):
    done = subprocess.run([facelay, "plan", str(job), "--out", str(out), *more], capture_output=True, text=True)
    if done.returncode:
        fail(f"planning into {out} failed:\n{done.stderr}")
    return json.loads((out / "plan.json").read_text(encoding="utf-8"))


def headings(sheet, wanted):
    """The row of headings that has the wanted ones, and the column of each heading."""
    for row in sheet.iter_rows():
        found = {cell.value: cell.column for cell in row if cell.value is not None}
        if wanted <= found.keys():
            return row[0].row, found
    fail(f"sheet {sheet.title} has no headings {wanted}")


def fill_in_work(path, today):
    """Ticks off what should be finished before today, the last of it by half; gives what was typed."""
    book = openpyxl.load_workbook(path)
    sheet = book["what is done"]
    top, column = headings(sheet, {"panel", "step", "planned finish", "done", "actual hours", "actual solution"})
    typed = {}
    rows = [row for row in range(top + 1, sheet.max_row + 1) if isinstance(sheet.cell(row, column["planned finish"]).value, datetime.datetime)]
    rows = [row for row in rows if sheet.cell(row, column["planned finish"]).value.date() < today]
    for row in rows:
        cell = lambda name: sheet.cell(row, column[name])
        share = 0.5 if row == rows[-1] else 1
        ended = cell("planned finish").value
        cell("done").value = "50 %" if share < 1 else "yes"
        cell("finished").value = ended.date()
        cell("at").value = ended.strftime("%H:%M")
        hours, grams = cell("planned hours").value, cell("planned solution (g)").value
        cell("actual hours").value = round(hours * share * SLOWER, 4)
        if grams:
            cell("actual solution").value = round(grams * share * THRIFTIER, 4)
        typed[cell("panel").value, cell("step").value] = (share, hours, grams)
    book.save(path)
    return typed


def fill_in_orders(path, plan):
    """The first order came whole, the second is on its way, of the third one pack of its first line came; gives what came and is coming."""
    book = openpyxl.load_workbook(path)
    came, coming = defaultdict(Decimal), defaultdict(Decimal)
    for number, order in enumerate(plan["purchase"]["orders"][:3], 1):
        sheet = next(sheet for sheet in book.worksheets if f"Order{number}" in sheet.tables)
        top, whole = headings(sheet, {"arrives", "sent on", "promised for", "all received on"})
        first, column = headings(sheet, {"material", "packs", "pack of", "received (packs)"})
        sent = datetime.date.fromisoformat(plan["job"]["order_day"])
        sheet.cell(top + 1, whole["sent on"]).value = sent
        lines = [(line["material"], int(line["packs"]), Decimal(line["pack"])) for line in order["lines"]]
        if number == 1:
            sheet.cell(top + 1, whole["all received on"]).value = datetime.date.fromisoformat(order["arrives"])
        for at, (material, packs, pack) in enumerate(lines):
            if sheet.cell(first + 1 + at, column["material"]).value != material:
                fail(f"{sheet.title}: {material} is not in its row")
            got = packs if number == 1 else 1 if (number, at) == (3, 0) else 0
            if got and number == 3:
                sheet.cell(first + 1 + at, column["received (packs)"]).value = got
                sheet.cell(first + 1 + at, column["received on"]).value = datetime.date.fromisoformat(order["arrives"])
            came[material] += got * pack
            coming[material] += (packs - got) * pack
    book.save(path)
    return came, coming


def saved(path, ending, work):
    out = work / f"saved-{ending}"
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{work}/profile", "--headless", "--convert-to", FORMATS[ending], "--outdir", str(out), str(path)],
        check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=300)
    return out / f"{path.stem}.{ending}"


def bought(plan):
    sums = defaultdict(Decimal)
    for order in plan["purchase"]["orders"]:
        for line in order["lines"]:
            sums[line["material"]] += int(line["packs"]) * Decimal(line["pack"])
    return sums


def same_but_inputs(one, other, what):
    a, b = ({**plan, "job": {**plan["job"], "inputs": None}, "problems": None} for plan in (one, other))
    for key in a:
        if a[key] != b.get(key):
            fail(f"{what}: `{key}` differs")


def in_packs(plan, material):
    """What of a material is needed beyond what lies there or is on its way, rounded up to the packs that are bought."""
    needs = sum(Decimal(row["quantity"]) for row in plan["demands"] if row["material"] == material)
    lacks = needs - sum(Decimal(row["quantity"]) for row in plan["stock"] + plan["purchase"]["ordered"] if row["material"] == material)
    packs = [Decimal(line["pack"]) for order in plan["purchase"]["orders"] for line in order["lines"] if line["material"] == material]
    return math.ceil(lacks / max(packs)) * max(packs) if packs else lacks


def check_rest(before, after, typed, came, coming):
    left = defaultdict(float)
    for activity in after["schedule"]["activities"]:
        left[activity["panel"] or activity.get("crate"), activity["step"]] += activity["work_minutes"]
    for (panel, step), (share, hours, _) in typed.items():
        wanted = 0 if share == 1 else math.ceil(hours * 60 * (1 - share) - 0.31)
        if abs(left.get((panel, step), 0) - wanted) > 1:
            fail(f"{step} on {panel}: {left.get((panel, step), 0)} minutes are planned, {wanted} are left")
    first, again = bought(before), bought(after)
    for material, total in first.items():
        # What is used by the day of a person can be more after the rest is planned anew; no pack more than that is bought.
        most = max(total - came[material] - coming[material], in_packs(after, material), 0)
        if again[material] > most:
            fail(f"{material}: {again[material]} are bought and {most} lack; of {total} {came[material]} came and {coming[material]} are on their way")
    lines = sum(Decimal(line["amount"]) for order in after["purchase"]["orders"] for line in order["lines"])
    goods = sum(Decimal(order["total"]) - Decimal(order["freight"]) - Decimal(order["surcharge"]) for order in after["purchase"]["orders"])
    if lines != goods:
        fail(f"order lines come to {lines}, the orders' goods to {goods}")


def check_rates(out, typed):
    with open(out / "took-hours.csv", encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    if len(rows) == 0:
        fail("took-hours.csv is empty")
    for row in rows:
        if abs(float(row["times"]) - SLOWER) > 0.02:
            fail(f"took-hours.csv: {row['step']} took {row['times']} times the plan, {SLOWER} were typed")
    if any(grams for _, _, grams in typed.values()):
        with open(out / "took-solution.csv", encoding="utf-8-sig", newline="") as file:
            for row in csv.DictReader(file):
                spread = float(row["spread in the recipe (g/m2)"])
                if abs(float(row["suggested spread (g/m2)"]) - spread * THRIFTIER) > 0.02 * spread:
                    fail(f"took-solution.csv: {row['step']}: {row['suggested spread (g/m2)']} suggested for {spread}")
    return len(rows)


def main(facelay, job, work):
    work = Path(work).resolve() / "progress"
    work.mkdir(parents=True)
    before = plan(facelay, job, work / "before")
    days = sorted({activity["start"][:10] for activity in before["schedule"]["activities"]})
    today = datetime.date.fromisoformat(days[min(6, len(days) - 1)])
    filled = work / "filled"
    filled.mkdir()
    for name in ("labour-schedule.xlsx", "purchase-list.xlsx"):
        (filled / name).write_bytes((work / "before" / name).read_bytes())
    typed = fill_in_work(filled / "labour-schedule.xlsx", today)
    came, coming = fill_in_orders(filled / "purchase-list.xlsx", before)
    rest = {}
    for ending in FORMATS:
        files = [saved(filled / name, ending, work) for name in ("labour-schedule.xlsx", "purchase-list.xlsx")]
        given = [word for file in files for word in ("--progress", str(file))]
        rest[ending] = plan(facelay, job, work / f"rest-{ending}", "--today", str(today), *given)
        check_rest(before, rest[ending], typed, came, coming)
    same_but_inputs(rest["xlsx"], rest["ods"], "saved as XLSX and as ODS")
    rates = check_rates(work / "rest-xlsx", typed)
    given = [word for name in ("labour-schedule.xlsx", "purchase-list.xlsx") for word in ("--progress", str(work / "rest-xlsx" / name))]
    again = plan(facelay, job, work / "again", "--today", str(today), *given)
    same_but_inputs(rest["xlsx"], again, "planned again from the workbooks of the rest")
    print(f"{Path(job).name}: {len(typed)} steps and three orders typed in on {today} and saved by LibreOffice as XLSX and ODS: "
          f"{len(before['schedule']['activities'])} activities became {len(rest['xlsx']['schedule']['activities'])}, orders of {before['purchase']['total']} became "
          f"{rest['xlsx']['purchase']['total']}, {rates} rates came back")


main(*sys.argv[1:])
