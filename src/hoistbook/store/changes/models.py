"""Changes: the act of writing, with the person, the time and the file it came from."""

from __future__ import annotations

from django.db import models
from django.db.models import PROTECT


class Store(models.Model):
    """The store itself: one row, whose id the folder repeats, so that files and database cannot be mixed up."""

    id = models.TextField(primary_key=True)
    format = models.IntegerField()
    at = models.DateTimeField()


class File(models.Model):
    """A file as it came, kept under its SHA-256. Of a folder, the list of its files is kept as one more file."""

    sha256 = models.TextField(primary_key=True)
    name = models.TextField()
    size_bytes = models.BigIntegerField()
    at = models.DateTimeField()


class Change(models.Model):
    """One act of writing. Everything written in it appears at once or not at all.

    `subject` is what it is about, "vehicle WHIMBREL" or "study vans"; `kind` is what was done: load, retire, …
    """

    at = models.DateTimeField()
    person = models.TextField()
    kind = models.TextField()
    subject = models.TextField()
    note = models.TextField()
    file = models.ForeignKey(File, PROTECT, null=True, related_name="+")
    file_name = models.TextField()
    program_version = models.TextField()

    class Meta:
        """Changes are looked up by what they are about."""

        indexes = (models.Index(fields=("subject",), name="change_subject"),)


class Outcome(models.Model):
    """What a change amounted to: counts of rows by kind of row (`{"vehicles.Node": {"added": 3, …}}`)."""

    change = models.OneToOneField(Change, PROTECT, primary_key=True)
    counts = models.JSONField()


class Order(models.Model):
    """The order in which a statement lists its slots, written when it differs from the one before.

    Kept beside the rows and not in them: a row inserted at the top leaves the rows below it as they were.
    """

    change = models.ForeignKey(Change, PROTECT, related_name="+")
    table = models.TextField()
    owner = models.TextField()
    statement = models.TextField()
    slots = models.TextField()

    class Meta:
        """Looked up by what it is the order of."""

        indexes = (models.Index(fields=("owner", "table", "statement"), name="order_of"),)


class Vanished(models.Model):
    """A row that the full statement of its sheet no longer holds ("vanished"), or holds again ("returned").

    It counts until somebody retires it. `version` is the id of the row in `table`.
    """

    change = models.ForeignKey(Change, PROTECT, related_name="+")
    table = models.TextField()
    owner = models.TextField()
    statement = models.TextField()
    slot = models.TextField()
    version = models.BigIntegerField()
    event = models.TextField(choices=(("vanished", "vanished"), ("returned", "returned")))

    class Meta:
        """Looked up by owner."""

        indexes = (models.Index(fields=("owner", "table"), name="vanished_of"),)
