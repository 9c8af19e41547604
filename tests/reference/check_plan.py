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
from fractions import Fraction
from pathlib import Path

import numpy as np
import openpyxl
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
    told = [problem["text"] for problem in plan["problems"] if about in problem["text"]]
    if any(whole.search(text) for text in told):
        return True
    # One warning may stand for panels that are like the one it names.
    alike = [match.group(1) for text in told if (match := re.search(r"`([^`]+)` and \d+ panels? like it", text))]
    shapes = {panel["panel"]: (panel["outline"], panel["openings"], panel["recipe"]) for panel in plan["panels"]}
    return any(name in shapes and shapes.get(other) == shapes[name] for other in alike)


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


LENGTHS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "\"": 25.4, "ft": 304.8, "'": 304.8, "yd": 914.4}


def stated_mm(text, unit="mm"):
    """A length as the tables write it: a number such as 3.2 or 2 1/2, and a unit unless it is the job's."""
    numbers, own = re.fullmatch(r"\s*([0-9.]+(?:\s+[0-9]+/[0-9]+)?)\s*([a-z\"']*)\s*", str(text)).groups()
    return float(sum(Fraction(number) for number in numbers.split())) * LENGTHS[own or unit]


def table(job, name):
    """Rows of a table of the job, in a CSV file or in a sheet of a workbook."""
    file = Path(job, f"{name}.csv")
    if file.is_file():
        with open(file, newline="", encoding="utf-8-sig") as lines:
            return list(csv.DictReader(lines))
    for book in sorted(Path(job).glob("*.xlsx")):
        sheets = openpyxl.load_workbook(book, read_only=True, data_only=True)
        if name in sheets.sheetnames:
            rows = list(sheets[name].iter_rows(values_only=True))
            return [dict(zip(rows[0], row)) for row in rows[1:] if any(cell is not None for cell in row)]
    return []


def materials(job):
    """The catalogue's rows, the job's own before the built-in ones."""
    found = {}
    for folder in (Path(__file__).parents[2] / "catalogs", Path(job, "catalogs")):
        file = folder / "materials.csv"
        if file.is_file():
            with open(file, newline="", encoding="utf-8-sig") as lines:
                found.update({row["id"]: row for row in csv.DictReader(lines)})
    return found


def shelf(job, document, rows):
    """What lies on the shelf: whole units by material, offcuts by material and size in millimetres."""
    whole, parts = defaultdict(Decimal), defaultdict(int)
    for row in table(job, "stock"):
        if row.get("length"):
            # Of timber the length alone is written: the rest is as wide as the whole.
            width = stated_mm(row["width"], document.get("unit", "mm")) if row.get("width") else stated_mm(rows[row["material"]]["width"])
            size = (width, stated_mm(row["length"], document.get("unit", "mm")))
            parts[row["material"], size] += int(float(row["quantity"]))
        else:
            whole[row["material"]] += Decimal(str(row["quantity"]))
    return whole, parts


def sawn(unit, kerf):
    """The parts that a unit falls into by its cuts in order, as (x0, y0, x1, y1); each cut must run across one part, edge to edge."""
    parts = [(0.0, 0.0, unit["stock_width_mm"], unit["stock_length_mm"])]
    name = f"{unit['material']} {unit['stock']}"
    for line in unit["lines"]:
        low, high = (0, 2) if line["across"] else (1, 3)
        near, far = (1, 3) if line["across"] else (0, 2)
        hit = [part for part in parts if abs(part[low] - line["from_mm"]) < 0.01 and abs(part[high] - line["to_mm"]) < 0.01
               and part[near] < line["at_mm"] < part[far]]
        rule(len(hit) == 1, f"{name}: a cut at {line['at_mm']} runs across {len(hit)} parts")
        for part in hit[:1]:
            parts.remove(part)
            first, second = list(part), list(part)
            first[far], second[near] = line["at_mm"], line["at_mm"] + kerf
            parts += [tuple(part) for part in (first, second) if part[far] - part[near] > 0.001]
    return parts


def same(a, b):
    return all(abs(x - y) < 0.01 for x, y in zip(a, b))


CRATE_KERF = tomllib.loads((Path(__file__).parents[2] / "catalogs" / "crate.toml").read_text(encoding="utf-8"))["kerf"]


def cuts(plan, job, document):
    laid = {piece["id"]: (piece, layer) for layer in plan["layers"] for piece in layer["pieces"]}
    rule(len(laid) == sum(len(layer["pieces"]) for layer in plan["layers"]), "piece ids are not unique")
    rows = materials(job)
    whole, parts = shelf(job, document, rows)
    useful = stated_mm(document.get("useful_offcut", "150 mm"), document.get("unit", "mm"))
    seen = set()
    numbers, taken = defaultdict(list), defaultdict(lambda: defaultdict(int))
    left, turns = [], defaultdict(set)
    for unit in plan["cuts"]:
        row = rows[unit["material"]]
        is_facing = any(piece["id"] in laid for piece in unit["pieces"])
        kerf = stated_mm(row.get("kerf") or 0) if is_facing else stated_mm(document.get("crate", {}).get("kerf", CRATE_KERF))
        numbers[unit["material"]].append(unit["stock"])
        rects = []
        for piece in unit["pieces"]:
            x0, y0 = piece["x_mm"], piece["y_mm"]
            x1, y1 = x0 + piece["width_mm"], y0 + piece["height_mm"]
            name = f"{unit['material']} {unit['stock']}: piece {piece['id']}"
            rule(x0 > -1e-6 and y0 > -1e-6 and x1 < unit["stock_width_mm"] + 1e-3 and y1 < unit["stock_length_mm"] + 1e-3, f"{name} is not within the stock")
            rects.append((x0, y0, x1, y1))
            wall, layer = laid.get(piece["id"], (None, None))
            if wall is not None:
                rule(piece["id"] not in seen, f"{name} is cut twice")
                seen.add(piece["id"])
                rule(unit["material"] == layer["material"] or row.get("same_as") == layer["material"], f"{name} is of {layer['material']}")
                size = (piece["height_mm"], piece["width_mm"]) if piece["turned"] else (piece["width_mm"], piece["height_mm"])
                fits = all(cut > need - 0.01 for cut, need in zip(size, (wall["width_mm"], wall["height_mm"])))
                rule(fits, f"{name} is cut {size}, the wall needs {wall['width_mm']} × {wall['height_mm']}")
                if (row.get("grain") or "none") != "none":
                    turns[layer["panel"], layer["layer"]].add(piece["turned"])
        for at, a in enumerate(rects):
            for b in rects[at + 1:]:
                rule(min(a[2], b[2]) - max(a[0], b[0]) < 1e-3 or min(a[3], b[3]) - max(a[1], b[1]) < 1e-3, f"{unit['material']} {unit['stock']}: two pieces overlap")
        rule(guillotine(rects), f"{unit['material']} {unit['stock']}: cannot be cut by straight cuts")
        size = (unit["stock_width_mm"], unit["stock_length_mm"])
        if is_facing:
            taken[unit["material"]][unit["from"]] += 1
        if unit["from"] == "offcut":
            known = [key for key in parts if key[0] == unit["material"] and all(abs(a - b) <= 1 for a, b in zip(key[1], size)) and parts[key] > 0]
            rule(known, f"{unit['material']} {unit['stock']}: no offcut of {size} mm is on the shelf")
            for key in known[:1]:
                parts[key] -= 1
        else:
            rule(same(size, (stated_mm(row["width"]), stated_mm(row["length"]))), f"{unit['material']} {unit['stock']}: {size} is no size of the catalogue")
        if row["kind"] == "timber":
            end = max(rect[3] for rect in rects) + kerf
            left += [(unit["material"], size[0], size[1] - end)] if size[1] - end > 0.001 else []
        else:
            rest = sawn(unit, kerf)
            for rect in rects:
                hit = [part for part in rest if same(part, rect)]
                rule(len(hit) == 1, f"{unit['material']} {unit['stock']}: the cuts do not free the piece at {rect}")
                rest = [part for part in rest if part not in hit]
            left += [(unit["material"], part[2] - part[0], part[3] - part[1]) for part in rest]
        counted["stock units"] += 1
    rule(seen == set(laid), f"{len(set(laid) - seen)} pieces are cut from nothing")
    for layer, ways in turns.items():
        rule(len(ways) == 1, f"{layer}: some of its pieces are turned against the grain")
    for material, stock in numbers.items():
        rule(sorted(stock) == list(range(1, len(stock) + 1)), f"{material}: stock units are not numbered from 1")
    for material, from_where in taken.items():
        rule(from_where["shelf"] <= whole[material], f"{material}: {from_where['shelf']} are cut from the shelf, {whole[material]} are there")
        rule(from_where["bought"] == 0 or from_where["shelf"] == int(whole[material]), f"{material}: bought while some are on the shelf")
    totals(plan, rows, taken)
    kept(plan, parts, left, useful, rows)


def totals(plan, rows, taken):
    """The totals are those of the cut plan, and no less is bought than the bound and the area ask for."""
    for total in plan["cut_totals"]:
        family = [id for id in rows if id == total["material"] or rows[id].get("same_as") == total["material"]]
        for key, word in (("offcuts", "offcut"), ("shelf", "shelf"), ("bought", "bought")):
            count = sum(taken[id][word] for id in family)
            rule(total[key] == count, f"{total['material']}: {count} cut from {word}, the total says {total[key]}")
        rule(total["least_bought"] <= total["bought"], f"{total['material']}: buys fewer than possible")
        if total["cost"] is not None:
            rule(Decimal(total["least_cost"]) <= Decimal(total["cost"]), f"{total['material']}: costs less than possible")


def kept(plan, parts, left, useful, rows):
    """The offcuts listed are what was on the shelf and not cut, and what the cuts leave that is worth keeping; of timber its length decides."""
    expected = [(material, *size) for (material, size), count in parts.items() for _ in range(count)]
    expected += [part for part in left if min(part[2:] if rows[part[0]]["kind"] == "timber" else part[1:]) >= useful - 0.001]
    listed = [(row["material"], row["width_mm"], row["length_mm"]) for row in plan["offcuts"] for _ in range(row["count"])]
    rule(len(expected) == len(listed), f"{len(listed)} offcuts are listed, {len(expected)} are left")
    for a, b in zip(sorted(expected), sorted(listed)):
        rule(a[0] == b[0] and all(abs(x - y) <= 1 for x, y in zip(a[1:], b[1:])), f"an offcut {a} is left, {b} is listed")


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


def coldest(settings):
    """The coldest place in degrees Celsius, of those that say it in them."""
    texts = [place.get("temperature", "20 °C") for place in settings.get("place", [])]
    return min((float(text.removesuffix("°C")) for text in texts if text.endswith("°C")), default=20.0)


def strains(plan, settings):
    """A drum's limit and floor are those of strain.csv, with the reserve kept; which class a panel has, the derivations say.

    Where the row says so, the limit is lower in a place colder than it names.
    """
    cold = coldest(settings)
    with open(Path(__file__).parents[2] / "catalogs" / "strain.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    classes = []
    for row in rows:
        lowered = row["cold_below"] and cold < float(row["cold_below"].removesuffix("°C"))
        classes.append((float(row["cold_limit"] if lowered else row["limit"]), float(row["reserve"]), float(row["floor"])))
    for drum in plan["drums"]:
        known = [row for row in classes if math.isclose(row[0], drum["strain_limit"], rel_tol=1e-9)]
        rule(known, f"{drum['drum']}: no class of strain.csv has the limit {drum['strain_limit']}")
        kept = any(drum["strain"] * reserve <= limit * (1 + 1e-6) and drum["diameter_mm"] >= floor - 0.01 for limit, reserve, floor in known)
        rule(kept, f"{drum['drum']}: strain {drum['strain']} or diameter {drum['diameter_mm']} breaks its class's limit, reserve or floor")


def drum_use(plan):
    """Wall and bearings, the cost of the choice, and how faces are cut from stock tubes."""
    kerf = float(tomllib.loads((Path(__file__).parents[2] / "catalogs" / "drum.toml").read_text(encoding="utf-8"))["kerf"].split()[0])
    for drum in plan["drums"]:
        name = drum["drum"]
        rule(0 < drum["stress_mpa"] <= drum["stress_limit_mpa"] * (1 + 1e-9), f"{name}: its wall is bent with {drum['stress_mpa']} MPa")
        rule(math.isclose(2 * drum["bearing_n"], drum["mass_kg"] * 9.80665, rel_tol=1e-6), f"{name}: its bearings do not carry its mass")
        for entry in drum["panels"]:
            rule(0 < entry["last_strain"] <= entry["strain"] * (1 + 1e-9), f"{name}: {entry['panel']} is strained more in its last turn")
        rule(any(math.isclose(entry["strain"], drum["strain"], rel_tol=1e-9) for entry in drum["panels"]), f"{name}: no panel has its strain")
    choice = plan["drum_choice"]
    cost, bound = Decimal(choice["cost"]), Decimal(choice["lower_bound"])
    rule(0 <= bound <= cost, f"the drums cost {cost}, their bound is {bound}")
    rule(not choice["proven"] or cost - bound <= Decimal("0.01"), f"the drums are called proved at {cost} with a bound of {bound}")
    face = {drum["drum"]: drum["face_mm"] for drum in plan["drums"]}
    pieces = [piece for cut in plan["tube_cuts"] for piece in cut["pieces"]]
    rule(sorted(piece["drum"] for piece in pieces) == sorted(face), "not every drum is cut from one tube")
    for cut in plan["tube_cuts"]:
        used = sum(piece["length_mm"] for piece in cut["pieces"]) + kerf * (len(cut["pieces"]) - 1)
        rule(used <= cut["stock_length_mm"] + 0.01, f"{cut['material']} {cut['stock']}: {used} mm are cut from {cut['stock_length_mm']} mm")
        rule(all(abs(piece["length_mm"] - face[piece["drum"]]) < 0.01 for piece in cut["pieces"]), f"{cut['material']} {cut['stock']}: a face is cut too short")


def returns(plan, settings, job):
    """Paintings share a drum only for one destination and day, what is needed first is rolled last, and stands are held while anything is rolled."""
    path = Path(job, "panels.csv")
    if not path.exists():
        return
    with open(path, newline="", encoding="utf-8-sig") as file:
        rows = {row["panel"]: row for row in csv.DictReader(file)}
    books = recipes(job)
    kind = {(name, step["id"]): step["kind"] for name, book in books.items() for step in book["step"]}
    rolls = [activity for activity in plan["schedule"]["activities"] if kind[activity["recipe"], activity["step"]] == "roll"]
    begin = {activity["panel"]: activity["start"] for activity in rolls}
    for drum in plan["drums"]:
        on = [rows[entry["panel"]] if entry["panel"] in rows else rows[entry["panel"].rpartition("/")[0]] for entry in drum["panels"]]
        for key in ("recipe", "destination", "return_date", "mould"):
            alike = {row.get(key) or (settings.get("default_recipe") if key == "recipe" else "") for row in on}
            rule(len(alike) == 1, f"{drum['drum']}: its paintings differ in {key}: {sorted(map(str, alike))}")
        turns = [float(row.get("return_order") or "inf") for row in on]
        rule(turns == sorted(turns, reverse=True), f"{drum['drum']}: rolled in the turns {turns}, so that the first needed does not come off first")
        rolled = [begin[entry["panel"]] for entry in drum["panels"] if entry["panel"] in begin]
        if min(turns, default=math.inf) < math.inf:
            rule(rolled == sorted(rolled), f"{drum['drum']}: the schedule rolls its paintings at {rolled}, not in their turns")
    if plan["drum_choice"]["stands"]:
        days = {start[:10] for activity in rolls for start, _ in activity["stretches"]}
        rule(plan["drum_choice"]["rolling_days"] == len(days), f"stands are held on {plan['drum_choice']['rolling_days']} days, something is rolled on {len(days)}")


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


TO_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


def mm(text, unit="mm"):
    """A length as job.toml or a kit has it: 60 mm, 1.60 m, 3' 6", 2 1/2 in, or a bare number."""
    text = str(text).strip().replace("′", "'").replace("″", '"')
    feet = re.fullmatch(r"(\d+)'\s*(.*?)\"?", text)
    if feet:
        return float(feet[1]) * 304.8 + (mm(feet[2], "in") if feet[2] else 0.0)
    whole = re.fullmatch(r'([\d.,]*)\s*(?:(\d+)/(\d+))?\s*(mm|cm|m|in|ft|")?', text)
    if not whole:
        raise ValueError(f"no length: {text}")
    number = float(whole[1].replace(",", ".") or 0) + (float(whole[2]) / float(whole[3]) if whole[2] else 0.0)
    return number * TO_MM[{'"': "in", None: unit}.get(whole[4], whole[4])]


def catalogue_rows(name, job):
    """A catalogue's rows by id, the job's own over the built-in ones."""
    rows = {}
    for folder in (Path(__file__).parents[2] / "catalogs", Path(job) / "catalogs"):
        if (folder / name).is_file():
            with open(folder / name, newline="", encoding="utf-8") as file:
                rows.update((row["id"], row) for row in csv.DictReader(file))
    return rows


def crate_kit(settings):
    kit = tomllib.loads((Path(__file__).parents[2] / "catalogs" / "crate.toml").read_text(encoding="utf-8"))
    return kit | settings.get("crate", {})


def passes_door(size, way, unit):
    """Lengthwise through the opening: some turn of the two lesser sides has a bounding box within it."""
    thin, middle, _ = sorted(size)
    turn = np.linspace(0, np.pi / 2, 9001)
    wide = thin * np.cos(turn) + middle * np.sin(turn)
    high = thin * np.sin(turn) + middle * np.cos(turn)
    return np.min(np.maximum(wide - mm(way["width"], unit), high - mm(way["height"], unit)))


def lies_in(p, q, a, b):
    """How far the best turn of p x q stands out of a x b, in mm; negative where it has room."""
    turn = np.linspace(0, np.pi / 2, 9001)
    return np.min(np.maximum(p * np.cos(turn) + q * np.sin(turn) - a, p * np.sin(turn) + q * np.cos(turn) - b))


def passes_corner(size, way, unit):
    first, second = mm(way["first"], unit), mm(way["second"], unit)
    long, short = max(size[:2]), min(size[:2])
    turned = math.inf
    if short <= min(first, second):
        gap = lambda t: (first * math.sin(t) + second * math.cos(t) - short) / (math.sin(t) * math.cos(t))
        turned = long - min(min(gap(t) for t in np.linspace(0.001, np.pi / 2 - 0.001, 2001)), 1e9)
        turned = max(turned, short - min(first, second))
    pushed = min(max(short - first, long - second), max(short - second, long - first))
    return max(min(turned, pushed), size[2] - mm(way["height"], unit))


def passes_lift(size, way, unit):
    wide, deep, high = (mm(way[key], unit) for key in ("width", "depth", "height"))
    long, across, up = size
    upright = max(lies_in(long, across, wide, deep), up - high)
    leaning = min(max(lies_in(long, up, a, high), across - b) for a, b in ((wide, deep), (deep, wide)))
    on_end = max(lies_in(across, up, wide, deep), long - high)
    return min(upright, leaning, on_end)


def passes_vehicle(size, way, unit):
    long, wide, high = (mm(way[key], unit) for key in ("length", "width", "height"))
    return max(min(max(size[0] - a, size[1] - b) for a, b in ((long, wide), (wide, long))), size[2] - high)


PASSES = {"door": passes_door, "corner": passes_corner, "lift": passes_lift, "vehicle": passes_vehicle}


def ways_out(name, size, found, settings):
    """Every way out is tried again by brute force over turns; within 2 mm of touching either answer will do."""
    unit = settings.get("unit", "mm")
    asked = [(place["name"], way) for place in settings["place"] for way in place.get("way_out", [])]
    rule(len(asked) == len(found), f"{name}: {len(found)} ways out are tried of {len(asked)}")
    for (place, way), answer in zip(asked, found):
        rule((answer["place"], answer["way"]) == (place, way["name"]), f"{name}: {answer['way']} stands where {way['name']} should")
        rule(answer["fits"] == (answer["spare_mm"] >= 0), f"{name}: fits and spare disagree at {way['name']}")
        over = PASSES[way["kind"]](size, way, unit)
        rule(answer["fits"] == (over <= 0) or abs(over) < 2, f"{name}: by brute force it stands out of {way['name']} by {over:.1f} mm, the plan says {answer['spare_mm']:.1f} spare")
        counted["ways out"] += 1


def carriers(kg, height_mm):
    """Fewest people by the HSE filter and the revised NIOSH equation at once; none where gear is needed."""
    grip = height_mm / 20
    share = 23 * 25 / 30 * (1 - 0.003 * abs(grip - 75)) * (0.82 + 4.5 / max(25, abs(75 - grip))) if grip <= 175 else 0
    return next((people for people, most in ((1, 25), (2, 100 / 3), (3, 37.5)) if kg <= most and kg <= share * people), None)


def crates(plan, settings, job):
    drum_of = {drum["drum"]: drum for drum in plan["drums"]}
    size_of = {panel["panel"]: panel for panel in plan["panels"]}
    bare_of = {(bare["kind"], bare["what"]): bare for bare in plan["bare"]}
    crated = {panel["panel"] for panel in plan["panels"] if any(step["kind"] == "crate" for step in recipes(job)[panel["recipe"]]["step"])}
    packed = [name for crate in plan["crates"] for name in crate["drums"]]
    rule(sorted(packed) == sorted(name for name, drum in drum_of.items() if drum["panels"][0]["panel"] in crated), "not every drum is in one crate")
    flats = [name for crate in plan["crates"] for name in crate["flats"]]
    rule(sorted(flats) == sorted(flat["panel"] for flat in plan["flats"] if flat["panel"] in crated), "not every flat panel is in one crate")
    kit = crate_kit(settings)
    unit = settings.get("unit", "mm")
    side = {key: mm(kit[key], "mm" if key not in settings.get("crate", {}) else unit) for key in ("clearance", "end_clearance", "support_margin")}
    materials = catalogue_rows("materials.csv", job)
    thick = {key: mm(materials[kit.get(key, kit["batten"])]["thickness"]) for key in ("board", "batten", "skid", "foam", "support")}
    for bare in plan["bare"]:
        name = f"bare {bare['what']}"
        if bare["kind"] == "drum":
            drum = drum_of[bare["what"]]
            rule(all(abs(a - b) < 0.01 for a, b in zip(bare["size_mm"], (drum["face_mm"], drum["outside_diameter_mm"], drum["outside_diameter_mm"]))), f"{name}: is not as large as its roll")
            rule(math.isclose(bare["mass_kg"], drum["mass_kg"], rel_tol=1e-9), f"{name}: weighs other than its drum")
        else:
            panel = size_of[bare["what"]]
            long, short = max(panel["width_mm"], panel["height_mm"]), min(panel["width_mm"], panel["height_mm"])
            rule(bare["size_mm"][0] >= long + 2 * side["support_margin"] - 1 and bare["size_mm"][2] >= short + 2 * side["support_margin"] - 1, f"{name}: its tray is smaller than the panel with its margins")
            rule(bare["size_mm"][1] >= thick["support"] + 2 * thick["batten"] - 0.01, f"{name}: its tray is thinner than its boards")
        rule(bare["carriers"] == carriers(bare["mass_kg"], bare["size_mm"][2]), f"{name}: {bare['carriers']} carry it, the guidelines give {carriers(bare['mass_kg'], bare['size_mm'][2])}")
        ways_out(name, bare["size_mm"], bare["ways_out"], settings)
    for crate in plan["crates"]:
        one_crate(plan, crate, kit, side, thick, materials, drum_of, bare_of)
        ways_out(crate["crate"], crate["outside_mm"], crate["ways_out"], settings)
        counted["crates"] += 1
    crate_cuts(plan, materials)


def one_crate(plan, crate, kit, side, thick, materials, drum_of, bare_of):
    name, inside, outside = crate["crate"], crate["inside_mm"], crate["outside_mm"]
    held = [bare_of["drum", what] for what in crate["drums"]] + [bare_of["tray", what] for what in crate["flats"]]
    rule(bool(held) and not (crate["drums"] and crate["flats"]), f"{name}: holds nothing, or drums and trays together")
    gap = side["clearance"]
    end = side["end_clearance"] if crate["drums"] else gap
    least = (max(h["size_mm"][0] for h in held) + 2 * end, sum(h["size_mm"][1] + gap for h in held) + gap, max(h["size_mm"][2] for h in held) + 2 * gap)
    rule(all(a >= b - 0.01 for a, b in zip(inside, least)), f"{name}: inside {inside}, what it holds needs {least}")
    shell = 2 * (thick["board"] + thick["batten"])
    built = [inside[0] + shell, inside[1] + shell, inside[2] + shell + thick["skid"]]
    rule(all(abs(a - b) < 0.01 for a, b in zip(outside, built)), f"{name}: outside {outside}, boards, battens and skids give {built}")
    rule(math.isclose(crate["gross_kg"], crate["tare_kg"] + sum(h["mass_kg"] for h in held), rel_tol=1e-9), f"{name}: gross is not tare and contents")
    tare = tare_of(crate, kit, materials, drum_of)
    rule(tare <= crate["tare_kg"] <= tare * 1.05 + 1, f"{name}: tare {crate['tare_kg']:.1f} kg, its pieces without screws weigh {tare:.1f}")
    freight = math.ceil(max(crate["gross_kg"], math.prod(outside) / 6e6) * 2 - 1e-6) / 2
    rule(math.isclose(crate["charged_kg"], freight), f"{name}: charged {crate['charged_kg']}, the volume rule gives {freight}")
    rule(crate["carriers"] == carriers(crate["gross_kg"], outside[2]), f"{name}: {crate['carriers']} carry it, the guidelines say otherwise")
    rule(all(0 < at < whole for at, whole in zip(crate["centre_mm"], outside)), f"{name}: its centre of mass lies outside")
    if len(held) == 1:
        rule(abs(crate["centre_mm"][1] - outside[1] / 2) < 1, f"{name}: one drum or tray stands off the middle")
    if len(held) > 1:
        rule(crate["gross_kg"] <= float(str(kit["heaviest_together"]).split()[0]) * (0.45359237 if "lb" in str(kit["heaviest_together"]) else 1) + 1e-6 and len(held) <= kit["most_together"], f"{name}: shared beyond what the kit allows")
        rule(all(way["fits"] for way in crate["ways_out"]), f"{name}: shared although it does not pass")
    for press, thing in zip(crate["presses"], held):
        rule(press["what"] == thing["what"], f"{name}: foam under {press['what']} stands where {thing['what']} should")
        if thing["kind"] == "drum":
            drum = drum_of[thing["what"]]
            free = min(min(entry["start_mm"], drum["face_mm"] - entry["start_mm"] - entry["across_mm"]) for entry in drum["panels"])
            rule(press["length_mm"] <= free + 0.01, f"{name}: a cradle of {press['length_mm']} reaches under the painting, {free} is bare")
            area = 2 * press["length_mm"] * drum["diameter_mm"] * math.sin(math.pi / 3)
        else:
            area = press["length_mm"] * thing["size_mm"][1]
        kpa = thing["mass_kg"] * 9.80665 / area * 1000 if area else 0
        rule(math.isclose(press["kpa"], kpa, rel_tol=1e-3, abs_tol=1e-6), f"{name}: foam pressed with {press['kpa']:.2f} kPa, by hand {kpa:.2f}")
        crate_said = any(f"crate {name} " in problem["text"] and ("pressed" in problem["text"] or "no room" in problem["text"]) for problem in plan["problems"])
        rule(crate_said or (area > 0 and (press["limit_kpa"] is None or kpa <= press["limit_kpa"] * 1.001)), f"{name}: foam pressed too hard, and nobody is told")
    text = "\n".join(crate["marks"])
    rule(all(words in text for words in (f"{name} of {len(plan['crates'])}", "THIS WAY UP", "KEEP DRY", "gross")), f"{name}: its marks are not whole")


def tare_of(crate, kit, materials, drum_of):
    """Mass in kg of boards, timber, foam, buffer, lining and barrier, without screws; trays belong to the contents."""
    def sheet(row):
        return float(row["g_per_m2"]) / 1000 if row["g_per_m2"] else mm(row["thickness"]) * float(row["density_g_ml"])
    total = 0.0
    for piece in crate["pieces"]:
        if piece["part"].startswith("tray"):
            continue
        row = materials[piece["material"]]
        area = piece["width_mm"] * piece["length_mm"] / 1e6 * piece["count"]
        total += area * sheet(row)
    foam = materials[kit["foam"]]
    for press in crate["presses"]:
        if press["what"] in crate["drums"]:
            boards = 2 * math.ceil(press["length_mm"] / mm(foam["thickness"]) - 1e-6)
            total -= boards * math.pi / 4 * (drum_of[press["what"]]["diameter_mm"] / 1000) ** 2 * sheet(foam)
    long, wide, high = (side / 1000 for side in crate["inside_mm"])
    faces = 2 * (long * wide + long * high + wide * high)
    total += sum(faces * sheet(materials[kit[key]]) for key in ("lining", "barrier") if key in kit)
    return total + kit["buffer"]["g_per_m3"] / 1000 * long * wide * high


def crate_cuts(plan, materials):
    """Every piece of every crate is cut, none smaller than it should be; no plan costs less than its bound."""
    wanted, cut = defaultdict(float), defaultdict(float)
    flat = lambda material: materials[material]["kind"] == "board"
    group = lambda material: material if flat(material) else (materials[material]["width"], materials[material]["thickness"])
    for crate in plan["crates"]:
        for piece in crate["pieces"]:
            wanted[group(piece["material"])] += piece["count"] * piece["length_mm"] * (piece["width_mm"] if flat(piece["material"]) else 1)
    named = {piece["material"] for crate in plan["crates"] for piece in crate["pieces"]}
    sections = {group(material) for material in named if not flat(material)}
    for unit in plan["cuts"]:
        row = materials[unit["material"]]
        if unit["material"] in named and row["kind"] == "board":
            cut[unit["material"]] += sum(piece["width_mm"] * piece["height_mm"] for piece in unit["pieces"])
        elif row["kind"] == "timber" and group(unit["material"]) in sections:
            cut[group(unit["material"])] += sum(piece["height_mm"] for piece in unit["pieces"])
    for what, amount in wanted.items():
        rule(amount * (1 - 1e-6) - 1 <= cut[what] <= amount * 1.02 + 5000, f"{what}: crates need {amount:.0f}, {cut[what]:.0f} are cut")
    units = defaultdict(int)
    for unit in plan["cuts"]:
        units[unit["material"]] += 1
    for bound in plan["crate_cut_bounds"]:
        rule(Decimal(bound["lower_bound"]) <= Decimal(bound["cost"]), f"{bound['material']}: the cut plan costs less than its bound")
        if flat(bound["material"]):
            rule(units[bound["material"]] == bound["units"], f"{bound['material']}: {bound['units']} units are counted, {units[bound['material']]} cut")
            sheet = mm(materials[bound["material"]]["width"]) * mm(materials[bound["material"]]["length"])
            rule(bound["units"] >= wanted[bound["material"]] / sheet - 1e-6, f"{bound['material']}: fewer boards than their area")


# --- schedule ---------------------------------------------------------------------------------------------------------

DAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


def at(text):
    return datetime.strptime(text, "%Y-%m-%dT%H:%M")


def minutes_of(text):
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)


def step_of(books, activity):
    return next(step for step in books[activity["recipe"]]["step"] if step["id"] == activity["step"])


def crew_speed(step, crew):
    """How many people's work a crew does: the recipe's `speed`, from the fewest to the most people, else its people."""
    fewest = step["crew"][0] if isinstance(step.get("crew", 1), list) else step.get("crew", 1)
    return step["speed"][crew - fewest] if "speed" in step else crew


def whereabouts(document):
    """Nobody is at two places on one day, nor on the days of travel between."""
    days = defaultdict(dict)
    for activity in document["activities"]:
        first, last = at(activity["start"]).date(), (at(activity["finish"]) - timedelta(minutes=1)).date()
        for person in activity["people"]:
            for day in range((last - first).days + 1):
                known = days[person].setdefault(first + timedelta(days=day), activity["place"])
                rule(known == activity["place"], f"{person} is at {known} and {activity['place']} on {first + timedelta(days=day)}")
    for person, where in days.items():
        order = sorted(where)
        for one, two in zip(order, order[1:]):
            if where[one] != where[two]:
                rule((two - one).days > document["travel_days"], f"{person} goes from {where[one]} to {where[two]} from {one} to {two}")


def stands(document, by_id, holds):
    """A tower is moved in before a step, or is still there from the step named, for which it has been kept all the time."""
    moving = {row["name"]: row["moving_minutes"] for row in document["equipment"]}
    kept = {}
    for activity in document["activities"]:
        towers = [row for row in activity["equipment"] if moving[row["name"]] > 0]
        if not towers:
            rule(activity["moving_minutes"] == 0 and activity["stands_on"] is None, f"{activity['id']}: moves a tower that it does not use")
            continue
        tower = towers[0]
        if activity["stands_on"] is None:
            rule(activity["moving_minutes"] == moving[tower["name"]], f"{activity['id']}: moves its tower in {activity['moving_minutes']} min")
            continue
        first = by_id[activity["stands_on"]]
        together = first["panel"] == activity["panel"] or activity["bay"] is not None and first["bay"] == activity["bay"]
        rule(together and first["moving_minutes"] == moving[tower["name"]], f"{activity['id']}: stands on the tower of {first['id']}")
        span = kept.get(first["id"], (at(first["start"]), at(first["finish"])))
        kept[first["id"]] = (span[0], max(span[1], at(activity["finish"])))
        holds[tower["name"]].remove((at(activity["start"]), at(activity["finish"]), tower["count"], activity["id"]))
    for name, (start, finish) in kept.items():
        tower = next(row for row in by_id[name]["equipment"] if moving[row["name"]] > 0)
        holds[tower["name"]].remove((at(by_id[name]["start"]), at(by_id[name]["finish"]), tower["count"], name))
        holds[tower["name"]].append((start, finish, tower["count"], name))


def bays(document, by_id, books):
    """In a bay one step at a time is done from its tower."""
    for bay in document["bays"]:
        spans = []
        for activity in document["activities"]:
            row = (activity["panel"] or "").split("/")[0]
            if row in bay["panels"] and any(item["name"] == bay["tower"] for item in activity["equipment"]):
                spans.append((at(activity["start"]), at(activity["finish"]), activity["id"]))
                rule(activity["bay"] == bay["bay"], f"{activity['id']}: is not in bay {bay['bay']}")
        spans.sort()
        for one, two in zip(spans, spans[1:]):
            rule(one[1] <= two[0], f"bay {bay['bay']}: {one[2]} and {two[2]} at once")


def wishes(plan, job):
    """Days that the job holds activities to, and what it says is done."""
    settings = tomllib.loads(Path(job, "job.toml").read_text(encoding="utf-8"))
    activities = plan["schedule"]["activities"]
    for hold in settings.get("hold", []):
        parts = [a for a in activities if a["id"] == hold["activity"] or a["id"].rsplit("/", 1)[0] == hold["activity"] and a["id"].rsplit("/", 1)[1].isdigit()]
        if not parts:
            continue
        start, finish = min(at(a["start"]) for a in parts), max(at(a["finish"]) for a in parts)
        about = parts[0]["id"]
        if "day" in hold:
            on_time = start.date() == hold["day"] and ("time" not in hold or start.strftime("%H:%M") == hold["time"])
            rule(on_time or warned(plan, about, "fixed start"), f"{about}: starts {start}, held to {hold['day']}")
        if "earliest" in hold:
            rule(start.date() >= hold["earliest"], f"{about}: starts {start}, not before {hold['earliest']}")
        if "latest" in hold:
            rule(finish <= datetime.combine(hold["latest"] + timedelta(days=1), datetime.min.time()) or warned(plan, about, "last moment"),
                 f"{about}: ends {finish}, not after {hold['latest']}")
    for done in plan["schedule"]["done"]:
        if done["share"] >= 1:
            rule(not any(a["panel"] == done["panel"] and a["step"] == done["step"] for a in activities), f"{done['panel']}: {done['step']} is done and planned again")


def air(plan):
    """What is brushed on comes off again, and where the air is to keep health, a day gives off no more than its air takes up."""
    for place in plan["schedule"]["air"]:
        applied = sum(hour["applied_g"] for hour in place["hours"])
        off = sum(hour["given_off_g"] for hour in place["hours"])
        rule(abs(applied - off) <= 0.01 * applied + 1, f"{place['place']}: {applied:.0f} g brushed on, {off:.0f} g given off")
        for hour in place["hours"]:
            rule(all(hour[key] >= 0 for key in ("applied_g", "given_off_g", "health_air_m3", "fire_air_m3")), f"{place['place']}: a negative hour {hour['from']}")
        room(place)


def room(place):
    """The highest level of each hour can be no more than what all vapour at once, or the fullest steady state, would give."""
    if place["room_m3"] is None or not place["fresh_m3_h"]:
        return
    worst = max((hour["health_air_m3"] for hour in place["hours"]), default=0)
    for hour in place["hours"]:
        if hour["of_limit"] is not None:
            # Within an hour the rate may be above the hour's mean, at most all of it in its shortest stretch of five minutes.
            rule(hour["of_limit"] <= 12 * worst / place["fresh_m3_h"] + 0.02, f"{place['place']}: {hour['of_limit']} of the limit at {hour['from']}")


def schedule(plan, books):
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
            speed = crew_speed(step_of(books, activity), crew)
            needed = max(math.ceil(activity["work_minutes"] / speed - 1e-6), activity["air_minutes"]) + activity["moving_minutes"]
            grid = document["grid_minutes"]
            rule(worked >= needed - 1e-6, f"{name}: {worked:.0f} min by {crew} people, it takes {needed}")
            rule(worked < needed + grid - 1e-6, f"{name}: {worked:.0f} min by {crew} people is more than the {needed} it takes, rounded up to {grid}")
        place = places[activity["place"]]
        rule(stretches, f"{name}: it has no time of its own")
        if document["today"] is not None:
            rule(start.date().isoformat() >= document["today"], f"{name}: starts before today, {document['today']}")
        span = place[step_of(books, activity).get("when", "any")] if step_of(books, activity).get("when", "any") != "any" else None
        for a, b in stretches:
            if span is not None:
                from_, to = (minutes_of(text) for text in span.split("-"))
                rule(from_ <= a.hour * 60 + a.minute and (b - a.replace(hour=0, minute=0)).total_seconds() / 60 <= to,
                     f"{name}: works {a}–{b}, outside {span}")
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
    whereabouts(document)
    stands(document, by_id, holds)
    bays(document, by_id, books)
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
    """Every panel has its recipe's steps, each after those it waits for, by people who can do them, within the crew's limits.

    Steps of kind `crate` are done once a crate, and a panel that stays flat is not rolled.
    """
    books = recipes(job)
    skills = {person["name"]: set(person["skills"]) for person in plan["schedule"]["people"]}
    flat = {row["panel"] for row in plan["flats"]}
    done = {(row["panel"], row["step"]) for row in plan["schedule"]["done"] if row["share"] >= 1}
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
    crate_steps(plan, books, last)
    for panel in plan["panels"]:
        name, recipe = panel["panel"], books[panel["recipe"]]
        for index, step in enumerate(recipe["step"]):
            key = (name, step["id"])
            if step["kind"] == "crate" or (step["kind"] == "roll" and name in flat) or key in done:
                continue
            rule(key in first, f"{name}: its step {step['id']} is not in the schedule")
            if key not in first:
                continue
            for other in awaited(recipe, index, lambda other: (name, other["id"]) in last):
                rule(first[key] >= last[name, other["id"]], f"{name}: {step['id']} starts before {other['id']}, which it waits for, has ended")


def awaited(recipe, index, has):
    """The steps that a step waits for: those that its `after` names, else the one above; instead of one that the panel has not, what that waits for."""
    ids = [step["id"] for step in recipe["step"]]
    open_ = [index]
    while open_:
        index = open_.pop()
        for name in recipe["step"][index].get("after", ids[:index][-1:]):
            other = recipe["step"][ids.index(name)]
            if has(other):
                yield other
            else:
                open_.append(ids.index(name))


def crate_steps(plan, books, last):
    """A crate is packed once all that goes into it is ready; what is done with a panel afterwards waits for its crate."""
    book_of = {panel["panel"]: books[panel["recipe"]] for panel in plan["panels"]}
    drum_of = {drum["drum"]: drum for drum in plan["drums"]}
    start = {}
    for activity in plan["schedule"]["activities"]:
        if activity["panel"] is None:
            start[activity["id"].split("/")[0]] = (activity["step"], at(activity["start"]), at(activity["finish"]))
    for crate in plan["crates"]:
        if crate["crate"] not in start:
            continue
        packing, begins, ends = start[crate["crate"]]
        members = [part["panel"] for drum in crate["drums"] for part in drum_of[drum]["panels"]] + crate["flats"]
        for name in members:
            own = next((index for index, step in enumerate(book_of[name]["step"]) if step["kind"] == "crate"), None)
            if own is None:
                continue
            for other in awaited(book_of[name], own, lambda other: (name, other["id"]) in last):
                rule(begins >= last[name, other["id"]], f"{crate['crate']}: {packing} starts before {other['id']} of {name} has ended")
            # From here on its crate stands for the step.
            last[name, book_of[name]["step"][own]["id"]] = ends


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
        if unit["from"] == "offcut":
            continue
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


def day_sections(plan):
    """A layer parted into days is parted along its seams: each sheet, in laying order, in just one section."""
    pieces = {(layer["panel"], layer["step"]): len(layer["pieces"]) for layer in plan["layers"]}
    sections = defaultdict(list)
    for activity in plan["schedule"]["activities"]:
        if activity.get("sheets"):
            sections[activity["panel"], activity["step"]].append((activity["start"], *activity["sheets"]))
    for key, parts in sections.items():
        at = 0
        for _, first, last in sorted(parts):
            rule(first == at + 1 and last >= first, f"{key}: a day section of sheets {first} to {last} follows sheet {at}")
            at = last
        rule(at == pieces[key], f"{key}: the day sections end with sheet {at}, the layer has {pieces[key]}")


def main(path, job):
    with open(path, encoding="utf-8") as file:
        plan = json.load(file)
    rule(plan["format"] == "facelay-plan/1", "the format is not facelay-plan/1")
    settings = tomllib.loads(Path(job, "job.toml").read_text(encoding="utf-8"))
    for judge in (panels, layers, drums, air):
        judge(plan)
    schedule(plan, recipes(job))
    wishes(plan, job)
    cuts(plan, job, settings)
    crates(plan, settings, job)
    bid(plan, settings.get("terms", {}))
    limits(plan, job)
    steps_complete(plan, job)
    strains(plan, settings)
    drum_use(plan)
    returns(plan, settings, job)
    day_sections(plan)
    purchase(plan)
    summary = ", ".join(f"{number} {what}" for what, number in counted.items())
    if broken:
        sys.exit(f"{path}: {len(broken)} rules broken ({summary}):\n  " + "\n  ".join(broken[:40]))
    print(f"{path}: {summary}, none broken")


if __name__ == "__main__":
    main(*sys.argv[1:3])
