"""Make the demo: teardown workbooks of three invented delivery vans, the study of them, and how they hang together.

    python examples/make_vans.py            write whimbrel.xlsx, turnstone.xlsx, dotterel.xlsx, study.xlsx and the packaged copies
    python examples/make_vans.py --check    write nothing; fail when a stored workbook is not what this script makes

How the numbers are made. `van_data/<name>.tree` and `van_data/<name>.py` hold the *truth*: the mass of every part and the energy
parameters of the van. Every number in a workbook is that truth plus an error that its band allows for: a scale has
one calibration error for all its readings on all vans (`van_data/workshop.py`), a reading its own small one
(`van_data/noise.py`, drawn by name, so nothing depends on order or on a library's generator), and each fact an error stated beside it.
The true range is what the energy chain of `hoistbook.core.energy` gives for the true parameters, times a planted error
of that chain (`residual`). What was planted on purpose stands in README.md.
"""

from __future__ import annotations

import argparse
import math
import sys
import tempfile
import zipfile
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
for folder in (HERE, HERE.parent / "src"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

from van_data import dotterel, turnstone, whimbrel  # noqa: E402
from van_data.checks import check_rows  # noqa: E402
from van_data.reasons import reason_rows  # noqa: E402
from van_data.routes import mark_of, route_rows, routed, size_up, statements  # noqa: E402
from van_data.study import study_rows  # noqa: E402
from van_data.tree import Part, number, parse  # noqa: E402
from van_data.van import BALLAST_KG, DUTY, Said, Truth, Van  # noqa: E402
from van_data.weighing import Session, correct, find, height, part_rows, shown, take_apart, together  # noqa: E402
from van_data.words import in_words  # noqa: E402
from van_data.workshop import ANGLE, FUNCTIONS, INSTRUMENTS, PADS, Row  # noqa: E402

from hoistbook.capture.study_schema import STUDY_SHEETS  # noqa: E402
from hoistbook.capture.write import write_workbook  # noqa: E402
from hoistbook.core.energy.model import simulate  # noqa: E402
from hoistbook.core.quantities.units import to_si  # noqa: E402
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS  # noqa: E402
from hoistbook.reference.cycles import cycle  # noqa: E402

PACKAGED = HERE.parent / "src" / "hoistbook" / "reference" / "data" / "vans"
VANS = {"whimbrel": whimbrel.VAN, "turnstone": turnstone.VAN, "dotterel": dotterel.VAN}
STUDY = "study.xlsx"
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")


@dataclass(frozen=True, slots=True)
class Made:
    """One van as made: its true tree, what is true of it as a whole, and the rows of its workbook."""

    van: Van
    root: Part
    curb_kg: float
    model_range_km: float
    range_km: float
    rows: dict[str, list[Row]]


def _tree(name: str) -> tuple[Part, dict[str, str]]:
    if name == "dotterel":
        return dotterel.build(_tree("turnstone")[0])
    root = parse((HERE / "van_data" / f"{name}.tree").read_text(encoding="utf-8"), name.capitalize())
    number(root, name[0].upper())
    return root, {}


def _whole_truth(van: Van, curb_kg: float) -> tuple[Truth, float]:
    """Add to the truth what follows from it: range, consumption, road load. Returns it and the range of the model. [km]"""
    parameters = van.parameters(curb_kg + BALLAST_KG)
    result = simulate(cycle(DUTY), parameters)
    distance_m = float(result.distance_m)
    usable_j = to_si(*van.truth["usable_energy"])[0]
    model_km = usable_j * distance_m / float(result.cell_j) / 1000.0
    range_km = model_km * van.residual
    wall_wh = usable_j / 3600.0 / (van.truth["charging_efficiency"][0] / 100.0)
    # A coast-down turns the drive unit: what it loses at no torque is inside a road load given by coefficients.
    per_wheel_speed = float(parameters.gear_ratio) / float(parameters.wheel_radius_m)
    back = float(parameters.gear_efficiency_back_frac)
    spin_a_n = float(parameters.loss_k2) * per_wheel_speed / back
    spin_c = float(parameters.loss_k3) * per_wheel_speed**3 / back
    found = {
        "range": (range_km, "km"),
        "consumption": (wall_wh / range_km, "Wh/km"),
        "road_load_a": (float(parameters.road_load_a_n) + spin_a_n, "N"),
        "road_load_b": (float(parameters.road_load_b_n_s_per_m), "N/(m/s)"),
        "road_load_c": (float(parameters.road_load_c_n_s2_per_m2) + spin_c, "N/(m/s)2"),
    }
    return {**van.truth, **found}, model_km


def _corner_truth(van: Van, mass_kg: float) -> dict[str, float]:
    c = van.corners
    return {
        "front_left": mass_kg * c.front_share * c.left_share,
        "front_right": mass_kg * c.front_share * (1.0 - c.left_share),
        "rear_left": mass_kg * (1.0 - c.front_share) * c.left_share,
        "rear_right": mass_kg * (1.0 - c.front_share) * (1.0 - c.left_share),
    }


def _on_pads(van: Van, mass_kg: float, occasion: str) -> dict[str, float]:
    return {
        corner: shown(PADS, true, f"{van.letter}/{occasion}/{corner}")
        for corner, true in _corner_truth(van, mass_kg).items()
    }


def _mass_facts(van: Van, curb_kg: float, radius_mm: float) -> list[Row]:
    """Rows of everything the pads showed, the masses that follow, and the centre of gravity."""
    configuration = van.configuration_id
    c = van.corners

    def fact(quantity: str, value: float, unit: str, **columns: object) -> Row:
        named = {name.replace("_", " "): value for name, value in columns.items()}
        return {"configuration": configuration, "quantity": quantity, "value": value, "unit": unit, "origin": "measured",
                "basis": "specimen", **named}  # fmt: skip

    def mass(value: float, state: str, note: str, **columns: object) -> Row:
        # Own: four pads, step and settling 0.52 kg each. Shared: 0.1 % of the reading as a limit, over root three.
        band = {"plus_or_minus": 2.1, "shared_source": "corner pads C1, whole vehicle",
                "shared_plus_or_minus": 1.8}  # fmt: skip
        return fact("mass", round(value, 1), "kg", mass_state=state, note=note, **(columns or band))

    level = _on_pads(van, curb_kg, "curb")
    loaded = _on_pads(van, curb_kg + BALLAST_KG, "test")
    front_kg = curb_kg * c.front_share
    gain_kg = curb_kg * math.tan(math.radians(c.lift_deg)) * (c.height_m - c.axle_height_m) / c.wheelbase_m
    # The pads are not used above their capacity: each front wheel stands on one of them.
    raised_kg = 2.0 * shown(PADS, 0.5 * (front_kg + gain_kg), f"{van.letter}/raised")
    lift_deg = shown(ANGLE, math.radians(c.lift_deg), f"{van.letter}/lift")
    total_kg = sum(level.values())
    level_kg = level["front_left"] + level["front_right"]
    share = level_kg / total_kg if c.driven == "front" else 1.0 - level_kg / total_kg
    # The height as the mass book finds it: axles taken as high as the rolling radius, then the axle lift.
    gained_kg = (raised_kg - level_kg) / (total_kg * math.tan(math.radians(lift_deg)))
    height_m = radius_mm / 1000.0 + c.wheelbase_m * gained_kg
    published_kg = 5.0 * round((curb_kg + 75.0) / 5.0)
    return [
        *(fact(f"corner_mass_{corner}", value, "kg", instrument="C1", mass_state="curb",
               evidence=f"photo {van.letter}-0003", note="fluids filled, loose items on board, nobody in it")
          for corner, value in level.items()),
        mass(total_kg, "curb", "sum of the four pads: fluids filled, loose items on board, nobody in it"),
        {**mass(sum(loaded.values()), "test", "curb, driver 75 kg, equipment 25 kg; weighed before the range test"),
         "duty": DUTY},
        mass(published_kg, "running order", "as registered, with driver 75 kg", plus_or_minus=10.0, band_is="limits",
             origin="published", basis="label", evidence="registration paper"),
        fact("wheelbase", c.wheelbase_m * 1000.0, "mm", instrument="L1"),
        fact("track", c.track_m * 1000.0, "mm", instrument="L1", note="mean of both axles"),
        fact("lifted_front_mass", raised_kg, "kg", plus_or_minus=1.6,
             note="two pads of C1 added up; rear axle raised, suspension locked, wheels free; mass state curb"),
        fact("lift_angle", lift_deg, "deg", instrument="A1"),
        {**fact("driven_load_share", round(100.0 * share, 1), "%", plus_or_minus=1.0,
                note=f"{c.driven} axle, from the corner masses at curb; driver and equipment shift it by less"),
         "origin": "inferred"},
        {**fact("load_transfer", round(math.copysign(height_m / c.wheelbase_m, c.load_transfer), 3), "1",
                plus_or_minus=0.008, note=f"height of the centre of gravity by axle lift, over wheelbase; {c.driven} drive"),
         "origin": "inferred"},
    ]  # fmt: skip


def _label_range(van: Van, range_km: float) -> Row:
    # Labels are declared to the kilometre from another specimen: here 1.5 % above this one.
    return {"configuration": van.configuration_id, "quantity": "range", "value": round(1.015 * range_km), "unit": "km",
            "plus or minus": 0.5, "band is": "limits", "origin": "published", "basis": "label", "duty": DUTY,
            "evidence": "label", "note": "declared for the type, not for this specimen"}  # fmt: skip


def _facts(van: Van, truth: Truth, curb_kg: float) -> list[Row]:
    said: list[Row] = [fact.row(van.configuration_id, truth) for fact in van.facts]
    wall: list[Row] = [
        Said("wall_energy", "measured", 0.7, 0.2, 1, evidence=f"log {van.letter}-charge").row(
            van.configuration_id,
            {"wall_energy": (truth["usable_energy"][0] / (truth["charging_efficiency"][0] / 100.0), "kWh")},
        )
    ]
    radius_mm = next(float(str(row["value"])) for row in said if row["quantity"] == "wheel_radius")
    return [*_mass_facts(van, curb_kg, radius_mm), *said, *wall, _label_range(van, truth["range"][0])]


def _measurements(van: Van, root: Part) -> Session:
    session = Session(van.letter, van.start)
    take_apart(root, session, van.repeats)
    for paths, note in van.together:
        together(session, [find(root, path) for path in paths], note)
    path, wrong, note = van.correction
    correct(session, find(root, path).tag, wrong, note)
    for path, lowest_mm, note in van.heights:
        height(session, find(root, path).tag, lowest_mm, note)
    for function, quantity, value, unit, note in van.approach_readings:
        tape = (
            {"method": "measured", "instrument": "L1"}
            if unit == "m"
            else {"method": "estimated", "plus_or_minus": 0.15}
        )
        value, unit = (round(1000.0 * value), "mm") if unit == "m" else (value, unit)
        session.read(of=f"{van.letter}-{function}", subject_kind="approach", quantity=quantity, value=value, unit=unit,
                     note=note, **tape)  # fmt: skip
    return session


def make(name: str) -> Made:
    """Make one van: read its truth, simulate its range, take it apart and write everything down."""
    van = VANS[name]
    root, carried = _tree(name)
    root.hidden_kg = van.hidden_kg
    curb_kg = root.true_mass_kg()
    truth, model_km = _whole_truth(van, curb_kg)
    session = _measurements(van, root)
    # After all readings that stood before: a reading keeps its number and its time.
    made_parts = list(routed(root, statements()))
    size_up(session, made_parts)
    notes = {
        one.part.tag: "; ".join(
            filter(None, (carried.get(one.part.tag, ""), f"mark {mark_of(one.part, van.mark)}"))
        )
        for one in made_parts
        if one.part.kind != "fastener"
    }
    approaches: list[Row] = [
        {"approach": f"{van.letter}-{code}", "configuration": van.configuration_id, "function": code, "present": present,
         "description": text}
        for present, texts in ((True, van.approaches), (False, van.absent)) for code, text in sorted(texts.items())
    ]  # fmt: skip
    shares: list[Row] = [
        {"part": find(root, path).tag, "approach": f"{van.letter}-{code}", "share [%]": percent}
        for path, code, percent in van.shares
    ]
    rows: dict[str, list[Row]] = {
        "vehicle": [van.identity],
        "configurations": [van.configuration],
        "facts": _facts(van, truth, curb_kg),
        "parts": part_rows(root, {**carried, **notes}),
        "joints": session.joints,
        "measurements": session.readings,
        "instruments": [bench.row for bench in INSTRUMENTS],
        "functions": FUNCTIONS,
        "approaches": approaches,
        "shares": shares,
        "content": [item.row() for item in van.content],
        "effects": [effect.row() for effect in van.effects],
        "routes": route_rows(made_parts),
        "reasons": reason_rows(root, van.letter),
        "checks": check_rows(van.letter),
    }
    return Made(
        van,
        root,
        curb_kg,
        model_km,
        truth["range"][0],
        {sheet: in_words(each) for sheet, each in rows.items()},
    )


def _stated(made: Made, quantity: str, **columns: str) -> float:
    rows = [
        row for row in made.rows["facts"]
        if row["quantity"] == QUANTITY_KINDS[quantity].words and all(row.get(key.replace("_", " ")) == value for key, value in columns.items())
    ]  # fmt: skip
    return float(str(rows[0]["value"]))


def consistency(made: list[Made]) -> str:
    """Return the table that shows how the numbers of the vans hang together."""
    lines = [
        f"{'':34}" + "".join(f"{one.van.identity['name']:>12}" for one in made),
    ]

    def line(words: str, values: list[str]) -> None:
        lines.append(f"{words:34}" + "".join(f"{value:>12}" for value in values))

    line("nodes of the part tree", [str(len(one.rows["parts"])) for one in made])
    line("readings", [str(len(one.rows["measurements"])) for one in made])
    line("joints", [str(len(one.rows["joints"])) for one in made])
    line("curb mass, true, kg", [f"{one.curb_kg:.2f}" for one in made])
    line("curb mass, stated, kg", [f"{_stated(one, 'mass', mass_state='curb'):.1f}" for one in made])
    line("parts that were read, true, kg", [f"{_known_kg(one.root):.2f}" for one in made])
    line("  and so not read or not listed", [f"{one.curb_kg - _known_kg(one.root):.2f}" for one in made])
    line("test mass, stated, kg", [f"{_stated(one, 'mass', mass_state='test'):.1f}" for one in made])
    line("range of the model at the truth, km", [f"{one.model_range_km:.2f}" for one in made])
    line("planted residual", [f"{one.van.residual:.3f}" for one in made])
    line("true range, km", [f"{one.range_km:.2f}" for one in made])
    line("stated range, km", [f"{_stated(one, 'range', basis='specimen'):.1f}" for one in made])
    for quantity, (_, unit) in whimbrel.TRUTH.items():
        line(
            f"true {quantity.replace('_', ' ')}, {unit}", [f"{one.van.truth[quantity][0]:g}" for one in made]
        )
    lines.append("mass of each function, true, kg")
    for row in FUNCTIONS:
        code = str(row["function"])
        masses = [function_mass_kg(one.root, code) for one in made]
        if any(masses):
            line(f"  {code} {row['name']}", [f"{mass:.2f}" for mass in masses])
    return "\n".join(lines)


def _known_kg(root: Part) -> float:
    return sum(
        part.pieces_on_vehicle() * part.true_mass_kg()
        for part in root.walk()
        if not part.children and part.known_by != "missing"
    )


def function_mass_kg(root: Part, code: str) -> float:
    """Return the true mass of the listed parts whose primary function this is. [kg]"""
    return sum(
        part.pieces_on_vehicle() * part.true_mass_kg()
        for part in root.walk()
        if not part.children and part.effective_function() == code
    )


def same_workbook(one: Path, other: Path) -> bool:
    """Whether two workbooks hold the same sheets, byte by byte, whatever compressed them."""
    with zipfile.ZipFile(one) as a, zipfile.ZipFile(other) as b:
        return a.namelist() == b.namelist() and all(a.read(name) == b.read(name) for name in a.namelist())


def write(made: list[Made], folder: Path) -> list[Path]:
    """Write the workbooks of these vans, and of the study of them, into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for one in made:
        path = folder / f"{str(one.van.identity['name']).lower()}.xlsx"
        write_workbook(path, one.rows)
        paths.append(path)
    path = folder / STUDY
    write_workbook(path, study_rows(), STUDY_SHEETS)
    return [*paths, path]


def check(made: list[Made]) -> list[str]:
    """Return what is wrong with the stored workbooks, nothing when they are what this script makes."""
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        for path in write(made, Path(folder)):
            for stored in (HERE / path.name, PACKAGED / path.name):
                if not stored.exists():
                    wrong.append(f"{stored} is missing; run {Path(__file__).name} without --check.")
                elif not same_workbook(path, stored):
                    wrong.append(
                        f"{stored} is not what the script makes; run {Path(__file__).name} without --check."
                    )
    return wrong


def main() -> int:
    """Write or check the workbooks and print how the vans hang together."""
    parser = argparse.ArgumentParser(description=str(__doc__).split("\n", maxsplit=1)[0])
    parser.add_argument(
        "--check", action="store_true", help="write nothing; fail when a stored workbook differs"
    )
    arguments = parser.parse_args()
    made = [make(name) for name in VANS]
    print(consistency(made))
    if arguments.check:
        wrong = check(made)
        print("\n".join(wrong) or "the stored workbooks are what this script makes")
        return 1 if wrong else 0
    for folder in (HERE, PACKAGED):
        for path in write(made, folder):
            print(f"wrote {path.relative_to(HERE.parent)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
