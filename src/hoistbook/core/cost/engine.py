"""Piece cost of many parts at once: parts with one route are evaluated together, best estimate and draws in one go."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from hoistbook.core.cost.drawn import ReadingDraws, SharedDraws
from hoistbook.core.cost.estimates import DENSITY
from hoistbook.core.cost.pricing import evaluated
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.shop import Machines, Shop, Way, shop_of, way

_CELLS = 65_536
"""Numbers per array that are worked on at a time: few enough for the cache, enough that calls do not count."""


@dataclass(frozen=True, slots=True)
class Costed:
    """Costs by tag, and why a part has none."""

    parts: Mapping[str, PartCost]
    refused: Mapping[str, str]


def cost_parts(
    parts: Iterable[PartToCost],
    scenario: Scenario,
    processes: Mapping[str, Process],
    n_draws: int = 1_000,
    seed: int = 1,
    threads: int = 2,
    progress: Callable[[int, int], None] | None = None,
    context: Iterable[PartToCost] = (),
    shared: SharedDraws | None = None,
) -> Costed:
    """Cost of each part.

    Parameters
    ----------
    parts : iterable of PartToCost
        Tags differ.
    scenario : Scenario
    processes : mapping of str to Process
    n_draws : int
        0 for the best estimate alone.
    seed : int
    threads : int
        The result does not depend on it, nor on the order of the parts.
    progress : callable, optional
        Called with parts done and parts in all.
    context : iterable of PartToCost
        Parts that are not costed here but share errors of their readings with those that are: runs that name the same
        parts, in `parts` or here, then draw the same errors.
    shared : SharedDraws, optional
        Where figures and errors are drawn, instead of a new one of `n_draws` and `seed`.

    Returns
    -------
    Costed

    Raises
    ------
    ValueError
        Two parts of one tag.
    """
    found: dict[str, PartToCost] = {}
    for part in parts:
        if part.tag in found:
            msg = f"two parts are tagged {part.tag!r}; a tag belongs to one part."
            raise ValueError(msg)
        found[part.tag] = part
    ordered = [found[tag] for tag in sorted(found)]
    shared = SharedDraws(n_draws, seed) if shared is None else shared
    for code, material in scenario.materials.items():
        # Readings that were estimated from a density err with it: the figure has to be known before they are drawn.
        if DENSITY in material.figures:
            density = material.figures[DENSITY]
            shared.figure(density.drawn_as or f"material/{code}/{DENSITY}", density)
    readings = ReadingDraws([*ordered, *context], shared)
    refused: dict[str, str] = {}
    ways: dict[Way, list[PartToCost]] = {}
    known: dict[Hashable, Way] = {}
    for part in ordered:
        alike = _alike(part)
        if alike not in known:
            try:
                known[alike] = way(part, scenario, processes)
            except (ValueError, LookupError) as error:
                refused[part.tag] = str(error.args[0])
                continue
        ways.setdefault(known[alike], []).append(part)
    size = max(_CELLS // (shared.n_draws + 1), 1)
    blocks = []
    machines = Machines(scenario, shared)
    for one, members in ways.items():
        try:
            shop = shop_of(one, scenario, processes, shared, machines)
        except (ValueError, LookupError) as error:
            refused |= {part.tag: f"{part.tag}: {error.args[0]}" for part in members}
            continue
        blocks += [(shop, members[start : start + size]) for start in range(0, len(members), size)]
    costs: dict[str, PartCost] = {}

    def work(block: tuple[Shop, list[PartToCost]]) -> tuple[list[PartCost], dict[str, str]]:
        try:
            return evaluated(*block, readings)
        except ValueError as error:  # the material lacks what the model asks for
            return [], {part.tag: f"{part.tag}: {error.args[0]}" for part in block[1]}

    # Without draws a block is done before a thread has begun.
    for done, why in _worked(work, blocks, threads if shared.n_draws else 1):
        costs |= {one.tag: one for one in done}
        refused |= why
        if progress is not None:
            progress(len(costs) + len(refused), len(ordered))
    return Costed(
        {part.tag: costs[part.tag] for part in found.values() if part.tag in costs},
        {tag: refused[tag] for tag in found if tag in refused},
    )


def _alike(part: PartToCost) -> Hashable:
    """Parts of which this is equal go the same way; cheap to form, unlike the way itself."""
    return (
        part.material,
        part.region,
        part.supplier,
        frozenset(part.readings),
        tuple(
            (one.process, one.material, tuple(one.choices.items()), frozenset(one.readings))
            for one in part.steps
        ),
    )


_Block = tuple[Shop, list[PartToCost]]
_Done = tuple[list[PartCost], dict[str, str]]


def _worked(work: Callable[[_Block], _Done], blocks: list[_Block], threads: int) -> Iterator[_Done]:
    if threads <= 1 or len(blocks) <= 1:
        yield from map(work, blocks)
        return
    with ThreadPoolExecutor(threads) as pool:
        yield from pool.map(work, blocks)
