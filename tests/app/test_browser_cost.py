"""The pages of cost in a browser: worked out as typed, by mouse, by keyboard and without a script."""

import re

import pytest

from app.looking import check, needs_browser
from hoistbook.reference.cost import packaged_scenario

pytestmark = needs_browser

PART = "/vehicles/W/cost/part/?at=W-0398"
PAGES = {
    "scenario": f"/scenarios/{packaged_scenario().code}/?process=sheet_stamping",
    "cost": "/vehicles/W/cost/?open=BP",
    "cost-function": "/vehicles/T/cost/?by=function&open=F21&left=12&region=romania",
    "cost-part": f"{PART}&volume=30000&step1=sand_casting&see.magnet=seen&see.flash_line=seen",
    "cost-part-wrong": f"{PART}&wall_thickness_max_mm=-3&volume=0&material=",
    "cost-fastener": "/vehicles/W/cost/part/?at=W-0609",
    "cost-no-route": "/vehicles/W/cost/part/?at=W-0603",
    "cost-compare": "/cost/?a=W&b=T&function=F21",
    "cost-compare-sister": "/cost/?a=T&b=D&function=F12",
    "assembly": "/vehicles/T/assembly/?function=F12",
    "service": "/vehicles/W/assembly/service/?at=W-0702",
    "service-not": "/vehicles/W/assembly/service/?at=W-0301",
    "odd-cost": "/vehicles/ODD/cost/",
    "odd-assembly": "/vehicles/ODD/assembly/",
    "odd-service": "/vehicles/ODD/assembly/service/?at=A1",
    "odd-compare": "/cost/?a=W&b=ODD",
}


@pytest.mark.parametrize("name", PAGES)
def test_every_page_of_cost_can_be_read(reader, name):
    if "compare" in name or "service" in name:
        reader().open(PAGES[name])  # it is asked for once what it rests on is there
    check(reader, name, PAGES[name])


def test_figures_follow_what_is_typed_and_stand_beside_the_record(reader):
    from playwright.sync_api import expect

    page = reader().open(PART)
    piece = page.locator("#lines-of-cost tfoot td.n").first
    before = piece.inner_text()
    volume = page.get_by_label("Vehicles a year")
    volume.fill("20000")
    expect(page.locator("#answer h1")).to_contain_text("recorded")
    expect(page.locator("#lines-of-cost thead")).to_contain_text("as typed")
    # first principles: fewer pieces carry the same tools.
    assert float(page.locator("#lines-of-cost tfoot td.n").first.inner_text()) > float(before)
    assert page.locator("#lines-of-cost tfoot td.n").nth(1).inner_text() == before
    # The hand stays where it types, and the address says what was typed, to be sent on.
    expect(volume).to_be_focused()
    expect(page).to_have_url(re.compile(r"at=W-0398&volume=20000$"))
    page.get_by_role("link", name="As recorded").click()
    expect(page.locator("#answer h1")).not_to_contain_text("recorded")


def test_wrong_input_is_said_at_its_field_while_it_is_typed(reader):
    from playwright.sync_api import expect

    page = reader().open(PART)
    wall = page.get_by_label("Wall thickness, thickest")
    wall.fill("-3")
    expect(page.locator("#fault-wall_thickness_max_mm")).to_contain_text("cannot be negative")
    expect(page.get_by_role("alert")).to_contain_text("as recorded")
    wall.fill("16.5")
    expect(page.locator("#fault-wall_thickness_max_mm")).to_be_hidden()
    expect(page.get_by_role("alert")).to_have_count(0)


def test_another_process_brings_its_own_fields_under_the_hand(reader):
    from playwright.sync_api import expect

    page = reader().open("/vehicles/W/cost/part/?at=W-0105")
    step = page.get_by_label("Step 1", exact=True)
    step.focus()
    step.select_option("press_hardening")
    expect(page.get_by_label("Coat of the sheet")).to_be_visible()
    expect(page.get_by_label("Step 1", exact=True)).to_be_focused()
    expect(page.locator("#steps thead")).to_contain_text("press hardening")


def test_what_is_seen_weighs_at_once(reader):
    from playwright.sync_api import expect

    page = reader().open("/vehicles/W/cost/part/?at=W-0105")
    expect(page.locator("#candidates")).to_have_count(0)
    page.get_by_label("Burnished and torn band on every edge").select_option("seen")
    expect(page.locator("#candidates")).to_contain_text("Stamped from sheet")
    expect(page).to_have_url(re.compile(r"see\.edge_burnish=seen"))


def test_a_part_is_worked_out_and_taken_along_without_a_script(reader):
    looking = reader(java_script_enabled=False)
    page = looking.page
    page.goto(looking.address + PART)
    while page.get_by_text("is being worked out").count():
        page.wait_for_timeout(300)
        page.reload()
    page.get_by_label("Vehicles a year").fill("20000")
    page.get_by_role("button", name="Work out").click()
    assert "recorded" in page.locator("#answer h1").inner_text()
    link = page.get_by_role("link", name="Sheet of formulas").get_attribute("href")
    assert "volume=20000" in link
    with page.expect_download() as started:
        page.get_by_role("link", name="Sheet of formulas").click()
    assert started.value.suggested_filename == "cost-W-0398.xlsx"


def test_from_the_list_to_the_motion_of_a_joint(reader):
    page = reader().open("/")
    page.locator("#C").get_by_role("link", name="Whimbrel").click()
    page.wait_for_url("**/vehicles/W/cost/")
    page.get_by_role("link", name="by function").click()
    page.locator("#groups").get_by_role("link", name="Drive and rear axle").click()
    assert page.get_by_role("heading", name=re.compile("^Drive and rear axle: ")).is_visible()
    page.get_by_role("navigation").get_by_role("link", name="Assembly").click()
    page.locator("#functions").get_by_role("link", name="Drive and rear axle").click()
    page.locator("#joints summary").first.click()
    assert page.locator("#joints .motions").first.is_visible()
