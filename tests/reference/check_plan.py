"""Judges a plan.json by the rules of the trade, knowing nothing of the program that wrote it.

Shapes by shapely, rolls by numerical integration with scipy, dates by Python's datetime, money by its decimal module.
Every rule that is broken is listed; none may be.
"""

import csv
import json
import math
import re
import sys
import tomllib
from collections import defaultdict
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

from scipy.integrate import quad
from scipy.optimize import brentq
from shapely import STRtree
from shapely.geometry import MultiPolygon, Polygon, box
from shapely.ops import unary_union

broken = []
counted = defaultdict(int)


def rule(holds, text):
    counted["rules judged"] += 1
    if not holds:
        broken.append(text)


def warned(plan, name, about):
    """Whether a problem about `about` names exactly this panel or activity."""
    whole = re.compile(r"(?<![\w/-])" + re.escape(name) + r"(?![\w/-])")
    return any(about in problem["text"] and whole.search(problem["text"]) for problem in plan["problems"])


def polygon(rings):
    return Polygon(rings[0], rings[1:])


# --- panels and layers ------------------------------------------------------------------------------------------------

def panels(plan):
    ids = [panel["panel"] for panel in plan["panels"]]
    rule(len(ids) == len(set(ids)), "panel names are not unique")
    for panel in plan["panels"]:
        shape = Polygon(panel["outline"])
        rule(shape.is_valid, f"{panel['panel']}: its outline crosses itself")
        for opening in panel["openings"]:
            shape = shape.difference(Polygon(opening))
        rule(math.isclose(shape.area / 1e6, panel["area_m2"], rel_tol=1e-3), f"{panel['panel']}: area {shape.area / 1e6} m2, plan says {panel['area_m2']}")
        x0, y0, x1, y1 = Polygon(panel["outline"]).bounds
        rule(abs(x1 - x0 - panel["width_mm"]) < 1 and abs(y1 - y0 - panel["height_mm"]) < 1, f"{panel['panel']}: outline is not as wide and high as said")


def piece_box(piece):
    return box(piece["x_mm"], piece["y_mm"], piece["x_mm"] + piece["width_mm"], piece["y_mm"] + piece["height_mm"])


def edges(piece):
    """Each edge of a piece: (vertical, position, from, to, sign outwards)."""
    x0, y0 = piece["x_mm"], piece["y_mm"]
    x1, y1 = x0 + piece["width_mm"], y0 + piece["height_mm"]
    return [(True, x0, y0, y1, -1), (True, x1, y0, y1, 1), (False, y0, x0, x1, -1), (False, y1, x0, x1, 1)]


def band(edge, depth):
    """The strip beside an edge: outwards for a positive depth, inwards for a negative one."""
    vertical, at, low, high, sign = edge
    near, far = sorted((at, at + sign * depth))
    return box(near, low, far, high) if vertical else box(low, near, high, far)


def seams(layer, region):
    """Edge stretches beyond which the region goes on: (vertical, position, from, to)."""
    found = []
    for piece in layer["pieces"]:
        for edge in edges(piece):
            beyond = band(edge, 0.5).intersection(region)
            for part in getattr(beyond, "geoms", [beyond]):
                if part.is_empty or part.area < 0.5:
                    continue
                x0, y0, x1, y1 = part.bounds
                found.append((edge[0], edge[1], *((y0, y1) if edge[0] else (x0, x1))))
    return found


def layers(plan):
    by_panel = defaultdict(list)
    for layer in plan["layers"]:
        by_panel[layer["panel"]].append(layer)
    for panel, stack in by_panel.items():
        before = None
        for layer in sorted(stack, key=lambda layer: layer["layer"]):
            name = f"{panel} layer {layer['layer']}"
            region = MultiPolygon([polygon(rings) for rings in layer["region"]]).buffer(0)
            boxes = [piece_box(piece) for piece in layer["pieces"]]
            rule(region.difference(unary_union(boxes)).area < 1.0, f"{name}: {region.difference(unary_union(boxes)).area} mm2 not covered")
            laid = sum(b.area for b in boxes) / 1e6
            rule(math.isclose(laid, layer["laid_m2"], rel_tol=1e-6), f"{name}: laid {laid} m2, plan says {layer['laid_m2']}")
            for b in boxes:
                rule(b.intersection(region).area > 0, f"{name}: a piece covers nothing")
            overlaps(name, layer, region, boxes)
            found = seams(layer, region)
            if before is not None and layer["seam_distance_mm"] > 0:
                apart(name, found, before, layer["seam_distance_mm"], warned(plan, panel, "seam"))
            before = found
            counted["layers"] += 1


def overlaps(name, layer, region, boxes):
    """Wherever the region goes on beyond a piece's edge, a neighbour must lie under the edge by the overlap."""
    tree = STRtree(boxes)
    for at, piece in enumerate(layer["pieces"]):
        for edge in edges(piece):
            beyond = band(edge, 0.5).intersection(region)
            if beyond.area < 0.5:
                continue
            vertical = edge[0]
            for part in getattr(beyond, "geoms", [beyond]):
                x0, y0, x1, y1 = part.bounds
                stretch = (vertical, edge[1], y0 if vertical else x0, y1 if vertical else x1, edge[4])
                inner = band(stretch, -layer["overlap_mm"]).intersection(region).intersection(boxes[at])
                others = [boxes[other] for other in tree.query(inner) if other != at]
                bare = inner.difference(unary_union(others)).area if others else inner.area
                rule(bare < 1.0, f"{name}: piece {piece['id']} has {bare:.1f} mm2 under its edge without the overlap")


def apart(name, upper, lower, distance, is_warned):
    by_kind = {True: [], False: []}
    for seam in lower:
        by_kind[seam[0]].append(seam)
    for vertical, at, low, high in upper:
        for _, other, other_low, other_high in by_kind[vertical]:
            together = min(high, other_high) - max(low, other_low)
            if together > 1 and abs(at - other) < distance - 0.01 and not is_warned:
                rule(False, f"{name}: a seam at {at:.1f} is only {abs(at - other):.1f} mm from one of the layer below")


UNITS_MM = {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8, '"': 25.4, "'": 304.8}


def millimetres(value, bare=1):
    """A length as jobs and recipes write them: `2.0 m`, `12"`, `6' 6"`, or a bare number in the job's unit."""
    if isinstance(value, (int, float)):
        return value * bare
    parts = re.findall(r"([\d.]+)\s*([a-z\"']*)", value)
    return sum(float(number) * UNITS_MM.get(unit, bare) for number, unit in parts)


def torn_edges(job):
    """How far each material's torn edges run out, from the built-in and the job's own materials."""
    found = {}
    for folder in (Path(__file__).parents[2] / "catalogs", Path(job) / "catalogs"):
        if (folder / "materials.csv").is_file():
            with open(folder / "materials.csv", newline="", encoding="utf-8") as file:
                found |= {row["id"]: millimetres(row.get("feather") or 0) for row in csv.DictReader(file)}
    return found


# Past the boundary of a lift, where the job says nothing: said in the template of a job.
LIFT_REACH_MM = 300


def limits(plan, job):
    """What people, canvas and scaffold ask of a layer: the recipe's and the job's own words, not the plan's."""
    settings = tomllib.loads(Path(job, "job.toml").read_text(encoding="utf-8"))
    bare = UNITS_MM[settings["unit"]]
    site = next(place for place in settings["place"] if place["role"] == "site")
    lifts = [millimetres(lift, bare) for lift in site.get("lifts", [])]
    reach = millimetres(site.get("lift_reach", f"{LIFT_REACH_MM} mm"), bare)
    books, torn = recipes(job), torn_edges(job)
    panel_of = {panel["panel"]: panel for panel in plan["panels"]}
    for layer in plan["layers"]:
        panel = panel_of[layer["panel"]]
        name = f"{layer['panel']} layer {layer['layer']}"
        step = next(step for step in books[panel["recipe"]]["step"] if step["id"] == layer["step"])
        least = millimetres(step.get("overlap", 0), bare) + 2 * torn.get(layer["material"], 0)
        rule(layer["overlap_mm"] >= least - 0.01, f"{name}: overlap {layer['overlap_mm']}, recipe and torn edges ask for {least}")
        if "longest_piece" in step:
            longest = millimetres(step["longest_piece"], bare)
            over = [piece["id"] for piece in layer["pieces"] if max(piece["width_mm"], piece["height_mm"]) > longest + 0.01]
            rule(not over, f"{name}: {over} are longer than {longest} mm")
        if lifts and step.get("place", "site") == "site":
            within_a_lift(name, layer, [lift - panel["height_above_floor_mm"] for lift in lifts], reach, panel["height_mm"])
        distance = millimetres(step.get("canvas_seam_distance", 0), bare)
        if distance > 0 and panel["canvas_seams_mm"] and not warned(plan, layer["panel"], "canvas's own"):
            region = MultiPolygon([polygon(rings) for rings in layer["region"]]).buffer(0)
            for vertical, at, _, _ in seams(layer, region):
                near = [own for own in panel["canvas_seams_mm"] if vertical and abs(own - at) < distance - 0.01]
                rule(not near, f"{name}: a seam at {at:.1f}, the canvas has one at {near}")
        in_order(name, layer, step.get("laying", "top-down"))


def within_a_lift(name, layer, lifts, reach, height):
    """Each piece lies between two boundaries within the panel, or past them by no more than hands reach."""
    inner = [lift for lift in lifts if 0 < lift < height]
    bands = list(zip([-math.inf] + [lift - reach for lift in inner], [lift + reach for lift in inner] + [math.inf]))
    for piece in layer["pieces"]:
        low, high = piece["y_mm"], piece["y_mm"] + piece["height_mm"]
        rule(any(a - 0.01 <= low and high <= b + 0.01 for a, b in bands), f"{name}: {piece['id']} from {low} to {high} crosses a lift at {inner}")


def in_order(name, layer, laying):
    """Pieces are numbered as they are laid: top down, or from the middle of all of them outwards."""
    pieces = layer["pieces"]
    rule([piece["order"] for piece in pieces] == list(range(1, len(pieces) + 1)), f"{name}: pieces are not numbered in laying order")
    if not pieces:
        return
    x0, y0, x1, y1 = unary_union([piece_box(piece) for piece in pieces]).bounds
    for one, two in zip(pieces, pieces[1:]):
        if laying == "top-down":
            kept = one["y_mm"] + one["height_mm"] >= two["y_mm"] + two["height_mm"] - 0.01
        else:
            far = [math.dist(piece_box(piece).centroid.coords[0], ((x0 + x1) / 2, (y0 + y1) / 2)) for piece in (one, two)]
            kept = far[0] <= far[1] + 0.01
        rule(kept, f"{name}: {two['id']} is laid after {one['id']}, which is not {laying}")


# --- cut plans --------------------------------------------------------------------------------------------------------

def guillotine(pieces):
    """Whether rectangles can be parted by straight cuts from edge to edge."""
    if len(pieces) <= 1:
        return True
    for low, high in ((0, 2), (1, 3)):
        ordered = sorted(pieces, key=lambda p: p[low])
        reach = ordered[0][high]
        for at in range(1, len(ordered)):
            if ordered[at][low] >= reach - 1e-6:
                return guillotine(ordered[:at]) and guillotine(ordered[at:])
            reach = max(reach, ordered[at][high])
    return False


def cuts(plan):
    laid = {piece["id"]: piece for layer in plan["layers"] for piece in layer["pieces"]}
    rule(len(laid) == sum(len(layer["pieces"]) for layer in plan["layers"]), "piece ids are not unique")
    seen = set()
    numbers = defaultdict(list)
    for unit in plan["cuts"]:
        numbers[unit["material"]].append(unit["stock"])
        rects = []
        for piece in unit["pieces"]:
            x0, y0 = piece["x_mm"], piece["y_mm"]
            x1, y1 = x0 + piece["width_mm"], y0 + piece["height_mm"]
            name = f"{unit['material']} {unit['stock']}: piece {piece['id']}"
            rule(x0 > -1e-6 and y0 > -1e-6 and x1 < unit["stock_width_mm"] + 1e-3 and y1 < unit["stock_length_mm"] + 1e-3, f"{name} is not within the stock")
            rects.append((x0, y0, x1, y1))
            wall = laid.get(piece["id"])
            if wall is not None:
                rule(piece["id"] not in seen, f"{name} is cut twice")
                seen.add(piece["id"])
                size = (piece["height_mm"], piece["width_mm"]) if piece["turned"] else (piece["width_mm"], piece["height_mm"])
                fits = all(cut > need - 0.01 for cut, need in zip(size, (wall["width_mm"], wall["height_mm"])))
                fits_turned = all(cut > need - 0.01 for cut, need in zip(size, (wall["height_mm"], wall["width_mm"])))
                rule(fits or fits_turned, f"{name} is cut {size}, the wall needs {wall['width_mm']} × {wall['height_mm']}")
        for at, a in enumerate(rects):
            for b in rects[at + 1:]:
                rule(min(a[2], b[2]) - max(a[0], b[0]) < 1e-3 or min(a[3], b[3]) - max(a[1], b[1]) < 1e-3, f"{unit['material']} {unit['stock']}: two pieces overlap")
        rule(guillotine(rects), f"{unit['material']} {unit['stock']}: cannot be cut by straight cuts")
        counted["stock units"] += 1
    rule(seen == set(laid), f"{len(set(laid) - seen)} pieces are cut from nothing")
    for material, stock in numbers.items():
        rule(sorted(stock) == list(range(1, len(stock) + 1)), f"{material}: stock units are not numbered from 1")


# --- drums and crates -------------------------------------------------------------------------------------------------

def drums(plan):
    size = {panel["panel"]: panel for panel in plan["panels"]}
    rolled = [entry["panel"] for drum in plan["drums"] for entry in drum["panels"]]
    flat = [entry["panel"] for entry in plan["flats"]]
    rule(sorted(rolled + flat) == sorted(size), "not every panel is on one drum or flat, once")
    for drum in plan["drums"]:
        name = drum["drum"]
        rule(drum["diameter_mm"] >= drum["least_diameter_mm"] - 0.01, f"{name}: thinner than its least diameter")
        rule(drum["strain"] <= drum["strain_limit"] + 1e-9, f"{name}: strain above the limit")
        rule(drum["panels"], f"{name}: nothing is on it")
        if not drum["panels"]:
            continue
        spans = sorted((entry["start_mm"], entry["start_mm"] + entry["across_mm"]) for entry in drum["panels"])
        rule(spans[0][0] >= 0 and spans[-1][1] <= drum["face_mm"] + 0.01, f"{name}: a painting stands out beyond the face")
        rule(all(a[1] <= b[0] + 0.01 for a, b in zip(spans, spans[1:])), f"{name}: two paintings lie on each other")
        for entry in drum["panels"]:
            panel = size[entry["panel"]]
            wound, across = (panel["width_mm"], panel["height_mm"]) if entry["along"] == "width" else (panel["height_mm"], panel["width_mm"])
            rule(abs(across - entry["across_mm"]) < 1, f"{name}: {entry['panel']} takes {entry['across_mm']} of the face, it is {across} across")
            length_of(name, drum, entry, wound)
        rule(drum["outside_diameter_mm"] >= drum["diameter_mm"], f"{name}: its roll is thinner than its tube")


def strains(plan):
    """A drum's limit and floor are those of strain.csv, with the reserve kept; which class a panel has, the derivations say."""
    with open(Path(__file__).parents[2] / "catalogs" / "strain.csv", newline="", encoding="utf-8") as file:
        classes = [(float(row["limit"]), float(row["reserve"]), float(row["floor"])) for row in csv.DictReader(file)]
    for drum in plan["drums"]:
        known = [row for row in classes if math.isclose(row[0], drum["strain_limit"], rel_tol=1e-9)]
        rule(known, f"{drum['drum']}: no class of strain.csv has the limit {drum['strain_limit']}")
        kept = any(drum["strain"] * reserve <= limit * (1 + 1e-6) and drum["diameter_mm"] >= floor - 0.01 for limit, reserve, floor in known)
        rule(kept, f"{drum['drum']}: strain {drum['strain']} or diameter {drum['diameter_mm']} breaks its class's limit, reserve or floor")


# Leader and tail of catalogs/drum.toml, each.
LEADER_MM = 300


def length_of(name, drum, entry, wound):
    """The turns hold the painting's length: the spiral from the tube to the roll's outside, integrated."""
    turns = entry["turns"]
    rule(turns > 0, f"{name}: {entry['panel']} has no turns")
    inner = drum["diameter_mm"] / 2
    outer = drum["outside_diameter_mm"] / 2
    growth = max(outer - inner, 0) / max(drum["turns"], 1e-9)
    length, _ = quad(lambda t: math.hypot(inner + growth * t / (2 * math.pi), growth / (2 * math.pi)), 0, 2 * math.pi * turns)
    rule(length <= (wound + 2 * LEADER_MM) * 1.25 + 50, f"{name}: {turns:.3f} turns hold {length:.0f} mm, far more than {entry['panel']}")
    rule(length >= wound - 2, f"{name}: {turns:.3f} turns hold {length:.0f} mm, {entry['panel']} is {wound:.0f} mm long")


def crates(plan):
    drum_of = {drum["drum"]: drum for drum in plan["drums"]}
    packed = [name for crate in plan["crates"] for name in crate["drums"]]
    rule(sorted(packed) == sorted(drum_of), "not every drum is in one crate")
    for crate in plan["crates"]:
        for name in crate["drums"]:
            drum = drum_of[name]
            inside = crate["inside_mm"]
            rule(inside[0] >= drum["face_mm"] and min(inside[1:]) >= drum["outside_diameter_mm"], f"{crate['crate']} does not hold {name}")
            rule(crate["gross_kg"] >= drum["mass_kg"], f"{crate['crate']} weighs less than {name}")
        rule(all(out > inner for out, inner in zip(crate["outside_mm"], crate["inside_mm"])), f"{crate['crate']} is larger inside than outside")
        rule(all(way["fits"] == (way["spare_mm"] >= 0) for way in crate["ways_out"]), f"{crate['crate']}: fits and spare disagree")


# --- schedule ---------------------------------------------------------------------------------------------------------

DAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


def at(text):
    return datetime.strptime(text, "%Y-%m-%dT%H:%M")


def minutes_of(text):
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)


def schedule(plan):
    document = plan["schedule"]
    places = {place["place"]: place for place in document["places"]}
    people = {person["name"]: person for person in document["people"]}
    supply = defaultdict(int)
    for row in document["equipment"]:
        supply[row["name"]] += row["count"]
    by_id = {activity["id"]: activity for activity in document["activities"]}
    rule(len(by_id) == len(document["activities"]), "activity ids are not unique")
    busy, holds = defaultdict(list), defaultdict(list)
    for activity in document["activities"]:
        name = activity["id"]
        start, finish = at(activity["start"]), at(activity["finish"])
        stretches = [(at(a), at(b)) for a, b in activity["stretches"]]
        worked = sum((b - a).total_seconds() / 60 for a, b in stretches)
        if activity["work_minutes"] > 0:
            rule(stretches and stretches[0][0] == start and stretches[-1][1] == finish, f"{name}: its stretches do not begin and end with it")
            crew = len(activity["people"])
            rule(crew > 0, f"{name}: work of {activity['work_minutes']} minutes and nobody does it")
            crew = max(crew, 1)
            rule(worked * crew >= activity["work_minutes"] - 1e-6, f"{name}: {worked:.0f} min by {crew} people, the work is {activity['work_minutes']}")
            rule(worked * crew < activity["work_minutes"] + crew + 1e-6, f"{name}: {worked:.0f} min by {crew} people is more than its work of {activity['work_minutes']}")
        place = places[activity["place"]]
        for a, b in stretches:
            hours = place["hours"].get(DAYS[a.weekday()], [])
            inside = any(minutes_of(h.split("-")[0]) <= a.hour * 60 + a.minute and (b - a.replace(hour=0, minute=0)).total_seconds() / 60 <= minutes_of(h.split("-")[1]) for h in hours)
            rule(inside, f"{name}: works {a}–{b}, outside the hours of {place['place']}")
            rule(a.date().isoformat() not in place["closed"], f"{name}: works on {a.date()}, a closed day")
            for person in activity["people"]:
                rule(a.date().isoformat() not in people[person].get("away", []), f"{name}: {person} is away on {a.date()}")
                busy[person].append((a, b, name))
        if activity["same_day"] and stretches:
            rule(len({a.date() for a, _ in stretches}) == 1, f"{name}: must be finished within one day")
        rule(len(set(activity["people"])) == len(activity["people"]), f"{name}: names a person twice")
        for row in activity["equipment"]:
            holds[row["name"]].append((start, finish, row["count"], name))
        for before in activity["after"]:
            end = at(by_id[before["id"]]["finish"])
            rule(start >= end + timedelta(minutes=before["dry_minutes"]), f"{name}: starts before {before['id']} is dry")
            if before["within_minutes"] is not None:
                late = start - end - timedelta(minutes=before["within_minutes"])
                rule(late <= timedelta(0) or warned(plan, name, "longest time"), f"{name}: starts {late} too long after {before['id']}")
        counted["activities"] += 1
    for person, spans in busy.items():
        spans.sort()
        for one, two in zip(spans, spans[1:]):
            rule(one[1] <= two[0], f"{person} works at {one[2]} and {two[2]} at once")
    for name, spans in holds.items():
        events = sorted([(a, n) for a, _, n, _ in spans] + [(b, -n) for _, b, n, _ in spans], key=lambda e: (e[0], e[1]))
        used = 0
        for when, change in events:
            used += change
            rule(used <= supply[name], f"{name}: {used} held at {when}, there are {supply[name]}")
    if document["activities"]:
        last = max(at(activity["finish"]) for activity in document["activities"])
        rule(at(document["finish"]) == last, "the finish is not that of the last activity")
        rule(document["lower_bound_finish"] <= document["finish"], "the lower bound is after the finish")


def recipes(job):
    """The recipe files themselves, the job's own before the built-in ones."""
    found = {}
    for folder in (Path(__file__).parents[2] / "catalogs" / "recipes", Path(job) / "recipes"):
        for file in sorted(folder.glob("*.toml")) if folder.is_dir() else []:
            recipe = tomllib.loads(file.read_text(encoding="utf-8"))
            found[recipe["id"]] = recipe
    return found


def steps_complete(plan, job):
    """Every panel has its recipe's steps, in the recipe's order, by people who can do them, within the crew's limits.

    Steps of kind `crate` are done once a crate, and a panel that stays flat is not rolled.
    """
    books = recipes(job)
    skills = {person["name"]: set(person["skills"]) for person in plan["schedule"]["people"]}
    flat = {row["panel"] for row in plan["flats"]}
    first, last = {}, {}
    for activity in plan["schedule"]["activities"]:
        step = next(step for step in books[activity["recipe"]]["step"] if step["id"] == activity["step"])
        fewest, most = step["crew"] if isinstance(step.get("crew", 1), list) else (step.get("crew", 1),) * 2
        if activity["work_minutes"] > 0:
            rule(fewest <= len(activity["people"]) <= most, f"{activity['id']}: {len(activity['people'])} people, the recipe says {fewest} to {most}")
        for person in activity["people"]:
            rule(step["skill"] in skills[person], f"{activity['id']}: {person} has not the skill {step['skill']}")
        if activity["panel"] is not None:
            key = (activity["panel"], activity["step"])
            first[key] = min(first.get(key, at(activity["start"])), at(activity["start"]))
            last[key] = max(last.get(key, at(activity["finish"])), at(activity["finish"]))
    for panel in plan["panels"]:
        name, ended = panel["panel"], []
        for step in books[panel["recipe"]]["step"]:
            key = (name, step["id"])
            if step["kind"] == "crate" or (step["kind"] == "roll" and name in flat):
                continue
            rule(key in first, f"{name}: its step {step['id']} is not in the schedule")
            if key not in first:
                continue
            rule(all(first[key] >= end for end in ended), f"{name}: {step['id']} starts before a step above it has ended")
            ended.append(last[key])


# --- orders and price -------------------------------------------------------------------------------------------------

CENT = Decimal("0.01")


def purchase(plan):
    need, have, bought = defaultdict(Decimal), defaultdict(Decimal), defaultdict(Decimal)
    for demand in plan["demands"]:
        need[demand["material"]] += Decimal(demand["quantity"])
    for stock in plan["stock"]:
        have[stock["material"]] += Decimal(stock["quantity"])
    for coming in plan["purchase"]["ordered"]:
        have[coming["material"]] += Decimal(coming["quantity"])
    total = Decimal(0)
    for order in plan["purchase"]["orders"]:
        goods = Decimal(0)
        for line in order["lines"]:
            amount = (Decimal(line["packs"]) * Decimal(line["unit_price"])).quantize(CENT, ROUND_HALF_UP)
            rule(amount == Decimal(line["amount"]), f"{order['supplier']} {line['material']}: amount {line['amount']}, packs × price = {amount}")
            goods += amount
            bought[line["for"]] += Decimal(line["packs"]) * Decimal(line["pack"])
        whole = goods + Decimal(order["freight"]) + Decimal(order["surcharge"])
        rule(whole == Decimal(order["total"]), f"{order['supplier']}: total {order['total']}, its parts give {whole}")
        rule(order["arrives"] >= plan["job"]["order_day"], f"{order['supplier']}: arrives before it is ordered")
        rule(all(order["arrives"] <= line["need_by"] for line in order["lines"]), f"{order['supplier']}: arrives after a line is needed")
        total += whole
    rule(total == Decimal(plan["purchase"]["total"]), f"orders add up to {total}, the plan says {plan['purchase']['total']}")
    rule(Decimal(plan["purchase"]["lower_bound"]) <= total, "the purchase costs less than its lower bound")
    for material, amount in need.items():
        rule(have[material] + bought[material] >= amount, f"{material}: {have[material]} on the shelf and {bought[material]} bought, {amount} needed")
    stock_units = defaultdict(int)
    for unit in plan["cuts"]:
        stock_units[unit["material"]] += 1
    for material, units in stock_units.items():
        rule(need[material] >= units, f"{material}: {units} stock units are cut, only {need[material]} are in the demands")
    counted["order lines"] += sum(len(order["lines"]) for order in plan["purchase"]["orders"])


def bid(plan, job_terms):
    document = plan["bid"]
    subtotal = Decimal(0)
    for line in document["lines"]:
        amount = (Decimal(line["quantity"]) * Decimal(line["rate"])).quantize(CENT, ROUND_HALF_UP)
        rule(amount == Decimal(line["amount"]), f"{line['id']}: amount {line['amount']}, quantity × rate = {amount}")
        subtotal += Decimal(line["amount"])
    rule(subtotal == Decimal(document["subtotal"]), f"lines add up to {subtotal}, the bid says {document['subtotal']}")
    terms = {key: Decimal(str(value).rstrip(" %")) for key, value in job_terms.items() if key in ("contingency", "overhead", "markup", "tax")}
    base = subtotal
    own_percent = {group: Decimal(str(value).rstrip(" %")) for group, value in job_terms.get("contingency_of", {}).items()}
    contingency = Decimal(0)
    for group in sorted({line["group"] for line in document["lines"]}):
        amount = sum(Decimal(line["amount"]) for line in document["lines"] if line["group"] == group)
        contingency += (amount * own_percent.get(group, terms.get("contingency", Decimal(0))) / 100).quantize(CENT, ROUND_HALF_UP)
    rule(contingency == Decimal(document["contingency"]), f"contingency is {document['contingency']}, the groups' percentages give {contingency}")
    base += contingency
    for key in ("overhead", "markup", "tax"):
        share = (base * terms.get(key, Decimal(0)) / 100).quantize(CENT, ROUND_HALF_UP)
        rule(share == Decimal(document[key]), f"{key} is {document[key]}, {terms.get(key, 0)} % of {base} is {share}")
        base += share
    parts = sum(Decimal(document[key]) for key in ("subtotal", "contingency", "overhead", "markup", "tax"))
    rule(parts == Decimal(document["total"]), f"the parts add up to {parts}, the bid says {document['total']}")
    bought = [line for line in document["lines"] if line["unit"].startswith("pack of ") or line["unit"] == "order"]
    goods = sum(Decimal(line["amount"]) for line in bought)
    odds = document.get("odds")
    if odds:
        levels = [Decimal(odds[key]) for key in ("p10", "p50", "p80", "p90")]
        rule(levels == sorted(levels), f"the odds' prices are not in order: {levels}")
        for key, price in zip(("p10", "p50", "p80", "p90"), levels):
            cost = Decimal(odds["cost"][key])
            expected = cost
            for percent in ("overhead", "markup", "tax"):
                expected += (expected * terms.get(percent, Decimal(0)) / 100).quantize(CENT, ROUND_HALF_UP)
            rule(expected == price, f"{key}: price {price}, overhead, markup and tax on {cost} give {expected}")
        rule(0 <= odds["enough"] <= 1, f"a share of {odds['enough']}")
    if job_terms.get("materials") == "as-used":
        rule(goods <= Decimal(plan["purchase"]["total"]), f"materials as used cost {goods}, more than all orders, {plan['purchase']['total']}")
        return
    rule(goods == Decimal(plan["purchase"]["total"]), f"materials, drums, crates and freight are {goods} in the bid, {plan['purchase']['total']} in the orders")


def main(path, job):
    with open(path, encoding="utf-8") as file:
        plan = json.load(file)
    rule(plan["format"] == "facelay-plan/1", "the format is not facelay-plan/1")
    for judge in (panels, layers, cuts, drums, crates, schedule):
        judge(plan)
    bid(plan, tomllib.loads(Path(job, "job.toml").read_text(encoding="utf-8")).get("terms", {}))
    limits(plan, job)
    steps_complete(plan, job)
    strains(plan)
    purchase(plan)
    summary = ", ".join(f"{number} {what}" for what, number in counted.items())
    if broken:
        sys.exit(f"{path}: {len(broken)} rules broken ({summary}):\n  " + "\n  ".join(broken[:40]))
    print(f"{path}: {summary}, none broken")


if __name__ == "__main__":
    main(*sys.argv[1:3])
