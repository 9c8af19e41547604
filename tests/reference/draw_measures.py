"""Draws the picture of the template workbook's sheet `measures`; without --write it compares the drawing with the one that is kept.

Usage: draw_measures.py [--write]
"""

import math
import sys
from pathlib import Path

from PIL import Image, ImageChops, ImageDraw, ImageFont

KEPT = Path("src/job/template/measures.png")
BLACK, GREY, WHITE = 0, 215, 255


def draw():
    picture = Image.new("L", (1900, 1130), WHITE)
    pen = ImageDraw.Draw(picture)
    face = lambda name, size: ImageFont.truetype(f"catalogs/fonts/{name}.ttf", size)
    words, bold = face("DejaVuSans", 30), face("DejaVuSans-Bold", 34)

    def measure(a, b, text):
        """A line with a tick at each end, and its words beside it: level ones below, upright ones to the left."""
        pen.line([a, b], fill=BLACK, width=2)
        level = a[1] == b[1]
        for x, y in (a, b):
            pen.line([(x, y - 10), (x, y + 10)] if level else [(x - 10, y), (x + 10, y)], fill=BLACK, width=4)
        wide = pen.textlength(text, font=words)
        if level:
            pen.text(((a[0] + b[0] - wide) / 2, a[1] + 8), text, font=words, fill=BLACK)
        else:
            pen.text((a[0] - wide - 14, (a[1] + b[1]) / 2 - 18), text, font=words, fill=BLACK)

    def shape(points):
        pen.polygon(points, fill=GREY, outline=BLACK, width=5)

    def arc(left, right, foot, crown):
        """A circular segment over a chord."""
        half, rise = (right - left) / 2, foot - crown
        radius = (half * half + rise * rise) / (2 * rise)
        turn = math.asin(half / radius) if rise <= half else math.pi - math.asin(half / radius)
        middle = crown + radius
        steps = [-turn + 2 * turn * at / 60 for at in range(61)]
        return [((left + right) / 2 + radius * math.sin(at), middle - radius * math.cos(at)) for at in steps]

    def title(x, text):
        pen.text((x, 20), text, font=bold, fill=BLACK)

    # A rectangle with an opening.
    title(170, "rectangle, with an opening")
    shape([(190, 120), (790, 120), (790, 560), (190, 560)])
    pen.rectangle([440, 270, 640, 460], fill=WHITE, outline=BLACK, width=4)
    measure((190, 600), (790, 600), "width")
    measure((150, 120), (150, 560), "height")
    measure((190, 365), (440, 365), "left")
    measure((560, 460), (560, 560), "bottom")
    pen.text((452, 282), "opening:", font=words, fill=BLACK)
    pen.text((452, 322), "width and", font=words, fill=BLACK)
    pen.text((452, 362), "height of", font=words, fill=BLACK)
    pen.text((452, 402), "its own", font=words, fill=BLACK)
    # An arch.
    title(1130, "arch")
    shape([(1150, 560), (1150, 300), *arc(1150, 1650, 300, 120), (1650, 300), (1650, 560)])
    pen.line([(1100, 300), (1650, 300)], fill=BLACK, width=2)
    measure((1150, 600), (1650, 600), "width")
    measure((1110, 300), (1110, 560), "spring")
    measure((1850, 120), (1850, 560), "height")
    pen.line([(1400, 120), (1880, 120)], fill=BLACK, width=2)
    # A lunette.
    pen.text((170, 670), "lunette", font=bold, fill=BLACK)
    shape([(190, 960), *arc(190, 790, 960, 740), (790, 960)])
    measure((190, 1000), (790, 1000), "width")
    measure((490, 740), (490, 960), "rise")
    pen.text((560, 850), "= height", font=words, fill=BLACK)
    # The height above the floor.
    pen.text((1130, 670), "height_above_floor", font=bold, fill=BLACK)
    shape([(1150, 740), (1650, 740), (1650, 900), (1150, 900)])
    pen.line([(1100, 1040), (1750, 1040)], fill=BLACK, width=8)
    measure((1400, 900), (1400, 1040), "up to the lower edge")
    pen.text((1660, 985), "floor", font=words, fill=BLACK)
    pen.text((20, 1080), "All measures of openings, corners and springs start at the panel's lower left corner.", font=words, fill=BLACK)
    return picture


def main(write=None):
    drawn = draw()
    if write:
        drawn.quantize(16).save(KEPT, optimize=True)
        return
    kept = Image.open(KEPT).convert("L")
    drawn = drawn.quantize(16).convert("L")
    if kept.size != drawn.size or sum(ImageChops.difference(kept, drawn).histogram()[64:]) > 0.002 * kept.width * kept.height:
        sys.exit(f"{KEPT} is not what {sys.argv[0]} draws: run it with --write and look at it")
    print(f"{KEPT} is as drawn")


main(*sys.argv[1:])
