"""Six modes on mounts against closed forms, an eigen-solver, and laws of rigid bodies."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import eigh

from core.checks.worked import Worked, hold, result_of

BODY = {"mass_kg": 68.6, "inertia_x_kg_m2": 0.829, "inertia_y_kg_m2": 0.556, "inertia_z_kg_m2": 0.964}
SQUARE = {
    "mount_x_m": [0.20, 0.20, -0.20, -0.20],
    "mount_y_m": [0.15, -0.15, 0.15, -0.15],
    "mount_kx_n_per_m": [100e3] * 4,
    "mount_ky_n_per_m": [80e3] * 4,
    "mount_kz_n_per_m": [150e3] * 4,
}
THREE = {
    "mount_x_m": [0.05, 0.05, -0.24],
    "mount_y_m": [0.28, -0.26, 0.01],
    "mount_z_m": [0.02, 0.03, -0.05],
    "mount_kx_n_per_m": [150e3, 150e3, 220e3],
    "mount_ky_n_per_m": [80e3, 80e3, 60e3],
    "mount_kz_n_per_m": [180e3, 180e3, 120e3],
}
# published: inertia of an electric drive unit on a public engineering page (secondary quality), Tables 1-2
PRODUCTS = {"product_xy_kg_m2": 0.0189, "product_yz_kg_m2": 0.0441, "product_xz_kg_m2": -0.0901}


def modes(*values):
    return {f"mode_hz[mode {place + 1}]": (value, 1e-5) for place, value in enumerate(values)}


WORKED = (
    Worked(
        "mount_modes",
        "computed: closed form of four mounts around the centre of gravity",
        BODY | SQUARE | {"mount_z_m": [0.0] * 4},
        modes(10.870088, 12.153128, 14.884481, 20.309992, 23.933701, 33.066510),
    ),
    Worked(
        "mount_modes",
        "computed: the same mounts 80 mm below the centre of gravity, closed form of the 2 × 2 blocks",
        BODY | SQUARE | {"mount_z_m": [-0.08] * 4},
        modes(9.9258529, 11.477084, 14.884481, 22.242059, 23.933701, 35.014252)
        | {
            "y_frac[mode 1]": (0.9504, 1e-4),
            "roll_frac[mode 1]": (0.0496, 1e-3),
            "x_frac[mode 2]": (0.9854, 1e-4),
            "z_frac[mode 3]": (1.0, 1e-9),
            "yaw_frac[mode 5]": (1.0, 1e-9),
        },
    ),
    Worked(
        "mount_modes",
        "computed: published inertia on assumed mounts, products as integrals, SciPy eigh",
        BODY | PRODUCTS | THREE,
        {
            name: (value, 2e-5)
            for name, (value, _) in modes(8.9742, 12.9508, 13.8180, 19.8130, 25.4237, 29.6215).items()
        },
    ),
    Worked(
        "mount_modes",
        "computed: the same with the products read as entries of the tensor",
        BODY | PRODUCTS | THREE,
        {
            name: (value, 2e-5)
            for name, (value, _) in modes(8.9746, 12.9478, 13.8158, 19.9856, 25.8496, 28.9019).items()
        },
        choices={"products": "tensor"},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


near = st.floats(-0.5, 0.5)
rate = st.floats(1e4, 1e6)


@settings(max_examples=30)
@given(st.lists(st.tuples(near, near, near, rate, rate, rate), min_size=3, max_size=6))
def test_shares_add_up_and_modes_are_those_of_an_eigen_solver(mounts):
    names = ("x_m", "y_m", "z_m", "kx_n_per_m", "ky_n_per_m", "kz_n_per_m")
    stated = BODY | {
        f"mount_{name}": list(column) for name, column in zip(names, zip(*mounts, strict=True), strict=True)
    }
    found = result_of("mount_modes", stated)
    # computed: SciPy's generalised symmetric eigen-solver on a stiffness built from energies, one mount at a time.
    stiffness = np.zeros((6, 6))
    for x, y, z, kx, ky, kz in mounts:
        moved = np.hstack([np.eye(3), np.cross(np.eye(3), np.array([x, y, z])).T])
        stiffness += moved.T @ np.diag([kx, ky, kz]) @ moved
    mass = np.diag([68.6] * 3 + [0.829, 0.556, 0.964])
    expected = np.sqrt(np.maximum(eigh(stiffness, mass, eigvals_only=True), 0.0)) / (2 * math.pi)
    told = [found.figure("mode_hz", f"mode {place + 1}").value for place in range(6)]
    assert told == pytest.approx(list(expected), rel=1e-6, abs=1e-3)
    for place in range(6):
        # first principles: the shares of a mode are all of its energy.
        total = sum(
            found.figure(f"{name}_frac", f"mode {place + 1}").value
            for name in ("x", "y", "z", "roll", "pitch", "yaw")
        )
        assert total == pytest.approx(1.0, abs=1e-9)


def test_no_body_has_such_inertia():
    # first principles: a principal moment is at most the sum of the other two.
    with pytest.raises(ValueError, match="no body has these moments"):
        result_of("mount_modes", BODY | SQUARE | {"mount_z_m": [0.0] * 4, "inertia_z_kg_m2": 2.0})
