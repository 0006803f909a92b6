"""Write docs/checks/*.md and the drawings beside them from what the checks declare.

`python scripts/check_pages.py` refreshes them; a test fails while a page and its check disagree.
"""

from __future__ import annotations

from pathlib import Path

from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.declared import FAMILIES, Check, Reading
from hoistbook.core.checks.run import shown, shown_band
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.sketch import sketch_svg

PAGES = Path(__file__).parent.parent / "docs" / "checks"


def page(check: Check) -> str:
    """Return the page of a check."""
    parts = [
        f"# {check.title}",
        f"`hoistbook check {check.name}`. {check.question}",
        f"![{check.sketch.caption}]({check.name}.svg)",
        "## What it reads",
        "\n".join(
            [
                "| | reading | in words | how | holds for | band of a bare number | else |",
                "|---|---|---|---|---|---|---|",
                *(_row(place + 1, one) for place, one in enumerate(check.readings)),
            ]
        ),
    ]
    if check.choices:
        parts.append(
            "\n".join(
                [
                    "| choice | options; the first is taken where nobody chose |",
                    "|---|---|",
                    *(
                        f"| `{one.name}`: {one.words} | "
                        + "; ".join(f"`{name}`: {words}" for name, words in one.options.items())
                        + " |"
                        for one in check.choices
                    ),
                ]
            )
        )
    parts += [f"`{one.name}`: {one.words}, one for each {one.each}." for one in check.names]
    parts += ["## Equations", check.method.strip(), "## What it gives"]
    parts.append(
        "\n".join(
            f"- `{one.name}`: {one.words}"
            + (f" [{unit_text(one.show or one.unit)}]" if (one.show or one.unit) != "1" else "")
            + (f", for each {one.each}" if one.each else "")
            for one in check.outcomes
        )
    )
    if check.limits:
        parts += ["## Held against"]
        parts.append(
            "\n".join(
                f"- `{one.outcome}` {one.side} the limit: {one.words} ({one.mark}: {one.source})"
                for one in check.limits
            )
        )
    if check.rules:
        parts += ["## Refused", "\n".join(f"- {one.words[0].upper()}{one.words[1:]}" for one in check.rules)]
    if check.cautions:
        parts += ["## Take care", "\n".join(f"- {one}" for one in check.cautions)]
    parts += ["## What it cannot say", "\n".join(f"- {one}" for one in check.cannot_say)]
    parts += ["## Rests on", "\n".join(f"- {one}" for one in check.references)]
    return "\n\n".join(parts) + "\n"


def _row(number: int, one: Reading) -> str:
    band = f"± {shown_band(one.half_width, one)} ({one.band})" if one.half_width else "exact"
    usual = one.usual
    default = "must be stated"
    if usual is not None:
        half = f" ± {shown_band(usual.half_width, one)}" if usual.half_width else ""
        default = f"{shown(usual.value, one)}{half} ({usual.mark}: {usual.source})"
    each = f", each {one.each}" if one.each else ""
    reach = f"{shown(one.least, one)} to {shown(one.most, one)} ({one.reach})"
    cells = (str(number), f"`{one.name}`", one.words + each, one.how, reach, band, default)
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def contents() -> str:
    """Return the page that lists the checks."""
    lines = [
        "# Checks",
        "",
        "What is measured at the hoist, and what it does to the vehicle. `hoistbook check --list`.",
    ]
    for family, words in FAMILIES.items():
        of_family = [one for one in CHECKS.values() if one.family == family]
        if of_family:
            lines += ["", f"## {words}", ""]
            lines += [f"- [{one.title}]({one.name}.md): {one.question}" for one in of_family]
    return "\n".join(lines) + "\n"


def drawing(check: Check) -> str:
    """Return the drawing of a check, its readings numbered as in the table."""
    return sketch_svg(check.sketch, {one.name: place + 1 for place, one in enumerate(check.readings)}) + "\n"


def main() -> None:
    """Write all pages."""
    PAGES.mkdir(exist_ok=True)
    for check in CHECKS.values():
        (PAGES / f"{check.name}.md").write_text(page(check), encoding="utf-8")
        (PAGES / f"{check.name}.svg").write_text(drawing(check), encoding="utf-8")
    (PAGES / "README.md").write_text(contents(), encoding="utf-8")


if __name__ == "__main__":
    main()
