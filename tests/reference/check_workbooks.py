"""Opens every workbook with LibreOffice, has it recalculate, and compares each cell with what facelay cached.

Also: no error cell, real tables (read by openpyxl), and the totals equal those of plan.json; sheets set up for print, unprotected, none with
merged cells in a table; cells to write in checked as they are typed; printed to PDF no column too narrow for its numbers and no words too small
to read. With the program and the job given, a price is changed in the purchase list, and recalculated it must equal a fresh plan with that price.
Usage: check_workbooks.py FOLDER [FACELAY JOB]
"""

import csv
import json
import re
import shutil
import subprocess
import sys
import tempfile
from decimal import Decimal
from pathlib import Path

import openpyxl

# A line of words takes about a sixth more than the size of its type.
LEAST_POINTS = 7.0

RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


def recalculated(books, work):
    profile = Path(work, "profile", "user")
    profile.mkdir(parents=True)
    (profile / "registrymodifications.xcu").write_text(RECALCULATE, encoding="utf-8")
    out = Path(work, "out")
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{profile.parent}", "--headless", "--convert-to",
         "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out), *map(str, books)],
        check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=600)
    return out


def same(ours, theirs):
    if isinstance(ours, (int, float)) and isinstance(theirs, (int, float)):
        return abs(ours - theirs) <= 1e-6 * max(1, abs(ours))
    return (ours or None) == (theirs or None)


def compare(book, again):
    cached = openpyxl.load_workbook(book, data_only=True)
    formulas = openpyxl.load_workbook(book)
    fresh = openpyxl.load_workbook(again, data_only=True)
    counted = 0
    for sheet in formulas.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                value = fresh[sheet.title][cell.coordinate].value
                if isinstance(value, str) and value.startswith(("#", "Err:")):
                    sys.exit(f"{book.name}, {sheet.title}!{cell.coordinate}: {value}")
                if isinstance(cell.value, str) and cell.value.startswith("="):
                    counted += 1
                    before = cached[sheet.title][cell.coordinate].value
                    if not same(before, value):
                        sys.exit(f"{book.name}, {sheet.title}!{cell.coordinate}: {cell.value} is {value} recalculated, {before} as written")
    tables = sum(len(sheet.tables) for sheet in formulas.worksheets)
    if tables == 0:
        sys.exit(f"{book.name} has no tables")
    return counted, tables, cached


def set_up(path):
    """How the sheets are made: what openpyxl sees of tables, print set-up and cells to write in."""
    book = openpyxl.load_workbook(path)
    first = book.worksheets[0]
    if first.title != "about" or not {"About", "Sheets"} <= first.tables.keys():
        sys.exit(f"{path.name}: the first sheet does not say what the file is and holds")
    told = {row[0].value for row in first[first.tables["Sheets"].ref]}
    names = [name for sheet in book.worksheets for name in sheet.tables]
    if len(names) != len(set(names)):
        sys.exit(f"{path.name}: two tables have one name")
    asked = 0
    for sheet in book.worksheets:
        where = f"{path.name}, {sheet.title}"
        if sheet.protection.sheet:
            sys.exit(f"{where}: the sheet is protected")
        if "&P" not in (sheet.oddFooter.right.text or "") and "&[Page]" not in (sheet.oddFooter.right.text or ""):
            sys.exit(f"{where}: no page number")
        if not sheet.sheet_properties.pageSetUpPr.fitToPage or sheet.page_setup.fitToHeight != 0:
            sys.exit(f"{where}: not as wide as a page")
        if sheet is not first and sheet.tables and sheet.title not in told:
            sys.exit(f"{where}: the first sheet does not list it")
        for name, table in ((table.name, table) for table in sheet.tables.values()):
            left, top, right, bottom = openpyxl.utils.range_boundaries(table.ref)
            for area in sheet.merged_cells.ranges:
                if area.min_row <= bottom and area.max_row >= top and area.min_col <= right and area.max_col >= left:
                    sys.exit(f"{where}: cells are merged in the table {name}")
            if len(sheet.tables) == 1 and bottom - top > 40 and sheet.print_title_rows is None:
                sys.exit(f"{where}: the headings of {name} are not repeated on each page")
        asked += sum(len(rule.sqref.ranges) for rule in sheet.data_validations.dataValidation)
    wanted = {"purchase-list": 12, "labour-schedule": 6, "bid": 0}[path.stem]
    if asked < wanted:
        sys.exit(f"{path.name}: {asked} columns to write in say what they take, at least {wanted} should")
    return asked


WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')


# What stands above the lists of a day sheet.
HEADINGS = ("In words, with a box to tick", "Towers to move first", "Drying: hands off until", "To mix (weigh solids", "Must lie ready today",
            "Vapour, estimated", "Cautions of the day")


def alone(book, pdf):
    """No heading of a day sheet stands at a page's foot without its lines."""
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, text=True).stdout
    for number, page in enumerate(text.split("\f"), 1):
        lines = [line.strip() for line in page.splitlines() if line.strip() and not line.startswith("Plan of the job as written")]
        if lines and lines[-1].startswith(HEADINGS):
            sys.exit(f"{book.name}: page {number} ends with the heading `{lines[-1]}`")


def printed(books, work):
    """Every workbook as PDF: no `###`, and no line of words lower than LEAST_POINTS."""
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{work}/profile", "--headless", "--convert-to", "pdf", "--outdir", f"{work}/pdf", *map(str, books)],
        check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=600)
    least = {}
    for book in books:
        alone(book, f"{work}/pdf/{book.stem}.pdf")
        text = subprocess.run(["pdftotext", "-bbox", f"{work}/pdf/{book.stem}.pdf", "-"], check=True, capture_output=True, text=True).stdout
        for number, page in enumerate(text.split("<page ")[1:], 1):
            words = [(float(bottom) - float(top), word) for _, top, _, bottom, word in WORD.findall(page)]
            if any("###" in word for _, word in words):
                sys.exit(f"{book.name}: page {number} has a column too narrow for its numbers")
            if words:
                least[book.stem, number] = min(words)
    (points, word), at = min((low, at) for at, low in least.items())
    if points < LEAST_POINTS:
        sys.exit(f"{at[0]}.xlsx: page {at[1]} prints `{word}` on a line of {points:.1f} points, at least {LEAST_POINTS} are wanted")
    return len(least), points


def cell_beside(book, sheet, label, column):
    for row in book[sheet].iter_rows(values_only=True):
        if row and row[0] == label:
            return row[column]
    sys.exit(f"{sheet}: no row `{label}`")


def changed_price(folder, plan, facelay, job, work):
    """A cent more on a pack: the workbook recalculated against a fresh plan, for the first line that is bought all the same."""
    offers = list(csv.DictReader(Path("catalogs/offers.csv").read_text(encoding="utf-8").splitlines()))
    for number, order in enumerate(plan["purchase"]["orders"], 1):
        for place, line in enumerate(order["lines"]):
            rows = [row for row in offers if (row["material"], row["supplier"]) == (line["material"], order["supplier"])
                    and Decimal(row["pack"]) == Decimal(line["pack"]) and Decimal(row["price"]) == Decimal(line["unit_price"])]
            if not rows or Decimal(line["unit_price"]) == 0:
                continue
            price = Decimal(line["unit_price"]) + Decimal("0.01")
            again = Path(work, "job")
            shutil.copytree(job, again)
            (again / "catalogs").mkdir(exist_ok=True)
            with open(again / "catalogs/offers.csv", "w", encoding="utf-8", newline="") as file:
                writer = csv.DictWriter(file, rows[0].keys())
                writer.writeheader()
                writer.writerow({**rows[0], "price": price})
            subprocess.run([facelay, "plan", str(again), "--out", str(Path(work, "fresh"))], check=True, capture_output=True)
            fresh = json.loads(Path(work, "fresh/plan.json").read_text(encoding="utf-8"))
            packs = lambda p: [(l["material"], l["pack"], l["packs"]) for o in p["purchase"]["orders"] for l in o["lines"]]
            if packs(fresh) != packs(plan):
                shutil.rmtree(again)
                shutil.rmtree(Path(work, "fresh"))
                continue
            book = openpyxl.load_workbook(folder / "purchase-list.xlsx")
            sheet = next(sheet for sheet in book.worksheets if f"Order{number}" in sheet.tables)
            first = openpyxl.utils.range_boundaries(sheet.tables[f"Order{number}"].ref)[1] + 1 + place
            heading = [cell.value for cell in sheet[first - 1 - place]].index("price of a pack") + 1
            if round(sheet.cell(first, heading).value, 2) != round(float(line["unit_price"]), 2):
                sys.exit(f"{sheet.title}: the price of {line['material']} is not where it should be")
            sheet.cell(first, heading).value = float(price)
            Path(work, "changed").mkdir()
            book.save(Path(work, "changed/purchase-list.xlsx"))
            Path(work, "second").mkdir()
            out = recalculated([Path(work, "changed/purchase-list.xlsx")], Path(work, "second"))
            total = cell_beside(openpyxl.load_workbook(out / "purchase-list.xlsx", data_only=True), "orders", "Total", 7)
            if Decimal(str(total)).quantize(Decimal("0.01")) != Decimal(fresh["purchase"]["total"]):
                sys.exit(f"purchase-list.xlsx with a pack of {line['material']} at {price} comes to {total}, a fresh plan to {fresh['purchase']['total']}")
            print(f"purchase-list.xlsx with a pack of {line['material']} at {price}: {fresh['purchase']['total']}, as a fresh plan has it")
            return
    sys.exit(f"{folder}: no pack of the built-in offers is bought whose price could be changed")


def main(folder, facelay=None, job=None):
    folder = Path(folder)
    books = sorted(folder.glob("*.xlsx"))
    if len(books) < 3:
        sys.exit(f"{folder}: three workbooks are expected, {len(books)} are there")
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as work:
        out = recalculated(books, work)
        for book in books:
            counted, tables, cached = compare(book, out / book.name)
            asked = set_up(book)
            print(f"{book.name}: {counted} formulas recalculated the same, {tables} tables, {asked} columns to write in")
            if book.stem == "bid":
                price = cell_beside(cached, "summary", "price with tax", 2)
                if Decimal(str(price)).quantize(Decimal("0.01")) != Decimal(plan["bid"]["total"]):
                    sys.exit(f"bid.xlsx says {price}, plan.json {plan['bid']['total']}")
            if book.stem == "purchase-list" and plan["purchase"]["orders"]:
                total = cell_beside(cached, "orders", "Total", 7)
                if Decimal(str(total)).quantize(Decimal("0.01")) != Decimal(plan["purchase"]["total"]):
                    sys.exit(f"purchase-list.xlsx says {total}, plan.json {plan['purchase']['total']}")
        pages, points = printed(books, work)
        print(f"printed: {pages} pages, the lowest line of {points:.1f} points")
        if facelay:
            changed_price(folder, plan, facelay, job, work)


main(*sys.argv[1:])
