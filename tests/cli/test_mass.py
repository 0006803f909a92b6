"""hoistbook mass: difference, functions, and the verdict where there is nothing to compare. The vans are invented."""

from dataclasses import replace

import pytest

from cli.running import assert_fits, run
from hoistbook.cli.mass_page import closure_sentence, difference_sentence
from hoistbook.core.quantities.assumption import definition
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.services.demo import van_paths
from hoistbook.services.loading import load_teardown
from hoistbook.services.mass import mass_report


def plain(text):
    return text.replace("\u202f", " ").replace("\u00a0", " ")


@pytest.fixture(scope="module")
def van():
    return load_teardown(van_paths()["turnstone"])


@pytest.fixture(scope="module")
def book(van):
    return mass_report(van)


@pytest.fixture
def shown(monkeypatch, van, book):
    def show(*words, **changes):
        monkeypatch.setattr("hoistbook.services.loading.load_teardown", lambda *_, **__: van)
        monkeypatch.setattr("hoistbook.services.mass.mass_report", lambda *_, **__: replace(book, **changes))
        return run("mass", "t.xlsx", *words)

    return show


def closed(book, difference_kg, error):
    # first principles: a coverage factor of 1.96 makes 4.8 kg of a standard uncertainty of 2.449 kg.
    difference = Quantity(difference_kg, "kg", ((Source("scale"), 2.449),), Origin.MEASURED)
    scale = Quantity(1675.0, "kg", ((Source("scale"), 1.4),), Origin.MEASURED)
    return replace(
        book,
        closure=replace(book.closure, difference=difference, scale=scale, normalised_error=error),
    )


@pytest.mark.parametrize(
    ("difference_kg", "error", "unit", "sentence"),
    [
        # first principles: 4.0/1675 = 0.24 %; 4.0 kg = 8.8 lb.
        (4.0, 0.83, "kg", "+4.0 ± 4.8 kg more on the scale, 0.24 %: within the bands"),
        (-4.0, 0.83, "kg", "4.0 ± 4.8 kg more in the parts, 0.24 %: within the bands"),
        (40.0, 8.3, "kg", "+40.0 ± 4.8 kg more on the scale, 2.39 %: beyond the bands"),
        (4.0, 0.83, "lb", "+9 ± 11 lb more on the scale, 0.24 %: within the bands"),
    ],
)
def test_difference_has_its_band_and_share(book, difference_kg, error, unit, sentence):
    found = plain(difference_sentence(closed(book, difference_kg, error), unit))
    assert found.startswith(sentence)
    assert f"{len(book.missing)} part not weighed, so every sum is a lower bound: {book.missing[0]}" in found


def test_reason_without_a_comparison_is_in_the_verdict(shown, book):
    why = "no corner masses, weighing of the vehicle or mass fact: the sum of the parts is not checked"
    changes = {"closure": None, "unchecked": (definition(why),), "assumed": (*book.assumed, definition(why))}
    alone = replace(book, **changes)
    assert plain(closure_sentence(alone, "Turnstone")).endswith(f"not compared with a scale: {why}.")
    ran = shown(**changes).plain
    assert ran.count("no corner masses") == 1


def test_functions_are_listed_with_what_is_in_none(shown, book):
    ran = shown()
    assert_fits(ran.out)
    block = ran.out.partition("Mass by function")[2].partition("\n\n")[0]
    assert f"{len(book.functions.lines) - 8} lighter functions" in block
    rest = book.functions.unassigned
    assert f"{rest.node_count}" in next(
        line for line in block.splitlines() if line.startswith("in no function")
    )


def test_pounds_are_printed_but_never_in_json(shown):
    ran = shown("--units", "us")
    assert_fits(ran.out)
    assert "Mass by system, lb" in ran.plain
    assert shown("--units", "us", "--json").json == shown("--json").json
