"""How a group of bolts shares a load off its middle, and what its friction is worth with one bolt fewer."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.bolt_group.data import CHOICES, MOST_BOLTS, NAMES, READINGS, SKETCH
from hoistbook.core.checks.bolt_group.mechanics import about_seat_n, in_line, in_plane_n, pulled_n
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.words import kept

LINE = 1e-3
"""Below it bolts lie on a line, where a pull beside the line has no share; project rule."""

SAME_M = 1e-6
"""Bolts nearer to each other than this stand at one place."""


def _pull(g: Given) -> Array:
    """Pull on each bolt; none where nothing pulls off the joint. [N]"""
    if not g.force_z_n.any():
        return np.zeros_like(g.x_m)
    return pulled_n(g.x_m, g.y_m, g.force_z_n, (g.load_x_m, g.load_y_m))


def _size(x: Array, y: Array) -> Array:
    """√(x² + y²), without the care and the time that hypot spends on the ends of the number range."""
    found: Array = np.sqrt(x * x + y * y)
    return found


def _without(g: Given, left_out: int) -> tuple[Array, Array]:
    """Forces of the other bolts (bolts, n) and of what stands in the place of the one left out (n,). [N]"""
    x, y = (np.delete(one, left_out, axis=0) for one in (g.x_m, g.y_m))
    force, at = (g.force_x_n, g.force_y_n), (g.load_x_m, g.load_y_m)
    if g.choice("seat") == "seat":
        of_x, of_y, seat = about_seat_n(x, y, (g.x_m[left_out], g.y_m[left_out]), force, at)
        return _size(of_x, of_y), seat
    nothing = np.zeros_like(at[0])
    if x.shape[0] == 1:
        moment = (at[0] - x[0]) * force[1] - (at[1] - y[0]) * force[0]
        return (np.hypot(*force) + np.abs(moment) / g.head_m)[None, :], nothing
    return _size(*in_plane_n(x, y, force, at)), nothing


def _evaluate(g: Given) -> Found:
    n = g.x_m.shape[0]
    shared = _size(*in_plane_n(g.x_m, g.y_m, (g.force_x_n, g.force_y_n), (g.load_x_m, g.load_y_m)))
    pull = _pull(g)
    least = g.preload_high_n / g.tightening_factor - g.loss_n
    clamp = least - np.maximum(pull, 0.0)
    grip = np.where(clamp > 0.0, g.friction * clamp, np.nan)
    left = [_without(g, one) for one in range(n)]
    worst = shared.max(axis=0)
    others = [np.delete(grip, one, axis=0) for one in range(n)]
    seats = {"seat_n": np.stack([seat for _, seat in left])} if g.choice("seat") == "seat" else {}
    return {
        "used_frac": (shared / grip).max(axis=0),
        "worst_n": worst,
        "least_clamp_n": clamp.min(axis=0),
        "shared_n": shared,
        "pull_n": pull,
        "without_used_frac": np.stack(
            [(forces / held).max(axis=0) for (forces, _), held in zip(left, others, strict=True)]
        ),
        "without_worst_n": np.stack([forces.max(axis=0) for forces, _ in left]),
        "without_rise_frac": np.stack([forces.max(axis=0) / worst - 1.0 for forces, _ in left]),
        **seats,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    names = given.names("bolt")
    used, worst = result.figure("used_frac"), result.figure("worst_n").value
    alone = next(one for one in result.held if one.outcome == "used_frac")
    most = max(names, key=lambda name: result.figure("shared_n", name).value)
    easiest = min(names, key=lambda name: result.figure("without_used_frac", name).value)
    hardest = max(names, key=lambda name: result.figure("without_used_frac", name).value)
    words = [
        (
            f"{most} bears most, {worst:.0f} N, and the joint uses {used.value:.0%} of its friction "
            f"(a safety of {1.0 / used.value:.2f})."
            if used.value > 0.0
            else "Nothing loads the joint in its plane."
        )
    ]
    seat = given.choice("seat") == "seat"
    for name in dict.fromkeys((easiest, hardest)):
        without = result.figure("without_used_frac", name)
        rise = result.figure("without_rise_frac", name).value
        words.append(
            f"Without {name}{', with a seat in its place,' if seat else ''} {without.value:.0%} of the friction is "
            f"used; the worst bolt bears {abs(rise):.0%} {'more' if rise > 0.0 else 'less'}"
            + (f", and the seat {result.figure('seat_n', name).value:.0f} N." if seat else ".")
        )
    if seat:
        words.append("The seat must touch in the direction of the load, and bear that force itself.")
    elif result.figure("without_used_frac", easiest).value < used.value:
        words.append(
            "So one bolt fewer can hold better here: what counts is not how many there are but where they stand."
        )
    words.append(f"That friction alone holds with all of them {kept(alone)}")
    return " ".join(words)


def _bad_count(g: Given) -> NDArray[np.bool_]:
    count = g.x_m.shape[0]
    return np.full(g.x_m.shape[-1], not 2 <= count <= MOST_BOLTS)


def _same_place(g: Given) -> NDArray[np.bool_]:
    spread = g.x_m.std(axis=0) + g.y_m.std(axis=0)
    return np.asarray(spread < SAME_M)


def _on_a_line(g: Given) -> NDArray[np.bool_]:
    if not g.force_z_n.any():
        return np.zeros(g.x_m.shape[-1], dtype=np.bool_)
    return np.asarray(in_line(g.x_m, g.y_m) < LINE)


CHECK = Check(
    name="bolt_group",
    title="Group of bolts",
    question="Which bolt of this pattern bears most, and what does leaving one out for a seat do to the margin?",
    family="joints",
    readings=READINGS,
    choices=CHOICES,
    names=NAMES,
    outcomes=(
        Outcome("used_frac", "share of the friction that is used, worst bolt", "1", show="%"),
        Outcome("worst_n", "greatest share of the load in the plane", "N"),
        Outcome("least_clamp_n", "clamp of the least tightened bolt, settled and pulled", "N", show="kN"),
        Outcome("shared_n", "share of the load in the plane", "N", each="bolt"),
        Outcome("pull_n", "pull on the bolt, or on a hook in its place", "N", each="bolt"),
        Outcome("without_used_frac", "share of the friction used without it", "1", each="bolt", show="%"),
        Outcome("without_worst_n", "greatest share of another bolt without it", "N", each="bolt"),
        Outcome("without_rise_frac", "rise of the greatest share without it", "1", each="bolt", show="%"),
        Outcome("seat_n", "force on the seat in its place", "N", each="bolt"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "used_frac",
            "at most",
            1.0,
            "friction of all bolts",
            "first principles",
            "a face slides once friction is used up",
            safety=True,
        ),
        Limit(
            "without_used_frac",
            "at most",
            1.0,
            "friction without that bolt",
            "first principles",
            "a face slides once friction is used up",
            safety=True,
        ),
    ),
    rules=(
        Rule(f"a group is 2 to {MOST_BOLTS} bolts", _bad_count),
        Rule("all bolts stand at one place: measure them from one corner", _same_place),
        Rule(
            "without a seat a load off the joint is not shared here once a bolt is left out: choose the seat, or "
            "state 0",
            lambda g: (g.force_z_n != 0.0) & (g.choice("seat") == "none"),
        ),
        Rule(
            "the bolts stand on a line: what pulls beside it is held by contact alone and has no share",
            _on_a_line,
        ),
        Rule(
            "settling and scatter leave no preload: there is no friction to speak of",
            lambda g: g.preload_high_n / g.tightening_factor <= g.loss_n,
        ),
        Rule(
            "the pull takes all preload of a bolt",
            lambda g: _pull(g).max(axis=0) >= g.preload_high_n / g.tightening_factor - g.loss_n,
        ),
        Rule("no load: state one", lambda g: (g.force_x_n == 0.0) & (g.force_y_n == 0.0)),
    ),
    cannot_say=(
        "What else a bolt is for: locating, earthing, carrying a load case of a crash; list that before leaving it out",
        (
            "Whether a seat touches: it must bear in the direction of the load, and one hole and one slot locate "
            "without a fight"
        ),
        "Bolts of unequal size, soft flanges, and seats that crush",
        "A second seat: hole and slot together take all of the load in the plane, and the bolts only clamp",
    ),
    references=(
        "published: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 8-57 and example 8-7",
        "published: VDI 2230:1986, tightening factor, second hand",
        "first principles: equilibrium about a seat; a rigid unit on equal springs",
        "common practice: friction of painted joints 0.10 to 0.15",
    ),
    method="""
| what | equation | source |
|---|---|---|
| share in the plane | F/n + M (−y, x)/Σr² about the centroid | published: Shigley 8-57 |
| with a seat in place of a bolt | M (−y, x)/Σr² about the seat; the seat bears the rest | first principles |
| one bolt left, no seat | F + M/r, r under its head | first principles |
| pull on each | F/n + b x + c y in equilibrium | first principles: rigid unit |
| least clamp | preload/factor − settling − pull | from memory: VDI 2230 |
| friction used | share/(μ clamp) | first principles |
""",
)
