"""Structural band by measured intrusion, and the sum of demerits with the other categories."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.small_overlap.data import (
    BANDS,
    CHOICES,
    CUT_OFFS,
    DEMERITS,
    FINDINGS,
    LOWER_PLACES,
    NAMES,
    OVERALL,
    PROTOCOL,
    READINGS,
    SKETCH,
    UPPER_PLACES,
)
from hoistbook.core.checks.words import NO_PERMISSION

POOR = float(len(BANDS) - 1)
SCALE = "0 good, 1 acceptable, 2 marginal, 3 poor"


def band_of(intrusion: Array, measure: str) -> Array:
    """Band of a measure: 0 up to the first cut-off, 3 beyond the last. [1]"""
    edges = np.asarray(CUT_OFFS[measure].metres)
    return np.searchsorted(edges, intrusion, side="left").astype(np.float64)


def compartment(bands: Array) -> Array:
    """Band of a compartment from those of its measures, shape (measures, n).

    Notes
    -----
    The band that most measures have leads, the worse of equals, and the result is at most one band better than the
    worst measure (from memory, verify: the protocol; that the worse of equals leads is this program's own choice).
    """
    counts = np.stack([(bands == place).sum(axis=0) for place in range(len(BANDS))])
    leading = len(BANDS) - 1 - np.argmax(counts[::-1], axis=0)
    found: Array = np.maximum(leading, bands.max(axis=0) - 1.0)
    return found


def overall_of(demerits: Array) -> Array:
    """Band of the whole from the sum of demerits (published, second hand). [1]"""
    return np.searchsorted(np.asarray(OVERALL, dtype=np.float64), demerits, side="left").astype(np.float64)


def _evaluate(g: Given) -> Found:
    lower, upper = band_of(g.lower_m, "lower_m"), band_of(g.upper_m, "upper_m")
    rocker, column = band_of(g.rocker_m, "rocker_m"), band_of(g.column_m, "column_m")
    low = compartment(np.concatenate([lower, rocker[None, :]]))
    high = compartment(np.concatenate([upper, column[None, :]]))
    structure = np.maximum(low, high)
    findings = g.choice("findings")
    if findings == "opened":
        structure = np.minimum(structure + 1.0, POOR)
    if findings == "leak":
        structure = np.full_like(structure, POOR)
    demerits = np.asarray(DEMERITS["structure"], dtype=np.float64)[structure.astype(np.intp)]
    total = demerits + g.other_demerits
    whole = np.full_like(total, POOR) if findings == "leak" else overall_of(total)
    return {
        "structure": structure,
        "lower_compartment": low,
        "upper_compartment": high,
        "lower_band": lower,
        "rocker_band": rocker,
        "upper_band": upper,
        "column_band": column,
        "demerits": demerits,
        "total_demerits": total,
        "overall": whole,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    structure = int(result.figure("structure").value)
    drawn = np.asarray(_evaluate(given)["structure"])[1:]
    others = [
        f"{BANDS[place]} {share:.0%}"
        for place in range(len(BANDS))
        if place != structure and (share := float((drawn == place).mean())) >= 0.01
    ]
    side = given.choice("side")
    other = "passenger" if side == "driver" else "driver"
    words = [
        (
            f"By its intrusion the structure on the {side}'s side is {BANDS[structure]}: the lower compartment is "
            f"{BANDS[int(result.figure('lower_compartment').value)]}, the upper one "
            f"{BANDS[int(result.figure('upper_compartment').value)]}."
        )
    ]
    found = given.choice("findings")
    words.append(
        "Nothing that tore, opened or leaked is stated."
        if found == "none"
        else f"{FINDINGS[found].capitalize()}."
    )
    likeliest = int(np.bincount(drawn.astype(np.intp)).argmax())
    if likeliest != structure:
        words.append(
            f"It lies so near a cut-off that {BANDS[likeliest]} is likelier: quote no band before the points are "
            "measured more closely."
        )
    if others:
        words.append(f"Within what the points are measured to it could also be {', '.join(others)}.")
    words.append(f"This says nothing of the {other}'s side: one model came out from good to poor there.")
    n_lower, n_upper = len(given.names("lower")), len(given.names("upper"))
    if n_lower < LOWER_PLACES or n_upper < UPPER_PLACES:
        words.append(
            f"Of the {LOWER_PLACES} lower and {UPPER_PLACES} upper measures beside rocker and column {n_lower} and "
            f"{n_upper} are stated; those missing could make it worse."
        )
    if any(one.verify for one in CUT_OFFS.values()):
        words.append(
            "The cut-offs are from memory of the protocol: verify them in its text before quoting this."
        )
    words.append(f"A teardown rates no vehicle; it records the load paths. {NO_PERMISSION}")
    return " ".join(words)


CHECK = Check(
    name="small_overlap",
    title="Structure in a frontal small overlap",
    question="What structural band do these measured intrusions give?",
    family="front",
    readings=READINGS,
    choices=CHOICES,
    names=NAMES,
    outcomes=(
        Outcome("structure", f"band of the structure ({SCALE})", "1"),
        Outcome("lower_compartment", "band of the lower compartment", "1"),
        Outcome("upper_compartment", "band of the upper compartment", "1"),
        Outcome("lower_band", "band of the measure", "1", each="lower"),
        Outcome("rocker_band", "band of the rocker panel", "1"),
        Outcome("upper_band", "band of the measure", "1", each="upper"),
        Outcome("column_band", "band of the steering column", "1"),
        Outcome("demerits", "demerits of the structure", "1"),
        Outcome("total_demerits", "demerits with the other categories", "1"),
        Outcome("overall", f"band of the whole with them ({SCALE})", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(Limit("structure", "at most", 0.0, "good", "from memory", f"{PROTOCOL}; verify", safety=True),),
    rules=(Rule("demerits are whole numbers", lambda g: g.other_demerits != np.round(g.other_demerits)),),
    cannot_say=(
        "The other side of the vehicle: never infer one from the other",
        "What happens to people in it: restraints and injury measures are other categories",
        "Anything of a vehicle that was not tested: a hoist shows which load paths are there, not what they hold",
        "Later versions of the protocol, and the moderate overlap, whose cut-offs differ",
    ),
    references=(
        f"published: {PROTOCOL}: three categories (opening pages seen)",
        "from memory: the same, cut-offs, how they combine, demerits: verify",
        "published: names of the ten measures and three cut-offs each, second hand: an open script for such charts",
        "published: sums of demerits and their bands, second hand: a recalculation of the first results, August 2012",
        (
            "published: Mueller and Nolan, IRCOBI 2016, IRC-16-83, abstract: passenger's side from good to poor where "
            "the driver's was good"
        ),
    ),
    method="""
| compartment | measure, cm | good to | acceptable to | marginal to | source |
|---|---|---|---|---|---|
| lower | hinge pillar, footrest, toepan, pedals | 15 | 22.5 | 30 | from memory, verify |
| lower | rocker panel | 5 | 10 | 15 | from memory, verify |
| upper | hinge pillar, dash, instrument panel | 7.5 | 12.5 | 17.5 | from memory, verify |
| upper | steering column | 5 | 10 | 15 | from memory, verify |

In a compartment the band of most measures leads (of equals the worse), at most one band better than the worst. The
structure follows the worse compartment; what tore or opened costs one band; a leak or exposed voltage makes it poor.
Demerits of the structure 0, 2, 6, 10; the whole: to 3 good, to 9 acceptable, to 19 marginal, beyond poor; at most 74.
""",
    cautions=(
        (
            "A crashed electric vehicle can burn days later and its case can be live: quarantine and isolation by the "
            "maker's sheet and local law, licensed people only. Airbags and belt tensioners may still be armed."
        ),
    ),
)
