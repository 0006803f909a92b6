"""Table of what the record said of claims."""

from __future__ import annotations

from django.db import models
from django.db.models import PROTECT

from hoistbook.store.changes.models import Change
from hoistbook.store.studies.models import Study


class ClaimState(models.Model):
    """What the record said of a claim from a moment on; the next row of the claim ends it.

    `record_change` is the last change of the record it was worked out at, `change` the one that wrote it down;
    `fingerprint` is the SHA-256 of what makes it another state: the claim, state, probability to two digits, figures.
    `value` is the whole of it as JSON text.
    """

    id = models.BigAutoField(primary_key=True)
    study = models.ForeignKey(Study, PROTECT, related_name="+", db_index=False)
    claim = models.TextField()
    change = models.ForeignKey(Change, PROTECT, related_name="+")
    record_change = models.BigIntegerField()
    model_version = models.TextField()
    state = models.TextField()
    probability = models.FloatField(null=True)
    fingerprint = models.TextField()
    value = models.TextField()

    class Meta:
        """A change writes one state of a claim; they are looked up by claim."""

        constraints = (
            models.UniqueConstraint(fields=("study", "claim", "change"), name="claims_one_in_a_change"),
        )
