"""What to weigh next: how far one more weighing would shrink the band of the vehicle's mass, and of a mass gap."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array, vstack
from scipy.special import ndtri

from hoistbook.core.arrays import Array
from hoistbook.core.mass.layout import BoolArray
from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.mass.priors import Prior, sibling_priors
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.mass.weighing_notes import APPLIED, AppliedMaterials
from hoistbook.core.quantities.instruments import Instrument, reading, smallest_reading_si
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Scope

_K = float(ndtri(0.975))
_SCALES = ("scale", "crane scale")
_READ = (MassBasis.WEIGHED, MassBasis.COMPUTED, MassBasis.ESTIMATED, MassBasis.LITERATURE)
_LOOKED_AT = 5  # candidates judged exactly, per line wanted

NEAR_TIE_FRAC = 0.2
"""project rule: a whole assembly is worth collecting again only if it takes this much more off the band than the best
single weighing inside it."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """One proposal.

    Attributes
    ----------
    tag : str
    scope : Scope
        self for one part, subtree for an assembly with everything attached.
    instrument : str
        Id of the best instrument for it; empty when nothing is known of its mass.
    lot : int
        Pieces to put on the scale together.
    now : MassBasis
        How its mass is known today.
    band_now_kg, band_then_kg : float or None
        Half width (1.96 u) of the band of the vehicle's mass today and after the weighing, parts without a mass
        included as `assumed` says; None when nothing is known of the mass.
    gap_band_now_kg, gap_band_then_kg : float or None
        The same for the difference to the mass given as `against`; None without one.
    settles : int
        Parts of which nothing is known that it would settle.
    assumed : str
        What was assumed of masses that are not known; empty when nothing was.
    """

    tag: str
    scope: Scope
    instrument: str
    lot: int
    now: MassBasis
    band_now_kg: float | None
    band_then_kg: float | None
    gap_band_now_kg: float | None
    gap_band_then_kg: float | None
    settles: int
    assumed: str


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A node that could be weighed.

    `pieces` is what one kilogram per piece does to the total, `prior_kg2` the variance that parts without a mass add
    in it.
    """

    place: int
    scope: Scope
    now: MassBasis
    pieces: float
    known_kg: float
    prior_kg2: float = 0.0
    settles: int = 0
    assumed: str = ""


_Candidates = tuple[list[_Candidate], csr_array]
"""Candidates, and the rows over today's readings that their new reading takes the place of in the total."""


def next_to_weigh(
    roll: RollUp,
    basis: Sequence[MassBasis],
    instruments: Sequence[Instrument],
    *,
    against: Quantity | None = None,
    limit: int = 20,
    applied: AppliedMaterials = APPLIED,
    near_tie_frac: float = NEAR_TIE_FRAC,
) -> tuple[Weighing, ...]:
    """Rank what to weigh next.

    Parameters
    ----------
    roll : RollUp
    basis : sequence of MassBasis
        How the own mass of every node was come by.
    instruments : sequence of Instrument
        Scales to choose from; each proposal names the one with the smallest band for that mass.
    against : Quantity, optional
        Another vehicle's mass, or the vehicle scale: its difference to the sum of the parts is the gap. [kg]
    limit : int
        Longest list returned.
    applied : AppliedMaterials
        What cannot be put on a scale by itself: never proposed.
    near_tie_frac : float
        An assembly is proposed only if it takes this share more off the band than a weighing inside it that is proposed
        too. [1]

    Returns
    -------
    tuple of Weighing
        First the parts of which nothing is known at all, most pieces first; then by the band that would be left, the
        smaller job first where two bands print alike. Empty when no instrument is a scale, or no weighing would change
        the printed band.

    Notes
    -----
    Replacing the reading of a part: Var' = Var(total − N e_old + N e_new), N pieces, with everything the new reading
    shares with the others through its instrument. An assembly weighed as a whole: the same with the error of its sum.
    The value read is taken as the one known today. Left out are readings that take part in a least-squares block
    (weighed more than once already) and everything inside a weighed assembly (it cannot change the vehicle's mass).

    A part without a mass is assumed like its siblings of the same kind (`priors`), for the ranking only. Without such
    siblings nothing is assumed and the part heads the list.

    Source
    ------
    first principles; checked in the tests by recomputing the whole book with each reading replaced.
    """
    scales = [instrument for instrument in instruments if instrument.kind in _SCALES]
    if not scales:
        return ()
    priors = sibling_priors(roll, basis)
    missing = [place for place, how in enumerate(basis) if how is MassBasis.MISSING]
    unknown = [p for p in missing if p not in priors and not applied.holds(roll, p, basis[p])]
    heads = [
        Weighing(roll.tree.nodes[p].tag, Scope.SELF, "", 1, basis[p], None, None, None, None, 1, "")
        for p in sorted(unknown, key=lambda p: (-roll.tree.pieces[p], roll.tree.nodes[p].tag))
    ][:limit]
    room = limit - len(heads)
    if room <= 0:
        return tuple(heads)
    candidates, rows = _joined(
        _parts(roll, basis), _missing(roll, basis, priors), _assemblies(roll, basis, priors)
    )
    liftable = [i for i, c in enumerate(candidates) if not applied.holds(roll, c.place, c.now)]
    candidates, rows = [candidates[i] for i in liftable], rows[liftable]
    promising = _screened(roll, candidates, rows, room * _LOOKED_AT)
    judged = _judged(roll, [candidates[i] for i in promising], rows[promising], scales, priors, against)
    return (*heads, *_worth_it(roll, judged, near_tie_frac)[:room])


def _printed_kg(half_kg: float) -> float:
    """Half width as it is printed."""
    return float(text(0.0, half_kg, plain=True).rpartition(" ")[2])


def _is_gain(now_kg: float, then_kg: float) -> bool:
    """Whether the printed band changes, and by more than the rounding of its last digit can make of next to nothing."""
    last_digit_kg = 10.0 ** (math.floor(math.log10(now_kg)) - 1)
    return _printed_kg(then_kg) < _printed_kg(now_kg) and now_kg - then_kg >= 0.5 * last_digit_kg


def _worth_it(roll: RollUp, judged: Sequence[Weighing], near_tie_frac: float) -> list[Weighing]:
    """Proposals that change the printed band, without assemblies that hold an almost equal proposal; best first."""
    tree = roll.tree

    def size(weighing: Weighing) -> int:
        place = tree.index[weighing.tag]
        return int(tree.end[place]) - place

    kept: list[Weighing] = []
    for weighing in sorted(judged, key=size):
        now, then = weighing.band_now_kg or 0.0, weighing.band_then_kg or 0.0
        if not _is_gain(now, then):
            continue
        place = tree.index[weighing.tag]
        enough = (now - then) / (1.0 + near_tie_frac)
        if weighing.scope is Scope.SELF or not any(
            place < tree.index[inside.tag] < tree.end[place]
            and now - (inside.band_then_kg or 0.0) >= enough
            and inside.settles >= weighing.settles
            for inside in kept
        ):
            kept.append(weighing)
    return sorted(
        kept, key=lambda w: (_printed_kg(w.band_then_kg or 0.0), size(w), w.band_then_kg or 0.0, w.tag)
    )


def _joined(*found: _Candidates) -> _Candidates:
    return [c for candidates, _ in found for c in candidates], csr_array(
        vstack([rows for _, rows in found], format="csr")
    )


def _parts(roll: RollUp, basis: Sequence[MassBasis]) -> _Candidates:
    """Parts whose own reading reaches the vehicle's mass."""
    solution = roll.solution
    weights = roll.reading_weights(roll.subtree_rows[[0]])
    in_total = dict(zip(weights.indices.tolist(), weights.data.tolist(), strict=True))
    candidates: list[_Candidate] = []
    replaced: list[int] = []
    for place, how in enumerate(basis):
        row = int(solution.pivot[place])
        if how in _READ and row in in_total:
            pieces = in_total[row] * solution.observations[row].on_scale[0][1]
            candidates.append(_Candidate(place, Scope.SELF, how, pieces, float(roll.own_kg[place])))
            replaced.append(row)
    data = np.array([in_total[row] for row in replaced])
    shape = (len(candidates), len(solution.observations))
    return candidates, csr_array(
        (data, np.array(replaced, dtype=np.intp), np.arange(len(replaced) + 1)), shape=shape
    )


def _missing(roll: RollUp, basis: Sequence[MassBasis], priors: Mapping[int, Prior]) -> _Candidates:
    candidates = []
    for place, prior in priors.items():
        pieces = float(roll.tree.pieces[place])
        candidates.append(
            _Candidate(
                place,
                Scope.SELF,
                basis[place],
                pieces,
                prior.mass_kg,
                (pieces * prior.u_kg) ** 2,
                assumed=prior.words,
            )
        )
    return candidates, csr_array((len(candidates), len(roll.solution.observations)))


def _assemblies(roll: RollUp, basis: Sequence[MassBasis], priors: Mapping[int, Prior]) -> _Candidates:
    """Assemblies that are the sum of their parts, and no weighing reaches across their boundary."""
    tree = roll.tree
    crossed = _crossed(roll)
    places = [p for p, how in enumerate(basis) if p > 0 and how is MassBasis.PARTS and not crossed[p]]
    known = np.asarray(roll.subtree_rows @ roll.own_kg)
    lacking = [p for p, how in enumerate(basis) if how is MassBasis.MISSING]
    candidates = []
    for place in places:
        first, last = bisect_left(lacking, place), bisect_left(lacking, int(tree.end[place]))
        assumed = [p for p in lacking[first:last] if p in priors]
        unknown = last - first - len(assumed)
        pieces = float(tree.pieces[place])
        more = math.fsum(float(tree.pieces[p]) / pieces * priors[p].mass_kg for p in assumed)
        words = []
        if assumed:
            words.append(f"parts without a mass in it ({len(assumed)}) are assumed like their siblings")
        if unknown:
            words.append(f"parts of which nothing is known ({unknown}) are in none of these bands")
        variance = math.fsum((float(tree.pieces[p]) * priors[p].u_kg) ** 2 for p in assumed)
        total = float(known[place]) + more
        candidates.append(
            _Candidate(place, Scope.SUBTREE, basis[place], pieces, total, variance, unknown, "; ".join(words))
        )
    weights = tree.pieces[places]
    scaling = csr_array(
        (weights, np.array(places, dtype=np.intp), np.arange(len(places) + 1)),
        shape=(len(places), len(basis)),
    )
    return candidates, roll.reading_weights(csr_array(scaling @ roll.subtree_rows))


def _crossed(roll: RollUp) -> BoolArray:
    """Nodes with a weighing that holds something of them together with something outside."""
    tree = roll.tree
    crossed = np.zeros(len(tree.nodes), dtype=np.bool_)
    for observation in roll.solution.observations:
        places = [tree.index[tag] for tag, _ in observation.on_scale]
        if len(places) == 1:
            if observation.scope is Scope.SUBTREE:
                crossed[places[0] + 1 : tree.end[places[0]]] = True
            continue
        for place in places:
            crossed[place : tree.end[place]] = True
            above = int(tree.parent[place])
            while above > 0:
                crossed[above] = True
                above = int(tree.parent[above])
    return crossed


def _screened(roll: RollUp, candidates: Sequence[_Candidate], rows: csr_array, count: int) -> list[int]:
    """Candidates that would take most from the variance if their new reading were exact."""
    total = roll.coefficients(roll.reading_weights(roll.subtree_rows[[0]]))
    errors = csr_array(rows @ roll.solution.table.sensitivity_kg)
    removed = 2.0 * np.asarray(errors @ total) - np.asarray(errors.multiply(errors).sum(axis=1)).ravel()
    scores = removed + np.array([candidate.prior_kg2 for candidate in candidates])
    return [int(i) for i in np.argsort(-scores, kind="stable")[:count]]


class _Errors:
    """Errors as vectors over all named sources, so that a replaced reading is one subtraction."""

    def __init__(self, roll: RollUp, more: Sequence[Quantity]) -> None:
        self.roll = roll
        table = roll.solution.table
        self.place = {source.name: i for i, source in enumerate(table.sources)}
        self.known = len(self.place)
        for quantity in more:
            for source, _ in quantity.terms:
                self.place.setdefault(source.name, len(self.place))
        self.shared = {table.sources[j].name: i for i, j in enumerate(table.shared.tolist())}

    def of_row(self, row: csr_array) -> Array:
        """Error of a row over today's readings."""
        return np.concatenate([self.roll.coefficients(row), np.zeros(len(self.place) - self.known)])

    def of(self, quantity: Quantity) -> Array:
        """Error of a quantity from elsewhere."""
        vector = np.zeros(len(self.place))
        for source, c in quantity.terms:
            vector[self.place[source.name]] += c
        return vector

    def of_new(self, quantity: Quantity) -> Array:
        """Error of a new reading, corrected for the estimated shared errors like those of today."""
        vector = self.of(quantity)
        shared = np.zeros(len(self.shared))
        for source, c in quantity.terms:
            if source.name in self.shared:
                shared[self.shared[source.name]] += c
        vector[: self.known] = self.roll.corrected(vector[: self.known], shared)
        return vector


def _judged(
    roll: RollUp,
    candidates: Sequence[_Candidate],
    rows: csr_array,
    scales: Sequence[Instrument],
    priors: Mapping[int, Prior],
    against: Quantity | None,
) -> list[Weighing]:
    spread = math.fsum((float(roll.tree.pieces[place]) * prior.u_kg) ** 2 for place, prior in priors.items())
    proposals = [
        (candidate, i, best)
        for i, candidate in enumerate(candidates)
        if (best := _best_reading(roll, candidate, scales)) is not None
    ]
    errors = _Errors(
        roll, [*(new for _, _, (_, _, new) in proposals), *([] if against is None else [against])]
    )
    total = errors.of_row(roll.reading_weights(roll.subtree_rows[[0]]))
    gap = None if against is None else total - errors.of(against)
    now = _half(total, spread)
    judged = []
    for candidate, i, (instrument, lot, new) in proposals:
        change = candidate.pieces * errors.of_new(new) - errors.of_row(rows[[i]])
        left = max(spread - candidate.prior_kg2, 0.0)
        then = _half(total + change, left)
        if then < now * (1.0 - 1e-6):
            judged.append(
                Weighing(
                    tag=roll.tree.nodes[candidate.place].tag,
                    scope=candidate.scope,
                    instrument=instrument.id,
                    lot=lot,
                    now=candidate.now,
                    band_now_kg=now,
                    band_then_kg=then,
                    gap_band_now_kg=None if gap is None else _half(gap, spread),
                    gap_band_then_kg=None if gap is None else _half(gap + change, left),
                    settles=candidate.settles,
                    assumed=candidate.assumed,
                )
            )
    return judged


def _half(errors: Array, more_kg2: float) -> float:
    return _K * math.sqrt(float(errors @ errors) + more_kg2)


def _best_reading(
    roll: RollUp, candidate: _Candidate, scales: Sequence[Instrument]
) -> tuple[Instrument, int, Quantity] | None:
    """Scale, lot and reading per piece with the smallest band; None when no scale can take the part."""
    mass = candidate.known_kg
    if not mass > 0.0:
        return None
    node = roll.tree.nodes[candidate.place]
    most = 1 if candidate.scope is Scope.SUBTREE else max(int(roll.tree.pieces[candidate.place]), 1)
    best: tuple[Instrument, int, Quantity] | None = None
    for scale in scales:
        lot = max(math.ceil(smallest_reading_si(scale) / mass), 1)
        if lot > most or (scale.capacity_si is not None and lot * mass > scale.capacity_si):
            continue
        try:
            new = reading(scale, lot * mass, f"proposed {node.tag} on {scale.id}") / lot
        except ValueError:  # beyond the table of its class
            continue
        if best is None or new.standard_uncertainty < best[2].standard_uncertainty:
            best = (scale, lot, new)
    return best
