"""Any small teardown, typed as rows, comes back as the same records from a workbook and from CSV.

The expected records are put together here, without the loader: names of error sources as the docs state them, standard
uncertainties from the half widths by the textbook factors.
"""

import dataclasses
import math
import tempfile
import unicodedata
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from capture.lever import LEVER
from hoistbook.capture import build
from hoistbook.capture.read import read_teardown
from hoistbook.capture.write import write_csv_folder, write_workbook
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import (
    Approach,
    Basis,
    CheckReading,
    Configuration,
    ContentItem,
    Effect,
    Fact,
    Function,
    Joint,
    MassState,
    Measurement,
    Method,
    Node,
    NodeKind,
    Reason,
    ReasonKind,
    RouteStep,
    Rule,
    Scope,
    Seen,
    Share,
    Teardown,
    Vehicle,
)

# from memory: GUM table G.2, 95 % of the normal distribution; more digits from any table of the normal quantile.
K95 = 1.959963984540054

# Names as people type them, with the starts a spreadsheet would take for a formula.
NAMES = st.text("ABab019-_.+=@äß/ '", min_size=1, max_size=6).map(str.strip).filter(bool)
NOTES = (
    st.text(st.characters(exclude_categories=("Cs", "Cc", "Cn", "Co", "Cf")), max_size=20)
    .map(lambda text: unicodedata.normalize("NFC", text).strip())
    .filter(lambda text: text == unicodedata.normalize("NFC", text))
)
# As many digits as a scale shows; a workbook keeps 16, so nothing is lost.
FIGURES = st.floats(1e-3, 9e5).map(lambda x: float(f"{x:.10g}"))
HALVES = st.one_of(st.just(0.0), st.floats(1e-6, 1e3).map(lambda x: float(f"{x:.10g}")))


def unique_names(least, most):
    return st.lists(NAMES, min_size=least, max_size=most, unique_by=str.casefold)


def band(name, half, factor=K95, shape="normal"):
    return ((Source(name, shape), half / factor),) if half else ()


@st.composite
def teardowns(draw):
    """A pair: rows as typed, records as expected."""
    code, maker, note = draw(NAMES), draw(NOTES), draw(NOTES)
    vehicle = Vehicle(code, "van", maker=maker, model_year=draw(st.sampled_from([None, 2024])), note=note)
    tags = draw(unique_names(1, 7))
    functions = draw(
        unique_names(1, 3).filter(
            lambda names: len({" ".join(n.split()).casefold() for n in names}) == len(names)
        )
    )
    rows = {
        "vehicle": [
            {"code": code, "name": "van", "maker": maker, "model year": vehicle.model_year, "note": note}
        ],
        "configurations": [{"configuration": "as is", "wheels": maker}],
        "instruments": [
            {"instrument": "S", "kind": "bench scale", "class": "III", "step": 1, "capacity": 6, "unit": "kg"}
        ],
        "functions": [
            {"function": f, "name": f"n {f}", "parent": functions[0] if i else None}
            for i, f in enumerate(functions)
        ],
    }
    rows["instruments"][0].update(step=10, capacity=100_000, unit="g", note=note)
    return vehicle, tags, functions, rows, draw(st.data())


@st.composite
def check_figures(draw, name, unit, least, most):
    """A figure for a check whose limits are ± half, of any origin; reading refuses what lies between 0 and 1e-30."""
    value = draw(st.floats(least, most).map(lambda x: 0.0 if abs(x) < 1e-29 else float(f"{x:.10g}")))
    half = draw(HALVES)
    return Quantity(
        value, unit, band(name, half, math.sqrt(3.0), "rectangular"), draw(st.sampled_from(Origin))
    )


def check_row(one):
    row = {"check": one.check, "reading": one.reading, "item": one.item, "option": one.option}
    row |= {"instrument": one.instrument, "evidence": one.evidence, "note": one.note}
    if one.value is not None:
        half = one.value.terms[0][1] * math.sqrt(3.0) if one.value.terms else 0.0
        row |= {"value": one.value.value, "unit": one.value.unit, "plus or minus": half, "band is": "limits"}
        row["origin"] = one.value.origin
    return row


def records(vehicle, tags, functions, rows, data):
    """Add rows of every kind and build the records they must become."""
    draw = data.draw
    nodes, code = [], vehicle.code
    rows["parts"] = []
    for index, tag in enumerate(tags):
        parent = tags[draw(st.integers(0, index - 1))] if index else None
        kind, count = draw(st.sampled_from(NodeKind)), draw(st.sampled_from([None, 1.0, 2.0, 0.5]))
        system, function = draw(st.sampled_from(["", "SU", "FL01"])), draw(st.sampled_from(["", *functions]))
        note = draw(NOTES)
        name = draw(NOTES) or "part"
        nodes.append(Node(tag, parent, name, kind, count or 1.0, system, function, "left", "steel", note))
        rows["parts"].append(
            {"tag": tag, "parent": parent, "name": name, "kind": kind, "count": count, "system": system}
            | {"function": function, "side": "left", "material": "steel", "note": note}
        )
    facts, rows["facts"] = [], []
    for state in draw(st.sets(st.sampled_from(MassState))):
        value, half, shared, basis = draw(FIGURES), draw(HALVES), draw(HALVES), draw(st.sampled_from(Basis))
        name = f"{code}/as is/mass/{state.value}/{basis.value}/published"
        terms = band(name, half, math.sqrt(3.0), "rectangular") + band("same dynamometer", shared)
        facts.append(
            Fact(
                "as is",
                "mass",
                Quantity(value, "kg", terms, Origin.PUBLISHED),
                state,
                basis=basis,
                evidence="p. 3",
            )
        )
        rows["facts"].append(
            {
                "configuration": "as is",
                "quantity": "mass",
                "value": value,
                "unit": "kg",
                "plus or minus": half,
            }
            | {
                "band is": "limits",
                "origin": "published",
                "mass state": state,
                "basis": basis,
                "evidence": "p. 3",
            }
            | {"shared source": "same dynamometer", "shared plus or minus": shared}
        )
    measurements, rows["measurements"] = [], []
    for index, tag in enumerate(tags):
        value, half, scope = draw(FIGURES), draw(HALVES), draw(st.sampled_from(Scope))
        pieces, covers = draw(st.sampled_from([None, 3.0])), tuple((t, 2.0) for t in tags[:index])
        quantity = Quantity(value, "kg", band(f"{code}/R{index}", half), Origin.ASSUMED)
        measurements.append(
            Measurement(
                f"R{index}",
                tag,
                "mass",
                quantity,
                pieces=pieces or 1.0,
                scope=scope,
                method=Method.ESTIMATED,
                covers=covers,
            )
        )
        rows["measurements"].append(
            {
                "reading": f"R{index}",
                "of": tag,
                "quantity": "mass",
                "value": value,
                "unit": "kg",
                "pieces": pieces,
            }
            | {"scope": scope, "method": "estimated", "plus or minus": half}
            | {"covers": "; ".join(f"{t} × 2" for t, _ in covers)}
        )
    joints = [
        Joint(f"J{i}", (tag, tags[0]), "screwing", tags[-1], i, "T30", "below", i % 2 == 0)
        for i, tag in enumerate(tags)
    ]
    rows["joints"] = [
        {
            "joint": j.id,
            "parts": "; ".join(j.parts),
            "process": j.process,
            "fastener": j.fastener,
            "drive": "T30",
        }
        | {"fastener count": j.fastener_count, "access": "below", "removable": j.removable}
        for j in joints
    ]
    approaches = [Approach(f"P{i}", "as is", f, draw(st.booleans()), "so") for i, f in enumerate(functions)]
    rows["approaches"] = [
        {
            "approach": a.id,
            "configuration": "as is",
            "function": a.function,
            "present": a.present,
            "description": "so",
        }
        for a in approaches
    ]
    serving = [a for a in approaches if a.present][:2]
    shares = [Share(tags[-1], a.id, 1.0 / len(serving)) for a in serving]
    rows["shares"] = [
        {"part": s.tag, "approach": s.approach, "share [%]": 100.0 * s.share_frac} for s in shares
    ]
    value, half = draw(FIGURES), draw(HALVES)
    content = [
        ContentItem(
            "tow",
            "tow bar",
            Rule.ADD,
            "mass",
            Quantity(value, "kg", band(f"{code}/content/tow/mass/add", half), Origin.ASSUMED),
        )
    ]
    rows["content"] = [
        {
            "item": "tow",
            "description": "tow bar",
            "rule": "add",
            "quantity": "mass",
            "value": value,
            "unit": "kg",
        }
        | {"plus or minus": half}
    ]
    name = f"{code}/effect/{functions[0]}/drag_area"
    effects = [Effect(functions[0], "drag_area", Quantity(-value, "m2", band(name, half), Origin.MEASURED))]
    routes = [
        RouteStep(
            tags[-1], 1 + i, "stamping", (("line", "tandem"),), seen=draw(st.sampled_from(Seen)), note="n"
        )
        for i in range(draw(st.integers(0, 2)))
    ]
    rows["routes"] = [
        {
            "part": r.tag,
            "step": r.number,
            "process": r.process,
            "options": "line: tandem",
            "seen": r.seen,
            "note": "n",
        }
        for r in routes
    ]
    kinds = draw(st.lists(st.sampled_from(ReasonKind), unique=True, max_size=2))
    reasons = [Reason(tags[0], kind, "so", "any") for kind in kinds]
    rows["reasons"] = [
        {"part": r.tag, "because": r.kind, "in words": r.text, "policy": r.policy} for r in reasons
    ]
    checks = [
        CheckReading(
            "lever", "arm_m", draw(check_figures(f"{code}/check/lever/arm_m", "m", -2.0, 2.0)), note="n"
        )
        for _ in range(draw(st.integers(0, 1)))
    ]
    for item in draw(unique_names(0, 3)):
        figure = check_figures(f"{code}/check/lever/mass_kg/{item}", "kg", 0.0, 10.0)
        checks.append(CheckReading("lever", "mass_kg", draw(figure), item, evidence="p. 3"))
    for option in draw(st.sets(st.sampled_from(["free", "held tight"]), max_size=1)):
        checks.append(CheckReading("lever", "pin", None, option=option, instrument="S"))
    rows["checks"] = [check_row(one) for one in checks]
    rows["effects"] = [
        {
            "function": functions[0],
            "quantity": "drag area",
            "value": -value,
            "unit": "m2",
            "plus or minus": half,
        }
        | {"origin": "measured"}
    ]
    scale = Instrument("S", "scale", "kg", "III", 0.01, 100.0, note=rows["instruments"][0]["note"])
    return Teardown(
        vehicle,
        (Configuration("as is", code, wheels=vehicle.maker),),
        tuple(facts),
        tuple(nodes),
        tuple(joints),
        tuple(measurements),
        {"S": scale},
        tuple(Function(f, f"n {f}", functions[0] if i else "") for i, f in enumerate(functions)),
        tuple(approaches),
        tuple(shares),
        tuple(content),
        tuple(effects),
        tuple(routes),
        tuple(reasons),
        tuple(checks),
    )


def leaves(value, path=""):
    """Every value inside a record, with the way to it."""
    if dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from leaves(getattr(value, field.name), f"{path}.{field.name}")
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from leaves(inner, f"{path}[{key!r}]")
    elif isinstance(value, tuple):
        yield f"{path} length", len(value)
        for place, inner in enumerate(value):
            yield from leaves(inner, f"{path}[{place}]")
    else:
        yield path, value


def assert_same(found, expected):
    found, expected = dict(leaves(found)), dict(leaves(expected))
    assert found.keys() == expected.keys()
    for path, value in expected.items():
        if isinstance(value, float):
            assert math.isclose(found[path], value, rel_tol=1e-12), path
        else:
            assert found[path] == value, path


@pytest.fixture
def lever(monkeypatch):
    monkeypatch.setattr(build, "CHECKS", {"lever": LEVER})


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(teardowns())
@pytest.mark.usefixtures("lever")
def test_rows_come_back_as_records(drawn):
    vehicle, tags, functions, rows, data = drawn
    expected = records(vehicle, tags, functions, rows, data)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_workbook(folder / "van.xlsx", rows)
        write_csv_folder(folder / "van", rows)
        for path in (folder / "van.xlsx", folder / "van"):
            found = read_teardown(path)
            # Drawn figures are of no real vehicle, so some are remarked on; nothing else is.
            rest = tuple(remark for remark in found.reported if not remark.startswith("unusual: "))
            assert_same(dataclasses.replace(found, reported=rest), expected)
