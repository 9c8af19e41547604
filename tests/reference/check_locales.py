"""Compares the customs of `src/units/locale.rs` with the Unicode Common Locale Data Repository as Python's babel has it.

Decimal marks must be the same; currencies those of the country today; where days are written in digits, their order and mark, and the order of
day and month in English. Canada's and Sweden's year-first days are the ISO form that both countries use beside others.
"""

import re
import sys
from pathlib import Path

from babel import Locale
from babel.dates import get_date_format
from babel.numbers import get_decimal_symbol, get_territory_currencies

ROW = re.compile(r'locale\("([a-z]{2}-[A-Z]{2})", (true|false), Days::(\w+)(?:\(\'(.)\'\))?, "([A-Z]{3})"\)')


def main():
    rows = ROW.findall(re.sub(r"\s+", " ", Path("src/units/locale.rs").read_text(encoding="utf-8")).replace("( ", "("))
    if len(rows) < 15:
        sys.exit(f"only {len(rows)} locales were found in src/units/locale.rs")
    for name, comma, days, mark, currency in rows:
        locale = Locale.parse(name.replace("-", "_"))
        if (get_decimal_symbol(locale) == ",") != (comma == "true"):
            sys.exit(f"{name}: CLDR's decimal mark is {get_decimal_symbol(locale)}")
        if currency not in get_territory_currencies(locale.territory):
            sys.exit(f"{name}: CLDR's currency is {get_territory_currencies(locale.territory)}")
        order = re.sub(r"(.)\1*", r"\1", re.sub("[^dMy]", "", get_date_format("short", locale).pattern))
        wanted = {"YearFirst": "yMd", "DayFirst": "dMy", "DayMonthWord": "dMy", "MonthWordFirst": "Mdy"}[days]
        if order != wanted:
            sys.exit(f"{name}: CLDR writes days as {get_date_format('short', locale).pattern}")
        marks = set(re.sub("[A-Za-z]", "", get_date_format("short", locale).pattern))
        if mark and marks != {mark}:
            sys.exit(f"{name}: CLDR parts days by {marks}")
    print(f"{len(rows)} locales have the decimal marks, currencies and days of CLDR")


main()
