"""Readings and drawing of the check of a knuckle's duty."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

CHOICES = (Choice("axle", "which axle it is on", {"front": "front", "rear": "rear"}),)
_CARS = "common practice: road vehicles"
_TAPE = "common practice: tape at ride height, to 3 mm"

READINGS = (
    Reading("axle_kg", "mass on the axle, loaded as the duty says", "kg", "corner scales, both wheels", 100.0, 5000.0, _CARS, 5.0, "common practice: corner scales"),
    Reading("vehicle_kg", "mass of the vehicle, loaded likewise", "kg", "corner scales", 300.0, 10_000.0, _CARS, 5.0, "common practice: corner scales", fact="mass", state="test"),
    Reading("cg_height_m", "height of the centre of mass", "m", "the check of the centre of gravity gives it", 0.2, 2.0, _CARS, 0.02, "common practice: by raising an axle", Usual(0.65, 0.10, "common practice", "none: cars and small vans, 0.55 to 0.75 m"), fact="cg_height", show="mm"),
    Reading("wheelbase_m", "wheelbase", "m", "tape between wheel centres", 1.5, 6.0, _CARS, 0.003, _TAPE, fact="wheelbase", show="mm"),
    Reading("track_m", "track width", "m", "tape between the middles of the treads", 1.0, 2.5, _CARS, 0.003, _TAPE, fact="track", show="mm"),
    Reading("wheel_m", "height of the wheel centre above the ground", "m", "tape, on the ground", 0.15, 0.6, _CARS, 0.003, _TAPE, show="mm"),
    Reading("offset_m", "middle of the tread outboard of the middle of the wheel bearing", "m", "straight edge over the tread, depth gauge to the bearing", -0.1, 0.2, _CARS, 0.003, _TAPE, show="mm"),
    Reading("lower_z_m", "height of the lower ball joint above the ground", "m", "tape, on the ground", 0.05, 0.6, _CARS, 0.003, _TAPE, show="mm"),
    Reading("upper_z_m", "height of the upper ball joint above the ground; of a strut its upper mount", "m", "tape, on the ground", 0.2, 1.5, _CARS, 0.003, _TAPE, show="mm"),
    Reading("lower_y_m", "middle of the tread outboard of the lower ball joint", "m", "straight edge over the tread, tape", -0.1, 0.4, _CARS, 0.003, _TAPE, show="mm"),
    Reading("mass_kg", "mass of the knuckle, bare", "kg", "on the scale, bearing and joints pressed out", 0.3, 60.0, _CARS, 0.01, "common practice: bench scale to 10 g"),
    Reading("density_kg_per_m3", "density of its material", "kg/m3", "weigh it in air and in water", 1500.0, 8200.0, "common practice: magnesium to steel", 30.0, "common practice: weighed in water, to 30 kg/m³"),
    Reading("yield_pa", "yield of its material", "Pa", "hardness test or material record", 80e6, 1200e6, "common practice: castings and forgings", 20e6, "common practice: hardness test, to 20 MPa", show="MPa"),
    Reading("corner_g", "cornering, in g", "1", "chosen", 0.2, 2.0, _CARS, usual=Usual(1.0, 0.1, "common practice", "none: dry tyres at the limit")),
    Reading("brake_g", "braking, in g", "1", "chosen", 0.2, 2.0, _CARS, usual=Usual(1.0, 0.1, "common practice", "none: dry tyres at the limit")),
    Reading("bump_g", "bump, in static wheel loads", "1", "chosen", 1.0, 8.0, _CARS, usual=Usual(3.0, 0.5, "common practice", "none: strength case of many concept studies, 2.5 to 3.5")),
)  # fmt: skip

SKETCH = Sketch(
    "Wheel and knuckle seen from behind, at ride height on the ground.",
    66.0,
    (
        Line(((4, 8), (96, 8)), dashed=True),
        Line(((70, 8), (86, 8), (86, 58), (70, 58), (70, 8)), filled=True),
        Line(((78, 2), (78, 64)), dashed=True), Line(((50, 33), (78, 33)), dashed=True),
        Line(((46, 16), (52, 26), (62, 28), (62, 38), (52, 40), (44, 52)), heavy=True),
        Circle((46, 16), 2.2, filled=True), Circle((44, 52), 2.2, filled=True), Circle((62, 33), 2.0),
        Dimension("wheel_m", (92, 8), (92, 33)),
        Dimension("offset_m", (62, 33), (78, 33), 28),
        Dimension("lower_y_m", (46, 4), (78, 4)),
        Dimension("lower_z_m", (34, 8), (34, 16)),
        Dimension("upper_z_m", (22, 8), (22, 52)),
        Label("upper joint", (30, 56)), Label("bearing", (58, 45)), Label("lower joint", (54, 13)),
    ),
)  # fmt: skip
