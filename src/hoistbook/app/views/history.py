"""Who changed what, when, from what evidence."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, head_of, piece, vehicle_sheet, whole_of
from hoistbook.services.history import history as history_of
from hoistbook.services.pages.changes import changes_of, lines_of
from hoistbook.services.vehicles import waiting_rows

SHOWN = 30
"""project rule: vanished rows that are listed at once."""


@require_safe
def history(request: HttpRequest, code: str) -> HttpResponse:
    """Every change of a vehicle, or everything that happened to one name in it."""
    found = head_of(code)
    record = the_record()
    name = request.GET.get("of", "").strip()
    said = vehicle_sheet(request, found, "history", "History")
    waiting = waiting_rows(record, found.code)
    said |= {"of": name, "waiting": waiting[:SHOWN], "waiting_count": len(waiting), "shown": SHOWN}
    if name:
        said["trail"] = [*said["trail"][:-1], (found.name, address("history", found.code)), (name, "")]
        try:
            said["entries"] = tuple(reversed(history_of(record, found.code, name)))
        except LookupError as error:
            said["unknown"] = str(error.args[0])
    said["changes"] = changes_of(record, found.code)
    return render(request, "hoistbook/history.html", said)


@require_safe
def change(request: HttpRequest, code: str, change: int) -> HttpResponse:
    """The rows of one change, or further ones of a long one."""
    found = head_of(code)
    record = the_record()
    one = next((row for row in changes_of(record, found.code) if row.id == change), None)
    if one is None:
        msg = f"{found.name} has no change {change}."
        raise Http404(msg)
    first = whole_of(request, "first")
    lines, count = lines_of(record, found.code, change, first)
    shown = {"lines": lines, "first": first, "next": first + len(lines), "left": count - first - len(lines)}
    if getattr(request, "htmx", False):
        return piece(request, "hoistbook/_more_events.html", shown)
    said = vehicle_sheet(request, found, "history", f"Change {change}")
    said |= {"one": one, "count": count, **shown}
    said["trail"] = [
        *said["trail"][:-1],
        (found.name, address("history", found.code)),
        (f"change {change}", ""),
    ]
    return render(request, "hoistbook/change.html", said)
