"""Tables of the tests of the intact vehicle: what a log said, and which of its columns were which channels."""

from __future__ import annotations

from django.db import models
from django.db.models import PROTECT

from hoistbook.store.changes.models import Change
from hoistbook.store.vehicles.models import Vehicle
from hoistbook.store.versions import Version


class TrialRun(Version):
    """One test of a vehicle; its slot is the name of the test.

    `at` is when it was driven, as written down. `file_sha256` is the log under which the store keeps it. `channels` is
    the mapping that was used and `outcome` all that the evaluation said, both JSON.
    """

    owner = models.ForeignKey(Vehicle, PROTECT, related_name="+", db_index=False)
    configuration = models.TextField()
    kind = models.TextField()
    at = models.TextField()
    file_name = models.TextField()
    file_sha256 = models.TextField()
    channels = models.TextField()
    outcome = models.TextField()
    note = models.TextField()


class MapName(models.Model):
    """A channel map by its name: what its versions belong to."""

    code = models.TextField(primary_key=True)
    change = models.ForeignKey(Change, PROTECT, related_name="+")


class ChannelMap(Version):
    """Which column of a kind of log is which channel, as JSON; one slot per name."""

    owner = models.ForeignKey(MapName, PROTECT, related_name="+", db_index=False)
    mapping = models.TextField()
