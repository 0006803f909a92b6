"""From a Vega specification to SVG text or PNG bytes."""

from __future__ import annotations

import os
import re
from functools import lru_cache
from html import escape
from pathlib import Path

import vl_convert

from hoistbook.report.columns import MARGIN
from hoistbook.report.drawing import Spec
from hoistbook.report.theme import FONT

SUFFIXES = (".svg", ".png")
_ROLES = re.compile(r' (?:role|aria-[a-z]+)="[^"]*"')
PNG_SCALE = 2.0
"""Pixels of a PNG per px of the sheet: sharp on a slide and in print."""


def svg(spec: Spec) -> str:
    """SVG of a specification; the same specification gives the same text."""
    return str(vl_convert.vega_to_svg(spec))


def inside_page(spec: Spec, label: str) -> str:
    """SVG of a walk to stand inside a page: no paper of its own, no margin, one picture with one label.

    Parameters
    ----------
    spec : dict
        Drawn with `theme.SHEET`.
    label : str
        What a screen reader says of it; the table beside it says the figures.

    Returns
    -------
    str
        Markup whose texts the renderer has escaped.
    """
    width, height = spec["width"], spec["height"]
    inside = _ROLES.sub("", svg(spec).partition(">")[2].partition("/>")[2])
    box = f"{MARGIN:.0f} 0 {width - 2.0 * MARGIN:.0f} {height:.0f}"
    return f'<svg class="marks" viewBox="{box}" role="img" aria-label="{escape(label)}">{inside}'


def png(spec: Spec, scale: float = PNG_SCALE) -> bytes:
    """PNG of a specification.

    Raises
    ------
    ValueError
        This machine has no font for the lettering.
    """
    if not _has_font():
        msg = "no font for the lettering is installed here (e.g. DejaVu Sans), so a PNG would have none; write an .svg."
        raise ValueError(msg)
    return bytes(vl_convert.svg_to_png(svg(spec), scale=scale))


def write_chart(path: Path, spec: Spec) -> None:
    """Write a drawing; the ending of the file says what kind.

    Raises
    ------
    ValueError
        The ending is neither .svg nor .png, or a PNG would have no lettering.
    """
    check_chart_path(path)
    if path.suffix.lower() == ".svg":
        path.write_text(svg(spec), encoding="utf-8")
    else:
        path.write_bytes(png(spec))


def check_chart_path(path: Path) -> None:
    """Refuse a file no drawing can be written to, before any work is done for it.

    Raises
    ------
    ValueError
        The ending is neither .svg nor .png, or the folder does not exist.
    """
    if path.suffix.lower() not in SUFFIXES:
        msg = f"chart {str(path)!r}: the ending says what is drawn; give a file that ends in {' or '.join(SUFFIXES)}."
        raise ValueError(msg)
    if path.is_dir():
        msg = f"chart {str(path)!r} is a folder; give a file in it."
        raise ValueError(msg)
    if path.parent.is_dir() and not os.access(path if path.exists() else path.parent, os.W_OK):
        msg = f"chart {str(path)!r}: nothing can be written there; give another place."
        raise ValueError(msg)
    if not path.parent.is_dir():
        msg = f"chart {str(path)!r}: there is no folder {str(path.parent)!r}; make it first."
        raise ValueError(msg)


@lru_cache(maxsize=1)
def _has_font() -> bool:
    """Whether lettering leaves a trace: the converter draws nothing where it finds no face."""
    blank, letter = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="16" height="16">{inside}</svg>'
        for inside in ("", f'<text x="2" y="14" font-size="14" font-family="{FONT}">M</text>')
    )
    return bytes(vl_convert.svg_to_png(blank)) != bytes(vl_convert.svg_to_png(letter))
