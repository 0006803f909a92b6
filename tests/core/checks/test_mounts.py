"""Isolation, brackets and pads against worked examples, and laws of springs and masses."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of

ISOLATION = {
    "unit_mass_kg": 6.5,
    "unit_stiffness_n_per_m": 120e3,
    "carrier_mass_kg": 4.0,
    "carrier_stiffness_n_per_m": 300e3,
    "loss_factor": 0.10,
}
_LEVELS = {
    20.0: (15.141, 6.819, 12.295),
    50.0: (-12.721, -7.763, -0.181),
    100.0: (-26.143, -22.113, -37.802),
    200.0: (-38.498, -34.648, -64.322),
    400.0: (-50.616, -46.808, -88.935),
}
WORKED = (
    *(
        Worked(
            "mount_isolation",
            f"computed: compressor of 6.5 kg on a carrier of 4 kg at {frequency:.0f} Hz, NumPy and SciPy",
            ISOLATION | {"frequency_hz": frequency},
            {
                "own_db": (own, 1e-3),
                "carrier_db": (carrier, 1e-3),
                "both_db": (both, 5e-3 if abs(both) < 1.0 else 1e-4),
                "own_hz": (21.625, 1e-4),
                "carrier_hz": (26.902, 1e-4),
                "lower_hz": (17.77668, 1e-6),
                "upper_hz": (53.02176, 1e-6),
            },
        )
        for frequency, (own, carrier, both) in _LEVELS.items()
    ),
    *(
        Worked(
            "bracket_stiffness",
            f"computed: bracket {ratio:g} times as stiff as the isolator, springs in series",
            {
                "isolator_stiffness_n_per_m": 8.35679e6 / ratio,
                "tap_hz": 420.0,
                "modal_mass_kg": 1.2,
            },
            {
                "bracket_stiffness_n_per_m": (8.35679e6, 1e-5),
                "kept_stiffness_frac": (kept, 2e-4),
                "isolation_db": (level, 1e-4),
            },
        )
        for ratio, kept, level in (
            (1, 0.5, 6.021),
            (2, 0.6667, 9.542),
            (5, 0.8333, 15.563),
            (10, 0.9091, 20.828),
        )
    ),
    Worked(
        "rubber_pad",
        "computed: shear pad 30 × 30 × 12 mm of 50 Shore A by Gent",
        {"hardness_shore_a": 50.0, "length_m": 0.030, "width_m": 0.030, "thickness_m": 0.012, "phi": 0.73},
        {"shear_n_per_m": (61.3953e3, 1e-5), "modulus_pa": (2.455812e6, 1e-6)},
    ),
    Worked(
        "rubber_pad",
        "computed: bonded cylinder, diameter 30 mm, 20 mm high, 50 Shore A by Gent, φ 0.73",
        {"hardness_shore_a": 50.0, "length_m": 0.030, "width_m": 0.030, "thickness_m": 0.020, "phi": 0.73},
        {"compression_n_per_m": (104.616e3, 1e-5), "shape_factor": (0.375, 1e-9)},
        choices={"shape": "round"},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


def test_both_relations_of_hardness_are_shown():
    # computed: Gent 2.455812 MPa, Ruess 3.425311 MPa at 50 Shore A; with e instead of 10 it would be 1.706936.
    pad = {"hardness_shore_a": 50.0, "length_m": 0.03, "width_m": 0.03, "thickness_m": 0.012}
    gent, ruess = result_of("rubber_pad", pad).figure("modulus_pa").formulas
    assert gent.value == pytest.approx(2.455812e6, rel=1e-6)
    assert ruess.value == pytest.approx(3.425311e6, rel=1e-6)


@pytest.mark.parametrize("loss", [0.0, 0.2])
def test_one_stage_transmits_all_at_root_two(loss):
    # first principles: at √2 times the natural frequency the force passes in full, whatever the damping: with a loss
    # factor |1 + jη|/|1 − 2 + jη| = 1.
    own_hz = math.sqrt(120e3 / 6.5) / (2 * math.pi)
    found = result_of(
        "mount_isolation", ISOLATION | {"loss_factor": loss, "frequency_hz": math.sqrt(2.0) * own_hz}
    )
    assert found.figure("own_db").value == pytest.approx(0.0, abs=1e-9)


def test_transmissibility_of_a_lossy_spring():
    # computed: r = 3, loss factor 0.1: 0.1256136; r = 2: 0.3348099; r = 5: 0.04187412.
    own_hz = math.sqrt(120e3 / 6.5) / (2 * math.pi)
    for r, passed in ((2.0, 0.3348099), (3.0, 0.1256136), (5.0, 0.04187412)):
        found = result_of("mount_isolation", ISOLATION | {"frequency_hz": r * own_hz})
        assert found.figure("own_db").value == pytest.approx(20.0 * math.log10(passed), abs=1e-5)


@given(k1=st.floats(1e4, 1e6), k2=st.floats(1e4, 1e7), m1=st.floats(1.0, 100.0), m2=st.floats(0.5, 50.0))
def test_modes_of_two_stages_against_an_eigen_solver(k1, k2, m1, m2):
    # computed: SciPy's generalised symmetric eigen-solver on the same two masses.
    from scipy.linalg import eigh

    stiffness = np.array([[k1, -k1], [-k1, k1 + k2]])
    modes = np.sqrt(eigh(stiffness, np.diag([m1, m2]), eigvals_only=True)) / (2 * math.pi)
    stated = {
        "unit_mass_kg": m1,
        "unit_stiffness_n_per_m": k1,
        "carrier_mass_kg": m2,
        "carrier_stiffness_n_per_m": k2,
        "loss_factor": 0.1,
        "frequency_hz": 50.0,
    }
    found = result_of("mount_isolation", stated)
    assert found.figure("lower_hz").value == pytest.approx(modes[0], rel=1e-6)
    assert found.figure("upper_hz").value == pytest.approx(modes[1], rel=1e-9)


@given(f=st.floats(60.0, 400.0))
def test_two_stages_fall_twice_as_steeply(f):
    # first principles: far above the modes one stage falls with f², two with f⁴: 12 and 24 dB per octave.
    soft = ISOLATION | {"unit_stiffness_n_per_m": 1.2e3, "carrier_stiffness_n_per_m": 3e3, "loss_factor": 0.0}
    one, two = (result_of("mount_isolation", soft | {"frequency_hz": x}) for x in (f, 1.2 * f))
    octaves = math.log2(1.2)
    own = (two.figure("own_db").value - one.figure("own_db").value) / octaves
    both = (two.figure("both_db").value - one.figure("both_db").value) / octaves
    assert own == pytest.approx(-12.04, abs=0.1)
    assert both == pytest.approx(-24.08, abs=0.25)


def test_a_mode_that_nothing_holds_is_told_as_such():
    # first principles: one mount with three stiffnesses holds three of six ways to move.
    one = {"mass_kg": 80.0, "inertia_x_kg_m2": 3.0, "inertia_y_kg_m2": 4.0, "inertia_z_kg_m2": 5.0}
    one |= {"mount_x_m": [0.2], "mount_y_m": [0.0], "mount_z_m": [0.0]}
    one |= {f"mount_k{axis}_n_per_m": [1e5] for axis in "xyz"}
    verdict = result_of("mount_modes", one).verdict
    assert "Nothing holds the first 3" in verdict
    assert "0.0 Hz" not in verdict.partition("Mixed")[2]
