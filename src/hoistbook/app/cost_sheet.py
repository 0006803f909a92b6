"""What the pages of cost share: what an address states of the scenario, kept results or their job, amounts as text."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from django.http import Http404, HttpRequest

from hoistbook.app.opened import the_record
from hoistbook.app.scenario_rows import TOOLING_WORDS
from hoistbook.app.sheet import address, asked_of
from hoistbook.app.work import LINE, Job
from hoistbook.core.compare.bars import Interval
from hoistbook.core.cost.scenario import Scenario
from hoistbook.report.figures import Figure, figure
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost import AskedCost, part_of, parts_of, sums_of, work_out
from hoistbook.services.pages.heads import Head
from hoistbook.services.vehicles import Record

STATED = ("region", "machines", "tools")
"""What an address states of the scenario."""
MACHINES = {"shared": "shared, paid by the hour", "dedicated": "dedicated, whole ones for each part"}


@dataclass(frozen=True, slots=True)
class Given:
    """What an address states of the scenario, as it was written; empty where the scenario's own holds."""

    region: str = ""
    machines: str = ""
    tools: str = ""

    @property
    def stated(self) -> Stated:
        """The same for the engines."""
        dedicated = None if not self.machines else self.machines == "dedicated"
        return Stated(region=self.region, dedicated=dedicated, tooling=self.tools)

    @property
    def otherwise(self) -> str:
        """What differs from the scenario, in words; empty where nothing does."""
        regions = Stated().scenario().regions
        told = (
            f"made in {regions[self.region].words}" if self.region else "",
            f"machines {MACHINES[self.machines]}" if self.machines else "",
            f"tools {TOOLING_WORDS[self.tools]}" if self.tools else "",
        )
        return "; ".join(one for one in told if one)

    @property
    def query(self) -> dict[str, str]:
        """The same for links."""
        return {name: getattr(self, name) for name in STATED if getattr(self, name)}


def given_of(request: HttpRequest) -> Given:
    """Read what an address states of the scenario; a page that says so where it states what there is none of."""
    given = Given(**{name: request.GET.get(name, "") for name in STATED})
    known = {"region": Stated().scenario().regions, "machines": MACHINES, "tools": TOOLING_WORDS}
    for name, words in (
        ("region", "region"),
        ("machines", "kind of machines"),
        ("tools", "way of paying tools"),
    ):
        wanted = getattr(given, name)
        if wanted and wanted not in known[name]:
            msg = f"no {words} {wanted!r}; known: {', '.join(known[name])}."
            raise Http404(msg)
    # What the scenario holds anyway is not stated: one question has one address and one kept result.
    own = Stated().scenario()
    held = {"region": own.region, "machines": _machines(own), "tools": own.tooling}
    return replace(given, **{name: "" for name in STATED if getattr(given, name) == held[name]})


def _machines(scenario: Scenario) -> str:
    return "dedicated" if scenario.dedicated else "shared"


def asked_cost(request: HttpRequest, found: Head, given: Given) -> AskedCost:
    """Whose cost a page shows."""
    asked = asked_of(request, found)
    return AskedCost(asked.code, asked.change, asked.configuration, given.stated)


def sums_or_job(asked: AskedCost, name: str) -> tuple[Json | None, Job | None]:
    """The kept sums of a vehicle, or the job that works them out."""
    record = the_record()
    found = sums_of(record, asked)
    return (found, None) if found is not None else (None, ask_for(record, asked, name))


def parts_or_job(asked: AskedCost, name: str) -> tuple[Json | None, Job | None]:
    """Which parts of a vehicle have a cost, or the job that works them out."""
    record = the_record()
    found = parts_of(record, asked)
    return (found, None) if found is not None else (None, ask_for(record, asked, name))


def part_or_job(asked: AskedCost, name: str, piece: int, tag: str) -> tuple[Json | None, Job | None]:
    """One costed part of a vehicle, or the job that works them all out."""
    record = the_record()
    found = part_of(record, asked, piece, tag)
    return (found, None) if found is not None else (None, ask_for(record, asked, name))


def ask_for(record: Record, asked: AskedCost, name: str) -> Job:
    """Have the cost of a vehicle worked out."""
    key = f"cost {record.folder.resolve()} {asked!r}"
    subject = f"{record.folder.resolve()} cost {asked.code!r} {asked.configuration!r} {asked.stated!r}"
    return LINE.ask(key, f"cost of {name}", lambda told: work_out(record, asked, told), subject)


def choices_of(code: str, page: str, given: Given, carried: dict[str, str]) -> list[dict[str, Any]]:
    """Links to the same page of a vehicle with other regions, machines and ways of paying tools."""
    return choices_at(
        lambda name, value: address(page, code, **{**carried, **given.query, name: value}), given
    )


def choices_at(link: Callable[[str, str], str], given: Given) -> list[dict[str, Any]]:
    """Links with other regions, machines and ways of paying tools; `link` takes name and value, "" for the usual."""
    own = Stated().scenario()
    taken = given.stated.scenario()
    told: list[tuple[str, str, dict[str, str], str, str]] = [
        ("Made in", "region", {key: one.words for key, one in own.regions.items()}, own.region, taken.region),
        ("Machines", "machines", MACHINES, _machines(own), _machines(taken)),
        ("Tools", "tools", TOOLING_WORDS, own.tooling, taken.tooling),
    ]
    return [
        {
            "words": words,
            "links": [
                (label, link(name, "" if key == usual else key), key == chosen)
                for key, label in options.items()
            ],
        }
        for words, name, options, usual, chosen in told
    ]


def interval(found: Json, factor: float = 1.0) -> Interval:
    """An amount of money as an interval."""
    return Interval(factor * found["value"], factor * found["low"], factor * found["high"])


def money(found: Json | Interval, *, signed: bool = False) -> Figure:
    """An amount with its band as text."""
    return figure(found if isinstance(found, Interval) else interval(found), signed=signed)


def outside(found: Json) -> bool:
    """Whether the best estimate lies outside its band: most figures reach further up than down."""
    return not found["low"] <= found["value"] <= found["high"]


def bar(found: Interval, longest: float, wash: str) -> dict[str, Any]:
    """A bar from zero with its band, in % of its column."""
    per_unit = 100.0 / longest if longest > 0.0 else 0.0
    low, value, high = (round(max(per_unit * end, 0.0), 2) for end in (found.low, found.value, found.high))
    return {"left": 0.0, "width": value, "low": low, "high": high, "wash": wash}


def wash_of(place: int) -> str:
    """Class of the wash of a vehicle by its place."""
    return f"w{place + 1 if 0 <= place < 5 else 0}"
