"""Pages of vehicles with many parts show a piece of a long list and the way to the rest, and read no more than that."""

from dataclasses import replace

from app.wide_store import CODE, asked, body_rows, put, stated
from hoistbook.services.history import history
from hoistbook.services.pages.changes import AT_ONCE, lines_of

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
