"""Pages of vehicles with many parts show a piece of a long list and the way to the rest, and read no more than that."""

import html
import re
from dataclasses import replace

from app import cost_store
from app.wide_store import CODE, asked, body_rows, put, stated
from hoistbook.app.work import LINE
from hoistbook.core.vehicle.records import Configuration
from hoistbook.services.history import history
from hoistbook.services.pages.changes import AT_ONCE, lines_of
from hoistbook.services.pages.gap_evidence import FIELD, Asked, evidence_behind
from hoistbook.services.vehicles import vehicle_states
from hoistbook.store.vehicles.reading import last_changes

HTMX = {"HTTP_HX_REQUEST": "true"}


def test_rows_of_one_change_come_in_pieces(record, client):
    put(stated(130))
    change = put(stated(130, grams=101.0))
    page = f"/vehicles/{CODE}/history/changes/{change}/"
    answer, first = asked(client, page)
    # first principles: 130 corrected readings in pieces of AT_ONCE, the last row of a piece being the way to the rest.
    assert body_rows(answer) == AT_ONCE + 1
    assert f"{130 - AT_ONCE} more rows" in answer.content.decode()
    rest, then = asked(client, f"{page}?first={AT_ONCE}", **HTMX)
    assert body_rows(rest) == 130 - AT_ONCE
    assert "more rows" not in rest.content.decode()
    assert "<html" not in rest.content.decode()
    # first principles: as many questions whatever the piece, and however many rows lie outside of it.
    assert then == first
    change = put(stated(190, grams=102.0))
    assert asked(client, f"/vehicles/{CODE}/history/changes/{change}/")[1] == first
    # first principles: the pieces put together are each row once, in the order of the whole.
    whole, count = lines_of(record, CODE, change, 0, 10_000)
    assert count == len(whole) == 130
    pieces = [lines_of(record, CODE, change, at, 50)[0] for at in range(0, 130, 50)]
    assert [line for piece in pieces for line in piece] == list(whole)


def test_rows_of_a_change_are_those_of_the_history(record, client):
    put(stated(6))
    fewer = stated(6, grams=105.0)
    lost = put(replace(fewer, measurements=fewer.measurements[:4]))
    back = put(fewer)
    # first principles: four readings corrected, two gone with the second load; corrected, too, when found again.
    events = [[line.event for line in lines_of(record, CODE, change)[0]] for change in (lost, back)]
    assert sorted(events[0]) == ["superseded"] * 4 + ["vanished"] * 2
    assert sorted(events[1]) == ["returned"] * 2 + ["superseded"] * 2
    for entry in history(record, CODE)[1:]:
        assert sorted(map(repr, lines_of(record, CODE, entry.change)[0])) == sorted(map(repr, entry.lines))


def next_piece(answer, words):
    """Address of the piece that follows, from the last row of a table, and how many it says are left."""
    found = re.search(rf'hx-get="([^"]+)"[^>]*>(\d+) {words}<', answer.content.decode())
    return (html.unescape(found[1]), int(found[2])) if found else None


def names_in(answer, table=""):
    """What the rows are called, in their order."""
    text = answer.content.decode()
    if table:
        text = re.search(rf'id="{table}".*?<tbody>(.*?)</tbody>', text, flags=re.DOTALL)[1]
    return re.findall(r'<th scope="row">.*?</th>', text, flags=re.DOTALL)


def test_lines_of_cost_come_in_pieces(record, tmp_path, ask, monkeypatch):
    cost_store.load(record, tmp_path)
    page = "/vehicles/WHI/cost/?by=function&open=F1"
    whole = ask(page)
    lines = names_in(whole, "lines-of-cost")
    assert len(lines) >= 2
    assert next_piece(whole, "more lines") is None
    monkeypatch.setattr("hoistbook.app.views.cost.LINES_AT_ONCE", 1)
    # first principles: the pieces one after the other are the whole list, and each says how many are left.
    answer, found = ask(page), []
    for place in range(len(lines)):
        found += names_in(answer, "" if place else "lines-of-cost")
        following = next_piece(answer, "more lines")
        if following is None:
            break
        assert following[1] == len(lines) - len(found)
        answer = ask(following[0], **HTMX)
        assert "<html" not in answer.content.decode()
    assert found == lines
    # The same address is a page of its own to a reader without a script.
    assert names_in(ask(f"{page}&first=1"), "lines-of-cost") == lines[1:2]


def test_joints_of_a_function_come_in_pieces(record, tmp_path, ask, monkeypatch):
    cost_store.load(record, tmp_path)
    page = "/vehicles/WHI/assembly/?function=F1"
    whole = ask(page)
    for name in ("joints", "placed"):
        rows = names_in(whole, name)
        assert rows
        monkeypatch.setattr("hoistbook.app.views.assembly.WORK_AT_ONCE", 1)
        answer, found = ask(page), []
        for place in range(len(rows)):
            found += names_in(answer, "" if place else name)
            if place + 1 < len(rows):
                answer = ask(f"{page}&{name}={place + 1}", **HTMX)
        # first principles: the pieces one after the other are the whole list.
        assert found == rows
        assert ask(f"{page}&{name}={len(rows)}", **HTMX).content.decode().strip() == ""
        monkeypatch.undo()


def called(code, made):
    return replace(made, vehicle=replace(made.vehicle, code=code), configurations=(Configuration("c", code),))


def test_questions_do_not_grow_with_vehicles_or_parts(record, client):
    def count(codes, parts):
        for code in codes:
            put(called(code, stated(parts)))
        for job in _worked(client):
            assert job.finished.wait(60)
        return [
            asked(client, page)[1]
            for page in ("/", "/vehicles/W0/", "/vehicles/W0/parts/", "/vehicles/W0/mass/")
        ]

    before = count(("W0", "W1"), 20)
    # first principles: as many questions for five vehicles as for two, and for a vehicle of twice as many parts.
    assert count(("W2", "W3", "W4"), 20) == before
    assert count(("W0",), 40) == before


def _worked(client):
    """Jobs that the list of vehicles asks for."""
    client.get("/")
    return LINE.jobs()


def test_states_of_several_vehicles_are_those_of_each(record):
    for code in ("W0", "W1", "W2"):
        put(called(code, stated(3)))
    put(called("W1", stated(4)))
    # first principles: four changes one after another, the last one of W1.
    assert vehicle_states(record, ["W2", "W0", "W1", "NONE"]) == {"W2": 3, "W0": 1, "W1": 4, "NONE": 0}
    assert last_changes(["W0", "W1"], at=3) == {"W0": 1, "W1": 2}


def test_readings_behind_a_figure_come_in_pieces(record):
    put(stated(130))
    parts = [f"P{number:04d}" for number in range(130)]
    figure = {"rows": [["measurements", "RP0007", 0.9]], "more": 0, "more_frac": 0.0}
    own = {"stated": None, "values": {"SU": figure}, "systems": {"SU": parts}, "functions": {}, "parts": {}}

    def behind(**more):
        (one,) = evidence_behind(record, {CODE: own}, (CODE,), Asked(FIELD, "SU"), mass=True, **more)
        return one

    whole = behind()
    pieces = [behind(most=50, first=at) for at in (0, 50, 100)]
    # first principles: 130 readings in pieces of 50, each of them once, and every piece counts all of them.
    assert [(one.before, one.left_out) for one in pieces] == [(0, 80), (50, 30), (100, 0)]
    assert {one.count for one in (whole, *pieces)} == {130}
    names = [family[0].name for one in pieces for family in one.families]
    assert sorted(names) == sorted(family[0].name for family in whole.families)
    assert len(set(names)) == 130
    # The reading that carries the band is in the first piece, and there by itself among the few.
    assert "RP0007" in [family[0].name for family in pieces[0].families]
    assert [family[0].name for family in behind(most=1).families] == ["RP0007"]
