"""Results of the engines, kept by what they were worked out from."""

from __future__ import annotations

from django.db import models


class Result(models.Model):
    """One result. Never worked out again in place: other inputs or another model give another row.

    `input_hash` is the SHA-256 of kind, inputs and model version; `subject` says what it is of ("WHIMBREL",
    "WHIMBREL → TURNSTONE"), `seconds` how long it took.
    """

    input_hash = models.TextField(primary_key=True)
    kind = models.TextField()
    subject = models.TextField()
    model_version = models.TextField()
    inputs = models.TextField()
    value = models.TextField()
    at = models.DateTimeField()
    seconds = models.FloatField()

    class Meta:
        """Results are looked up by what they are of."""

        indexes = (models.Index(fields=("subject", "kind"), name="result_of"),)
