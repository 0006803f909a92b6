"""The pages of checks in a browser: readable in every variant, and worked out as one types."""

import re

import pytest

from app.looking import check, needs_browser

pytestmark = needs_browser

LIFT = (
    "mass_kg=1600&cg_x_m=1300&cg_y_m=10&front_pads_x_m=500&rear_pads_x_m=2300&half_width_m=600&count.removal=2"
    "&removals.1=battery&removals.2=front module&part_kg.1=300&part_kg.2=150&part_x_m.1=1400&part_x_m.2=-300"
    "&part_y_m.1=0&part_y_m.2=0"
)
PAGES = {
    "checks": "/vehicles/W/checks/",
    "check-half-shaft": "/vehicles/W/checks/half_shaft_angle/",
    "check-modes": "/vehicles/W/checks/mount_modes/",
    "check-tones": "/vehicles/W/checks/drive_orders/",
    "check-typed": "/vehicles/W/checks/half_shaft_angle/?drop_left_m=12&span_left_m=wide",
    "check-effect": "/vehicles/W/checks/tyre_label/",
    "check-missing": "/vehicles/T/checks/cable_loss/",
    "check-safety": "/checks/creepage/?creepage_m=6&voltage_v=400",
    "check-things": "/checks/first_touched/?count.part=4&part_z_m.1=182&part_z_m.2=160&part_x_m.1=400&parts.1=hose",
    "check-lift": f"/checks/lift_balance/?{LIFT}",
    "all-checks": "/checks/",
    "odd-checks": "/vehicles/ODD/checks/",
    "odd-check": "/vehicles/ODD/checks/tyre_label/",
}


@pytest.mark.parametrize("name", PAGES)
def test_every_page_of_checks_can_be_read(reader, name):
    check(reader, name, PAGES[name])


def test_a_check_is_worked_out_as_one_types(reader):
    looking = reader()
    page = looking.open("/vehicles/W/checks/half_shaft_angle/")
    title = page.locator("#A-title")
    before = title.inner_text()
    page.get_by_label("Inner above outer joint, left", exact=True).fill("12")
    page.wait_for_url(re.compile(r"drop_left_m=12"))
    page.get_by_text("As typed.").wait_for()
    assert title.inner_text() != before
    # A wrong figure is said at its field while the field keeps what was typed and the focus stays there.
    page.get_by_label("Inner above outer joint, left", exact=True).fill("900")
    page.get_by_text("is outside").first.wait_for()
    assert page.get_by_label("Inner above outer joint, left", exact=True).input_value() == "900"
    assert page.evaluate("document.activeElement.id") == "f-drop_left_m"
    page.get_by_role("link", name="As recorded").click()
    page.wait_for_url(re.compile(r"half_shaft_angle/$"))
    assert title.inner_text() == before


def test_another_count_of_things_brings_its_rows(reader):
    page = reader().open("/vehicles/W/checks/mount_modes/")
    rows = page.locator("#things tbody tr")
    assert rows.count() == 3
    page.get_by_label("How many").fill("4")
    page.locator("#things tbody tr").nth(3).wait_for()
    assert page.evaluate("document.activeElement.id") == "f-count.mount"


def test_an_effect_row_can_be_copied(reader):
    looking = reader(permissions=["clipboard-read", "clipboard-write"])
    page = looking.open("/vehicles/W/checks/tyre_label/")
    page.locator('[data-copy="effects"]').click()
    page.get_by_text("lines copied").wait_for()
    lines = page.evaluate("navigator.clipboard.readText()").splitlines()
    row = dict(zip(lines[0].split("\t"), lines[1].split("\t"), strict=True))
    assert row["evidence"] == "check: tyre_label/coefficient"
    assert float(row["value"]) > 0.0
    assert float(row["plus or minus"]) > 0.0


def test_a_check_needs_no_script(reader):
    looking = reader(java_script_enabled=False)
    page = looking.page
    page.goto(looking.address + "/checks/cable_loss/")
    assert "not stated" in page.content()
    page.goto(looking.address + "/vehicles/W/checks/half_shaft_angle/")
    page.get_by_label("Inner above outer joint, left", exact=True).fill("12")
    page.get_by_role("button", name="Work out").click()
    page.get_by_text("As typed.").wait_for()
