"""Tables of a vehicle: the same-named scalars as the records of the core, row by row and version by version.

Lists inside a row (parts of a joint, what was on the scale, the error terms of a figure) are kept as JSON text: they
are stated and superseded with their row and never on their own.
"""

from __future__ import annotations

from django.db import models
from django.db.models import PROTECT

from hoistbook.store.changes.models import Change
from hoistbook.store.versions import Version


class Vehicle(models.Model):
    """A vehicle by its code: what all its rows belong to."""

    code = models.TextField(primary_key=True)
    change = models.ForeignKey(Change, PROTECT, related_name="+")


class _OfVehicle(Version):
    owner = models.ForeignKey(Vehicle, PROTECT, related_name="+", db_index=False)

    class Meta(Version.Meta):
        abstract = True


class Figure(_OfVehicle):
    """A row with a value: the estimate, its SI unit, how it is known and its named error terms."""

    value = models.FloatField()
    unit = models.TextField()
    origin = models.TextField()
    terms = models.TextField()

    class Meta(_OfVehicle.Meta):
        """Shared by the rows that hold a figure."""

        abstract = True


class Identity(_OfVehicle):
    """What the vehicle is; one slot per vehicle."""

    name = models.TextField()
    maker = models.TextField()
    family = models.TextField()
    model_year = models.BigIntegerField(null=True)
    vin = models.TextField()
    delivered = models.TextField()
    note = models.TextField()


class Configuration(_OfVehicle):
    """A state of the vehicle that facts are true of."""

    wheels = models.TextField()
    options = models.TextField()
    note = models.TextField()


class Instrument(_OfVehicle):
    """An instrument as the statement of this vehicle describes it."""

    kind = models.TextField()
    unit = models.TextField()
    accuracy_class = models.TextField()
    step_si = models.FloatField(null=True)
    capacity_si = models.FloatField(null=True)
    limit_si = models.FloatField(null=True)
    limit_frac = models.FloatField(null=True)
    certificate_expanded_si = models.FloatField(null=True)
    certificate_factor = models.FloatField()
    certificate_dof = models.FloatField(null=True)  # null: infinite
    repeatability_si = models.FloatField(null=True)
    minimum_si = models.FloatField(null=True)
    in_service_factor = models.FloatField()
    calibrated = models.TextField()
    due = models.TextField()
    note = models.TextField()


class Function(_OfVehicle):
    """What a group of parts is for."""

    name = models.TextField()
    parent = models.TextField()
    aliases = models.TextField()


class Fact(Figure):
    """One figure of a configuration."""

    configuration = models.TextField()
    quantity = models.TextField()
    mass_state = models.TextField()
    duty = models.TextField()
    basis = models.TextField()
    instrument = models.TextField()
    evidence = models.TextField()
    note = models.TextField()


class Node(_OfVehicle):
    """One line of the part tree."""

    parent = models.TextField(null=True)
    name = models.TextField()
    kind = models.TextField()
    count = models.FloatField()
    system = models.TextField()
    function = models.TextField()
    side = models.TextField()
    material = models.TextField()
    note = models.TextField()


class Joint(_OfVehicle):
    """How parts are held together."""

    parts = models.TextField()
    process = models.TextField()
    fastener = models.TextField()
    fastener_count = models.BigIntegerField()
    drive = models.TextField()
    access = models.TextField()
    removable = models.BooleanField(null=True)
    note = models.TextField()


class Measurement(Figure):
    """One reading. `corrects` is the reading that the person says it corrects."""

    subject = models.TextField()
    quantity = models.TextField()
    subject_kind = models.TextField()
    pieces = models.FloatField()
    scope = models.TextField()
    replicate = models.BigIntegerField()
    method = models.TextField()
    instrument = models.TextField()
    person = models.TextField()
    at = models.TextField()
    evidence = models.TextField()
    covers = models.TextField()
    corrects = models.TextField()
    note = models.TextField()


class Approach(_OfVehicle):
    """How the vehicle does one function."""

    configuration = models.TextField()
    function = models.TextField()
    present = models.BooleanField()
    description = models.TextField()


class ShareSet(_OfVehicle):
    """How one part is shared among approaches: all its shares together, for only together do they add up."""

    shares = models.TextField()


class ContentItem(Figure):
    """Unlike content and the rule that makes vehicles alike."""

    item = models.TextField()
    description = models.TextField()
    rule = models.TextField()
    quantity = models.TextField()
    function = models.TextField()
    note = models.TextField()


class Effect(Figure):
    """What an approach contributes to a quantity of the vehicle."""

    function = models.TextField()
    quantity = models.TextField()
    evidence = models.TextField()
    note = models.TextField()


class RouteStep(_OfVehicle):
    """One step of how a part was made."""

    tag = models.TextField()
    number = models.BigIntegerField()
    process = models.TextField()
    options = models.TextField()
    material = models.TextField()
    seen = models.TextField()
    evidence = models.TextField()
    note = models.TextField()


class Reason(_OfVehicle):
    """Why a part is a part of its own."""

    tag = models.TextField()
    kind = models.TextField()
    text = models.TextField()
    policy = models.TextField()


class CheckReading(Figure):
    """A figure read at the vehicle for a check, `of_check`, or what was chosen for it; then it has no value."""

    value = models.FloatField(null=True)
    of_check = models.TextField()
    reading = models.TextField()
    item = models.TextField()
    option = models.TextField()
    instrument = models.TextField()
    evidence = models.TextField()
    note = models.TextField()


class OwnColumn(_OfVehicle):
    """A column of the user's own: the filled cells of one heading of one sheet, with their rows."""

    sheet = models.TextField()
    column = models.TextField()
    cells = models.TextField()


class Remarks(_OfVehicle):
    """What was met on loading and set aside, one sentence each."""

    sentences = models.TextField()


TABLES: tuple[type[Version], ...] = (
    Identity,
    Configuration,
    Instrument,
    Function,
    Fact,
    Node,
    Joint,
    Measurement,
    Approach,
    ShareSet,
    ContentItem,
    Effect,
    RouteStep,
    Reason,
    CheckReading,
    OwnColumn,
    Remarks,
)
"""Every kind of row of a vehicle, in the order of the sheets."""
