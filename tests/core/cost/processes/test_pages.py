"""Each process model has a page, and the page says what the model has."""

import pytest

import process_pages
from hoistbook.core.cost.figure import MARKS
from hoistbook.core.cost.processes import PROCESSES

ALL = pytest.mark.parametrize("process", PROCESSES.values(), ids=PROCESSES.keys())


def page(process):
    path = process_pages.PAGES / f"{process.name}.md"
    assert path.exists(), f"write docs/processes/{process.name}.md, then run scripts/process_pages.py"
    return path.read_text(encoding="utf-8")


@ALL
def test_page_names_every_figure_reading_and_option(process):
    text = page(process)
    names = [figure.name for figure in process.figures]
    names += [*process.needs, *process.optional, *(choice.name for choice in process.choices)]
    assert [name for name in names if f"`{name}`" not in text] == []
    options = [option for choice in process.choices for option in choice.options]
    assert [option for option in options if option not in text] == []


@ALL
def test_page_says_who_says_so_and_works_an_example(process):
    text = page(process)
    assert any(mark in text.lower() for mark in MARKS)
    assert "example" in text.lower()


@ALL
def test_tables_are_those_of_the_model(process):
    text = page(process)
    if process_pages.START in text:
        assert text == process_pages.refreshed(text, process), "run scripts/process_pages.py"


def test_list_names_every_page():
    text = (process_pages.PAGES / "README.md").read_text(encoding="utf-8")
    assert text == process_pages.index(), "run scripts/process_pages.py"
    assert {process.family for process in PROCESSES.values()} <= set(process_pages.FAMILIES)
