"""Compares the catalogue's Antoine constants with CoolProp's equations of state and the `chemicals` tables.

CoolProp 8.0.0 (reference equations of state) and chemicals 1.5.2 (Wagner constants of McGarry 1983) are independent of the
Antoine constants (Poling et al.) that the catalogue holds. Tolerances: 2 % against CoolProp; 10 % against Wagner tables that are
extrapolated below their range (n-butyl acetate, 2-propanol: ../shared/reference/trade.md section 6, "Reliability").
"""

import csv
import math
import sys

from chemicals.vapor_pressure import Wagner_original, Psat_data_WagnerMcGarry
from CoolProp.CoolProp import PropsSI

COOLPROP = {"acetone": "Acetone", "ethanol": "Ethanol", "toluene": "Toluene", "xylene": "m-Xylene", "water": "Water"}
WAGNER = {"ethyl-acetate": "141-78-6", "butyl-acetate": "123-86-4", "propanol-2": "67-63-0", "acetone": "67-64-1",
          "ethanol": "64-17-5", "toluene": "108-88-3"}


def antoine(row, kelvin):
    a, b, c = (float(row[f"antoine_{letter}"]) for letter in "abc")
    return 10 ** (a - b / (kelvin + c))


def main(path):
    checked = 0
    with open(path, newline="", encoding="utf-8") as file:
        rows = {row["id"]: row for row in csv.DictReader(file)}
    for name, row in rows.items():
        for celsius in (10, 20, 30):
            kelvin = celsius + 273.15
            ours = antoine(row, kelvin)
            if name in COOLPROP:
                theirs = PropsSI("P", "T", kelvin, "Q", 0, COOLPROP[name])
                limit = 0.08 if name == "xylene" else 0.02
                assert abs(ours / theirs - 1) < limit, (name, celsius, ours, theirs)
                checked += 1
            if name in WAGNER:
                d = Psat_data_WagnerMcGarry.loc[WAGNER[name]]
                theirs = Wagner_original(kelvin, d["Tc"], d["Pc"], d["A"], d["B"], d["C"], d["D"])
                assert abs(ours / theirs - 1) < 0.10, (name, celsius, ours, theirs)
                checked += 1
    assert checked >= 24, f"only {checked} vapour pressures could be compared"
    print(f"{checked} vapour pressures agree with CoolProp and chemicals")


main(sys.argv[1])
