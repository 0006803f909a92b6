"""Readings and drawing of the check of tones."""

from hoistbook.core.checks.declared import Names, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_TEETH = "first principles: a wheel has at least a few teeth"
_COUNT = "count on the bench with a mark on one tooth; a whole number"
_HZ = "common practice: modes of brackets, covers, subframes"

READINGS = (
    Reading("first_pinion_teeth", "teeth of the pinion on the motor shaft", "1", _COUNT, 5.0, 200.0, _TEETH),
    Reading("first_wheel_teeth", "teeth of the wheel it drives", "1", _COUNT, 5.0, 400.0, _TEETH),
    Reading("second_pinion_teeth", "teeth of the pinion of the second mesh", "1", _COUNT, 5.0, 200.0, _TEETH),
    Reading("second_wheel_teeth", "teeth of the wheel on the differential", "1", _COUNT, 5.0, 400.0, _TEETH),
    Reading("pole_pairs", "pole pairs of the motor", "1", "magnets around the rotor over two, or the plate", 1.0, 30.0, "common practice: traction motors"),
    Reading("slots", "slots of the stator", "1", "count at the end winding", 3.0, 200.0, "common practice: traction motors"),
    Reading("tyre_radius_m", "rolling radius of the tyre", "m", "roll-out over ten turns, tape", 0.2, 0.6, "common practice: road vehicles", 0.003,
            "common practice: roll-out with a tape to 1 %", fact="wheel_radius", show="mm"),
    Reading("speed_m_per_s", "road speed that is asked for", "m/s", "chosen", 0.5, 90.0, "common practice: road vehicles",
            usual=Usual(50.0 / 3.6, 0.0, "common practice", "none: 50 km/h, where tyres are still quiet"), show="km/h"),
    Reading("carrier_hz", "switching frequency of the inverter", "1/s", "clamp or radio receiver near the cables; or the plate", 1e3, 1e5, "common practice: traction inverters",
            usual=Usual(10e3, 2e3, "common practice", "none: 8 to 12 kHz at part load"), show="kHz"),
    Reading("mode_hz", "mode that could answer", "1/s", "tap bracket, cover or subframe IN THE VEHICLE with a light hammer, accelerometer or phone beside it", 5.0, 5000.0, _HZ, 5.0,
            "common practice: resolution of a short record", usual=Usual(420.0, 0.0, "common practice", "none: stands for no mode of this vehicle"), each="mode", show="Hz"),
)  # fmt: skip

NAMES = (Names("modes", "what was tapped", "mode"),)

SKETCH = Sketch(
    "Two-stage reduction seen along its shafts: motor shaft, intermediate shaft, differential.",
    48.0,
    (
        Circle((18, 24), 16.0, filled=True),
        Circle((18, 24), 8.0),
        Circle((44, 24), 4.0, heavy=True),
        Circle((61, 24), 13.0, heavy=True),
        Circle((61, 24), 5.0, heavy=True),
        Circle((83, 24), 17.0, heavy=True),
        Line(((26, 24), (44, 24)), dashed=True),
        Label("motor", (18, 43)), Label("differential", (83, 44)),
        Dimension("slots", (2, 6), (34, 6)),
        Dimension("pole_pairs", (10, 24), (26, 24)),
        Dimension("first_pinion_teeth", (40, 14), (48, 14)),
        Dimension("first_wheel_teeth", (48, 38), (74, 38), 2),
        Dimension("second_pinion_teeth", (56, 24), (66, 24)),
        Dimension("second_wheel_teeth", (66, 5), (100, 5)),
    ),
)  # fmt: skip
