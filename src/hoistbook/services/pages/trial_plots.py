"""Pictures of a test from the curves that were kept with it: readings, fit with its band, and residuals."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.trials.road_outcomes import BACK, ROAD_LOAD
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.plots import (
    BROAD,
    DASHED,
    DOTS,
    LINE,
    RINGS,
    SLIM,
    STRIP,
    Axis,
    Plot,
    Trace,
    plot,
    widest,
)

Json = dict[str, Any]

HALF = 364.0
"""Width of one of two plots beside each other. [px]"""

_SLIM, _SLIM_LAST = 92.0, 122.0
_KILO = 2_000.0
_READ_IN = {"m/s": "km/h", "1": "%", "ohm": "mohm"}
_LONG_S = ((2.0 * 3600.0, "h"), (600.0, "min"))
_TENTHS = 10
_BESIDE = 0.03
_PLACE = re.compile(r" \(.*, (\d+–\d+ s)\)")


@dataclass(frozen=True, slots=True)
class Picture:
    """Plots that belong together: one above the other, or two abreast (`abreast`), with a legend and a remark."""

    title: str
    plots: tuple[Plot, ...]
    legend: tuple[tuple[str, str], ...] = ()
    note: str = ""
    abreast: bool = False


@dataclass(frozen=True, slots=True)
class Drawn:
    """Pictures of a test; `why_none` says why residuals, or all of them, are missing."""

    pictures: tuple[Picture, ...]
    why_none: str = ""


def drawn(outcome: Json) -> Drawn:
    """Pictures of a test.

    Parameters
    ----------
    outcome : dict
        As it was kept.

    Notes
    -----
    Residual = reading less fit, or less the trace that was followed. Of a coast-down each point is the mean over all
    readings of a sixtieth of the run; other curves hold every reading, or the lowest and the highest of each stretch
    where the log was longer than a picture is wide.
    """
    means = {figure["key"]: figure for figure in outcome["figures"]}
    curves = [
        {**curve, "mean": means.get(_MEAN_OF.get(curve["name"], ""))}
        for curve in outcome["curves"]
        if curve["x"]
    ]
    if not curves:
        why = "a table of readings has no curve" if outcome["kind"] == "corners" else _OLD
        return Drawn((), why)
    pictures = _BY_KIND.get(outcome["kind"], _over_time)(curves)
    return Drawn(tuple(picture for picture in pictures if picture.plots), _lacking(outcome["kind"], curves))


_MEAN_OF = {"resistance of steps": "pack_resistance"}
"""Figure that is the mean of the points of a curve."""

_OLD = "an earlier version of the program recorded this test and kept no curve; record it again to see one"
_WITH_FIT = ("coastdown", "spindown")


def _lacking(kind: str, curves: Sequence[Json]) -> str:
    if kind in _WITH_FIT and all(curve["fitted"] is None for curve in curves):
        return (
            "an earlier version of the program recorded this test and did not keep the fit beside the readings, so "
            "there are no residuals; record it again from the log to see them"
        )
    return ""


def _unit(unit: str, values: Sequence[float | None]) -> str:
    """Unit in which people read an axis."""
    largest = widest(values)
    if unit == "s":
        return next((longer for limit, longer in _LONG_S if largest >= limit), "s")
    if unit == "W":
        return "kW" if largest >= _KILO else "W"
    return _READ_IN.get(unit, unit)


def _read(values: Sequence[float | None], unit: str, to: str) -> list[float | None]:
    if to == unit:
        return list(values)
    zero = from_si(0.0, to)
    per = from_si(1.0, to) - zero
    return [None if value is None else zero + per * value for value in values]


def _axis(words: str, unit: str, low: float | None = None, high: float | None = None) -> Axis:
    return Axis(words, "%" if unit == "%" else unit_text(unit), low, high)


def _residuals(curve: Json) -> list[float | None]:
    return [
        None if one is None or fit is None else one - fit
        for one, fit in zip(curve["y"], curve["fitted"] or (), strict=False)
    ]


def _coasted(curves: Sequence[Json]) -> list[Picture]:
    runs = [curve for curve in curves if curve["name"] != ROAD_LOAD]
    load = next((curve for curve in curves if curve["name"] == ROAD_LOAD), None)
    speeds = [value for run in runs for value in run["x"]]
    to = _unit("m/s", speeds)
    traces = []
    if load is not None:
        low, high = _edges(load)
        traces.append(Trace(STRIP, _read(load["x"], "m/s", to), low, high))
    kinds = {run["name"]: RINGS if run["name"].endswith(BACK) else DOTS for run in runs}
    traces += [Trace(kinds[run["name"]], _read(run["x"], "m/s", to), run["y"]) for run in runs]
    legend = [(DOTS, "runs")]
    if RINGS in kinds.values():
        legend = [(DOTS, "runs out"), (RINGS, "runs back")]
    if load is not None:
        traces.append(Trace(BROAD, _read(load["x"], "m/s", to), load["y"]))
        legend += [(BROAD, "A + B v + C v²"), (STRIP, "its 95 % band")]
    elif runs[0]["fitted"] is not None:
        # Kept by an earlier program: the fit stands beside every run, without its band.
        traces.append(Trace(BROAD, _read(runs[0]["x"], "m/s", to), runs[0]["fitted"]))
        legend.append((BROAD, "A + B v + C v²"))
    ends = _shared(_read(speeds, "m/s", to))
    whole = plot(
        traces,
        _axis("speed", to, *ends),
        _axis("force in reference air, without wind and slope", "N"),
        words="Road load against speed: means of short stretches of every run, the fitted curve and its band",
    )
    first = Picture(
        "Road load against speed",
        () if whole is None else (whole,),
        tuple(legend),
        "Each point is the mean over all readings of a sixtieth of its run: none is left out.",
    )
    return [first, _run_residuals(runs, load, kinds, to, ends)]


def _edges(curve: Json) -> tuple[list[float], list[float]]:
    half = curve["half"]
    return (
        [y - h for y, h in zip(curve["y"], half, strict=True)],
        [y + h for y, h in zip(curve["y"], half, strict=True)],
    )


def _shared(values: Sequence[float | None]) -> tuple[float, float]:
    known = [value for value in values if value is not None]
    return min(known), max(known)


def _run_residuals(
    runs: Sequence[Json], load: Json | None, kinds: Mapping[str, str], to: str, ends: tuple[float, float]
) -> Picture:
    means = {run["name"]: _tenths(run) for run in runs}
    reach = 1.05 * widest(value for _, left in means.values() for value in left)
    plots = []
    for number, run in enumerate(runs):
        at, left = means[run["name"]]
        speeds = _read(at, "m/s", to)
        traces = []
        if load is not None:
            half = load["half"]
            traces.append(Trace(STRIP, _read(load["x"], "m/s", to), [-h for h in half], half))
        traces += [Trace(LINE, speeds, left), Trace(kinds[run["name"]], speeds, left)]
        last = number >= len(runs) - 2
        drawn_one = plot(
            traces,
            _axis("speed", to, *ends),
            _axis("residual", "N", -reach, reach),
            words=f"Residuals of {run['name']} against speed",
            title=f"{_PLACE.sub(_when, run['name'])}  [N]",
            width=HALF,
            height=_SLIM_LAST if last else _SLIM,
            with_x=last,
        )
        if drawn_one is not None:
            plots.append(drawn_one)
    return Picture(
        "Residuals, run by run",
        tuple(plots),
        ((STRIP, "95 % band of the fit"),) if load is not None else (),
        "Force less fit, on one scale; each point is the mean over all readings of a tenth of the run. A run that lies "
        "above or below throughout had other wind or slope; a bend says that the curve has another shape.",
        abreast=True,
    )


def _when(place: re.Match[str]) -> str:
    return f", {place[1]}"


def _tenths(run: Json) -> tuple[list[float], list[float]]:
    """Mean speed and mean residual of each tenth of a run; its points hold about as many readings each."""
    left = [(x, value) for x, value in zip(run["x"], _residuals(run), strict=False) if value is not None]
    parts = [part for part in np.array_split(np.array(left), _TENTHS) if len(part)]
    return [float(part[:, 0].mean()) for part in parts], [float(part[:, 1].mean()) for part in parts]


def _spun(curves: Sequence[Json]) -> list[Picture]:
    times = [value for curve in curves for value in curve["x"]]
    to = _unit("s", times)
    ends = _shared(_read(times, "s", to))
    corners: dict[str, list[Json]] = {}
    for curve in curves:
        corners.setdefault(curve["name"].rpartition(", ")[0], []).append(curve)
    whole, residuals = [], []
    reach = 1.05 * widest(value for curve in curves for value in _residuals(curve))
    for corner, spins in corners.items():
        traces = [Trace(DOTS, _read(spin["x"], "s", to), spin["y"]) for spin in spins]
        traces += [
            Trace(LINE, _read(spin["x"], "s", to), spin["fitted"])
            for spin in spins
            if spin["fitted"] is not None
        ]
        whole.append(
            plot(
                traces,
                _axis("time", to, *ends),
                _axis("wheel speed", "rad/s"),
                words=f"Wheel speed of the spins of {corner} over time, with the fit",
                title=f"{corner}: wheel speed  [rad/s]",
                width=HALF,
                height=180.0,
            )
        )
        residuals += [
            _slim(
                spin,
                to,
                ends,
                _axis("residual", "rad/s", -reach, reach),
                f"{spin['name']}  [rad/s]",
            )
            for spin in spins
            if spin["fitted"] is not None
        ]
    found = [
        Picture(
            "Wheel speed over time",
            tuple(one for one in whole if one is not None),
            ((DOTS, "readings"), (LINE, "fit")),
            abreast=True,
        )
    ]
    found.append(
        Picture(
            "Residuals, spin by spin",
            tuple(one for one in residuals if one is not None),
            (),
            "Reading less fit, on one scale. The fit is the slowing of all spins together; each has its own start.",
            abreast=True,
        )
    )
    return found


def _slim(curve: Json, to: str, ends: tuple[float, float], y: Axis, title: str) -> Plot | None:
    times = _read(curve["x"], "s", to)
    left = _residuals(curve)
    return plot(
        [Trace(LINE, times, left), Trace(DOTS, times, left)],
        _axis("time", to, *ends),
        y,
        words=f"Residuals of {curve['name']} over time",
        title=title,
        width=HALF,
        height=_SLIM_LAST,
    )


def _over_time(curves: Sequence[Json]) -> list[Picture]:
    """Curves over one axis, one plot each; the residual below where there is something to hold them against."""
    pictures = []
    groups: dict[tuple[str, str, bool], list[Json]] = {}
    for curve in curves:
        # Runs of a drive each have their own picture; what was recorded side by side shares one.
        run = curve["name"].partition(", ")[2]
        groups.setdefault((run, curve["x_unit"], _is_sparse(curve)), []).append(curve)
    for (run, _, sparse), members in groups.items():
        to = _unit(members[0]["x_unit"], [value for curve in members for value in curve["x"]])
        ends = _shared(_read([v for curve in members for v in curve["x"]], members[0]["x_unit"], to))
        plots = []
        for number, curve in enumerate(members):
            plots += _panels(curve, to, ends, last=number == len(members) - 1)
        legend: tuple[tuple[str, str], ...] = ()
        if any(curve["fitted"] is not None for curve in members):
            legend = ((LINE, "driven"), (DASHED, "asked for"))
        elif any(curve["mean"] is not None for curve in members):
            legend = ((DOTS, "single steps"), (BROAD, "their mean"), (STRIP, "its 95 % band"))
        title = f"{members[0]['name'].partition(', ')[0]}{', ' + run if run and run != 'run' else ''}"
        words = ", ".join(curve["name"].partition(", ")[0] for curve in members)
        thinned = [curve for curve in members if curve["points_in_all"] > len(curve["x"])]
        most = max((curve["points_in_all"] for curve in thinned), default=0)
        note = f"Of {text(most)} readings the lowest and the highest of each stretch." if most else ""
        pictures.append(
            Picture(words if len(members) > 1 and not sparse else title, tuple(plots), legend, note)
        )
    return pictures


def _is_sparse(curve: Json) -> bool:
    """Single figures, not a signal: drawn as points."""
    return bool(curve["x_words"] != "time" or curve["name"] in _MEAN_OF)


def _panels(curve: Json, to: str, ends: tuple[float, float], *, last: bool) -> list[Plot]:
    x = _read(curve["x"], curve["x_unit"], to)
    unit = _unit(curve["y_unit"], curve["y"])
    kind = DOTS if _is_sparse(curve) else LINE
    y = _read(curve["y"], curve["y_unit"], unit)
    traces = [Trace(kind, x, y)]
    if kind == DOTS:
        span = ends[1] - ends[0]
        ends = (ends[0] - _BESIDE * span, ends[1] + _BESIDE * span)
    if curve["mean"] is not None:
        value, low, high = _read(
            [curve["mean"][name] for name in ("value", "low", "high")], curve["y_unit"], unit
        )
        traces.insert(0, Trace(STRIP, ends, (low, low), (high, high)))
        traces.insert(1, Trace(BROAD, ends, (value, value)))
    fitted = curve["fitted"]
    if fitted is not None:
        traces.insert(0, Trace(DASHED, x, _read(fitted, curve["y_unit"], unit)))
    axis = _axis(curve["x_words"], to, *ends)
    found = [
        plot(
            traces,
            axis,
            _axis(curve["y_words"], unit),
            words=f"{curve['y_words']} against {curve['x_words']}",
            height=170.0 if last and fitted is None else 140.0,
            with_x=last and fitted is None,
        )
    ]
    if fitted is not None:
        residuals = _read(_residuals(curve), curve["y_unit"], unit)
        reach = 1.05 * widest(residuals)
        found.append(
            plot(
                [Trace(LINE, x, residuals)],
                axis,
                _axis(f"{curve['y_words']}, driven less asked for", unit, -reach, reach),
                words=f"Residual of {curve['y_words']} against {curve['x_words']}",
                height=SLIM,
                with_x=last,
            )
        )
    return [one for one in found if one is not None]


_BY_KIND: Mapping[str, Callable[[Sequence[Json]], list[Picture]]] = {"coastdown": _coasted, "spindown": _spun}
