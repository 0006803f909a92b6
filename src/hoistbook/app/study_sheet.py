"""What every page of a study has around its zones: navigation, trail, title block, and where it stands frozen."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest
from django.urls import reverse

from hoistbook.app.opened import the_record
from hoistbook.app.sheet import named
from hoistbook.services.pages.answers import study_answers
from hoistbook.services.pages.studies import StudyFront, standing_sentence, study_front

STUDY_PAGES = (
    ("Study", "study", "1"),
    ("Gap", "study gap", "2"),
    ("Claims", "study claims", "3"),
)
"""Words, address and sheet number of the pages of a study."""


def front_of(code: str) -> StudyFront:
    """The study of an address; a page that says so where there is none."""
    with named():
        return study_front(the_record(), code)


def study_address(page: str, code: str, **query: object) -> str:
    """Address of a page of a study; empty parts of the query are left out."""
    given = {name: value for name, value in query.items() if value not in ("", None)}
    return f"{reverse(page, args=[code])}{'?' if given else ''}{urlencode(given)}"


def study_sheet(request: HttpRequest, found: StudyFront, here: str, words: str) -> dict[str, Any]:
    """Navigation, trail, title block and standing of a page of a study.

    Parameters
    ----------
    request : HttpRequest
    found : StudyFront
    here : str
        Name of the page's address.
    words : str
        What the page shows, for its title.

    Returns
    -------
    dict
        For the template, which shows `standing` by including `_standing.html` in zone A.
    """
    last = found.state.last
    number = next(number for _, name, number in STUDY_PAGES if name == here)
    title = f"{words}, {found.title}"
    return {
        "title": title,
        "front": found,
        "standing": standing_sentence(found.state),
        "standing_is_draft": last is None,
        "standing_changed": bool(found.state.changed),
        "here": here,
        "navigation_of": found.title,
        "navigation": [
            (page_words, study_address(name, found.code), name) for page_words, name, _ in STUDY_PAGES
        ],
        "trail": [("Studies", f"{reverse('home')}#B"), (found.title, "")],
        "block": [
            ("Title", title),
            (
                "Version",
                "draft" if last is None else f"{last.number}{', changed' if found.state.changed else ''}",
            ),
            ("Written", found.person),
            ("Date", found.at[:10]),
            ("Rev", str(found.changes)),
            ("Sheet", f"{found.code}-{number}"),
        ],
    }


def answer_rows(found: StudyFront) -> list[dict[str, Any]]:
    """What the study's gaps say, each with the way to its page; a reader who opens it has it worked out."""
    return [
        {
            "one": one,
            "of": found.member(one.to),
            "link": study_address("study gap", found.code, to=one.to),
        }
        for one in study_answers(the_record(), found.code, found.state.last)
    ]
