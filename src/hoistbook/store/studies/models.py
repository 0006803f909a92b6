"""Tables of a study: its rows, version by version, and what was frozen of it."""

from __future__ import annotations

from django.db import models
from django.db.models import PROTECT

from hoistbook.store.changes.models import Change
from hoistbook.store.versions import Version


class Study(models.Model):
    """A study by its code: what all its rows belong to."""

    code = models.TextField(primary_key=True)
    change = models.ForeignKey(Change, PROTECT, related_name="+")


class StudyRow(Version):
    """One row of a study workbook.

    A study has some hundred rows that are only read together, so they share one table: `sheet` says which sheet, `data`
    holds the record as JSON text.
    """

    owner = models.ForeignKey(Study, PROTECT, related_name="+", db_index=False)
    sheet = models.TextField()
    data = models.TextField()


class StudyVersion(models.Model):
    """A frozen version of a study: what it said (`frozen`), and what differs from the version before.

    Both are JSON text. The person and the time stand in the change.
    """

    id = models.BigAutoField(primary_key=True)
    study = models.ForeignKey(Study, PROTECT, related_name="+")
    number = models.BigIntegerField()
    change = models.ForeignKey(Change, PROTECT, related_name="+")
    frozen = models.TextField()
    differences = models.TextField()

    class Meta:
        """A study has one version of each number."""

        constraints = (models.UniqueConstraint(fields=("study", "number"), name="studies_one_of_a_number"),)
