"""Six modes of a rigid unit on its mounts, with the share of each direction in the energy of each mode."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.mount_modes.data import CHOICES, NAMES, READINGS, SKETCH

DIRECTIONS = {
    "x": "along",
    "y": "across",
    "z": "upright",
    "roll": "roll",
    "pitch": "pitch",
    "yaw": "yaw",
}
PURE = 0.85
"""Share of energy in one direction from which on a mode is called decoupled (common practice)."""


FREE = 1e-6
"""Share of the highest frequency up to which a mode is one of no stiffness but for round-off."""


def _mass_matrix(g: Given) -> Array:
    """Shape (n, 6, 6)."""
    sign = -1.0 if g.choice("products") == "integrals" else 1.0
    n = g.mass_kg.shape[0]
    matrix: Array = np.zeros((n, 6, 6))
    for place in range(3):
        matrix[:, place, place] = g.mass_kg
    for place, inertia in enumerate((g.inertia_x_kg_m2, g.inertia_y_kg_m2, g.inertia_z_kg_m2)):
        matrix[:, 3 + place, 3 + place] = inertia
    for row, column, product in (
        (3, 4, g.product_xy_kg_m2),
        (4, 5, g.product_yz_kg_m2),
        (3, 5, g.product_xz_kg_m2),
    ):
        matrix[:, row, column] = matrix[:, column, row] = sign * product
    return matrix


def _stiffness_matrix(g: Given) -> Array:
    """K = Σ Gᵀ k G with G = [I | −r̃]: a turn by θ moves a mount at r by θ × r. Shape (n, 6, 6)."""
    x, y, z = g.mount_x_m, g.mount_y_m, g.mount_z_m
    rates = (g.mount_kx_n_per_m, g.mount_ky_n_per_m, g.mount_kz_n_per_m)
    zero, one = np.zeros_like(x), np.ones_like(x)
    # What a unit move of each direction does to a mount: rows along, across, upright.
    rows = (
        (one, zero, zero, zero, z, -y),
        (zero, one, zero, -z, zero, x),
        (zero, zero, one, y, -x, zero),
    )
    matrix: Array = np.zeros((x.shape[1], 6, 6))
    for rate, row in zip(rates, rows, strict=True):
        moved = np.stack(row)  # (6, mounts, n)
        matrix += np.einsum("imn,mn,jmn->nij", moved, rate, moved)
    return matrix


def _evaluate(g: Given) -> Found:
    mass, stiffness = _mass_matrix(g), _stiffness_matrix(g)
    # K φ = ω² M φ by the Cholesky factor of M: an ordinary symmetric problem for every draw.
    try:
        lower = np.linalg.cholesky(mass)
    except np.linalg.LinAlgError:
        msg = (
            "the bands of mass, moments and products of inertia reach bodies that cannot be; narrow them by measuring "
            "again."
        )
        raise ValueError(msg) from None
    half = np.linalg.solve(lower, stiffness)
    symmetric = np.linalg.solve(lower, half.transpose(0, 2, 1))
    squares, vectors = np.linalg.eigh(0.5 * (symmetric + symmetric.transpose(0, 2, 1)))
    modes = np.linalg.solve(lower.transpose(0, 2, 1), vectors)
    # Share of direction i in mode j: φ_ij (M φ)_ij / (φ_jᵀ M φ_j); the divisor is 1 with these vectors.
    energy = modes * np.einsum("nij,njk->nik", mass, modes)
    found: dict[str, Array] = {"mode_hz": np.sqrt(np.maximum(squares, 0.0)).T / (2.0 * math.pi)}
    for place, name in enumerate(DIRECTIONS):
        found[f"{name}_frac"] = energy[:, place, :].T
    return found


def _not_a_body(g: Given) -> NDArray[np.bool_]:
    inertia = _mass_matrix(g)[:, 3:, 3:]
    main = np.linalg.eigvalsh(inertia)
    total = main.sum(axis=1)
    # No mass distribution has a principal moment larger than the sum of the other two, or one that is not above 0.
    wrong: NDArray[np.bool_] = (main[:, 0] <= 0.0) | (2.0 * main[:, 2] > total * (1.0 + 1e-9))
    return wrong


def _verdict(result: CheckResult, given: Given) -> str:
    modes = [one for one in result.figures if one.name == "mode_hz"]
    told = []
    mixed = []
    free = sum(one.value <= FREE * modes[-1].value for one in modes)
    for one in modes:
        shares = {name: result.figure(f"{name}_frac", one.item).value for name in DIRECTIONS}
        main = max(shares, key=lambda name: shares[name])
        told.append(f"{one.value:.1f} Hz {DIRECTIONS[main]} {shares[main]:.0%}")
        if shares[main] < PURE and one.value > FREE * modes[-1].value:
            mixed.append(f"{one.value:.1f} Hz")
    words = f"Modes: {'; '.join(told)}."
    if free:
        words += (
            f" Nothing holds {'the first' if free == 1 else f'the first {free}'}: these mounts leave the unit free to "
            "move so; state every mount and all of its stiffnesses."
        )
    if mixed:
        return (
            f"{words} Mixed, with less than {PURE:.0%} of their energy in one direction: {', '.join(mixed)}."
        )
    return f"{words} All are decoupled: at least {PURE:.0%} of the energy lies in one direction."


CHECK = Check(
    name="mount_modes",
    title="Modes of a unit on its mounts",
    question="At which frequencies does the unit move on its mounts, in which direction, and are the modes decoupled?",
    family="mounts",
    readings=READINGS,
    choices=CHOICES,
    names=NAMES,
    outcomes=(
        Outcome("mode_hz", "natural frequency", "1/s", each="mode", show="Hz"),
        *(
            Outcome(f"{name}_frac", f"share of the energy: {words}", "1", each="mode", show="%")
            for name, words in DIRECTIONS.items()
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "no body has these moments and products of inertia: each principal moment is above 0 and at most the sum "
            "of the other two; check units, signs and the axes they were taken about",
            _not_a_body,
        ),
    ),
    cannot_say=(
        "Bands of stiffnesses and moments of inertia that are given as bare numbers: state each with its band",
        "Mounts whose axes stand askew to the vehicle's",
        "How rubber changes with temperature, amplitude and preload; hydraulic mounts",
        "Modes of the brackets and of the body",
        "The sign convention of a source of products of inertia: state it, it can move a mode by a hertz",
    ),
    references=(
        "first principles: K = Σ Gᵀ k G and Kφ = ω²Mφ of a rigid body on springs",
        "common practice: modes with 85 to 90 % of their energy in one direction are called decoupled",
    ),
    method="""
| what | equation | source |
|---|---|---|
| stiffness | K = Σ Gᵀ k G, G = [I, −r̃] at each mount | first principles |
| mass | m three times, then the tensor about the centre of gravity, −∫xy dm off its diagonal | first principles |
| modes | Kφ = ω²Mφ | first principles |
| energy | share of direction i in mode j: φ_ij Σ_l M_il φ_lj/(φ_jᵀMφ_j); their sum is 1 | first principles |

With products of inertia a single share may lie a little below 0.
""",
)
