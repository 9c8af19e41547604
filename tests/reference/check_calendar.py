"""Reads schedule.ics with an iCalendar library from PyPI and compares it with plan.json.

An event an activity and day, at the activity's own hours, with a category a person; names of events are unique.
"""

import json
import sys
from collections import Counter
from pathlib import Path

import icalendar


def days(activity):
    """First and last minute of each day of an activity."""
    found = {}
    for start, end in activity["stretches"]:
        first, _ = found.get(start[:10], (start, end))
        found[start[:10]] = (first, end)
    return found.values()


def main(folder):
    plan = json.loads(Path(folder, "plan.json").read_text(encoding="utf-8"))
    calendar = icalendar.Calendar.from_ical(Path(folder, "schedule.ics").read_bytes())
    events = list(calendar.walk("VEVENT"))
    if len({str(event["UID"]) for event in events}) != len(events):
        sys.exit("two events have one name")
    expected = Counter()
    for activity in plan["schedule"]["activities"]:
        for start, end in days(activity):
            expected[(start, end, tuple(sorted(activity["people"])))] += 1
    found = Counter()
    for event in events:
        categories = event.get("CATEGORIES", [])
        people = [str(name) for entry in (categories if isinstance(categories, list) else [categories]) for name in entry.cats]
        times = [event[key].dt.strftime("%Y-%m-%dT%H:%M") for key in ("DTSTART", "DTEND")]
        found[(*times, tuple(sorted(people)))] += 1
    if expected != found:
        sys.exit(f"the calendar differs from the plan: {list((expected - found).items())[:3]} missing, {list((found - expected).items())[:3]} too many")
    print(f"schedule.ics: {len(events)} events as planned")


main(sys.argv[1])
