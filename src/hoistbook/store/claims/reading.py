"""Read and write states of claims in the open store."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max

from hoistbook.store.changes.models import Change
from hoistbook.store.claims.models import ClaimState


@dataclass(frozen=True, slots=True)
class StoredState:
    """One state of a claim. `value` is JSON text."""

    claim: str
    change: int
    at: datetime
    record_change: int
    model_version: str
    state: str
    probability: float | None
    fingerprint: str
    value: str


def last_change_of_all() -> int:
    """Id of the last change of the record; 0 in an empty one."""
    return int(Change.objects.aggregate(last=Max("pk"))["last"] or 0)


def states_of(study: str, claim: str | None = None) -> tuple[StoredState, ...]:
    """Return every state of the claims of a study, or of one claim, the first one first."""
    rows = ClaimState.objects.filter(study=study).select_related("change").order_by("pk")
    if claim is not None:
        rows = rows.filter(claim=claim)
    return tuple(
        StoredState(
            row.claim,
            int(row.change_id),
            row.change.at,
            int(row.record_change),
            row.model_version,
            row.state,
            row.probability,
            row.fingerprint,
            row.value,
        )
        for row in rows
    )


def last_states(study: str) -> dict[str, StoredState]:
    """Return the state in force of every claim of a study that was ever judged."""
    return {state.claim: state for state in states_of(study)}


@dataclass(frozen=True, slots=True)
class NewState:
    """A state to be written down."""

    state: str
    probability: float | None
    fingerprint: str
    value: str


def add_states(
    study: str,
    found: Mapping[str, NewState],
    change: Change,
    record_change: int,
    model_version: str,
) -> tuple[str, ...]:
    """Write down the claims whose state is another one than the last, and return their codes.

    Notes
    -----
    A state worked out from an earlier record than the one in force comes too late, and is not written after it.
    """
    known = last_states(study)
    moved = {
        claim: state
        for claim, state in found.items()
        if claim not in known
        or (known[claim].fingerprint != state.fingerprint and known[claim].record_change <= record_change)
    }
    ClaimState.objects.bulk_create(
        ClaimState(
            study_id=study,
            claim=claim,
            change=change,
            record_change=record_change,
            model_version=model_version,
            state=state.state,
            probability=state.probability,
            fingerprint=state.fingerprint,
            value=state.value,
        )
        for claim, state in moved.items()
    )
    return tuple(moved)
