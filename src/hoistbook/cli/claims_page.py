"""The claims of a study as a printed page."""

from __future__ import annotations

from typing import Any

from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.claim_words import percent


def print_claims(page: Page, told: dict[str, Any]) -> None:
    """Print every claim with what the record says of it, alarms and conflicts first."""
    page.text(f"{told['title']} ({told['study']}): claims", style="bold")
    page.text(
        f"{told['confirmed']} confirmed, {told['refuted']} refuted, {told['open']} open. Sure enough is "
        f"{100.0 * told['sure_enough_frac']:.4g} %; duty {told['duty']} where a claim names none."
    )
    if told["remarks"]:
        page.bullets(f"{remark[0].upper()}{remark[1:]}." for remark in told["remarks"])
    if told["conflict_sentences"]:
        page.heading("Claims that cannot stand together")
        page.bullets(told["conflict_sentences"])
    if not told["claims"]:
        page.text("The study holds no claims yet; write them into the claims sheet of its workbook.")
        return
    page.heading("At a glance")
    page.table(
        (
            Column("claim", wraps=True),
            Column("state"),
            Column("holds with", "right"),
            Column("sentence", wraps=True),
        ),
        [
            Row((one["claim"], one["state"], _chance(one["probability"]), one["sentence"]))
            for one in told["claims"]
        ],
    )
    for one in told["claims"]:
        page.heading(f"{one['claim']}: {one['sentence']}")
        page.text(one["says"])
        if one["before"] is not None:
            before = one["before"]
            page.text(
                f"Changed: was {before['state']} ({_chance(before['probability'])}) at change {before['change']} of "
                "the record."
            )
        page.bullets(
            f"{figure['words']} of {figure['called']}: {'; '.join(figure['from'])}"
            for figure in one["figures"]
            if figure["from"]
        )


def print_history(page: Page, told: dict[str, Any]) -> None:
    """Print what was said of one claim over time."""
    page.text(f"Claim {told['claim']} of study {told['study']}", style="bold")
    if not told["states"]:
        page.text("Never held against the record yet.")
        return
    page.table(
        (
            Column("written", wraps=True),
            Column("record at", "right"),
            Column("state"),
            Column("holds with", "right"),
            Column("model", wraps=True),
        ),
        [
            Row(
                (
                    state["at"][:16].replace("T", " "),
                    str(state["change"]),
                    state["state"],
                    _chance(state["probability"]),
                    state["model"],
                )
            )
            for state in told["states"]
        ],
    )
    for state in told["states"]:
        page.text(f"At change {state['change']}: {state['value']['says']}")


def _chance(probability: float | None) -> str:
    return "" if probability is None else percent(probability)
