"""hoistbook claims: what the record says of the sentences of a study."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from hoistbook.cli.options import AsJson, NeededStore


def claims(
    study: Annotated[str, typer.Argument(metavar="STUDY", help="Code of the study.")],
    store: NeededStore,
    history: Annotated[
        str | None,
        typer.Option("--history", metavar="CLAIM", help="Show what was said of one claim over time."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Hold the claims of a study against the record.

    Each is confirmed, refuted or open, with the probability that it holds, its figures, and what would decide it.
    A claim that changed its state is written down.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.claims_page import print_claims, print_history
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import working
    from hoistbook.services.claim_states import claim_history, claims_of
    from hoistbook.services.record import open_record

    record = open_record(store)
    if history is not None:
        told = claim_history(record, study, history)
    else:
        with working("holding the claims against the record"):
            told = claims_of(record, study)
    if as_json:
        print_json(told)
    elif history is not None:
        print_history(Page(sys.stdout), told)
    else:
        print_claims(Page(sys.stdout), told)
