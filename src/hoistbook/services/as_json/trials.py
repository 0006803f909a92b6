"""What a test of the intact vehicle said, and which column was which channel, as JSON."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoistbook.capture.channel_map import as_mapping
from hoistbook.capture.log_guess import Proposal, Proposed
from hoistbook.capture.logs import LogRead
from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import covariance
from hoistbook.core.trials.outcome import Curve, Outcome
from hoistbook.services.as_json.parts import quantity

Json = dict[str, Any]

MOST_POINTS = 2_000
"""project rule: a picture a screen wide shows no more points; a longer curve is thinned by `thinned` and says so."""


def outcome_json(outcome: Outcome) -> Json:
    """Figures in SI with their 95 % bands, what they stand on, and curves thinned for pictures."""
    jointly = [outcome.figure(key).value for key in outcome.jointly]
    return {
        "kind": outcome.kind,
        "figures": [
            {
                "key": figure.key,
                "words": figure.words,
                **quantity(figure.value),
                "fact": figure.fact,
                "duty": figure.duty,
                "note": figure.note,
            }
            for figure in outcome.figures
        ],
        "checks": list(outcome.checks),
        "assumptions": list(outcome.assumptions),
        "set_aside": list(outcome.set_aside),
        "jointly": {
            "figures": list(outcome.jointly),
            "covariance": [[covariance(a, b) for b in jointly] for a in jointly],
        },
        "curves": [_curve(curve) for curve in outcome.curves],
    }


def _curve(curve: Curve) -> Json:
    keep = thinned(curve.y if curve.fitted is None else curve.y - curve.fitted)
    return {
        "name": curve.name,
        "x_words": curve.x_words,
        "x_unit": curve.x_unit,
        "y_words": curve.y_words,
        "y_unit": curve.y_unit,
        "x": _plain(curve.x[keep]),
        "y": _plain(curve.y[keep]),
        "fitted": None if curve.fitted is None else _plain(curve.fitted[keep]),
        "half": None if curve.half is None else _plain(curve.half[keep]),
        "points_in_all": len(curve.x),
    }


def thinned(values: Array, most: int = MOST_POINTS) -> NDArray[np.intp]:
    """Places of the values that a picture keeps: the lowest and the highest of each of `most`/2 stretches.

    Parameters
    ----------
    values : array, shape (n,)
        What must not be hidden: residuals where there is a fit, else the readings.
    most : int

    Returns
    -------
    array of int, shape (m,)
        Rising; all of them where there are no more than `most`.

    Notes
    -----
    However long a log is, its highest and lowest reading stay in the picture, and so does that of every stretch.
    """
    count = len(values)
    if count <= most:
        return np.arange(count)
    edges = np.linspace(0, count, most // 2 + 1).round().astype(np.intp)
    kept: list[int] = []
    for start, end in itertools.pairwise(edges.tolist()):
        part = values[start:end]
        if np.isnan(part).all():
            kept += [start, end - 1]
            continue
        kept += sorted({start + int(np.nanargmin(part)), start + int(np.nanargmax(part))})
    return np.array(kept, dtype=np.intp)


def _plain(values: Array) -> list[float | None]:
    return [None if not np.isfinite(value) else float(value) for value in values]


def log_json(log: LogRead) -> Json:
    """How a log was read."""
    return {
        "file": log.series.name,
        "sha256": log.sha256,
        "start": log.start,
        "samples": len(log.series),
        "duration_s": float(log.series.time_s[-1]),
        "guessed": log.guessed,
        "channels": as_mapping(log.channels),
        "remarks": list(log.remarks),
    }


def proposed_json(name: str, remarks: list[str], found: Proposed) -> Json:
    """A proposed mapping, column by column."""
    return {
        "file": name,
        "mapping": None if found.channels is None else as_mapping(found.channels),
        "columns": [_proposal(one) for one in found.proposals],
        "doubts": list(found.doubts),
        "remarks": remarks,
    }


def _proposal(one: Proposal) -> Json:
    return {
        "column": one.column,
        "channel": one.channel,
        "unit": one.unit,
        "first": list(one.first),
        "least": one.least,
        "most": one.most,
        "missing_frac": one.missing_frac,
        "doubts": list(one.doubts),
    }
