"""Tables of pad readings as people type them."""

import pytest

from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.pads import read_pads


def table(tmp_path, text, **how):
    path = tmp_path / "pads.csv"
    path.write_text(text, **how)
    return path


def test_plain_and_local_spellings_say_the_same(tmp_path):
    text = "corner,mass [kg],pad,turned,state,zero [kg]\nfront left,452.5,A,yes,raised,0.5\n"
    plain = read_pads(table(tmp_path, text))
    local = read_pads(
        table(
            tmp_path,
            "Corner;Mass [kg];Pad;Turned;State;Zero [kg]\r\n\r\nFL;452,5;A;Y;lifted;0,5\r\n",
            encoding="utf-8-sig",
        )
    )
    (one,) = plain
    assert (one.corner, one.mass_kg, one.pad, one.turned, one.raised, one.zero_kg) == (
        "front left",
        452.5,
        "A",
        True,
        True,
        0.5,
    )
    assert [(r.corner, r.mass_kg, r.zero_kg) for r in local] == [("front left", 452.5, 0.5)]


def test_pounds_are_converted(tmp_path):
    (one,) = read_pads(table(tmp_path, "corner,mass [lb]\nRR,1000\n"))
    # first principles: 1 lb = 0.45359237 kg, exact.
    assert one.mass_kg == pytest.approx(453.59237, rel=1e-12)
    assert (one.pad, one.turned, one.raised) == ("", False, False)


def test_every_fault_is_listed_at_once(tmp_path):
    text = "corner,mass [kg],turned,colour\nmiddle,450,no,red\nFL,heavy,maybe,red\nFR,inf,no,red\n"
    with pytest.raises(LoadRefused) as refused:
        read_pads(table(tmp_path, text))
    told = [(fault.row, fault.message) for fault in refused.value.faults]
    assert [row for row, _ in told] == [1, 2, 3, 3, 4]
    assert "'colour' is not known; known: corner, mass" in told[0][1]
    assert "no corner 'middle'" in told[1][1]
    assert "'heavy' is no number" in told[2][1]
    assert "turned is yes or no" in told[3][1]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("pad,mass [kg]\nA,1\n", "no column 'corner'"),
        ("corner,mass [mm]\nFL,1\n", "mm"),
        ('corner,mass [kg]\nFL,"1\n', "not proper CSV"),
        ("corner,mass [kg]\n" + "FL,1\n" * 300_000, "more than 1000000 bytes"),
    ],
    ids=["empty", "no corner", "a length", "open quote", "huge"],
)
def test_what_is_no_such_table_is_refused(tmp_path, text, words):
    with pytest.raises(LoadRefused, match=words):
        read_pads(table(tmp_path, text))
