"""Opens cut-sheets.pdf with pypdf: pages, paper, title, bookmarks, tags, no clock, every panel and drawing named.

The pages are compared with plan.json and with the drawings in cut-sheets/, which Python's own XML parser reads.
"""

import json
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from pypdf import PdfReader

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def same_paper(page):
    sides = sorted(float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height))
    return [name for name, paper in PAPERS.items() if all(abs(a - b) < 0.1 for a, b in zip(sides, paper))]


def bookmarks(outline):
    for entry in outline:
        if isinstance(entry, list):
            yield from bookmarks(entry)
        else:
            yield entry.title


def main(folder):
    plan = json.loads(Path(folder, "plan.json").read_text(encoding="utf-8"))
    document = PdfReader(Path(folder, "cut-sheets.pdf"), strict=True)
    drawings = sorted(Path(folder, "cut-sheets").glob("*.svg"))
    assert len(document.pages) == len(drawings) > 0, (len(document.pages), len(drawings))
    assert plan["job"]["title"] in document.metadata.title
    assert document.metadata.creation_date is None, "the document carries a clock's time"
    assert document.trailer["/Root"]["/MarkInfo"]["/Marked"], "the document is not tagged"
    papers = {name for page in document.pages for name in same_paper(page)}
    assert len(papers) == 1 and all(same_paper(page) for page in document.pages), papers
    titles = list(bookmarks(document.outline))
    for panel in {layer["panel"] for layer in plan["layers"] if "/" not in layer["panel"]}:
        assert panel in titles, f"no bookmark for {panel}"
    text = "".join(page.extract_text() for page in document.pages)
    for drum in plan["drums"]:
        assert f"Drum {drum['drum']}" in text
    for crate in plan["crates"]:
        assert f"Crate {crate['crate']}" in text
    for page, drawing in zip(document.pages, drawings):
        root = ElementTree.fromstring(drawing.read_text(encoding="utf-8"))
        title = root.findtext("{http://www.w3.org/2000/svg}title")
        squeezed = "".join(page.extract_text().split())
        assert "".join(title.split()) in squeezed, f"{drawing.name}: `{title}` is not on the page"
    print(f"{folder}: {len(drawings)} cut sheets on {papers.pop()} agree with plan.json")


main(sys.argv[1])
