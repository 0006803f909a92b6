"""What all rows of the record have in common: a slot, the version it supersedes, and the change that wrote it."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import PROTECT, Count, Exists, OuterRef, Q

from hoistbook.store.changes.models import Change


class Versions(models.Manager):
    """Rows as they stand now, or as they stood after a change."""

    def current(self, **owner: Any) -> models.QuerySet:
        """Return the rows that count now: not superseded, not retired.

        Parameters
        ----------
        **owner
            Any filter; usually ``owner="WHIMBREL"``.
        """
        return self.filter(superseded_by__isnull=True, retired=False, **owner)

    def heads(self, **owner: Any) -> models.QuerySet:
        """Return the last version of every slot, retired ones too."""
        return self.filter(superseded_by__isnull=True, **owner)

    def at(self, change: int, **owner: Any) -> models.QuerySet:
        """Return the rows that counted right after a change.

        Parameters
        ----------
        change : int
            Id of the change. Changes are written one after another, so their ids order them.
        **owner
            Any filter.
        """
        later = self.filter(supersedes=OuterRef("pk"), change_id__lte=change)
        return self.filter(~Exists(later), change_id__lte=change, retired=False, **owner)

    def count_by_owner(self) -> dict[str, int]:
        """Number of rows that count now, by owner, without walking every chain.

        Notes
        -----
        Each chain has one root and no fork, so there are as many heads as rows that supersede nothing; the retired ones
        of them go off.
        """
        chains = self.values("owner").annotate(n=Count("pk") - Count("supersedes"))
        ended = self.heads(retired=True).values("owner").annotate(n=Count("pk"))
        gone = dict(ended.values_list("owner", "n"))
        return {owner: n - gone.get(owner, 0) for owner, n in chains.values_list("owner", "n")}


class Version(models.Model):
    """A row of the record. It is never edited: a correction is a new row that supersedes it.

    A model made from it adds ``owner``, a foreign key to what its rows belong to, and its own columns. Its migration
    ends with `triggers.AppendOnly` and `triggers.SameSlot` on its table.

    `slot` is the natural key within owner and statement; `statement` names the whole that the row is a line of
    ("workbook", "test coast-down 1"): what it no longer holds has vanished. `retired` marks the end of a slot; its
    other columns repeat those of the row that ended.
    """

    id = models.BigAutoField(primary_key=True)
    slot = models.TextField()
    statement = models.TextField()
    supersedes = models.OneToOneField("self", PROTECT, null=True, related_name="superseded_by")
    change = models.ForeignKey(Change, PROTECT, related_name="+", db_index=False)
    retired = models.BooleanField(default=False)

    objects = Versions()

    class Meta:
        """One chain of versions per slot: one root, and no version superseded twice (the one-to-one key)."""

        abstract = True
        constraints = (
            models.UniqueConstraint(
                fields=("owner", "statement", "slot"),
                condition=Q(supersedes__isnull=True),
                name="%(app_label)s_%(class)s_one_root",
            ),
            models.CheckConstraint(
                condition=Q(retired=False) | Q(supersedes__isnull=False),
                name="%(app_label)s_%(class)s_retired_was",
            ),
        )
        indexes = (
            models.Index(fields=("owner", "change")),
            models.Index(fields=("owner", "slot")),
        )


COMMON = frozenset({"id", "owner", "slot", "statement", "supersedes", "change", "retired"})
"""Fields that say where a row stands; all others are what it states."""


def columns(model: type[Version]) -> tuple[str, ...]:
    """Names of the columns in which a model states something, in the order of its fields."""
    return tuple(field.attname for field in model._meta.concrete_fields if field.name not in COMMON)


def table(model: type[Version]) -> str:
    """Name of a kind of row, as orders, vanished rows and outcomes speak of it: "vehicles.Node"."""
    return str(model._meta.label)
