"""A browser that looks at the pages: what every page must hold, and the store that is looked at."""

import copy
import os
import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from app.study_store import STUDY
from capture.books import saved, sound
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = os.environ.get("HOISTBOOK_CHROMIUM") or shutil.which("chromium") or ""
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PICTURES = os.environ.get("HOISTBOOK_PICTURES", "")
"""Folder for a picture of every page in every variant, to be looked at; none are taken when empty."""

VARIANTS = [(width, theme) for width in (1440, 1024) for theme in ("light", "dark")]
SERIOUS = ("serious", "critical")
ODD = ("<script>document.title='stolen'</script>", '"><img src=x onerror=alert(1)>', "W" * 120)


def lacking():
    """What keeps pages from being looked at in a browser here; empty when nothing does."""
    if not CHROMIUM:
        return "no Chromium here"
    import playwright

    driver = Path(playwright.__file__).parent / "driver" / "node"
    try:
        started = subprocess.run([driver, "--version"], capture_output=True, text=True, check=False)
    except OSError as error:
        return f"the browser's driver does not start ({error})"
    # On a bare Debian it is libatomic1 that is missing.
    return (
        "" if started.returncode == 0 else f"the browser's driver does not start ({started.stderr.strip()})"
    )


LACKING = lacking()
needs_browser = pytest.mark.skipif(bool(LACKING), reason=f"{LACKING}: pages are not looked at in a browser")

# Text that is cut off, reaches out of its cell or its drawing, or lies on other text of a drawing.
UNREADABLE = """() => {
  const found = [];
  const told = (why, element) => found.push(`${why}: ${element.textContent.trim().slice(0, 60)}`);
  const page = document.documentElement.scrollWidth;
  if (page > innerWidth) found.push(`page is ${page} wide`);
  for (const element of document.querySelectorAll('body *')) {
    if (element.closest('.unseen, .skip, .defs, [hidden]') || element.closest('svg')) continue;
    const cuts = getComputedStyle(element).overflowX !== 'visible';
    if (cuts && element.scrollWidth > element.clientWidth + 1) told('cut off', element);
    const own = [...element.childNodes].filter((n) => n.nodeType === 3 && n.data.trim());
    const box = element.closest('td, th, dd, dt, li, .row, button, h1, h2, h3, p');
    if (!own.length || !box) continue;
    const edges = box.getBoundingClientRect();
    for (const node of own) {
      const range = document.createRange();
      range.selectNodeContents(node);
      const out = (r) => r.width && (r.right > edges.right + 1 || r.left < edges.left - 1);
      if ([...range.getClientRects()].some(out)) told('out of its box', element);
    }
  }
  for (const drawing of document.querySelectorAll('svg:not(.defs)')) {
    if (drawing.parentElement.closest('svg')) continue;
    const edges = drawing.getBoundingClientRect();
    const texts = [...drawing.querySelectorAll('text')].filter((t) => t.textContent.trim());
    const boxes = texts.map((t) => t.getBoundingClientRect());
    boxes.forEach((a, i) => {
      const sideways = a.left < edges.left - 1 || a.right > edges.right + 1;
      if (sideways || a.top < edges.top - 2 || a.bottom > edges.bottom + 2) told('out of its drawing', texts[i]);
      for (const b of boxes.slice(i + 1)) {
        const beside = a.left < b.right - 1 && b.left < a.right - 1;
        if (beside && a.top < b.bottom - 3 && b.top < a.bottom - 3) told('on other text', texts[i]);
      }
    });
  }
  return found;
}"""

FILL = """
import sys
from pathlib import Path
from hoistbook.services.demo import demo_store
from hoistbook.services.load import load
from hoistbook.services.record import open_record
demo_store(Path(sys.argv[1]))
record = open_record(sys.argv[1])
for path, person in zip(sys.argv[2::2], sys.argv[3::2]):
    load(record, Path(path), person)
"""
SERVE = "from hoistbook.cli.main import app; app()"


def is_axed(name, variant):
    """Every kind of page once wide and light, once narrow and dark: axe takes its time."""
    return variant == (VARIANTS[3] if name.startswith("odd") else VARIANTS[0])


def python(script, *words):
    """How to run a script of ours in a process of its own, with a store that keeps its database itself."""
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    environment["PYTHONPATH"] = str(ROOT / "src")
    return {"args": [sys.executable, "-c", script, *map(str, words)], "env": environment, "text": True}


def corrected(folder):
    """The example workbook of Turnstone with six masses and the range corrected, and a reading left out."""
    book = openpyxl.load_workbook(ROOT / "examples" / "turnstone.xlsx")
    sheet = book["measurements"]
    heads = {cell.value: cell.column for cell in sheet[1]}
    masses = [
        row for row in range(2, sheet.max_row + 1) if sheet.cell(row, heads["quantity"]).value == "mass"
    ]
    for row in masses[:6]:
        cell = sheet.cell(row, heads["value"])
        cell.value = round(cell.value * 1.02, 3)
    sheet.delete_rows(sheet.max_row)
    path = folder / "turnstone-corrected.xlsx"
    book.save(path)
    return path


def odd(folder):
    """A small vehicle whose names are anything but."""
    rows = sound()
    rows["vehicle"][0] |= {"code": "ODD", "name": ODD[0], "maker": ODD[2], "note": ODD[1]}
    rows["parts"][1] |= {"name": ODD[0], "material": ODD[2]}
    rows["parts"][2] |= {"name": ODD[1]}
    rows["parts"][3] |= {"name": ODD[2], "material": ODD[1]}
    rows["facts"][0] |= {"note": ODD[2], "evidence": ODD[1]}
    rows["instruments"][0]["note"] = ODD[2]
    rows["configurations"][0] |= {"options": ODD[2], "wheels": ODD[0]}
    return saved(folder, rows)


def odd_study(folder):
    """A study of Whimbrel and the odd vehicle, its words just as odd; it is not frozen, and a vehicle is missing."""
    rows = copy.deepcopy(STUDY)
    words = {"A": "W", "B": "ODD"}
    for sheet in rows.values():
        for row in sheet:
            row |= {name: words[row[name]] for name in ("vehicle", "other") if name in row}
    rows["study"] = [{"study": "odd", "title": ODD[0], "question": f"Why {ODD[2]}?", "owner": ODD[1]}]
    rows["vehicles"] = [
        {"vehicle": "W", "configuration": "W-15", "role": ODD[0]},
        {"vehicle": "ODD", "configuration": "delivered", "note": ODD[2]},
        {"vehicle": ODD[1]},
    ]
    rows["equality"][1] |= {"value": ODD[2], "note": ODD[1]}
    rows["content"][0] |= {"item": ODD[2], "description": ODD[0]}
    rows["assumptions"][1] |= {"value": ODD[2], "source": ODD[1]}
    rows["findings"][0] |= {"vehicles": "W; ODD", "what was compared": ODD[2], "evidence": ODD[2]}
    rows["strip plan"][0] |= {"who": ODD[2], "tools": ODD[0], "record before removal": ODD[2]}
    rows["claims"][2] |= {"sentence": ODD[2], "person": ODD[2], "note": ODD[0]}
    path = folder / "odd-study.xlsx"
    write_workbook(path, rows, STUDY_SHEETS)
    return path


class Reader:
    """A page in a browser that notes whatever it should not meet."""

    def __init__(self, browser, address, width=1440, theme="light", **more):
        self.address = address
        self.context = browser.new_context(
            viewport={"width": width, "height": 900}, color_scheme=theme, **more
        )
        self.page = self.context.new_page()
        self.elsewhere, self.wrong = [], []
        self.page.on("request", self._asked)
        self.page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.page.on("dialog", lambda dialog: (self.wrong.append(dialog.message), dialog.dismiss()))
        self.page.on("console", self._said)

    def _asked(self, request):
        if not request.url.startswith((self.address + "/", "data:")):
            self.elsewhere.append(request.url)

    def _said(self, message):
        # A page that is not there is one of those looked at.
        if message.type in ("error", "warning") and "404" not in message.text:
            self.wrong.append(message.text)

    def open(self, path):
        self.page.goto(self.address + path)
        for waiting in self.page.locator("[hx-trigger^=every]").all():
            waiting.wait_for(state="detached", timeout=60_000)
        # What was waited for has the page loaded anew; a key pressed before its scripts are there is lost.
        self.page.wait_for_load_state("load")
        return self.page


def check(reader, name, path):
    """Open a page in all variants: nothing cut off, no text on text, no serious finding of axe."""
    from axe_playwright_python.sync_playwright import Axe

    page = reader().open(path)
    assert page.title().endswith("· hoistbook")
    for width, theme in VARIANTS:
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=theme)
        if PICTURES:
            page.screenshot(path=f"{PICTURES}/{name}-{width}-{theme}.png", full_page=True)
        assert page.evaluate(UNREADABLE) == [], (width, theme)
        if is_axed(name, (width, theme)):
            found = Axe().run(page).response["violations"]
            bad = [
                f"{one['id']} {one['nodes'][0]['html'][:120]}" for one in found if one["impact"] in SERIOUS
            ]
            assert bad == [], (width, theme)
