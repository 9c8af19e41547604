"""Debian's Chromium, driven by selenium without a window: the one place that starts it.

`with chromium(width=360) as page:` gives a driver; `complaints(page)` what its console said, `asked_for(page)` every address it asked
for, `accessibility(page)` what axe-core finds. The driver and the browser are those of the system, so nothing is fetched.
"""

import base64
import contextlib
import json
import os
import shutil
import sys
import tempfile

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service


def program(*names):
    """The first of some programs that is installed; stops the check where none is."""
    for name in names:
        found = shutil.which(name)
        if found:
            return found
    sys.exit(f"{' or '.join(names)} is missing: tests/run installs chromium and chromium-driver")


@contextlib.contextmanager
def chromium(width=1024, height=800, scale=1):
    """A browser with a window of so many CSS pixels, closed at the end."""
    options = Options()
    options.binary_location = program("chromium", "chromium-browser")
    folder = tempfile.mkdtemp(prefix="facelay-chromium-")
    for argument in (
        "--headless=new",
        "--no-sandbox",  # tests run as root in containers, where Chromium's sandbox cannot start
        "--disable-dev-shm-usage",
        "--disable-gpu",
        "--hide-scrollbars",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--lang=en-GB",
        f"--user-data-dir={folder}",
    ):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(program("chromedriver")))
    try:
        # A window cannot be as narrow as a telephone; the metrics of one can be had.
        driver.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": width, "height": height, "deviceScaleFactor": scale, "mobile": width < 600},
        )
        yield driver
    finally:
        driver.quit()
        shutil.rmtree(folder, ignore_errors=True)


def complaints(driver):
    """Warnings and errors on the console since the last call."""
    return [entry["message"] for entry in driver.get_log("browser") if entry["level"] in ("SEVERE", "WARNING")]


def asked_for(driver):
    """Addresses asked for since the last call, those written within the page (`data:`) left out."""
    found = []
    for entry in driver.get_log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            address = message["params"]["request"]["url"]
            if not address.startswith(("data:", "chrome:", "about:")):  # the page itself, the browser's own first tab
                found.append(address)
    return found


def accessibility(driver):
    """What axe-core finds on the page as it is shown; the file is named by FACELAY_AXE."""
    path = os.environ.get("FACELAY_AXE")
    if not path or not os.path.exists(path):
        sys.exit("axe-core is missing: tests/run fetches it and sets FACELAY_AXE")
    with open(path, encoding="utf-8") as file:
        driver.execute_script(file.read())
    driver.set_script_timeout(300)
    # The driver's answer takes as long as the script does.
    driver.command_executor.client_config.timeout = 330
    found = driver.execute_async_script(
        "const done = arguments[arguments.length - 1];"
        "axe.run(document, {resultTypes: ['violations']}).then(r => done(r.violations), e => done([{impact: 'serious', id: String(e), help: '', nodes: []}]));"
    )
    return [
        (one["impact"], one["id"], one["help"], [node["html"][:160] for node in one["nodes"][:5]], len(one["nodes"]))
        for one in found
    ]


def screenshot(driver, path, whole=True):
    """A picture of the page, all of it or what the window shows."""
    picture = driver.execute_cdp_cmd(
        "Page.captureScreenshot", {"format": "png", "captureBeyondViewport": whole}
    )
    with open(path, "wb") as file:
        file.write(base64.b64decode(picture["data"]))


def printed(driver, path):
    """The page as a printer would get it, on the paper that its style sheet asks for."""
    pages = driver.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})
    with open(path, "wb") as file:
        file.write(base64.b64decode(pages["data"]))
