"""Assemblies against their pieces: one system of weighings, solved so that nothing is counted twice.

Each node has one unknown, its own mass per piece (what it weighs beyond its listed children). Every weighing is a sum
of such unknowns. Most systems are exactly determined and fall apart by substitution: an unknown that occurs in one
weighing only takes up what that weighing leaves. What remains is over-determined and goes to least squares (`gls`).
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components

from hoistbook.core.arrays import Array
from hoistbook.core.mass.gls import Block, BlockFit, IntArray, fit_blocks
from hoistbook.core.mass.layout import BoolArray, Layout
from hoistbook.core.mass.ledger import Observation
from hoistbook.core.quantities.quantity import Source
from hoistbook.core.vehicle.records import Scope

DENSE_READINGS = 200
"""project rule: blocks up to this many readings are solved with dense factorisations, larger ones with sparse ones."""

MOST_READINGS = 4_000
"""project rule: most readings of one connected group. The map from readings to masses has the square of it as entries,
0.13 GB for so many."""

_ROUNDING = 1e-12
"""Coefficients below this are left by rounding of counts that cancel."""


@dataclass(frozen=True, slots=True)
class SourceTable:
    """Errors of the observations: sensitivity[i, j] of observation i to source j; `shared`: sources in several."""

    sources: tuple[Source, ...]
    sensitivity_kg: csr_array
    shared: IntArray


@dataclass(frozen=True, slots=True)
class OverDetermined:
    """One least-squares block: its observations, its unknowns (nodes) and its fit."""

    observations: IntArray
    nodes: IntArray
    fit: BlockFit


@dataclass(frozen=True, slots=True)
class Solution:
    """Own mass per piece of every node, as a linear map of the observations.

    Attributes
    ----------
    observations : tuple of Observation
    values_kg : array, shape (m,)
    table : SourceTable
        Errors of the observations; those of contradictory ones are widened.
    map : sparse array, shape (n, m)
        Own masses from observations that were corrected for the shared sources.
    shared_gain : array, shape (k, m)
        Estimates of the shared sources from the observations; zero columns outside the least-squares blocks.
    pivot : array of int, shape (n,)
        Observation that a node takes up; −1 when it is solved by least squares or not at all.
    holder : array of int, shape (n,)
        Node whose own mass holds this node's, because no weighing tells them apart; −1 otherwise.
    touched : array of bool, shape (n,)
        Some observation speaks of the node.
    blocks : tuple of OverDetermined
    """

    observations: tuple[Observation, ...]
    values_kg: Array
    table: SourceTable
    map: csr_array
    shared_gain: Array
    pivot: IntArray
    holder: IntArray
    touched: BoolArray
    blocks: tuple[OverDetermined, ...]
    design: csr_array

    @property
    def shared_estimate(self) -> Array:
        """Estimated error of each shared source, in units of its standard uncertainty, shape (k,)."""
        return self.shared_gain @ self.values_kg

    @property
    def own_masses_kg(self) -> Array:
        """Own mass per piece of every node, shape (n,); 0 where nothing is known."""
        shared = self.table.sensitivity_kg[:, self.table.shared]
        return np.asarray(self.map @ (self.values_kg - shared @ self.shared_estimate), dtype=np.float64)


def source_table(observations: Sequence[Observation], watched: Set[str] = frozenset()) -> SourceTable:
    """Collect the named errors of all observations; those in several, and the watched ones, are shared.

    Raises
    ------
    ValueError
        Two different sources under one name.
    """
    places: dict[str, int] = {}
    sources: list[Source] = []
    rows: list[int] = []
    columns: list[int] = []
    data: list[float] = []
    for row, observation in enumerate(observations):
        for source, coefficient in observation.value.terms:
            place = places.get(source.name)
            if place is None:
                place = places[source.name] = len(sources)
                sources.append(source)
            elif sources[place] is not source and sources[place] != source:
                msg = (
                    f"readings {', '.join(observation.readings)}: two different sources are both named "
                    f"{source.name!r}: "
                    f"{sources[place]} and {source}; rename one of them."
                )
                raise ValueError(msg)
            rows.append(row)
            columns.append(place)
            data.append(coefficient)
    shape = (len(observations), len(sources))
    sensitivity = csr_array(
        coo_array(
            (np.array(data), (np.array(rows, dtype=np.intp), np.array(columns, dtype=np.intp))), shape=shape
        )
    )
    uses = np.bincount(np.array(columns, dtype=np.intp), minlength=len(sources))
    shared = (uses > 1) | np.array([source.name in watched for source in sources], dtype=np.bool_)
    return SourceTable(tuple(sources), sensitivity, np.flatnonzero(shared))


def design_matrix(tree: Layout, observations: Sequence[Observation]) -> csr_array:
    """Pieces of every node on the scale, shape (m, n): everything attached included where the scope says so."""
    on_scale = [
        (row, tree.index[tag], pieces, observation.scope is Scope.SUBTREE)
        for row, observation in enumerate(observations)
        for tag, pieces in observation.on_scale
    ]
    if not on_scale:
        return csr_array((len(observations), len(tree.nodes)))
    row, place, pieces, whole = (np.array(column) for column in zip(*on_scale, strict=True))
    sizes = np.where(whole, tree.end[place] - place, 1)
    entry = np.repeat(np.arange(place.size), sizes)
    column = place[entry] + np.arange(entry.size) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    data = pieces[entry] * tree.pieces[column] / tree.pieces[place[entry]]
    return csr_array(coo_array((data, (row[entry], column)), shape=(len(observations), len(tree.nodes))))


@dataclass(slots=True)
class _System:
    """Entries of the design matrix that are still in play, and what was decided."""

    rows: IntArray
    columns: IntArray
    data: Array
    holder: IntArray
    pivot: IntArray

    def drop(self, keep: BoolArray) -> None:
        self.rows, self.columns, self.data = self.rows[keep], self.columns[keep], self.data[keep]


def reconcile(
    tree: Layout,
    observations: Sequence[Observation],
    active: BoolArray,
    vehicle: str,
    residual_bound: float = 2.0,
    watched: Set[str] = frozenset(),
) -> Solution:
    """Own masses of all nodes from all observations.

    Parameters
    ----------
    tree : Layout
    observations : sequence of Observation
        Those that count (`ledger`).
    active : array of bool, shape (n,)
        Nodes that may have a mass of their own. The others are groups no weighing speaks of: exactly their children.
    vehicle : str
        Code of the vehicle; names the errors that are added where readings contradict.
    residual_bound : float
        A residual above this many standard uncertainties is a contradiction. [1]
    watched : set of str
        Names of sources to estimate even when one reading has them: the next reading of that scale will share them.

    Returns
    -------
    Solution

    Raises
    ------
    ValueError
        Two different sources under one name, or more than `MOST_READINGS` weighings that hang together.

    Notes
    -----
    1. Nodes that always lie on the scale together in the same numbers have one joint unknown (`holder`).
    2. An unknown that occurs in one observation only takes up that observation (`pivot`); both leave the system.
       Repeated until nothing changes. This gives the same figures as least squares: such an observation says nothing
       about others.
    3. The rest is solved by generalised least squares, connected block by connected block, shared sources jointly.
    4. Back substitution in reverse order of step 2.

    Source
    ------
    first principles; step 3 `gls.fit_blocks`. Checked in the tests against dense generalised least squares.
    """
    table = source_table(observations, watched)
    design = design_matrix(tree, observations)
    values = np.array([observation.value.value for observation in observations])
    size, count = len(tree.nodes), len(observations)
    entries = design.tocoo()
    touched = np.zeros(size, dtype=np.bool_)
    touched[entries.col] = True
    system = _System(
        entries.row.astype(np.intp),
        entries.col.astype(np.intp),
        entries.data,
        np.full(size, -1, dtype=np.intp),
        np.full(size, -1, dtype=np.intp),
    )
    system.drop(active[system.columns])
    # Remainders are booked to assemblies before parts, and to the highest of them.
    rank = np.empty(size, dtype=np.intp)
    rank[np.lexsort((np.arange(size), ~tree.is_group))] = np.arange(size)
    _join_inseparable(system, rank, count)
    clean = csr_array(coo_array((system.data, (system.rows, system.columns)), shape=(count, size)))
    rounds = _peel(system, rank, count)
    blocks, shared_gain, core_map = _least_squares(tree, system, clean, values, table, residual_bound)
    solved = _substitute(core_map, clean, rounds)
    return Solution(
        observations=tuple(observations),
        values_kg=values,
        table=_widened(table, blocks, observations, vehicle),
        map=solved,
        shared_gain=shared_gain,
        pivot=system.pivot,
        holder=system.holder,
        touched=touched & active,
        blocks=blocks,
        design=design,
    )


def _join_inseparable(system: _System, rank: IntArray, count: int) -> None:
    """Give columns that are multiples of each other to the one of them that ranks first."""
    entries_per_row = np.bincount(system.rows, minlength=count)
    direct = np.zeros(rank.size, dtype=np.bool_)
    direct[system.columns[entries_per_row[system.rows] == 1]] = True
    order = np.lexsort((system.rows, rank[system.columns]))
    order = order[~direct[system.columns[order]]]
    if order.size == 0:
        return
    columns, rows, data = system.columns[order], system.rows[order], system.data[order]
    starts = np.flatnonzero(np.r_[True, columns[1:] != columns[:-1]])
    stops = np.r_[starts[1:], columns.size]
    first: dict[tuple[bytes, bytes], int] = {}
    for start, stop in zip(starts.tolist(), stops.tolist(), strict=True):
        ratio = np.round(data[start:stop] / data[start], 9)
        key = (rows[start:stop].tobytes(), ratio.tobytes())
        place = int(columns[start])
        keeper = first.setdefault(key, place)
        if keeper != place:
            system.holder[place] = keeper
    system.drop(system.holder[system.columns] < 0)


def _peel(system: _System, rank: IntArray, count: int) -> list[tuple[IntArray, IntArray, Array]]:
    """Rounds of (observations, the nodes that take them up, pieces of these); the entries left are over-determined."""
    rounds: list[tuple[IntArray, IntArray, Array]] = []
    while system.rows.size:
        uses = np.bincount(system.columns, minlength=rank.size)
        alone = np.flatnonzero(uses[system.columns] == 1)
        if alone.size == 0:
            break
        alone = alone[np.lexsort((rank[system.columns[alone]], system.rows[alone]))]
        rows, first = np.unique(system.rows[alone], return_index=True)
        chosen = alone[first]
        nodes = system.columns[chosen]
        rounds.append((rows, nodes, system.data[chosen]))
        system.pivot[nodes] = rows
        taker = np.full(count, -1, dtype=np.intp)
        taker[rows] = nodes
        left = alone[system.pivot[system.columns[alone]] < 0]
        system.holder[system.columns[left]] = taker[system.rows[left]]
        gone = np.zeros(count, dtype=np.bool_)
        gone[rows] = True
        system.drop(~gone[system.rows])
    return rounds


def _design(block: csr_array) -> Array | csr_array:
    return csr_array(block) if block.shape[0] > DENSE_READINGS else np.asarray(block.toarray())


def _least_squares(
    tree: Layout, system: _System, clean: csr_array, values: Array, table: SourceTable, residual_bound: float
) -> tuple[tuple[OverDetermined, ...], Array, csr_array]:
    count, size = clean.shape
    shared_count = table.shared.size
    rows, nodes = np.unique(system.rows), np.unique(system.columns)
    if rows.size == 0:
        return (), np.zeros((shared_count, count)), csr_array((size, count))
    design = clean[rows][:, nodes]
    sensitivity = table.sensitivity_kg[rows]
    shared = sensitivity[:, table.shared].toarray()
    squares = np.asarray(sensitivity.multiply(sensitivity).sum(axis=1)).ravel()
    own = np.sqrt(np.maximum(squares - (shared**2).sum(axis=1), 0.0))
    links = coo_array(design)
    graph = coo_array(
        (np.ones(links.nnz), (links.row, links.col + rows.size)), shape=(rows.size + nodes.size,) * 2
    )
    parts, label = connected_components(graph, directed=False)
    members = [
        (np.flatnonzero(label[: rows.size] == k), np.flatnonzero(label[rows.size :] == k))
        for k in range(parts)
    ]
    for r, c in members:
        if r.size > MOST_READINGS:
            msg = (
                f"{r.size} weighings hang together through the parts they share, more than {MOST_READINGS}; they "
                f"speak of {c.size} parts, e.g. {', '.join(tree.nodes[j].tag for j in nodes[c][:3])}. Weigh some of "
                "these alone, or list fewer parts on the scale together in 'covers'."
            )
            raise ValueError(msg)
    fit = fit_blocks(
        [Block(_design(design[r][:, c]), values[rows[r]], own[r], shared[r]) for r, c in members],
        shared_count,
        residual_bound,
    )
    order = np.concatenate([rows[r] for r, _ in members])
    gain = np.zeros((shared_count, count))
    gain[:, order] = fit.shared_gain
    blocks: list[OverDetermined] = []
    entries: list[tuple[Array, IntArray, IntArray]] = []
    for (r, c), block_fit in zip(members, fit.blocks, strict=True):
        unknown, reading = np.meshgrid(nodes[c], rows[r], indexing="ij")
        entries.append((block_fit.gain.ravel(), unknown.ravel(), reading.ravel()))
        for dropped in block_fit.dropped:
            keeper = block_fit.tied[0] if block_fit.tied else 0
            system.holder[nodes[c][dropped]] = nodes[c][keeper]
        blocks.append(OverDetermined(rows[r], nodes[c], block_fit))
    data, unknowns, readings = (np.concatenate(part) for part in zip(*entries, strict=True))
    return tuple(blocks), gain, csr_array(coo_array((data, (unknowns, readings)), shape=(size, count)))


def _substitute(
    core_map: csr_array, clean: csr_array, rounds: list[tuple[IntArray, IntArray, Array]]
) -> csr_array:
    count, size = clean.shape
    solved = core_map
    for rows, nodes, pieces in reversed(rounds):
        picked = csr_array((np.ones(rows.size), (np.arange(rows.size), rows)), shape=(rows.size, count))
        placed = csr_array((1.0 / pieces, (nodes, np.arange(rows.size))), shape=(size, rows.size))
        solved = cleaned(solved + placed @ (picked - clean[rows] @ solved))
    return solved


def cleaned(matrix: csr_array) -> csr_array:
    """Return the matrix without entries that only rounding has left."""
    matrix.data[np.abs(matrix.data) < _ROUNDING] = 0.0
    matrix.eliminate_zeros()
    return matrix


def _widened(
    table: SourceTable, blocks: Sequence[OverDetermined], observations: Sequence[Observation], vehicle: str
) -> SourceTable:
    rows: list[int] = []
    data: list[float] = []
    sources = list(table.sources)
    for block in blocks:
        for row, more in zip(block.observations.tolist(), block.fit.widening_kg.tolist(), strict=True):
            if more > 0.0:
                rows.append(row)
                data.append(more)
                sources.append(Source(f"{vehicle} reading {observations[row].readings[0]}/disagreement"))
    if not rows:
        return table
    extra = coo_array(
        (np.array(data), (np.array(rows), np.arange(len(rows)))), shape=(len(observations), len(rows))
    )
    wide = coo_array(table.sensitivity_kg)
    joined = coo_array(
        (
            np.concatenate([wide.data, extra.data]),
            (np.concatenate([wide.row, extra.row]), np.concatenate([wide.col, extra.col + wide.shape[1]])),
        ),
        shape=(len(observations), len(sources)),
    )
    return SourceTable(tuple(sources), csr_array(joined), table.shared)
