"""Readings and drawing of the check of a unit's modes on its mounts."""

from hoistbook.core.checks.declared import Choice, Names, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_UNITS = "common practice: drive units, compressors, batteries of road vehicles"
_NONE = Usual(0.0, 0.0, "common practice", "none: taken as nothing where no product of inertia was found")
_TAPE = "common practice: tape from a marked centre of gravity, to 5 mm"
_PUSH = "common practice: a bare number is taken as it stands; pushed with a spring balance it is known to a tenth, so state that band"

READINGS = (
    Reading("mass_kg", "mass of the unit", "kg", "on the scale, with its fluids", 0.5, 1000.0, _UNITS, 0.1, "common practice: workshop scale"),
    Reading("inertia_x_kg_m2", "moment of inertia about the axis along the vehicle (roll)", "kg.m2", "trifilar pendulum: stopwatch over 20 swings", 1e-4, 1e3, _UNITS, 0.0),
    Reading("inertia_y_kg_m2", "moment of inertia about the axis across the vehicle (pitch)", "kg.m2", "trifilar pendulum: stopwatch over 20 swings", 1e-4, 1e3, _UNITS, 0.0),
    Reading("inertia_z_kg_m2", "moment of inertia about the upright axis (yaw)", "kg.m2", "trifilar pendulum: stopwatch over 20 swings", 1e-4, 1e3, _UNITS, 0.0),
    Reading("product_xy_kg_m2", "product of inertia ∫xy dm", "kg.m2", "pendulum about skew axes, or a drawing", -1e3, 1e3, _UNITS, usual=_NONE),
    Reading("product_yz_kg_m2", "product of inertia ∫yz dm", "kg.m2", "pendulum about skew axes, or a drawing", -1e3, 1e3, _UNITS, usual=_NONE),
    Reading("product_xz_kg_m2", "product of inertia ∫xz dm", "kg.m2", "pendulum about skew axes, or a drawing", -1e3, 1e3, _UNITS, usual=_NONE),
    Reading("mount_x_m", "mount ahead of the centre of gravity", "m", "tape along the vehicle", -2.0, 2.0, _UNITS, 0.005, _TAPE, each="mount", show="mm"),
    Reading("mount_y_m", "mount left of the centre of gravity", "m", "tape across the vehicle", -2.0, 2.0, _UNITS, 0.005, _TAPE, each="mount", show="mm"),
    Reading("mount_z_m", "mount above the centre of gravity", "m", "level and rule", -2.0, 2.0, _UNITS, 0.005, _TAPE, each="mount", show="mm"),
    Reading("mount_kx_n_per_m", "stiffness of the mount along the vehicle, in vibration", "N/m", "push along with a known load, dial gauge", 0.0, 1e8, _UNITS, 0.0, _PUSH, each="mount", show="N/mm"),
    Reading("mount_ky_n_per_m", "stiffness of the mount across the vehicle, in vibration", "N/m", "push across with a known load, dial gauge", 0.0, 1e8, _UNITS, 0.0, _PUSH, each="mount", show="N/mm"),
    Reading("mount_kz_n_per_m", "stiffness of the mount upright, in vibration", "N/m", "push down with a known load, dial gauge", 0.0, 1e8, _UNITS, 0.0, _PUSH, each="mount", show="N/mm"),
)  # fmt: skip

CHOICES = (
    Choice(
        "products",
        "how the source of the products of inertia writes them",
        {
            "integrals": "as ∫xy dm; the tensor then holds them with a minus",
            "tensor": "as entries of the tensor, minus already in them",
        },
    ),
)
NAMES = (Names("mount", "names of the mounts", "mount"),)

SKETCH = Sketch(
    "A unit with its centre of gravity and three mounts, seen from the side; forward is to the left.",
    48.0,
    (
        Line(((20, 12), (78, 12), (78, 40), (20, 40), (20, 12)), filled=True),
        Circle((46, 26), 2.2, heavy=True),
        Circle((20, 34), 2.6, filled=True),
        Circle((78, 18), 2.6, filled=True),
        Circle((60, 40), 2.6, filled=True),
        Line(((46, 4), (46, 46)), dashed=True),
        Line(((10, 26), (92, 26)), dashed=True),
        Dimension("mount_x_m", (20, 44), (46, 44)),
        Dimension("mount_z_m", (14, 26), (14, 34)),
        Dimension("mount_kz_n_per_m", (78, 5), (78, 15)),
        Dimension("mount_kx_n_per_m", (81, 18), (92, 18)),
        Label("centre of gravity", (58, 22)),
        Label("ahead", (6, 26)),
    ),
)  # fmt: skip
