"""What templates of the pages need beyond the library: zone letters, marks of vehicles, numbers and times."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import urlencode

from django import template
from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from hoistbook.core.quantities.printing import text
from hoistbook.report.figures import per_cent, to_place
from hoistbook.report.figures import worded as in_words
from hoistbook.report.lettering import printable

register = template.Library()
LONG, LONG_TAG = 24, 16
"""project rule: letters of a word, and of a tag, from which on it may break to the next line."""
_COUNTED = re.compile(r"(?<=\d) (?=[^\W\d])")
COLOURS = 5
"""Vehicles with a colour of their own; from the sixth on outline and name only."""


@register.simple_tag
def letter(zone: str) -> SafeString:
    """The letter of a zone in the margin, which is its link."""
    return format_html('<a class="letter" href="#{0}" aria-label="Zone {0}">{0}</a>', zone)


@register.simple_tag
def mark(place: int) -> SafeString:
    """The mark of a vehicle by its place, counted from 0; its name stands beside it."""
    return format_html('<svg class="mk" aria-hidden="true"><use href="#m{}"/></svg>', mark_number(place))


def mark_number(place: int) -> int:
    """Number of the mark of a vehicle among the symbols, by its place counted from 0."""
    return place + 1 if 0 <= place < COLOURS else 0


@register.simple_tag
def vehicle(place: int, name: str) -> SafeString:
    """Mark and name of a vehicle."""
    kind = "v" if len(name) > LONG else "v short"
    return format_html('<span class="{}">{}{}</span>', kind, mark(place), shown(name))


@register.simple_tag(takes_context=True)
def part_address(context: Any, page: str, tag: str, **query: object) -> str:
    """Address of a page about a part of the vehicle of this sheet, in its configuration."""
    return _address(context, page, {"at": tag, **query})


@register.simple_tag(takes_context=True)
def part_link(context: Any, tag: str) -> SafeString:
    """Attributes of a link that shows a part: the whole page where there is no script, else only its lines."""
    whole = _address(context, "parts", {"at": tag})
    lines = _address(context, "lines", {"at": tag})
    return format_html(
        'href="{0}" hx-get="{1}" hx-push-url="{0}" hx-target="#lines" hx-swap="outerHTML show:none"',
        whole,
        lines,
    )


def _address(context: Any, page: str, query: dict[str, object]) -> str:
    carried = context.get("carried", "")
    if carried:
        query["configuration"] = carried
    return f"{reverse(page, args=[context['head'].code])}?{urlencode(query)}"


@register.filter
def shown(name: object) -> SafeString:
    """Words from a workbook: signs that hide or turn others are shown as □, and a word without end may break."""
    return _breakable(printable(str(name)))


@register.filter
def plain(name: object) -> str:
    """As `shown`, for a title or an attribute, where a mark for breaking would stand as text."""
    return printable(str(name))


def _breakable(text_: str) -> SafeString:
    if all(len(word) <= LONG for word in text_.split(" ")):
        return format_html("{}", text_)
    words = (
        [word] if len(word) <= LONG else [word[at : at + LONG // 2] for at in range(0, len(word), LONG // 2)]
        for word in text_.split(" ")
    )
    broken = [format_html_join(mark_safe("<wbr>"), "{}", ((part,) for part in word)) for word in words]
    return format_html_join(" ", "{}", ((word,) for word in broken))


@register.filter
def tag_class(tag: str) -> str:
    """Class of a cell with a tag: it stays in one line unless it is longer than any tag on a bag."""
    return "tag long" if len(tag) > LONG_TAG else "tag"


@register.filter
def number(value: float | None) -> str:
    """A count or another exact number."""
    return "" if value is None else text(round(float(value), 6))


@register.filter
def kilograms(value: float) -> str:
    """A mass in the tree, where there is no room for its band."""
    return to_place(value, 1 if abs(value) >= 0.95 else 2)


@register.filter
def share(fraction: float | None) -> str:
    """A share as "24 %"."""
    return "" if fraction is None else per_cent(fraction)


@register.filter
def worded(sentence: str) -> SafeString:
    """A sentence of the engines in the words of the trade."""
    return shown(in_words(sentence))


@register.filter
def bound(words: SafeString) -> SafeString:
    """Words that were made safe, every number kept in one line with what it counts: "31 N·m"."""
    return mark_safe(_COUNTED.sub("\u00a0", words))  # noqa: S308 one blank for another


@register.filter
def when(at: str) -> str:
    """A time as "2026-11-18 14:02"."""
    return at[:16].replace("T", " ")


@register.filter
def utc(at: str) -> str:
    """A time of the record, which keeps them without zone of a place: "2026-11-18 14:02 UTC"."""
    return f"{when(at)}\u00a0UTC"


@register.filter
def day(at: str) -> str:
    """The day of a time."""
    return at[:10]


@register.filter
def capital(words: str) -> str:
    """The words with a capital first letter; before `shown`, not after it."""
    return words[:1].upper() + words[1:]
