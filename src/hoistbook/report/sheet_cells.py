"""Cells of a workbook: text as text whatever it begins with, numbers as numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

USUAL_WIDTH = 13


def put(sheet: Worksheet, row: int, column: int, value: object, form: Format | None = None) -> None:
    """Write text as text and numbers as numbers; nothing for what is neither."""
    if isinstance(value, str):
        if value:
            sheet.write_string(row, column, value, form)
    elif isinstance(value, int | float):
        sheet.write_number(row, column, value, form)


def headed(
    sheet: Worksheet, heads: Sequence[str], form: Format, widths: Mapping[str, int], row: int = 0
) -> None:
    """Write headings; in the first row they also set the widths of their columns and stay in sight."""
    for column, head in enumerate(heads):
        sheet.write_string(row, column, head, form)
        if row == 0:
            sheet.set_column(column, column, widths.get(head, USUAL_WIDTH))
    if row == 0:
        sheet.freeze_panes(1, 0)
