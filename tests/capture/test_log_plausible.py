"""Columns that no heading names: the direction of a run and the air around it are proposed by their figures."""

import numpy as np
import pytest

from cli.running import assert_fits, run
from hoistbook.capture.logs import look_at_log, read_log

N = 120
SPEED = [110.0 - (i % 40) * 2.0 for i in range(N)]
WAY = [1 if (i // 40) % 2 == 0 else -1 for i in range(N)]


def log(tmp_path, name="log.csv", **columns):
    """A log of three runs with a speed, and columns headed as they are named (`__` stands for a blank and a unit)."""
    heads = ["Time [s]", "Vehicle speed [km/h]", *(head.replace("__", " ") for head in columns)]
    rows = [",".join(heads)]
    for i in range(N):
        rows.append(",".join([str(i), str(SPEED[i]), *(str(values[i]) for values in columns.values())]))
    path = tmp_path / name
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def proposals(path):
    return {one.column: one for one in look_at_log(path)[1].proposals}


AIR = {
    # heading: unit as the proposal must have it, figures in it, the same in SI (by definition of the units), channel
    "T7__[°C]": ("°C", [18.0 + 0.01 * i for i in range(N)], 291.15, "ambient_temperature_k"),
    "Temp": ("°C", [18.0] * N, 291.15, "ambient_temperature_k"),
    "T7__[K]": ("K", [291.15] * N, 291.15, "ambient_temperature_k"),
    "p2__[mbar]": ("mbar", [997.9] * N, 99_790.0, "ambient_pressure_pa"),
    "p2__[kPa]": ("kPa", [99.79] * N, 99_790.0, "ambient_pressure_pa"),
    "Druck": ("hPa", [997.9] * N, 99_790.0, "ambient_pressure_pa"),
    "Press": ("kPa", [99.79] * N, 99_790.0, "ambient_pressure_pa"),
    "Way": ("1", WAY, 1.0, "direction"),
    "Sense__[-]": ("1", WAY, 1.0, "direction"),
}


@pytest.mark.parametrize("heading", AIR)
def test_what_a_coast_down_can_use_is_proposed_with_a_doubt(tmp_path, heading):
    unit, figures, first_si, channel = AIR[heading]
    path = log(tmp_path, **{heading: figures})
    column = heading.partition("__")[0]
    one = proposals(path)[column]
    assert (one.channel, one.unit) == (channel, unit)
    assert "taken for the" in one.doubts[0]
    # It is shown before use: nothing is read without a person's leave.
    with pytest.raises(ValueError, match="nobody said which column is which channel"):
        read_log(path)
    read = read_log(path, guess=True)
    # first principles: 0 °C is 273.15 K, 1 hPa = 1 mbar = 100 Pa, 1 kPa = 1,000 Pa.
    assert read.series[channel][0] == pytest.approx(first_si, abs=1e-6)
    assert any(said.startswith(f"{column}: taken for the") for said in read.remarks)


@pytest.mark.parametrize(
    ("heading", "figures"),
    [
        ("Motor temp [°C]", [40.0] * N),
        ("Reifendruck [kPa]", [100.0] * N),
        ("T7 [°C]", [18.0 + 0.5 * i for i in range(N)]),  # something that warms up by 60 K
        ("T7 [°C]", [95.0] * N),
        ("p2 [bar]", [2.6] * N),  # a tyre
        ("Flag", [1, -1] * (N // 2)),  # no run is a second long
        ("Flag", [1] * N),  # one way only tells nothing apart
        ("Flag", [i % 2 for i in range(N)]),
        ("Gear", [2] * N),
        ("Count", [*WAY[:-1], 0]),
    ],
)
def test_what_may_be_a_part_or_a_switch_is_not(tmp_path, heading, figures):
    found = proposals(log(tmp_path, **{heading.replace(" [", "__["): figures}))
    one = next(one for name, one in found.items() if name not in ("Time", "Vehicle speed"))
    assert one.channel == ""


@pytest.mark.parametrize(
    ("figures", "words"), [(WAY, "direction of the run"), ([18.0] * N, "temperature of the air")]
)
def test_of_two_alike_none_is_taken_and_both_are_named(tmp_path, figures, words):
    unit = "" if figures is WAY else "__[°C]"
    found = proposals(log(tmp_path, **{f"A{unit}": figures, f"B{unit}": figures}))
    for name, other in (("A", "B"), ("B", "A")):
        assert found[name].channel == ""
        assert f"it could be the {words}" in found[name].doubts[0]
        assert f"so could {other};" in found[name].doubts[0]


def test_a_heading_goes_before_figures(tmp_path):
    found = proposals(log(tmp_path, **{"T7__[°C]": [18.0] * N, "Ambient temp__[°C]": [21.0] * N, "Way": WAY}))
    assert (found["Ambient temp"].channel, found["T7"].channel) == ("ambient_temperature_k", "")
    assert found["Way"].channel == "direction"


def test_two_words_in_turn_are_named_and_not_taken(tmp_path):
    path = log(tmp_path, Leg=["out" if way > 0 else "back" for way in WAY])
    one = proposals(path)["Leg"]
    assert one.channel == ""
    assert "out and back may be the direction of the run" in one.doubts[0]
    ran = run("channels", path)
    assert_fits(ran.out)
    assert "not used: out and back may be the direction" in ran.plain


def test_without_a_speed_nothing_is_taken_for_the_air(tmp_path):
    path = tmp_path / "charge.csv"
    path.write_text(
        "Time [s],Wall power [W],T7 [°C],Way\n" + "".join(f"{i},11000,18,{WAY[i]}\n" for i in range(N))
    )
    assert {one.column: one.channel for one in look_at_log(path)[1].proposals}["T7"] == ""


def test_the_fit_is_corrected_for_air_that_no_heading_names(tmp_path):
    from core.trials.coasting_simulation import Day, Vehicle, recording

    series = recording(Vehicle(), Day(), 3, pairs=2, channels=("direction",))
    heads = {"speed_m_per_s": ("Vehicle speed [km/h]", 3.6), "direction": ("Way", 1.0), "run": ("Run", 1.0)}
    assert set(series.channels) == set(heads)
    lines = [",".join(["Time [s]", *(heads[name][0] for name in series.channels), "T7 [°C]", "p2 [hPa]"])]
    for i, time in enumerate(series.time_s):
        cells = [f"{series.channels[name][i] * heads[name][1]:.4f}" for name in series.channels]
        lines.append(",".join([f"{time:.3f}", *cells, "18.4", "997.9"]))
    path = tmp_path / "coast.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    told = run("fit", "coastdown", path, "--guess", "--mass-kg", "1650", "--json").json
    # first principles: dry air, ρ = p/(287.05 J/(kg K) · T) = 99,790/(287.05 · 291.55) = 1.192 kg/m³.
    [air] = [line for line in told["assumptions"] if line.startswith("air:")]
    assert "1.192 to 1.192 kg/m³ as recorded" in air
    assert any("solved for from each pair" in line for line in told["assumptions"])
    by_hand = run("fit", "coastdown", path, "--guess", "--mass-kg", "1650", "--pressure-kpa", "99.79",
                  "--temperature-degc", "18.4", "--json").json  # fmt: skip
    figures = [{one["key"]: one["value"] for one in found["figures"]} for found in (told, by_hand)]
    np.testing.assert_allclose(figures[0]["road_load_c"], figures[1]["road_load_c"], rtol=1e-9)
    without = path.read_text(encoding="utf-8").replace("p2 [hPa]", "p2 [x]")
    path.write_text(without, encoding="utf-8")
    told = run("fit", "coastdown", path, "--guess", "--mass-kg", "1650", "--json").json
    assert any(
        "air: its temperature is recorded and its pressure is not, so it is taken as" in line
        for line in told["assumptions"]
    )
