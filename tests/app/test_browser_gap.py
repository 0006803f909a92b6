"""The gap in a browser: from a bar to its reading in three steps, by mouse, by keyboard and without a script."""

import re

from app.looking import needs_browser

pytestmark = needs_browser

GAP = "/studies/light-vans/gap/"
CAUSE, DECISION, CHANGE = "Mass", "Service brakes and blending", re.compile("^Change [0-9]+: history of W-M")


def test_three_clicks_lead_from_a_bar_to_who_read_it(reader):
    page = reader().open(GAP)
    page.locator("#causes").get_by_role("link", name=CAUSE, exact=True).click()
    page.get_by_role("heading", name=re.compile("^Mass: −")).wait_for()
    assert page.url.endswith("?cause=mass#C") or "cause=mass" in page.url
    assert page.locator("#causes [aria-current]").inner_text().startswith(CAUSE)
    page.locator("#decisions").get_by_role("link", name=DECISION).click()
    page.get_by_role("heading", name="Evidence: service brakes and blending").wait_for()
    evidence = page.locator("#evidence")
    assert (
        evidence.locator("tr.was").count() >= 1
    )  # a reading typed with swapped digits, corrected in the workbook
    assert evidence.locator("tr.was .old").first.is_visible()
    evidence.get_by_role("link", name=CHANGE).first.click()
    page.wait_for_url("**/vehicles/W/history/?of=W-M*")
    # Back leads to what was open, forth again to the change.
    page.go_back()
    page.get_by_role("heading", name="Evidence: service brakes and blending").wait_for()
    page.go_back()
    page.get_by_role("heading", name="Evidence: stated range").wait_for()
    page.get_by_role("heading", name=re.compile("^Mass: −")).wait_for()


def test_causes_open_with_the_keyboard(reader):
    from playwright.sync_api import expect

    page = reader().open(GAP)
    page.keyboard.press("j")
    expect(page.locator("#causes tbody tr").first.get_by_role("link")).to_be_focused()
    page.keyboard.press("Enter")
    heading = page.get_by_role("heading", name=re.compile("^Usable battery energy: "))
    heading.wait_for()
    # The focus goes to what was opened, and from there on to its decisions.
    expect(heading).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator("#decisions tbody tr").first.get_by_role("link")).to_be_focused()
    page.keyboard.press("Enter")
    opened = page.get_by_role("heading", name=re.compile("^Evidence: "))
    expect(opened).to_be_focused()
    page.keyboard.press("Shift+B")
    assert page.url.endswith("#B")


def test_everything_opens_without_a_script(reader):
    looking = reader(java_script_enabled=False)
    page = looking.page
    page.goto(looking.address + GAP)
    while page.get_by_text("is being worked out").count():
        page.wait_for_timeout(300)
        page.reload()
    page.get_by_role("link", name="as found", exact=True).click()
    assert page.url.endswith("?as=found")
    page.locator("#causes").get_by_role("link", name=CAUSE, exact=True).click()
    assert page.url.endswith("?as=found&cause=mass#C")
    page.locator("#figures").get_by_role("link", name="Test mass").click()
    assert page.get_by_role("heading", name="Evidence: test mass").is_visible()
    page.locator("#evidence").get_by_role("link", name=re.compile("^Change ")).first.click()
    assert "/vehicles/W/history/?of=mass" in page.url


def test_the_drawing_follows_width_and_theme(reader):
    page = reader().open(GAP)
    wide, narrow = page.locator(".drawn.broadly"), page.locator(".drawn.narrowly")
    assert (wide.is_visible(), narrow.is_visible()) == (True, False)
    colours = []
    for theme in ("light", "dark"):
        page.emulate_media(color_scheme=theme)
        colours.append(page.evaluate("getComputedStyle(document.querySelector('.marks text')).fill"))
    assert colours[0] != colours[1]
    page.set_viewport_size({"width": 1024, "height": 900})
    assert (wide.is_visible(), narrow.is_visible()) == (False, True)
    # common practice: 10.4 px is the least size of lettering in a drawing of ours.
    sizes = page.evaluate(
        "[...document.querySelectorAll('.drawn.narrowly text')].map((t) => t.getBoundingClientRect().height)"
    )
    assert min(sizes) >= 10.4
