#!/usr/bin/env python3
"""report.html as Debian's Chromium shows and prints it: nothing is fetched, the console is silent, nothing is cut on a telephone, all of it
can be reached and opened by keyboard, axe-core finds nothing serious, and it prints on the job's paper.

Usage: check_page.py FOLDER, a folder that `facelay plan` wrote.
"""

import json
import pathlib
import re
import sys
import tempfile

from pypdf import PdfReader
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

import browser

WIDTHS = (360, 1024)
MOST_BYTES = 1_000_000
# Keys pressed to open figures: all of a small page, the first of a large one.
MOST_KEYS = 1200
PAPERS = {"A4": (210, 297), "letter": (215.9, 279.4)}

# Words that are cut off: an element that hides what does not fit, words outside their drawing, or anything beyond the window that stands
# in no box that scrolls. What is meant for the ear alone (class `unseen`) and names in the bars, whose whole words stand in a title, apart.
CUT = """
const found = [];
const wide = document.documentElement.clientWidth;
for (const one of document.body.querySelectorAll('*')) {
  if (one.closest('.unseen, .skip') || one.closest('svg') !== null && one.tagName !== 'text') continue;
  if (!one.checkVisibility()) continue;
  const place = one.getBoundingClientRect();
  if (one.tagName === 'text') {
    const drawing = one.closest('svg').getBoundingClientRect();
    if (place.left < drawing.left - 1 || place.right > drawing.right + 1 || place.top < drawing.top - 1 || place.bottom > drawing.bottom + 1)
      found.push('outside its drawing: ' + one.textContent);
    continue;
  }
  const style = getComputedStyle(one);
  if (style.overflowX !== 'visible' && style.overflowX !== 'auto' && one.scrollWidth > one.clientWidth + 1)
    found.push('cut: ' + one.textContent.slice(0, 80));
  if (one.closest('.box') === null && place.right > wide + 1 && place.width > 0)
    found.push('beyond the window: ' + one.tagName + ' ' + one.textContent.slice(0, 80));
}
return found;
"""

WIDE_TABLES = """
return [...document.querySelectorAll('table')].filter(one => one.checkVisibility() && one.offsetWidth > one.closest('.box').clientWidth + 1)
  .map(one => one.caption.textContent + ': ' + one.offsetWidth + ' of ' + one.closest('.box').clientWidth);
"""


def shown(address, width, open_all):
    """What is wrong with the page at a width, as it is opened or with every fold open."""
    wrong = []
    with browser.chromium(width=width) as page:
        page.get(address)
        if open_all:
            page.execute_script("document.querySelectorAll('details').forEach(one => one.open = true)")
        wrong += [f"console: {message}" for message in browser.complaints(page)]
        wrong += [f"asks for {other}" for other in browser.asked_for(page) if other != address]
        scrolled = page.execute_script("return document.documentElement.scrollWidth")
        if scrolled > width:
            wrong.append(f"{scrolled} px wide")
        wrong += page.execute_script(CUT)[:20]
        for impact, name, text, where, count in browser.accessibility(page):
            if impact in ("serious", "critical"):
                wrong.append(f"axe-core, {impact}: {name}, {text}, {count} times, such as {where}")
    return wrong


def keyboard(address):
    """Goes through the page with Tab and opens with Enter whatever opens; then every fold is open, and arrows change layers."""
    wrong = []
    with browser.chromium() as page:
        page.get(address)
        keys, met = 0, 0
        while keys < MOST_KEYS:
            ActionChains(page).send_keys(Keys.TAB).perform()
            keys += 1
            name = page.execute_script("return document.activeElement.tagName")
            if name == "BODY":
                break
            if name == "SUMMARY":
                met += 1
                ActionChains(page).send_keys(Keys.ENTER).perform()
                if not page.execute_script("return document.activeElement.parentElement.open"):
                    wrong.append("Enter does not open " + page.execute_script("return document.activeElement.textContent"))
        # Those of layers that are not shown can be reached when they are.
        closed = page.execute_script("return [...document.querySelectorAll('details:not([open])')].filter(one => one.checkVisibility()).length")
        if keys < MOST_KEYS and closed:
            wrong.append(f"{closed} figures were not reached")
        if page.execute_script("return document.querySelectorAll('.switch>input').length") > 1:
            page.execute_script("document.querySelector('.switch>input').focus()")
            ActionChains(page).send_keys(Keys.ARROW_RIGHT).perform()
            second = "const one = document.querySelector('.switch .shown'); return one.children.length < 2 || one.children[1].checkVisibility() && !one.children[0].checkVisibility()"
            if not page.execute_script(second):
                wrong.append("an arrow key does not show the next layer")
    return met, wrong


def paper(address, page_text, title):
    """Prints the page: on the paper that it names, title and answer first, no table wider than the paper."""
    wrong = []
    name = re.search(r"@page\{size:(\w+)", page_text).group(1)
    with browser.chromium(width=703, height=1000) as page, tempfile.TemporaryDirectory() as folder:
        page.get(address)
        page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
        wrong += [f"wider than the paper: {one}" for one in page.execute_script(WIDE_TABLES)]
        page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
        path = pathlib.Path(folder) / "page.pdf"
        browser.printed(page, path)
        pages = PdfReader(path).pages
        size = [float(side) / 72 * 25.4 for side in (pages[0].mediabox.width, pages[0].mediabox.height)]
        if any(abs(a - b) > 1 for a, b in zip(size, PAPERS[name])):
            wrong.append(f"prints on {size} mm, not {name}")
        first = re.sub(r"\s+", " ", pages[0].extract_text())
        if title not in first or "The answer" not in first:
            wrong.append("title and answer are not on the first sheet")
        return len(pages), wrong


def main():
    folder = pathlib.Path(sys.argv[1])
    path = (folder / "report.html").resolve()
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    text = path.read_text(encoding="utf-8")
    wrong = []
    if len(text.encode()) > MOST_BYTES:
        wrong.append(f"{len(text.encode())} bytes")
    if plan["bid"]["total"] not in text.replace("\u202f", ""):
        wrong.append(f"the price {plan['bid']['total']} is not on the page")
    address = path.as_uri()
    for width in WIDTHS:
        for open_all in (False, True):
            found = shown(address, width, open_all)
            wrong += [f"at {width} px{', opened' if open_all else ''}: {one}" for one in found]
    met, found = keyboard(address)
    wrong += [f"keyboard: {one}" for one in found]
    sheets, found = paper(address, text, re.sub(r"\s+", " ", plan["job"]["title"]))
    wrong += [f"printed: {one}" for one in found]
    if wrong:
        sys.exit(f"{path}:\n" + "\n".join(wrong))
    print(f"{path.parent.name}/report.html: {len(text) // 1000} kB, {met} figures opened by keyboard, {sheets} sheets of paper")


main()
