"""Judges the odds by scipy: the quantiles of a line that is spread as a triangle, and the share of draws that stay within a budget.

Usage: check_odds.py FACELAY JOB WORK
The job is copied and given one own line that is spread, so that the sum of the cost lines less all that is certain is triangular.
"""

import json
import math
import os
import shutil
import subprocess
import sys
from pathlib import Path

from scipy import stats

facelay, job, work = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
DRAWS = 20000
low, likely, high = 70, 95, 180
AMOUNT = 50000

folder = work / "odds-job"
shutil.copytree(job, folder, ignore=shutil.ignore_patterns("out"))
text = (folder / "job.toml").read_text(encoding="utf-8")
text += f"""
[[terms.lump_sum]]
text = "one line that may be off"
group = "tests"
amount = "{AMOUNT}.00"

[odds]
draws = {DRAWS}
seed = 3

[[odds.spread]]
of = "own-lines"
low = "{low} %"
likely = "{likely} %"
high = "{high} %"
shared = "100 %"
"""
(folder / "job.toml").write_text(text, encoding="utf-8")


def plan(name, cores=None):
    out = work / name
    command = [facelay, "plan", str(folder), "--out", str(out)]
    if cores:
        command = ["taskset", "-c", cores] + command
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return (out / "plan.json").read_bytes()


everything = plan("odds")
assert everything == plan("odds-one-core", "0"), "one core gives other odds than all"
bid = json.loads(everything)["bid"]
own = sum(float(line["amount"]) for line in bid["lines"] if line["unit"] in ("sum", "day", "person-day"))
certain = float(bid["subtotal"]) - own
triangle = stats.triang(c=(likely - low) / (high - low), loc=low / 100, scale=(high - low) / 100)
for key, share in (("p10", 0.1), ("p50", 0.5), ("p80", 0.8), ("p90", 0.9)):
    expected = certain + own * triangle.ppf(share)
    error = own * math.sqrt(share * (1 - share) / DRAWS) / triangle.pdf(triangle.ppf(share))
    found = float(bid["odds"]["cost"][key])
    assert abs(found - expected) < 4 * error + 1, f"{key}: {found}, scipy's triangle gives {expected:.2f} ± {error:.2f}"
enough = triangle.cdf((float(bid["subtotal"]) + float(bid["contingency"]) - certain) / own)
assert abs(bid["odds"]["enough"] - enough) < 4 * math.sqrt(enough * (1 - enough) / DRAWS) + 1e-9, f"enough {bid['odds']['enough']}, scipy {enough}"
print(f"odds: four quantiles and a share of {DRAWS} draws agree with scipy.stats.triang; one core gives the bytes of {os.cpu_count()}")
