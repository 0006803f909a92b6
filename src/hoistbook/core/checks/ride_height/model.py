"""From heights on the hoist to heights on the road: the plane of the body through its datum points."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.ride_height.data import NAMES, READINGS, SKETCH

FAR_OUT = 2.0
"""Growth of the datums' errors at a part from which on it counts as extrapolated (project rule)."""


def _datums(g: Given) -> Array:
    """Design matrix of the datums, shape (n, datums, 3)."""
    rows: Array = np.stack([np.ones_like(g.datum_x_m), g.datum_x_m, g.datum_y_m]).transpose(2, 1, 0)
    return rows


def _parts(g: Given) -> Array:
    rows: Array = np.stack([np.ones_like(g.part_x_m), g.part_x_m, g.part_y_m]).transpose(2, 1, 0)
    return rows


def _weights(g: Given) -> Array:
    """Weight of each datum at each part: rows of A_p (AᵀA)⁻¹Aᵀ, barycentric for three; (n, parts, datums)."""
    a = _datums(g)
    at = a.transpose(0, 2, 1)
    found: Array = _parts(g) @ np.linalg.solve(at @ a, at)
    return found


def _evaluate(g: Given) -> Found:
    weights = _weights(g)
    lowered = np.einsum("npd,dn->pn", weights, g.datum_ride_m - g.datum_hoist_m)
    a = _datums(g)
    at = a.transpose(0, 2, 1)
    plane = np.linalg.solve(at @ a, at @ (g.datum_ride_m - g.datum_hoist_m).T[:, :, None])[:, :, 0]
    return {
        "height_m": g.part_hoist_m + lowered,
        "shortcut_m": g.part_hoist_m + (g.datum_ride_m - g.datum_hoist_m)[:1],
        "reach": np.sqrt((weights**2).sum(axis=2)).T,
        "pitch_rad": np.arctan(plane[:, 1]),
        "roll_rad": np.arctan(plane[:, 2]),
    }


def _on_a_line(g: Given) -> NDArray[np.bool_]:
    if g.datum_x_m.shape[0] < 3:
        return np.ones(g.datum_x_m.shape[1], dtype=np.bool_)
    spread = np.linalg.svd(
        _datums(g)[:, :, 1:] - _datums(g)[:, :, 1:].mean(axis=1, keepdims=True), compute_uv=False
    )
    # Datums that are hardly wider apart across than along a line hold no plane.
    thin: NDArray[np.bool_] = spread[:, 1] < 0.02 * spread[:, 0]
    return thin


def _verdict(result: CheckResult, given: Given) -> str:
    names = given.names("part")
    lowest = min(names, key=lambda name: result.figure("height_m", name).value)
    low = result.figure("height_m", lowest)
    pitch = math.degrees(result.figure("pitch_rad").value)
    wrong = max(
        abs(result.figure("shortcut_m", name).value - result.figure("height_m", name).value) for name in names
    )
    words = [
        (
            f"Lowest at ride height: {lowest}, {low.value * 1e3:.0f} mm ({low.low * 1e3:.1f} to {low.high * 1e3:.1f}). "
            f"From hoist to road the body rises by {pitch:+.2f}° towards the rear; "
            "taking heights from one datum alone would be wrong by up to "
            f"{wrong * 1e3:.1f} mm."
        )
    ]
    far = [name for name in names if result.figure("reach", name).value > FAR_OUT]
    if far:
        words.append(f"Far outside the datums, with errors that grow: {', '.join(far)}.")
    return " ".join(words)


CHECK = Check(
    name="ride_height",
    title="Heights from hoist to road",
    question="How high do the parts under the body sit at ride height?",
    family="underbody",
    readings=READINGS,
    names=NAMES,
    outcomes=(
        Outcome("height_m", "height at ride height", "m", each="part", show="mm"),
        Outcome("shortcut_m", "height if only the first datum were used", "m", each="part", show="mm"),
        Outcome("reach", "growth of the datums' errors at the part", "1", each="part"),
        Outcome("pitch_rad", "pitch of the body on the road less that on the hoist", "rad", show="deg"),
        Outcome("roll_rad", "roll of the body on the road less that on the hoist", "rad", show="deg"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule("a plane takes three datums or more that do not lie on a line; add one to the side", _on_a_line),
    ),
    cannot_say=(
        (
            "Unsprung parts (lower arms, knuckles, toe links, brake lines to them) hang in droop on the hoist: measure "
            "them on the ground"
        ),
        "Sag of rubber-mounted subframes on the hoist",
        "Heights at another load: every height goes with its load state",
    ),
    references=("first principles: plane through datum points, weights by least squares; errors Σλ²u²",),
    method="""
| what | equation | source |
|---|---|---|
| height | z = h + Σλ_i(Z_i − H_i), λ from the plane through the datums | first principles |
| its error | u² = Σλ_i²(u²(Z_i) + u²(H_i)) + u²(h); outside the datums Σλ² grows | first principles |
""",
    cautions=(
        "Nobody works under a vehicle that is not on its locks; see the balance on the lift once parts are off.",
    ),
)
