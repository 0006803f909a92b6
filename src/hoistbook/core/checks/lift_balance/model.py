"""Loads on lift pads and margins against tipping as parts come off in their planned order."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.lift_balance.data import NAMES, READINGS, SKETCH
from hoistbook.core.checks.words import NO_PERMISSION

_PAIRS = {"front": "front_kg", "rear": "rear_kg", "left": "left_pads_kg", "right": "right_pads_kg"}


def after_removals(
    start: tuple[Array, Array, Array], parts: tuple[Array, Array, Array]
) -> tuple[Array, Array, Array]:
    """Mass and centre of gravity after each removal: m' = m − Σm_p, x' = (m x − Σm_p x_p)/m'. Shapes (removals, n)."""
    mass, x, y = start
    kg, part_x, part_y = parts
    left = mass - np.cumsum(kg, axis=0)
    return (
        left,
        (mass * x - np.cumsum(kg * part_x, axis=0)) / left,
        (mass * y - np.cumsum(kg * part_y, axis=0)) / left,
    )


def _state(g: Given) -> tuple[Array, Array, Array]:
    return after_removals((g.mass_kg, g.cg_x_m, g.cg_y_m), (g.part_kg, g.part_x_m, g.part_y_m))


def _pairs(g: Given, left: Array, x: Array, y: Array) -> dict[str, Array]:
    """Loads on pairs of pads by statics, as masses. [kg]"""
    rear = left * (x - g.front_pads_x_m) / (g.rear_pads_x_m - g.front_pads_x_m)
    on_left = left * 0.5 * (1.0 + y / g.half_width_m)
    return {"front": left - rear, "rear": rear, "left": on_left, "right": left - on_left}


def _evaluate(g: Given) -> Found:
    left, x, y = _state(g)
    pairs = _pairs(g, left, x, y)
    # Four pads under a rigid body share out as the product of the pairs' shares, as long as they are equally stiff.
    share = {name: load / left for name, load in pairs.items()}
    pads = {
        f"{end}_{side}_kg": left * (share[end] + share[side] - 0.5) * 0.5
        for end in ("front", "rear")
        for side in ("left", "right")
    }
    margins = np.stack([x - g.front_pads_x_m, g.rear_pads_x_m - x, g.half_width_m - y, g.half_width_m + y])
    return {
        "least_share_frac": np.min([share[name] for name in pairs], axis=0).min(axis=0),
        "pair_share_frac": np.min([share[name] for name in pairs], axis=0),
        "left_kg": left,
        "cg_after_m": x,
        **{figure: pairs[name] for name, figure in _PAIRS.items()},
        "tipping_m": margins.min(axis=0),
        **pads,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    names = given.names("removal")
    words = []
    least = float(given.warn_share_frac[0])
    for name in names:
        share = result.figure("pair_share_frac", name)
        if share.low >= least:
            continue
        loads = {pair: result.figure(figure, name).value for pair, figure in _PAIRS.items()}
        light = min(loads, key=lambda pair: loads[pair])
        out = -result.figure("tipping_m", name).value * 1e3
        if share.value <= 0.0:
            words.append(
                f"Removing {name} tips the vehicle: its centre of gravity ends {out:.0f} mm outside the pads, and "
                f"nothing is left on the {light} ones."
            )
            continue
        words.append(
            f"BEFORE {name} comes off: it would leave {loads[light]:.0f} kg on the {light} pads (least pair "
            f"{share.value:.0%} of what remains, band from {share.low:.0%}); support or strap first, or choose "
            "another order."
        )
        if share.low <= 0.0:
            words.append(f"Within what these readings are known to, removing {name} may tip the vehicle.")
    if not words:
        words.append(
            f"No planned removal brings a pair of pads under {least:.0%} of what remains, as far as these "
            "readings tell."
        )
    words.append(
        "Pulling on a bolt needs margin of its own. This stands on top of the lift maker's rules, never instead of "
        f"them. {NO_PERMISSION}"
    )
    return " ".join(words)


CHECK = Check(
    name="lift_balance",
    title="Balance on the lift",
    question="Which removal would unload a lift pad, in the planned order of work?",
    family="weighing",
    readings=READINGS,
    names=NAMES,
    outcomes=(
        Outcome(
            "least_share_frac",
            "least share of the remaining mass on a pair of pads, over all removals",
            "1",
            show="%",
        ),
        Outcome(
            "pair_share_frac",
            "least share on a pair of pads after the removal",
            "1",
            each="removal",
            show="%",
        ),
        Outcome("left_kg", "mass that remains", "kg", each="removal"),
        Outcome("cg_after_m", "centre of gravity behind the front axle", "m", each="removal", show="mm"),
        *(
            Outcome(figure, f"load on the {name} pads", "kg", each="removal")
            for name, figure in _PAIRS.items()
        ),
        Outcome("tipping_m", "centre of gravity inside the pads by", "m", each="removal", show="mm"),
        *(
            Outcome(
                f"{end}_{side}_kg", f"load on the pad {end} {side}, equally stiff pads", "kg", each="removal"
            )
            for end in ("front", "rear")
            for side in ("left", "right")
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "pair_share_frac",
            "at least",
            lambda g: g.warn_share_frac,
            "share of the remaining mass on a pair of pads",
            "common practice",
            "none: warn well before a pad goes free; the shop sets it",
            safety=True,
        ),
    ),
    rules=(
        Rule(
            "the rear pads must stand behind the front pads; check both",
            lambda g: g.rear_pads_x_m <= g.front_pads_x_m,
        ),
        Rule(
            "more mass is removed than the vehicle has; check masses and units",
            lambda g: g.part_kg.sum(axis=0) >= g.mass_kg,
        ),
        Rule(
            "the centre of gravity does not lie between the pads to begin with: lower the vehicle and set the pads "
            "anew",
            lambda g: (
                (g.cg_x_m <= g.front_pads_x_m)
                | (g.cg_x_m >= g.rear_pads_x_m)
                | (np.abs(g.cg_y_m) >= g.half_width_m)
            ),
        ),
    ),
    cannot_say=(
        "Friction, sliding, swing of the arms, and what a jerk on a bolt adds",
        "How four pads really share: arms give unequally; the pairs are statics, the single pads an estimate",
        "Height of the centre of gravity, which matters as soon as something leans",
    ),
    references=(
        "first principles: statics of a rigid body on two supports, along and across",
        "common practice: warn at 25 % of the remaining mass on a pair of pads",
    ),
    method="""
| what | equation | source |
|---|---|---|
| after removals | m' = m − Σm_p; x' = (m x − Σm_p x_p)/m' | first principles |
| pairs of pads | R_rear = m'(x' − x_f)/(x_r − x_f), R_front = m' − R_rear; across alike | first principles |
| single pads, equally stiff | m'(s_end + s_side − ½)/2 | first principles |
""",
    cautions=(
        (
            "Only a trained operator of that lift sets pads and raises the vehicle, within its inspection date and "
            "rated load, at the "
            "maker's lifting points and never on a battery unless the maker says so; locks are engaged before anyone "
            "goes under."
        ),
        (
            "Pads are looked at again after each heavy part; a half-stripped vehicle is not lowered and raised without "
            "a new plan."
        ),
    ),
)
