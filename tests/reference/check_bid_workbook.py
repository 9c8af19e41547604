"""A rate and a percentage changed in bid.xlsx and recalculated by LibreOffice must give the price that facelay gives for a job with them.

Usage: check_bid_workbook.py FACELAY JOB WORK
"""

import json
import re
import shutil
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import openpyxl

sys.argv, arguments = sys.argv[:1], sys.argv[1:]
facelay, job, work = arguments[0], Path(arguments[1]), Path(arguments[2])


def plan(folder, out):
    subprocess.run([facelay, "plan", str(folder), "--out", str(out)], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return json.loads((out / "plan.json").read_text(encoding="utf-8"))["bid"]


def recalculated(book):
    profile, out = work / "bid-profile", work / "bid-recalculated"
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out), str(book)],
        check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=600)
    return openpyxl.load_workbook(out / book.name, data_only=True)


def cell(sheet, first, column):
    for row in sheet.iter_rows():
        if row[0].value == first:
            return row[column]
    sys.exit(f"{sheet.title}: no row `{first}`")


folder = work / "bid-job"
shutil.copytree(job, folder, ignore=shutil.ignore_patterns("out"))
before = plan(folder, work / "bid-before")
text = (folder / "job.toml").read_text(encoding="utf-8")
person = re.search(r'\[\[person\]\]\nname = "([^"]+)"', text).group(1)
line = next(line for line in before["lines"] if line["group"] == "labour" and line["text"] == person)
changed = Decimal(line["rate"]) + Decimal("7.35")
text = re.sub(r'(name = "%s".*?\ncharge = ")[^"]+' % re.escape(person), rf"\g<1>{changed}", text, count=1, flags=re.S)
text = re.sub(r'(\nmarkup = ")[^"]+', r"\g<1>9.5 %", text, count=1)
(folder / "job.toml").write_text(text, encoding="utf-8")
after = plan(folder, work / "bid-after")

book = work / "bid-before" / "bid.xlsx"
opened = openpyxl.load_workbook(book)
cell(opened["lines"], line["id"], 5).value = float(changed)
cell(opened["summary"], "markup", 1).value = 9.5
edited = work / "edited.xlsx"
opened.save(edited)
price = Decimal(str(cell(recalculated(edited)["summary"], "price with tax", 2).value)).quantize(Decimal("0.01"))
if price != Decimal(after["total"]) or after["total"] == before["total"]:
    sys.exit(f"bid.xlsx with a rate of {changed} and a markup of 9.5 % comes to {price}, facelay's fresh plan to {after['total']} (before: {before['total']})")
print(f"bid.xlsx: a changed rate and markup give {price}, as a fresh plan does")
