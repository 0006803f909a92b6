"""The pages in a real Chromium: desk and tablet width, light and dark, by keyboard and without a script."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from capture.books import saved, sound

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

PAGES = {
    "home": "/",
    "vehicle": "/vehicles/T/",
    "parts": "/vehicles/T/parts/",
    "part": "/vehicles/T/parts/?at=T-0102&q=screw",
    "mass": "/vehicles/T/mass/",
    "history": "/vehicles/T/history/",
    "change": "/vehicles/T/history/changes/4/",
    "history-of-a-part": "/vehicles/T/history/?of=T-0102",
    "not-here": "/vehicles/NONE/",
    "odd-vehicle": "/vehicles/ODD/",
    "odd-parts": "/vehicles/ODD/parts/",
    "odd-mass": "/vehicles/ODD/mass/",
    "odd-history": "/vehicles/ODD/history/",
}
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
pytestmark = pytest.mark.skipif(bool(LACKING), reason=f"{LACKING}: pages are not looked at in a browser")

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
from hoistbook.services.record import load_workbook, open_record
record = open_record(sys.argv[1], create=True)
for path, person in zip(sys.argv[2::2], sys.argv[3::2]):
    load_workbook(record, path, person)
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


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """Address at which the pages of a store with three vans and an odd vehicle are served."""
    folder = tmp_path_factory.mktemp("pages")
    store = folder / "store"
    vans = [ROOT / "examples" / f"{name}.xlsx" for name in ("whimbrel", "turnstone", "dotterel")]
    loads = [word for van in vans for word in (van, "M. Okoro")]
    loads += [corrected(folder), "L. Svensson", odd(folder), ODD[1]]
    subprocess.run(**python(FILL, store, *loads), check=True)
    serving = subprocess.Popen(
        **python(SERVE, "serve", "--store", store, "--port", "0"), stdout=subprocess.PIPE
    )
    try:
        yield re.match(r"http://127\.0\.0\.1:\d+", serving.stdout.readline())[0]
    finally:
        serving.terminate()
        serving.wait(20)
        serving.stdout.close()


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


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
        return self.page


@pytest.fixture
def reader(browser, address):
    made = []

    def make(*args, **more):
        made.append(Reader(browser, address, *args, **more))
        return made[-1]

    yield make
    for one in made:
        one.context.close()
        assert (one.elsewhere, one.wrong) == ([], [])


@pytest.mark.parametrize("name", PAGES)
def test_every_page_can_be_read(reader, name):
    from axe_playwright_python.sync_playwright import Axe

    page = reader().open(PAGES[name])
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


def test_the_tree_is_walked_and_opened_with_the_keyboard(reader):
    from playwright.sync_api import expect

    looking = reader()
    page = looking.open("/vehicles/T/parts/")
    tree = page.locator("#tree")
    assert tree.get_by_text("Sliding door, right").count() == 0
    tree.get_by_role("link", name="Turnstone").focus()
    for key in ("ArrowDown", "ArrowDown"):
        page.keyboard.press(key)
    page.keyboard.press("ArrowRight")
    tree.get_by_role("link", name="Sliding door, right").wait_for()
    assert (
        tree.get_by_role("button", name="Parts in Closures and glazing").get_attribute("aria-expanded")
        == "true"
    )
    for _ in range(3):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Sliding door, right", exact=True).wait_for()
    assert page.url.endswith("/vehicles/T/parts/?at=T-0363")
    assert page.locator("#trail").inner_text().split("/")[-1].strip() == "Sliding door, right"
    assert tree.locator(".here").inner_text().startswith("Sliding door, right")
    # The branch stays open though other lines came in, and back leads to what was there before.
    bonnet = tree.get_by_role("link", name="Bonnet")
    assert bonnet.is_visible()
    # The focus stays on the link that was followed, and goes to the branch that holds it.
    expect(tree.get_by_role("link", name="Sliding door, right")).to_be_focused()
    page.keyboard.press("ArrowLeft")
    expect(tree.get_by_role("link", name="Closures and glazing")).to_be_focused()
    page.keyboard.press("ArrowLeft")
    expect(bonnet).to_be_hidden()
    page.go_back()
    page.get_by_role("heading", name="Turnstone", exact=True).first.wait_for()
    assert page.url.endswith("/vehicles/T/parts/")


def test_find_rows_zones_and_copy_have_keys(reader):
    looking = reader(permissions=["clipboard-read", "clipboard-write"])
    page = looking.open("/vehicles/T/parts/?at=T-0363")
    page.keyboard.press("/")
    page.keyboard.type("roller arm")
    page.get_by_text("3 parts with").wait_for()
    page.keyboard.press("Escape")
    page.keyboard.press("c")
    page.get_by_text("lines copied").wait_for()
    rows = [line.split("\t") for line in page.evaluate("navigator.clipboard.readText()").splitlines()]
    assert len({len(row) for row in rows}) == 1
    heads = [head.split()[0] for head in rows[0]]
    door = dict(zip(heads, rows[1], strict=True))
    # first principles: a spreadsheet takes plain digits with a point, and nothing else, as a number.
    assert re.fullmatch(r"\d+\.\d+", door["Mass"])
    assert re.fullmatch(r"\d+\.\d+", door["band"])
    page = looking.open("/vehicles/T/mass/")
    page.keyboard.press("j")
    page.keyboard.press("Shift+D")
    assert page.evaluate("location.hash") == "#D"
    page = looking.open("/")
    page.keyboard.press("j")
    page.keyboard.press("j")
    page.keyboard.press("Enter")
    page.wait_for_url("**/vehicles/T/")


def test_a_line_is_opened_in_place_and_keeps_the_keyboard(reader):
    page = reader().open("/vehicles/T/parts/?at=T-0363")
    page.get_by_role("link", name="Crash bar").focus()
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="T-0368, Crash bar").wait_for()
    assert page.evaluate("document.activeElement.textContent") == "Crash bar"
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.textContent") == "Upper roller arm"
    page.get_by_role("button", name="dark").click()
    page.get_by_role("heading", name="T-0368, Crash bar").wait_for()
    assert page.url.endswith("?at=T-0368")


def test_a_server_that_ended_is_said(reader):
    looking = reader()
    page = looking.open("/vehicles/T/parts/")
    page.route("**/parts/find/**", lambda route: route.abort())
    page.get_by_label("Find a part by tag or name").fill("roller")
    page.get_by_text("No answer: hoistbook serve has ended").wait_for()
    assert looking.wrong.pop(0)  # the browser's own line about it
    looking.wrong.clear()


def test_the_theme_that_was_chosen_stays(reader):
    looking = reader(theme="light")
    page = looking.open("/vehicles/T/mass/")
    paper = "getComputedStyle(document.querySelector('.sheet')).backgroundColor"
    light = page.evaluate(paper)
    page.get_by_role("button", name="dark").click()
    page.wait_for_url("**/vehicles/T/mass/")
    dark = page.evaluate(paper)
    assert dark != light
    assert looking.open("/").evaluate(paper) == dark
    page.emulate_media(media="print")
    # first principles: print is on white paper, whatever the screen shows.
    assert page.evaluate(paper) == "rgb(255, 255, 255)"


def test_everything_is_there_without_a_script(reader):
    looking = reader(java_script_enabled=False)
    page = looking.page
    page.goto(looking.address + "/vehicles/T/parts/")
    page.get_by_role("link", name="Closures and glazing").first.click()
    page.get_by_role("link", name="Sliding door, right").first.click()
    assert page.get_by_role("heading", name="Sliding door, right", exact=True).is_visible()
    page.get_by_label("Find a part by tag or name").fill("roller arm")
    page.get_by_role("button", name="Find", exact=True).click()
    page.get_by_text("3 parts with").wait_for()
    page.get_by_role("button", name="dark").click()
    assert page.locator("html").get_attribute("data-theme") == "dark"
