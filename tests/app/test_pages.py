"""What stands on the pages of a vehicle: figures of the small sound workbook, worked out by hand."""

import re
from dataclasses import replace

import pytest

from capture.books import sound, with_row
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Fact, MassState
from hoistbook.services.pages.book import Asked, columns_of, summary_of, work_out
from hoistbook.services.pages.facts import facts_of
from hoistbook.services.pages.heads import head, heads, stated_ranges
from hoistbook.services.pages.parts import PartsBook
from hoistbook.services.record import enter_facts, state_of


def asked(record):
    return Asked("WHI", state_of(record, "WHI"), "delivered")


@pytest.fixture
def book(record, van):
    work_out(record, asked(record))
    return PartsBook(columns_of(record, asked(record)))


def text_of(answer):
    """The words of a page without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def test_lines_add_up_to_their_assembly(book):
    view = book.assembly("VAN")
    # first principles: two arms of 2.5 kg and four bolts of 120 g / 4; the cradle has no mass.
    found = {line.tag: None if line.mass is None else line.mass.value for line in view.lines}
    assert found == {"A1": pytest.approx(5.0), "B1": pytest.approx(0.12), "C1": None}
    assert view.total.value == pytest.approx(5.12)
    assert sum(value or 0.0 for value in found.values()) == pytest.approx(view.total.value)
    assert (view.count, view.pieces, view.fasteners, view.unknown) == (3, 7.0, 4.0, 1)
    assert [line.pieces for line in view.lines] == [2.0, 4.0, 1.0]
    assert view.lines[0].joint == "4 × bolt"


def test_the_tree_leads_to_every_part(book):
    assert book.path("B1") == ("VAN", "B1")
    assert (book.assembly_of("B1"), book.assembly_of("VAN")) == ("VAN", "VAN")
    branch = book.branch("VAN")
    # first principles: everything with a mass was on a scale.
    assert (branch.weighed_frac, branch.has_branches, branch.unknown) == (pytest.approx(1.0), False, 1)
    assert book.branches("VAN") == ((), 0)
    with pytest.raises(LookupError, match="Z9"):
        book.place("Z9")


def test_parts_are_found_by_tag_and_by_name(book):
    assert book.find("BOL") == (("B1",), 1)
    assert book.find("c1 crad") == (("C1",), 1)
    assert book.find("a") == (("A1", "VAN", "C1"), 3)
    assert book.find("a", most=1) == (("A1",), 3)
    assert book.find("  ") == ((), 0)


def test_long_lists_come_in_pieces(record, load):
    rows = sound()
    rows["parts"] += [
        {"tag": f"P{n:03d}", "parent": "VAN", "name": f"pin {n}", "kind": "part"} for n in range(450)
    ]
    load(rows)
    work_out(record, asked(record))
    book = PartsBook(columns_of(record, asked(record)))
    parts = [book.assembly("VAN", first, 200) for first in (0, 200, 400)]
    tags = [line.tag for part in parts for line in part.lines]
    assert tags == ["A1", "B1", "C1", *(f"P{n:03d}" for n in range(450))]
    assert {part.count for part in parts} == {453}


def test_further_lines_and_branches_are_asked_for(load, ask):
    rows = sound()
    rows["parts"] += [
        {"tag": f"P{n:03d}", "parent": "VAN", "name": f"box {n}", "kind": "assembly"} for n in range(250)
    ]
    rows["parts"] += [
        {"tag": f"Q{n:03d}", "parent": f"P{n:03d}", "name": f"pin {n}", "kind": "part"} for n in range(250)
    ]
    load(rows)
    page = ask("/vehicles/WHI/parts/").content.decode()
    assert "53 more lines" in page
    assert "50 more" in page
    assert "P249" not in page
    lines = ask("/vehicles/WHI/parts/lines/?at=VAN&first=200").content.decode()
    assert "P249" in lines
    assert "more lines" not in lines
    assert "P249" in ask("/vehicles/WHI/parts/branches/?at=VAN&first=200").content.decode()
    deep = ask("/vehicles/WHI/parts/?at=Q249").content.decode()
    assert 'data-tag="P249"' in deep  # the way to a part is open, however long the list it lies in
    assert "pin 249" in deep


def test_an_assembly_weighed_as_one_shows_its_rest(record, load):
    rows = sound()
    rows["parts"].append({"tag": "A2", "parent": "A1", "name": "bush", "kind": "part", "count": 2})
    whole = {"reading": "R1", "of": "A1", "quantity": "mass", "value": 2.5, "unit": "kg", "scope": "subtree"}
    bush = {"reading": "R4", "of": "A2", "quantity": "mass", "value": 0.4, "unit": "kg"}
    rows["measurements"][0] |= whole
    rows["measurements"].append({**rows["measurements"][0], **bush, "scope": "self"})
    rows["parts"][1]["kind"] = "assembly"
    load(rows)
    work_out(record, asked(record))
    view = PartsBook(columns_of(record, asked(record))).assembly("A1")
    # first principles: the arm weighs 2.5 kg as one, two bushes of 0.4 kg are listed in it, 1.7 kg are not.
    assert view.total.value == pytest.approx(2.5)
    assert [line.mass.value for line in view.lines] == [pytest.approx(0.8)]
    assert view.rest.value == pytest.approx(1.7)


def test_superseded_readings_are_struck_through_with_the_reason(load, ask, record):
    load(sound())
    load(with_row("measurements", 0, value=2.6))
    text = ask("/vehicles/WHI/parts/?at=A1").content.decode()
    struck = re.findall(r'<tr class="was">.*?</tr>', text, flags=re.DOTALL)
    assert len(struck) == 1
    # first principles: the reading was 2.5 kg when first loaded and 2.6 kg now.
    assert "2.50" in struck[0]
    assert "superseded by a later statement" in struck[0]
    assert re.search(r"5\.20", text)


def test_a_missing_mass_is_a_link_to_weighing_it(van, ask):
    text = ask("/vehicles/WHI/parts/").content.decode()
    row = next(row for row in re.findall(r"<tr.*?</tr>", text, flags=re.DOTALL) if ">cradle<" in row)
    assert re.search(r'<a href="/vehicles/WHI/mass/#D">not measured</a>', row)


def test_the_mass_page_says_what_the_book_says(van, ask):
    text = text_of(ask("/vehicles/WHI/mass/"))
    # first principles: 1800 kg on the scale, 5.12 kg among the parts: 0.3 % of it, and the rest in no part.
    assert "<1 % of the mass is weighed" in text.replace("&lt;", "<")
    assert re.search(r"1 794\.\d ± 3\.\d kg has no part to its name", text.replace("\xa0", " "))
    assert "1 800.0" in text
    assert "Centre of gravity" in text
    assert "four corner masses are needed" in text


def test_a_function_weighs_its_surplus_too(load, ask):
    rows = with_row("parts", 1, kind="assembly")
    rows["parts"] += [{"tag": "A2", "parent": "A1", "name": "bush", "kind": "part"}]
    whole = {"reading": "R1", "of": "A1", "quantity": "mass", "value": 2.5, "unit": "kg", "scope": "subtree"}
    bush = {"reading": "R4", "of": "A2", "quantity": "mass", "value": 2.51, "unit": "kg"}
    rows["measurements"] = [{**whole, "plus or minus": 0.02}, {**bush, "plus or minus": 0.02}]
    load(rows)
    text = text_of(ask("/vehicles/WHI/mass/")).replace("\u202f", " ")
    # first principles: two arms of 2.5 kg as weighed whole, whatever the bush in them weighed alone: 5.000 ± 0.040 kg,
    # and 2 × (2.51 − 2.50) kg less in no listed piece, ± 2 × 0.02 √2 kg.
    assert re.search(r"guide 5\.000 ± ?0\.040", text)
    assert re.search(r"−0\.020 ± ?0\.057 its listed pieces weigh more than the whole, within the bands", text)
    assert "is no mass: the listed pieces, weighed one by one" in text


def test_facts_stand_with_what_they_took_the_place_of(record, load, ask):
    load(sound())
    load(with_row("facts", 0, value=1801.5))
    measured = Quantity(1803.0, "kg", ((Source("scale visit"), 0.5),), Origin.MEASURED)
    enter_facts(
        record, "WHI", [Fact("delivered", "mass", measured, MassState.CURB)], "test scale visit", "Ines"
    )
    rows = [row for row in facts_of(record, "WHI", "delivered") if row.fact.quantity == "mass"]
    # first principles: typed above in this order; the later statement counts, what it replaces stays in sight.
    assert [(row.fact.value.value, bool(row.why)) for row in rows] == [
        (1803.0, False),
        (1801.5, True),
        (1800.0, True),
    ]
    assert rows[0].statement == "test scale visit"
    text = ask("/vehicles/WHI/").content.decode()
    assert len(re.findall(r'<tr class="was">', text)) == 2


def test_vehicles_are_listed_in_the_order_they_came_in(record, load, ask):
    for code, name in (("ZED", "First"), ("ALF", "Second")):
        rows = sound()
        rows["vehicle"][0] |= {"code": code, "name": name}
        load(rows)
    assert [(one.code, one.place) for one in heads(record)] == [("ZED", 0), ("ALF", 1)]
    assert head(record, "second").place == 1
    assert stated_ranges(record) == {}
    text = ask("/").content.decode()
    assert text.index("First") < text.index("Second")
    assert "not measured" in text


def test_a_configuration_is_carried_along(load, ask, record):
    rows = sound()
    rows["configurations"].append({"configuration": "winter wheels", "wheels": "15 in"})
    load(rows)
    text = ask("/vehicles/WHI/parts/?configuration=winter+wheels").content.decode()
    assert "/vehicles/WHI/mass/?configuration=winter+wheels" in text
    assert "at=A1&amp;configuration=winter+wheels" in text
    assert "winter wheels" in text_of(ask("/vehicles/WHI/?configuration=winter+wheels"))


def test_a_new_load_is_another_result(record, load, ask):
    load(sound())
    before = asked(record)
    work_out(record, before)
    load(with_row("measurements", 0, value=2.6))
    after = asked(record)
    assert after != before
    assert summary_of(record, after) is None
    work_out(record, after)
    # first principles: two arms, each 0.1 kg heavier than before.
    now, was = (summary_of(record, one)["mass"]["parts"]["value"] for one in (after, before))
    assert now - was == pytest.approx(0.2)
    assert replace(after, configuration="other").inputs != after.inputs


def test_history_names_who_changed_what_from_what(record, load, ask):
    load(sound(), note="first")
    load(with_row("measurements", 0, value=2.6), note="comma misread")
    text = text_of(ask("/vehicles/WHI/history/"))
    assert "2 changes" in text
    assert "comma misread" in text
    last = state_of(record, "WHI")
    rows = text_of(ask(f"/vehicles/WHI/history/changes/{last}/"))
    assert "superseded" in rows
    assert re.search(r"2\.50.*2\.60", rows)
    assert re.search(r"2\.50.*2\.60", text_of(ask("/vehicles/WHI/history/?of=R1")))


def test_rows_that_vanished_are_listed_until_retired(load, ask, record):
    load(sound())
    rows = sound()
    rows["parts"] = [row for row in rows["parts"] if row["tag"] != "C1"]
    rows["measurements"] = rows["measurements"][:2]
    rows["shares"] = []
    rows["reasons"] = rows["reasons"][:1]
    load(rows)
    text = text_of(ask("/vehicles/WHI/history/"))
    assert "no longer in the workbook" in text
    assert re.search(r"parts: C1", text)
