"""The part tree: branches on the left, opened one by one, the lines of the chosen assembly on the right."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.closure import closure_sheet
from hoistbook.app.lines import assembly_table
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, asked_of, head_of, named, summary_or_job, vehicle_sheet, whole_of
from hoistbook.services.keeping import Json
from hoistbook.services.pages.book import columns_of
from hoistbook.services.pages.heads import Head
from hoistbook.services.pages.parts import AT_ONCE, Branch, PartsBook

FOUND_AT_ONCE = 20
"""project rule: parts the find box lists at once."""


@require_safe
def parts(request: HttpRequest, code: str) -> HttpResponse:
    """The tree, opened down to the part of the address, and the lines of its assembly."""
    found = head_of(code)
    asked = asked_of(request, found)
    said = vehicle_sheet(request, found, "parts", "Part tree", asked)
    summary, job = summary_or_job(asked, found.name)
    columns = None if summary is None else columns_of(the_record(), asked)
    if summary is None or columns is None:
        return render(request, "hoistbook/parts.html", {**said, "job": job})
    if not columns["tag"]:
        return render(request, "hoistbook/parts.html", {**said, "summary": summary, "empty": True})
    book = PartsBook(columns)
    at = request.GET.get("at", "") or book.root
    with named():
        path = book.path(at)
    chosen = book.assembly_of(at)
    said["trail"] = _trail(found, book, path, said["carried"])
    words = request.GET.get("q", "")
    said |= {
        "summary": summary,
        "closure": closure_sheet(found, summary),
        "tree": _opened(book, book.path(chosen), chosen),
        "here_tag": chosen,
        "q": words,
        "find": _find(book, words),
        **_lines(request, found, book, summary, chosen, "" if at == chosen else at),
    }
    return render(request, "hoistbook/parts.html", said)


@require_safe
def branches(request: HttpRequest, code: str) -> HttpResponse:
    """Branches directly below an assembly, for the tree to hang in."""
    found, book, _ = _book(request, code)
    with named():
        below = _branches(book, request.GET.get("at", ""), whole_of(request, "first"))
    said = {**below, "head": found, "carried": request.GET.get("configuration", ""), "here_tag": ""}
    return render(request, "hoistbook/_branches.html", said)


@require_safe
def lines(request: HttpRequest, code: str) -> HttpResponse:
    """The lines of an assembly, or further ones of a long one."""
    found, book, summary = _book(request, code)
    at = request.GET.get("at", "")
    with named():
        chosen = book.assembly_of(at)
    said = _lines(request, found, book, summary, chosen, "" if at == chosen else at)
    carried = request.GET.get("configuration", "")
    said |= {"head": found, "carried": carried, "trail": _trail(found, book, book.path(at), carried)}
    template = "hoistbook/_more_lines.html" if said["table"]["first"] else "hoistbook/_lines_alone.html"
    return render(request, template, said)


@require_safe
def find(request: HttpRequest, code: str) -> HttpResponse:
    """Parts by tag or name."""
    found, book, _ = _book(request, code)
    words = request.GET.get("q", "")
    said = {
        "find": _find(book, words),
        "q": words,
        "head": found,
        "carried": request.GET.get("configuration", ""),
    }
    return render(request, "hoistbook/_found.html", said)


def _book(request: HttpRequest, code: str) -> tuple[Head, PartsBook, Json]:
    found = head_of(code)
    asked = asked_of(request, found)
    summary, _ = summary_or_job(asked, found.name)
    columns = None if summary is None else columns_of(the_record(), asked)
    if summary is None or not columns or not columns["tag"]:
        msg = "The part tree is still being worked out; open the page again in a moment."
        raise Http404(msg)
    return found, PartsBook(columns), summary


def _trail(found: Head, book: PartsBook, path: tuple[str, ...], carried: str) -> list[tuple[str, str]]:
    """Where the reader is: the assemblies above a part, each a link."""
    above = [
        (book.name(tag), address("parts", found.code, at=tag, configuration=carried)) for tag in path[1:-1]
    ]
    here = [(book.name(path[-1]), "")] if len(path) > 1 else []
    whole = address("vehicle", found.code, configuration=carried)
    return [("Vehicles", reverse("home")), (found.name, whole), *above, *here]


def _find(book: PartsBook, words: str) -> dict[str, Any]:
    tags, count = book.find(words, FOUND_AT_ONCE)
    assemblies = (book.path(tag)[-2:-1] for tag in tags)
    hits = [
        {"tag": tag, "name": book.name(tag), "within": book.name(above[0]) if above else ""}
        for tag, above in zip(tags, assemblies, strict=True)
    ]
    return {"hits": hits, "count": count, "asked": bool(words.split())}


def _branches(book: PartsBook, tag: str, first: int = 0) -> dict[str, Any]:
    below, count = book.branches(tag, first)
    return {
        "below": [{"branch": one, "bar": _bar(one)} for one in below],
        "above": tag,
        "left": max(count - first - len(below), 0),
        "next": first + AT_ONCE,
    }


def _opened(book: PartsBook, path: tuple[str, ...], chosen: str) -> dict[str, Any]:
    """The tree as nested branches, open along a path."""
    top = book.branch(book.root)
    node: dict[str, Any] = {"branch": top, "bar": _bar(top)}
    level = node
    for depth, tag in enumerate(path):
        level["inside"] = _branches(book, tag)
        if depth + 1 == len(path):
            break
        # The way may lead past the first branches of a long list: then it is shown all the same.
        following = next(
            (one for one in level["inside"]["below"] if one["branch"].tag == path[depth + 1]), None
        )
        if following is None:
            one = book.branch(path[depth + 1])
            following = {"branch": one, "bar": _bar(one)}
            level["inside"]["below"].append(following)
        level = following
    return node


def _bar(branch: Branch) -> float | None:
    """Length of the weighed part of the bar of a branch, in px of 50."""
    return None if branch.weighed_frac is None else round(50.0 * branch.weighed_frac, 1)


def _lines(
    request: HttpRequest, found: Head, book: PartsBook, summary: Json, chosen: str, line: str
) -> dict[str, Any]:
    view = book.assembly(chosen, whole_of(request, "first"))
    return {
        "table": assembly_table(found.code, book, view, summary, line),
    }
