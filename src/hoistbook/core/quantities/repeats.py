"""Several readings of one thing: their mean, its band, and whether they contradict each other."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import chdtri

from hoistbook.core.quantities.quantity import Quantity, Source, combine, total

SIGNIFICANCE = 0.05  # common practice: readings contradict at the 5 % level
ADVICE = "Measure again and supersede the wrong one, or state the repeatability of the method on this object."
"""Last sentence of the message about readings that contradict each other."""
OWN_SCATTER_FROM = (
    5  # project rule: s of four readings is uncertain by 42 % and t_95 above 3 (GUM table E.1, G.2)
)


@dataclass(frozen=True, slots=True)
class Repeats:
    """Several readings of one slot taken together.

    `quantity` is the mean with its band. `contradicted` says that the readings differ by more than their bands
    explain; `offenders` are the ids concerned and `message` says so in words (empty otherwise). `scatter_si` is the
    standard deviation of the readings, `chi_square` their misfit and `chi_square_limit` what is allowed.
    """

    quantity: Quantity
    contradicted: bool
    message: str
    offenders: tuple[str, ...]
    n: int
    scatter_si: float
    chi_square: float
    chi_square_limit: float


def repeats(
    readings: Sequence[Quantity],
    ids: Sequence[str],
    slot: str,
    *,
    repeatability_si: float | None = None,
    significance: float = SIGNIFICANCE,
    own_scatter_from: int = OWN_SCATTER_FROM,
) -> Repeats:
    """Combine repeated readings of one slot, and say if they contradict each other.

    Parameters
    ----------
    readings : sequence of Quantity
        One or more, of one dimension, e.g. from `instruments.reading`.
    ids : sequence of str
        Their reading ids. Sources named ``reading <id>/…``, ``<id>`` or ``…/<id>`` belong to one reading alone; all
        others are common.
    slot : str
        Name of what was read; names the errors of the mean.
    repeatability_si : float, optional
        Standard deviation of one reading by this method on this object (a soft hose, a hanging harness), in the unit of
        the readings. Replaces what the readings carry as ``reading <id>/repeatability``.
    significance : float
        Level of the contradiction test. [1]
    own_scatter_from : int
        From how many readings their standard deviation gives the scatter of the mean.

    Returns
    -------
    Repeats

    Raises
    ------
    ValueError
        No reading, ids that do not fit or repeat, or units of different dimension.

    Notes
    -----
    *Mean*: weights w_i ∝ 1/u_i², equal for one instrument. *Common errors* (calibration) enter with Σ w_i c_i: they do
    not average out. *Step*, a typed band and other errors of single readings are kept at full size, √(Σ w_i r_i²), as
    nobody said that they are random. *Scatter* is

    - from `own_scatter_from` readings on: s/√n with n − 1 degrees of freedom (type A);
    - of fewer readings with a stated repeatability: √(Σ w_i² σ_i²);
    - of fewer readings without: rectangular, reaching the reading farthest from the mean, u = max|x_i − mean|/√3. The
      Student factor of two readings, 12.7, would make two readings worse than one although the limit of the instrument
      already bounds its scatter.

    *Contradiction*: χ² = Σ (x_i − mean)²/u_i² against its upper 5 % point with n − 1 degrees of freedom, u_i being the
    whole standard uncertainty of a reading (limit of the instrument, step, repeatability). For two readings of one
    instrument that is E_n > 1. Shared errors are not taken out of u_i, because an instrument's limit also bounds its
    scatter. Contradicting readings are not averaged away: the scatter is the rectangular error that reaches the
    farthest reading, so the band contains every reading, and the offenders are named: the fewest readings without which
    no pair has E_n > 1, or all in such pairs where no minority stands out. That band says where the readings lie; it
    cannot say which of them is right.

    Source
    ------
    from memory: GUM 4.2 (type A), ISO 13528 (E_n). common practice (project rules): weights, few readings, test,
    widening.
    """
    _check(readings, ids, slot)
    n = len(readings)
    split = [_split(q, reading_id, repeatability_si) for q, reading_id in zip(readings, ids, strict=True)]
    uncertainties = [math.hypot(part.common_u, part.rest_u, part.spread_u) for part in split]
    if n == 1:
        return Repeats(_single(readings[0], split[0], ids[0]), False, "", (), 1, 0.0, 0.0, math.inf)

    if min(uncertainties) > 0.0:
        inverse = [1.0 / u**2 for u in uncertainties]
        weights = [w / math.fsum(inverse) for w in inverse]
    else:
        weights = [1.0 / n] * n
    values = [q.value for q in readings]
    mean = math.fsum(w * x for w, x in zip(weights, values, strict=True))
    deviations = [x - mean for x in values]
    chi_square = math.fsum(
        (d / u) ** 2 if u > 0.0 else (0.0 if d == 0.0 else math.inf)
        for d, u in zip(deviations, uncertainties, strict=True)
    )
    limit = float(chdtri(n - 1, significance))
    contradicted = chi_square > limit

    own_u = math.sqrt(math.fsum(w * d * d for w, d in zip(weights, deviations, strict=True)) / (n - 1))
    stated_u = math.sqrt(math.fsum((w * part.spread_u) ** 2 for w, part in zip(weights, split, strict=True)))
    if n >= own_scatter_from and not contradicted:
        scatter, scatter_u = Source(f"slot {slot}/scatter", "student", dof=n - 1), own_u
    elif stated_u > 0.0 and not contradicted:
        scatter, scatter_u = Source(f"slot {slot}/scatter"), stated_u
    else:
        name = "contradiction" if contradicted else "scatter"
        scatter = Source(f"slot {slot}/{name}", "rectangular")
        scatter_u = max(abs(d) for d in deviations) / math.sqrt(3.0)
    rest_u = math.sqrt(math.fsum(w * part.rest_u**2 for w, part in zip(weights, split, strict=True)))
    unit = readings[0].unit
    own = Quantity(
        0.0,
        unit,
        tuple((s, u) for s, u in ((scatter, scatter_u), (_rest_source(split, slot), rest_u)) if u > 0.0),
    )
    quantity = total([part.common for part in split], weights, unit) + own
    quantity = combine(mean, [(quantity, 1.0)], unit)

    offenders: tuple[str, ...] = ()
    message = ""
    if contradicted:
        offenders = _offenders(readings, uncertainties, ids)
        message = _message(slot, values, ids, offenders, unit)
    spread = math.sqrt(math.fsum((x - math.fsum(values) / n) ** 2 for x in values) / (n - 1))
    return Repeats(quantity, contradicted, message, offenders, n, spread, chi_square, limit)


@dataclass(frozen=True, slots=True)
class _Parts:
    """A reading taken apart: what it shares, and the standard uncertainties of its own step and repeatability."""

    common: Quantity
    common_u: float
    rest_u: float
    rest: tuple[Source, ...]
    spread_u: float


def _is_own(source: Source, reading_id: str) -> bool:
    name = source.name.removeprefix("reading ")
    return name == reading_id or name.startswith(f"{reading_id}/") or name.endswith(f"/{reading_id}")


def _is_repeatability(source: Source, reading_id: str) -> bool:
    return source.name == f"reading {reading_id}/repeatability"


def _split(q: Quantity, reading_id: str, repeatability_si: float | None) -> _Parts:
    own = [(s, c) for s, c in q.terms if _is_own(s, reading_id)]
    common = tuple((s, c) for s, c in q.terms if not _is_own(s, reading_id))
    rest = [(s, c) for s, c in own if not _is_repeatability(s, reading_id)]
    carried = math.sqrt(math.fsum(c * c for s, c in own if _is_repeatability(s, reading_id)))
    return _Parts(
        Quantity(q.value, q.unit, common, q.origin),
        math.sqrt(math.fsum(c * c for _, c in common)),
        math.sqrt(math.fsum(c * c for _, c in rest)),
        tuple(s for s, _ in rest),
        carried if repeatability_si is None else repeatability_si,
    )


def _single(q: Quantity, part: _Parts, reading_id: str) -> Quantity:
    kept = tuple((s, c) for s, c in q.terms if not _is_repeatability(s, reading_id))
    spread = (Source(f"reading {reading_id}/repeatability"), part.spread_u)
    return Quantity(q.value, q.unit, (*kept, spread) if part.spread_u > 0.0 else kept, q.origin)


def _rest_source(split: Sequence[_Parts], slot: str) -> Source:
    sources = {(s.shape, s.parameter) for part in split for s in part.rest}
    if len(sources) == 1 and all(len(part.rest) <= 1 for part in split):
        shape, parameter = sources.pop()
        return Source(f"slot {slot}/resolution", shape, parameter)
    return Source(f"slot {slot}/resolution")


def _check(readings: Sequence[Quantity], ids: Sequence[str], slot: str) -> None:
    if not readings:
        msg = f"{slot}: no reading to combine; a value that was not measured stays None."
        raise ValueError(msg)
    if len(ids) != len(readings) or len(set(ids)) != len(ids):
        msg = f"{slot}: {len(readings)} readings need as many different ids; got {list(ids)}."
        raise ValueError(msg)


def _offenders(
    readings: Sequence[Quantity], uncertainties: Sequence[float], ids: Sequence[str]
) -> tuple[str, ...]:
    n = len(readings)
    expanded = [q.coverage_factor() * u for q, u in zip(readings, uncertainties, strict=True)]
    clashes = {
        i: {
            j
            for j in range(n)
            if abs(readings[i].value - readings[j].value) > math.hypot(expanded[i], expanded[j])
        }
        for i in range(n)
    }
    everyone = {i for i in range(n) if clashes[i]}
    if not everyone:  # no pair stands out alone; the two ends made the sum too large
        order = sorted(range(n), key=lambda i: readings[i].value)
        return ids[order[0]], ids[order[-1]]
    removed: set[int] = set()
    while any(clashes[i] - removed for i in everyone - removed):
        removed.add(max(everyone - removed, key=lambda i: (len(clashes[i] - removed), -i)))
    chosen = removed if 2 * len(removed) < n else everyone
    return tuple(ids[i] for i in sorted(chosen))


def _message(
    slot: str, values: Sequence[float], ids: Sequence[str], offenders: tuple[str, ...], unit: str
) -> str:
    low, high = min(values), max(values)
    named = ", ".join(f"{i} ({values[list(ids).index(i)]:.6g})" for i in offenders)
    return (
        f"{slot}: {len(values)} readings from {low:.6g} to {high:.6g} {unit} differ by more than their bands explain; "
        f"stands out: {named}. The band is widened to reach every reading. {ADVICE}"
    )
