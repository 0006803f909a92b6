"""The pages of a study in a real Chromium: by keyboard, by state, and without a script."""

import re

from app.looking import needs_browser

pytestmark = needs_browser


def test_claims_are_walked_opened_and_filtered_with_the_keyboard(reader):
    from playwright.sync_api import expect

    page = reader().open("/studies/light-vans/claims/")
    for _ in range(3):
        page.keyboard.press("j")
    page.keyboard.press("Enter")
    page.wait_for_url("**/claims/#claim-3")
    page.keyboard.press("Shift+B")
    assert page.evaluate("location.hash") == "#B"
    page.get_by_role("navigation", name="Claims by state").get_by_role(
        "link", name=re.compile("open")
    ).focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/claims/?state=open")
    rows = page.locator("#claims tbody tr")
    shown = page.locator("article.claim")
    expect(shown).to_have_count(rows.count())
    assert {row.split()[1] for row in rows.all_inner_texts()} == {"open"}
    expect(page.locator(".states [aria-current]")).to_contain_text("open")
    page.go_back()
    expect(page.locator(".states [aria-current]")).to_contain_text("all")


def test_the_table_of_claims_is_copied(reader):
    page = reader(permissions=["clipboard-read", "clipboard-write"]).open("/studies/light-vans/claims/")
    page.keyboard.press("c")
    page.get_by_text("lines copied").wait_for()
    rows = [line.split("\t") for line in page.evaluate("navigator.clipboard.readText()").splitlines()]
    assert len({len(row) for row in rows}) == 1
    assert rows[0][:4] == ["No.", "State", "Claim", "Sentence"]
    # The demo's study holds ten claims.
    assert len(rows) == 11


def test_every_mark_of_a_claim_lies_inside_its_drawing(reader):
    page = reader().open("/studies/light-vans/claims/")
    outside = page.evaluate("""() => [...document.querySelectorAll('.axis > svg')].flatMap((drawing) => {
        const edges = drawing.getBoundingClientRect();
        return [...drawing.querySelectorAll('rect, path, line, use, text')].filter((one) => {
          const box = one.getBoundingClientRect();
          return box.left < edges.left - 1 || box.right > edges.right + 1 || box.bottom > edges.bottom + 1;
        });
      }).length""")
    assert outside == 0


def test_a_pair_is_chosen_and_a_step_leads_to_its_part(reader):
    page = reader().open("/studies/light-vans/")
    page.get_by_role("link", name=re.compile("Turnstone to.*Dotterel")).click()
    page.wait_for_url(re.compile(r"/studies/light-vans/\?from=T&to=D#D$"))
    page.get_by_role("heading", name=re.compile("Lines of the gap.*Turnstone to.*Dotterel")).wait_for()
    page.get_by_role("link", name="T-0363").click()
    page.get_by_role("heading", name="Sliding door, right", exact=True).wait_for()


def test_a_study_is_there_without_a_script(reader):
    looking = reader(java_script_enabled=False)
    page = looking.page
    page.goto(looking.address + "/")
    page.get_by_role("link", name="light-vans").click()
    page.get_by_role("heading", name=re.compile("Why does Turnstone")).wait_for()
    assert page.get_by_text("Frozen as version 1 on").is_visible()
    page.get_by_role("navigation").get_by_role("link", name="Claims", exact=True).click()
    page.wait_for_url("**/claims/")
    assert page.get_by_text("Frozen as version 1 on").is_visible()
