"""The pages in a real Chromium: desk and tablet width, light and dark, by keyboard and without a script."""

import re

import pytest

from app.looking import check, needs_browser

pytestmark = needs_browser

PAGES = {
    "home": "/",
    "vehicle": "/vehicles/T/",
    "parts": "/vehicles/T/parts/",
    "part": "/vehicles/T/parts/?at=T-0102&q=screw",
    "mass": "/vehicles/T/mass/",
    "tests": "/vehicles/T/tests/",
    "history": "/vehicles/T/history/",
    "change": "/vehicles/T/history/changes/36/",
    "history-of-a-part": "/vehicles/T/history/?of=T-0102",
    "study": "/studies/light-vans/",
    "gap": "/studies/light-vans/gap/",
    "gap-cause": "/studies/light-vans/gap/?as=found&cause=mass&of=decision:F22&all=1",
    "gap-sister": "/studies/light-vans/gap/?to=D&cause=drag_area%2Btyres%2Bdrag_force&of=figure:drag_force_n",
    "gap-mass": "/studies/light-vans/gap/?quantity=mass&cause=SU&of=figure:SU",
    "claims": "/studies/light-vans/claims/",
    "claims-open": "/studies/light-vans/claims/?state=open",
    "not-here": "/vehicles/NONE/",
    "odd-vehicle": "/vehicles/ODD/",
    "odd-parts": "/vehicles/ODD/parts/",
    "odd-mass": "/vehicles/ODD/mass/",
    "odd-tests": "/vehicles/ODD/tests/",
    "odd-history": "/vehicles/ODD/history/",
    "odd-study": "/studies/odd/",
    "odd-gap": "/studies/odd/gap/",
    "odd-claims": "/studies/odd/claims/",
}


@pytest.mark.parametrize("name", PAGES)
def test_every_page_can_be_read(reader, name):
    check(reader, name, PAGES[name])


def test_the_tree_is_walked_and_opened_with_the_keyboard(reader):
    from playwright.sync_api import expect

    looking = reader()
    page = looking.open("/vehicles/T/parts/")
    tree = page.locator("#tree")
    assert tree.get_by_text("Sliding door, right").count() == 0
    tree.get_by_role("link", name="Turnstone").focus()
    for key in ("ArrowDown", "ArrowDown"):
        page.keyboard.press(key)
    expect(tree.get_by_role("link", name="Closures and glazing")).to_be_focused()
    page.keyboard.press("ArrowRight")
    tree.get_by_role("link", name="Sliding door, right").wait_for()
    assert (
        tree.get_by_role("button", name="Parts in Closures and glazing").get_attribute("aria-expanded")
        == "true"
    )
    for _ in range(3):
        page.keyboard.press("ArrowDown")
    expect(tree.get_by_role("link", name="Sliding door, right")).to_be_focused()
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
