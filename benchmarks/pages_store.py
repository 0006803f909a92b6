"""The store that `bench_pages` asks for its pages: invented vehicles of many parts, a study of them, tests, costs."""

from __future__ import annotations

import json
from dataclasses import replace

from bench_rollup import vehicle

from hoistbook.capture.logs import LogRead
from hoistbook.core.compare.claims import Claim, Relation
from hoistbook.core.compare.strip_plan import StripStep
from hoistbook.core.compare.study import (
    EqualityRow,
    Finding,
    FindingKind,
    Study,
    StudyAssumption,
    StudyVehicle,
)
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.vehicle.records import Approach, Function, Joint, Measurement, Node, RouteStep, Teardown
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.as_json.trials import outcome_json
from hoistbook.services.demo import van_paths
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.logs import log_series
from hoistbook.services.trials_hoist import SpinDownAsked, evaluate_spin_down
from hoistbook.services.trials_road import CoastDownAsked, evaluate_coast_down

COSTED = ("V02", "V03")
"""The vehicles of which every part has a route and the readings it is costed by."""

SYSTEMS = tuple(system.code for system in taxonomy().systems if len(system.code) == 2)
FUNCTIONS = tuple(Function(f"FS{number:02d}", f"function {number}") for number in range(15))


def named(made: Teardown, code: str) -> Teardown:
    """The made-up vehicle under a code, with names, materials and joints, so that pages have something to print."""
    nodes = tuple(
        node
        if node.parent is None
        else replace(
            node,
            system=SYSTEMS[number % len(SYSTEMS)] if node.parent == "V" else "",
            function=f"F{node.tag}" if node.parent == "V" else "",
            name=f"part {node.tag}, {'left' if number % 2 else 'right'}",
            material="steel 0.75",
        )
        for number, node in enumerate(made.nodes)
    )
    joints = tuple(
        Joint(f"J{number}", (node.tag,), "screwing", "M8", 4, "T40")
        for number, node in enumerate(nodes)
        if number % 3 == 0 and isinstance(node, Node)
    )
    return replace(
        made,
        vehicle=replace(made.vehicle, code=code, name=f"Van {code}"),
        configurations=(replace(made.configurations[0], vehicle=code),),
        functions=FUNCTIONS,
        approaches=tuple(Approach(f"P{f.code}", "c", f.code) for f in FUNCTIONS),
        nodes=nodes,
        joints=joints,
    )


def routed(made: Teardown) -> Teardown:
    """The same with a route of two steps on every part, and the readings that the models of these steps ask for."""
    above = {node.parent for node in made.nodes}
    parts = [node.tag for node in made.nodes if node.tag not in above]
    sizes = [
        Measurement(
            f"{quantity}-{tag}", tag, quantity, Quantity(value, "m", ((Source(f"{quantity}-{tag}"), 0.001),))
        )
        for tag in parts
        for quantity, value in (("envelope_length", 0.3), ("envelope_width", 0.2))
    ]
    steps = [
        RouteStep(tag, number, process)
        for tag in parts
        for number, process in enumerate(("sheet_stamping", "electrocoat"), start=1)
    ]
    nodes = tuple(replace(node, material="steel sheet, mild") for node in made.nodes)
    return replace(made, nodes=nodes, measurements=(*made.measurements, *sizes), routes=tuple(steps))


def study_of(codes: tuple[str, ...], tags: tuple[str, ...]) -> Study:
    """A study of all vehicles: each function is a claim, every other one a finding; 60 parts come off the first."""
    first = codes[0]
    others = [codes[1 + number % (len(codes) - 1)] for number in range(len(FUNCTIONS))]
    return Study(
        "all",
        "All vans",
        "Which of them is the lightest?",
        vehicles=tuple(StudyVehicle(code, "c") for code in codes),
        equality=tuple(
            EqualityRow(name, code, "1", equal=True) for name in ("payload", "seats") for code in codes
        ),
        assumptions=(StudyAssumption("quantity", "mass"),),
        findings=tuple(
            Finding(f.code, FindingKind.SAME, (first, other), compared="marks")
            for f, other in list(zip(FUNCTIONS, others, strict=True))[::2]
        ),
        strip_plan=tuple(
            StripStep(float(step), first, f"{tag} cover", "A. B.", record_before=("photo",))
            for step, tag in enumerate(tags, start=1)
        ),
        claims=tuple(
            Claim(
                f.code,
                f"{f.code} is lighter",
                "mass",
                first,
                Relation.LESS_THAN,
                Quantity(0.0, "kg"),
                other,
                f.code,
            )
            for f, other in zip(FUNCTIONS, others, strict=True)
        ),
    )


def fill(vehicles: int, parts: int) -> None:
    """Put the vehicles into the open store, past the workbook reader, and correct some readings of the first."""
    from hoistbook.store.studies.reading import state_study
    from hoistbook.store.vehicles import models
    from hoistbook.store.vehicles.mapping import statement
    from hoistbook.store.vehicles.reading import WORKBOOK
    from hoistbook.store.writing import state, writing

    made = vehicle(parts, assemblies=True)
    for number in range(vehicles):
        code = f"V{number:02d}"
        stated = routed(named(made, code)) if code in COSTED else named(made, code)
        with writing("A. B.", "load", f"vehicle {code}", file_name="made up") as change:
            models.Vehicle.objects.create(code=code, change=change)
            for model, rows in statement(stated).items():
                state(model, code, rows.rows, change, WORKBOOK, order=rows.order)
    with writing("A. B.", "load", "study all", file_name="made up") as change:
        codes = tuple(f"V{number:02d}" for number in range(vehicles))
        state_study(study_of(codes, tuple(node.tag for node in made.nodes[-60:])), change)
    corrected = named(made, "V00")
    readings = [
        replace(one, value=one.value * 1.01) if n < 400 else one
        for n, one in enumerate(corrected.measurements)
    ]
    with writing("C. D.", "load", "vehicle V00", "scale was off") as change:
        for model, rows in statement(replace(corrected, measurements=tuple(readings))).items():
            state(model, "V00", rows.rows, change, WORKBOOK, order=rows.order)


def drive(code: str) -> None:
    """Record the six tests of one of the demo's vans as tests of a vehicle."""
    logs = next(iter(van_paths().values())).with_name("logs")

    def read(name: str) -> LogRead:
        return log_series(logs / f"turnstone-{name}.csv", guess=True)

    spins = {f"front {side}": [read(f"spindown-{side}").series] for side in ("left", "right")}
    outcomes = {
        "coast-down": evaluate_coast_down(
            [read("coastdown").series], CoastDownAsked(mass_kg=1775.5), name=f"{code} coast-down"
        )[1],
        "spin-down": evaluate_spin_down(spins, SpinDownAsked(1.12, 0.01), name=f"{code} spin-down")[1],
        **{
            kind: evaluate(kind, read(kind), Asked(cycle="wltc3b" if kind == "cycle" else ""), label=kind)
            for kind in ("cycle", "charge", "discharge", "standby")
        },
    }
    from hoistbook.services.trials import facts_of
    from hoistbook.store.trials.models import TrialRun
    from hoistbook.store.vehicles import models
    from hoistbook.store.vehicles.mapping import KIND_OF, rows_of
    from hoistbook.store.writing import state, writing

    empty = dict.fromkeys(("at", "file_name", "file_sha256", "channels", "note"), "")
    for name, outcome in outcomes.items():
        row = {
            **empty,
            "configuration": "c",
            "kind": outcome.kind,
            "outcome": json.dumps(outcome_json(outcome)),
        }
        facts, _ = facts_of(outcome, "c", f"test {name}")
        # Past the checks of a record: the made-up vehicle does not hold together in every row.
        with writing("A. B.", "record test", f"vehicle {code}") as change:
            state(TrialRun, code, {name: row}, change, "tests", whole=False)
            state(models.Fact, code, rows_of(KIND_OF[models.Fact], facts), change, f"test {name}")
