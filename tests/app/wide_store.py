"""A vehicle with as many parts as a test asks for, stated past the workbook reader, and how often a page asks."""

import re

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Configuration, Measurement, Node, NodeKind, Teardown, Vehicle
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import statement
from hoistbook.store.vehicles.reading import WORKBOOK
from hoistbook.store.writing import state, writing

CODE = "WIDE"


def stated(parts, grams=100.0):
    """A vehicle of weighed parts, all of them below it, P0000, P0001, …"""
    tags = [f"P{number:04d}" for number in range(parts)]
    return Teardown(
        Vehicle(CODE, "Wide"),
        (Configuration("c", CODE),),
        nodes=(
            Node("V", None, "vehicle", NodeKind.ASSEMBLY),
            *(Node(tag, "V", f"part {tag}") for tag in tags),
        ),
        measurements=tuple(Measurement(f"R{tag}", tag, "mass", Quantity(grams / 1e3, "kg")) for tag in tags),
    )


def put(teardown):
    """State it as a workbook would; the change it was written by."""
    code = teardown.vehicle.code
    with writing("A. B.", "load", f"vehicle {code}") as change:
        if not models.Vehicle.objects.filter(code=code).exists():
            models.Vehicle.objects.create(code=code, change=change)
        for model, rows in statement(teardown).items():
            state(model, code, rows.rows, change, WORKBOOK, order=rows.order)
    return change.pk


def asked(client, address, **more):
    """An answer and how often the database was asked for it; asked once before, so that nothing is looked up first."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get(address, **more)
    with CaptureQueriesContext(connection) as found:
        answer = client.get(address, **more)
    assert answer.status_code == 200
    return answer, len(found)


def body_rows(answer, pattern=r"<tr"):
    """Rows of the first table body of an answer; of a piece of a table, all there are."""
    text = answer.content.decode()
    body = re.search(r"<tbody>(.*?)</tbody>", text, flags=re.DOTALL)
    return len(re.findall(pattern, body.group(1) if body else text))
