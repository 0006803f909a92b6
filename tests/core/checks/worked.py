"""Worked examples of checks, and how a check is held to them."""

from dataclasses import dataclass, field

import pytest

from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.run import Stated, run_check
from hoistbook.core.quantities.evaluation import exact


@dataclass(frozen=True)
class Worked:
    """A worked example: `source` opens with its mark; `expected` holds value and relative tolerance by figure.

    A figure of several is named "exposure_m[hose]".
    """

    check: str
    source: str
    stated: dict
    expected: dict
    choices: dict = field(default_factory=dict)
    names: dict = field(default_factory=dict)


def result_of(check, stated, choices=None, names=None, n_draws=100):
    """Run a check on exact readings; a list gives several of a thing."""
    declared = CHECKS[check]
    values = {
        name: [exact(one, declared.reading(name).unit) for one in value]
        if isinstance(value, (list, tuple))
        else exact(value, declared.reading(name).unit)
        for name, value in stated.items()
    }
    return run_check(declared, Stated(values, choices or {}, names or {}), n_draws)


def differences(worked):
    """Figure, what was found, what was expected and how far apart they may be."""
    result = result_of(worked.check, worked.stated, worked.choices, worked.names)
    for figure, (value, tolerance) in worked.expected.items():
        name, _, item = figure.partition("[")
        yield figure, result.figure(name, item.rstrip("]")).value, value, tolerance


def hold(worked):
    """Hold a check to a worked example."""
    for figure, found, expected, tolerance in differences(worked):
        assert found == pytest.approx(expected, rel=tolerance, abs=1e-12), (figure, worked.source)
