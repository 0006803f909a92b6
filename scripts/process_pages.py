"""Write the tables of readings, options and figures into docs/processes/*.md; the words around them are hand-written.

`python scripts/process_pages.py` refreshes them; a test fails while a page and its model disagree.
"""

from __future__ import annotations

from pathlib import Path

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.inputs import known_input
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import PROCESSES

PAGES = Path(__file__).parent.parent / "docs" / "processes"
START = "<!-- tables, written by scripts/process_pages.py -->"
END = "<!-- end of tables -->"


def tables(process: Process) -> str:
    """Return the tables of a process, between their marks."""
    rows = [
        "## What is read off the part",
        "",
        "| reading | in words | unit | how | |",
        "|---|---|---|---|---|",
    ]
    usual = {figure.name for figure in process.figures}
    for name in (*process.needs, *process.optional):
        one = known_input(name)
        must = (
            "needed"
            if name in process.needs
            else "else the usual"
            if f"usual_{name}" in usual
            else "else none"
        )
        rows.append(f"| `{name}` | {one.words} | {one.unit} | {one.how} | {must} |")
    rows += ["", process.sketch]
    if process.choices:
        rows += [
            "",
            "## Options",
            "",
            "| choice | options; the first is taken where nobody chose |",
            "|---|---|",
        ]
        for choice in process.choices:
            options = "; ".join(f"`{name}`: {words}" for name, words in choice.options.items())
            rows.append(f"| `{choice.name}` | {options} |")
    rows += ["", "## Figures", "", "| figure | in words | for | value (low–high) | unit | mark and source |"]
    rows.append("|---|---|---|---|---|---|")
    rows += [_row(figure) for figure in process.figures]
    if process.limits:
        rows += ["", "## Refused", ""]
        rows += [f"- {limit.words[0].upper()}{limit.words[1:]}" for limit in process.limits]
    rows += ["", "## Left out", "", process.notes]
    return "\n".join([START, "", *rows, "", END])


def _row(figure: Figure) -> str:
    option = figure.when[1] if figure.when else ""
    value = _number(figure.value)
    if not figure.exact:
        value += f" ({_number(figure.low)}–{_number(figure.high)})"
    unit = (
        figure.unit.replace("money", f"{figure.currency} of {figure.year}")
        if figure.is_money
        else figure.unit
    )
    source = f"{figure.mark}: {figure.source}" + (f"; {figure.note}" if figure.note else "")
    return f"| `{figure.name}` | {figure.words} | {option} | {value} | {unit} | {source.replace('|', '/')} |"


def _number(value: float) -> str:
    if value != 0.0 and (abs(value) >= 1e5 or abs(value) < 1e-3):
        return f"{value:.4g}"
    return f"{value:,.6g}".replace(",", "")


def refreshed(text: str, process: Process) -> str:
    """Return a page with its tables as the model has them now."""
    head, _, rest = text.partition(START)
    _, _, tail = rest.partition(END)
    return head + tables(process) + tail


FAMILIES = {
    "form": "Form",
    "cut": "Cut",
    "join": "Join",
    "treat": "Treat",
    "coat": "Coat",
    "electric": "Electric",
    "buy": "Bought",
}


def index() -> str:
    """Return the page that lists all pages."""
    rows = [
        "# Process models",
        "",
        "What a piece takes in one step: time, machine, people, metal, energy, tools. Money is made of it elsewhere,",
        "with the rates of a scenario. Each page says what is measured, which equations hold and who says so, every",
        "figure with its limits and its mark, what is refused, and what is left out. Every figure can be replaced in a",
        'scenario by its name, `[process."sheet_stamping/reject_frac/hidden"]`, the option last where it has one.',
        "",
        "A new model is a folder under `core/cost/processes`, a line in its registry, and a page here that holds the",
        f"marks `{START}` and",
        f"`{END}`; `python scripts/process_pages.py` writes the tables between them, and this list.",
    ]
    for family, words in FAMILIES.items():
        found = sorted(
            (
                one
                for one in PROCESSES.values()
                if one.family == family and (PAGES / f"{one.name}.md").exists()
            ),
            key=lambda one: one.title,
        )
        if found:
            rows += ["", f"## {words}", ""]
            rows += [f"- [{one.title}]({one.name}.md): `{one.name}`" for one in found]
    return "\n".join([*rows, ""])


def main() -> None:
    """Refresh every page that has the marks, and the list."""
    (PAGES / "README.md").write_text(index(), encoding="utf-8")
    for name, process in PROCESSES.items():
        path = PAGES / f"{name}.md"
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        if START in text:
            path.write_text(refreshed(text, process), encoding="utf-8")
        else:
            print(f"{path.name}: no tables to refresh")


if __name__ == "__main__":
    main()
