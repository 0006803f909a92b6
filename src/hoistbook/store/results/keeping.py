"""Keep results and find them again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import IntegrityError, OperationalError, transaction

from hoistbook.store.place import is_locked, said
from hoistbook.store.problems import Busy
from hoistbook.store.results.models import Result


def keep(
    input_hash: str,
    kind: str,
    subject: str,
    model_version: str,
    inputs: str,
    value: str,
    at: str,
    seconds: float,
) -> None:
    """Keep a result; where the same inputs have one already, that one stays.

    Raises
    ------
    Busy
        Somebody else is writing for too long.
    StoreRefused
        The store cannot be written.
    """
    row = Result(
        input_hash=input_hash,
        kind=kind,
        subject=subject,
        model_version=model_version,
        inputs=inputs,
        value=value,
        at=datetime.fromisoformat(at),
        seconds=seconds,
    )
    try:
        with said(), transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        if not Result.objects.filter(pk=input_hash).exists():
            raise
    except OperationalError as error:
        if not is_locked(error):
            raise
        msg = "somebody else is writing into this store; the result was not kept."
        raise Busy(msg) from error


def by_hash(input_hash: str) -> dict[str, Any] | None:
    """One result with everything."""
    row = Result.objects.filter(pk=input_hash).values().first()
    return None if row is None else dict(row)


def by_hashes(hashes: Sequence[str]) -> dict[str, dict[str, Any]]:
    """Those of several results that there are, by their hash."""
    return {row["input_hash"]: dict(row) for row in Result.objects.filter(pk__in=hashes).values()}


def beginning(digits: str) -> list[str]:
    """Hashes that begin with these digits."""
    return list(Result.objects.filter(pk__startswith=digits).order_by("at").values_list("pk", flat=True)[:3])


def listing(kind: str | None = None) -> list[dict[str, Any]]:
    """All results without their values, oldest first."""
    rows = Result.objects.defer("value").order_by("at", "input_hash")
    if kind is not None:
        rows = rows.filter(kind=kind)
    names = ("input_hash", "kind", "subject", "model_version", "inputs", "at", "seconds")
    return list(rows.values(*names))
