"""What a vehicle's record states for a check, and what is set beside it."""

from dataclasses import replace

import pytest

from capture.lever import ARM, LEVER, MASS, SHARE
from hoistbook.core.checks.run import run_check
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import CheckReading, Configuration, Fact, Teardown, Vehicle
from hoistbook.services import checks
from hoistbook.services.checks import check_report, of_vehicle

CHECK = replace(LEVER, readings=(replace(ARM, fact="wheelbase"), MASS, SHARE))
AS_IS = Configuration("as is", "V")
BAGS = (
    CheckReading("lever", "mass_kg", Quantity(2.0, "kg"), "left", evidence="photo 1"),
    CheckReading("lever", "mass_kg", Quantity(3.0, "kg"), "right", evidence="photo 2"),
    CheckReading("lever", "share_frac", Quantity(0.6, "1"), "right"),
    CheckReading("lever", "share_frac", Quantity(0.4, "1"), "left"),
    CheckReading("lever", "pin", None, option="held tight"),
)
LENGTH = Fact("as is", "wheelbase", Quantity(1.0, "m"))
ELSEWHERE = (
    Fact("lowered", "wheelbase", Quantity(9.0, "m")),
    CheckReading("arm", "arm_m", Quantity(8.0, "m")),
)


def van(*readings):
    return Teardown(
        Vehicle("V", "van"), (AS_IS,), (LENGTH, ELSEWHERE[0]), check_readings=(*readings, ELSEWHERE[1])
    )


def test_a_fact_stands_in_for_what_was_not_read_for_the_check():
    stated, places = of_vehicle(CHECK, van(*BAGS), AS_IS)
    # first principles: 9.81 m/s² × 1 m × (2 + 3) kg.
    assert run_check(CHECK, stated).figures[0].value == pytest.approx(49.05)
    assert dict(places) == {
        "arm_m": "fact wheelbase",
        "mass_kg": "readings for this check (photo 1, photo 2)",
        "share_frac": "readings for this check",
        "pin": "readings for this check",
    }


def test_what_was_read_for_the_check_comes_before_a_fact():
    stated, places = of_vehicle(CHECK, van(CheckReading("lever", "arm_m", Quantity(0.5, "m")), *BAGS), AS_IS)
    assert stated.values["arm_m"].value == 0.5
    assert dict(places)["arm_m"] == "readings for this check"


def test_what_is_set_comes_before_the_record(monkeypatch):
    monkeypatch.setattr(checks, "check_named", {"lever": CHECK}.__getitem__)
    report = check_report("lever", ["arm_m=2 m ± 0 m", "pin=free"], van(*BAGS))
    # first principles: 9.81 m/s² × 2 m × (2 + 3) kg.
    assert report.result.figures[0].value == pytest.approx(98.1)
    assert report.result.verdict == "free"
    assert report.stated.names == {"bag": ("left", "right")}
    assert [reading for reading, _ in report.filled] == ["mass_kg", "share_frac"]


def test_a_figure_missing_for_one_of_several_is_refused():
    with pytest.raises(ValueError, match="share is not on record for bag left"):
        of_vehicle(CHECK, van(*BAGS[:3]), AS_IS)


@pytest.mark.parametrize(
    "told",
    [
        "1 a" + " " * 20_000 + "±x",
        "1" * 20_000 + "x±",
        "1 m ± -1 mm",
        "1 m ± −1 mm",
        "nan",
        "inf",
        "1 m ± 1 mm ± 1 mm",
    ],
)
def test_what_is_no_figure_is_refused_at_once(told):
    # first principles: a pattern that tries every way to share out 20 000 spaces takes hours; the runner would hang.
    with pytest.raises(ValueError, match="is no figure"):
        checks.from_settings(CHECK, [f"arm_m={told}"])


@pytest.mark.parametrize("told", ["1e999", "1e999 mm", "1 m ± 1e999 mm"])
def test_a_figure_without_end_is_refused(told):
    with pytest.raises(ValueError, match="finite"):
        checks.from_settings(CHECK, [f"arm_m={told}"])
