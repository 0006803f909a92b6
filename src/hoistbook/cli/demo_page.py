"""The demo: mass closure of three vans, the range walk between two of them, drawings, and what to try next."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from hoistbook.cli.demo_cost import (
    DemoCost,
    demo_cost_json,
    print_demo_cost,
    run_demo_cost,
    write_demo_cost,
)
from hoistbook.cli.gap_page import print_legend, print_next
from hoistbook.cli.mass_page import closure_sentence
from hoistbook.cli.page import Page
from hoistbook.cli.progress import load, working
from hoistbook.cli.walk_table import print_decisions, print_walk
from hoistbook.core.mass import MassBook
from hoistbook.core.vehicle.records import Teardown
from hoistbook.report.render import write_chart
from hoistbook.report.theme import DARK, LIGHT, Theme
from hoistbook.services.as_json.gap import gap_json
from hoistbook.services.as_json.mass import closure_json
from hoistbook.services.as_json.parts import Json
from hoistbook.services.demo import STUDY, demo_store, keep_answer, van_paths
from hoistbook.services.gap import gap_report
from hoistbook.services.gap_drawing import cause_drawing, walk_drawing
from hoistbook.services.gap_view import GapView, surprise
from hoistbook.services.mass import mass_report

FROM, TO = "whimbrel", "turnstone"
MOST_DECISIONS = 8
STORE = "store"


@dataclass(frozen=True, slots=True)
class Demo:
    """What the demo worked out: mass book by name of the van, the gaps as found, and the files it left in `folder`."""

    folder: Path
    books: Mapping[str, MassBook]
    range: GapView
    mass: GapView
    files: Mapping[str, str]
    cost: DemoCost

    @property
    def normalised(self) -> GapView:
        """The range gap with unlike content set equal."""
        return replace(self.range, as_found=False)


def run_demo(out: Path, *, duty: str, draws: int, seed: int, dark: bool) -> Demo:
    """Work out the demo and write its drawings and workbooks.

    Parameters
    ----------
    out : Path
        Folder; made when missing.
    duty : str
    draws, seed : int
    dark : bool

    Returns
    -------
    Demo
    """
    paths = van_paths()
    vans = {name: load(path) for name, path in paths.items()}
    books = {}
    for van in vans.values():
        with working(f"adding up {_name(van)}"):
            books[_name(van)] = mass_report(van)
    x, y = vans[FROM], vans[TO]
    names = (_name(x), _name(y))
    with working(f"sharing the gap in range among its causes, {draws} draws"):
        report = gap_report(x, y, quantity="range", duty=duty, n_draws=draws, seed=seed)
    found = GapView(report, names, as_found=True, although=surprise(report, as_found=True))
    with working(f"sharing the gap in mass, {draws} draws"):
        heavier = GapView(gap_report(x, y, quantity="mass", n_draws=draws, seed=seed), names, as_found=True)
    cost = run_demo_cost((x, y), draws=draws, seed=seed)
    demo = Demo(out, books, found, heavier, {}, cost)
    out.mkdir(parents=True, exist_ok=True)
    files = {}
    for name, path in paths.items():
        copy = out / path.name
        if copy.exists() and copy.read_bytes() != path.read_bytes():
            # Somebody's work, or another version's: never overwritten.
            files[path.name] = "left as it was: it differs from the packaged workbook these figures come from"
            continue
        shutil.copyfile(path, copy)
        files[path.name] = f"workbook of {_name(vans[name])}"
    with working("drawing"):
        files |= _drawings(demo, DARK if dark else LIGHT)
    files |= write_demo_cost(cost, out)
    with working("filling a store"):
        made = demo_store(out / STORE)
    if made:
        with working("working out the gap of its study"):
            keep_answer(out / STORE)
    files[STORE] = (
        f"store of the vans and their study, {STUDY}"
        if made
        else "store, left as it was: what is in it is not made anew"
    )
    return replace(demo, files=files)


def _drawings(demo: Demo, theme: Theme) -> dict[str, str]:
    """Write the drawings; names of files and what they show."""
    specs = {
        "range-as-found.svg": ("the range walk as found", walk_drawing(demo.range, theme=theme)),
        "range-normalised.svg": (
            "the same with unlike content set equal",
            walk_drawing(demo.normalised, theme=theme),
        ),
        "range-mass.svg": (
            "decision by decision inside its mass bar",
            cause_drawing(demo.range, "mass", theme=theme),
        ),
        "mass-as-found.svg": ("the mass walk as found", walk_drawing(demo.mass, theme=theme)),
    }
    written = {}
    for name, (words, spec) in specs.items():
        if spec is not None:
            write_chart(demo.folder / name, spec)
            written[name] = words
    return written


def print_demo(page: Page, demo: Demo) -> None:
    """Print the story of the demo."""
    x, y = demo.range.names
    page.text("Three electric delivery vans, taken apart and weighed. Vans, makers and figures are invented.")
    page.heading("1  Do the parts add up to the van on the scale?")
    page.bullets(closure_sentence(book, name) for name, book in demo.books.items())

    page.heading(f"2  Why does {y} not go as far as {x}?")
    page.text(demo.range.answer, style="bold")
    page.text(demo.range.account)
    page.text(demo.normalised.answer)
    page.blank()
    print_walk(page, demo.range, 0)
    print_legend(page, demo.range, with_decisions=False)
    print_decisions(page, demo.range, MOST_DECISIONS)

    page.heading(f"3  What makes {y} heavier?")
    page.text(demo.mass.answer, style="bold")
    page.text(demo.mass.account)
    print_decisions(page, demo.mass, MOST_DECISIONS)

    page.heading("4  What would narrow it?")
    print_next(page, demo.range)

    print_demo_cost(page, demo.cost, 5)

    page.heading(f"In the folder {demo.folder}")
    page.bullets(f"{name}: {words}" for name, words in demo.files.items())
    page.heading("Try next")
    for line in (
        *_activation(),
        f"cd {demo.folder}",
        "hoistbook gap whimbrel.xlsx turnstone.xlsx --by-cause",
        "hoistbook gap turnstone.xlsx dotterel.xlsx --quantity mass",
        "hoistbook mass whimbrel.xlsx",
        "hoistbook rates turnstone.xlsx",
        "hoistbook cost whimbrel.xlsx",
        'hoistbook cost compare whimbrel.xlsx turnstone.xlsx --function "load floor"',
        f"hoistbook claims {STUDY} --store {STORE}",
        f"hoistbook history turnstone F30 --store {STORE}",
        f"hoistbook serve --store {STORE}",
        "hoistbook template van.xlsx --example",
    ):
        page.verbatim(f"  {line}")


def _activation() -> tuple[str, ...]:
    """How to make the command known where it was started by its path, as `make demo` does."""
    if shutil.which("hoistbook") is not None or sys.prefix == sys.base_prefix:
        return ()
    return (f". {os.path.relpath(Path(sys.prefix) / 'bin' / 'activate')}",)


def demo_json(demo: Demo) -> Json:
    """The figures of the demo and the files it wrote."""
    return {
        "closure": {book.vehicle: closure_json(book) for book in demo.books.values()},
        "range": gap_json(demo.range),
        "mass": gap_json(demo.mass),
        "cost": demo_cost_json(demo.cost),
        "folder": str(demo.folder),
        "files": list(demo.files),
    }


def _name(van: Teardown) -> str:
    return van.vehicle.name or van.vehicle.code
