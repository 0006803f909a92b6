"""Words from anybody in every free cell, in names of people, files, logs and tests: text on every page they reach."""

import copy
import re
import unicodedata
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urljoin, urlsplit

import pytest

from app.gap_store import CONTENT, vehicle
from app.study_store import STUDY
from app.test_addresses import check_headers
from capture.books import saved
from hoistbook.capture.channel_map import ChannelMap, Mapped
from hoistbook.capture.schema import SHEETS, Holds
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.logs import log_series, save_channel_map
from hoistbook.services.record import load_workbook
from hoistbook.services.study import freeze, load_study
from hoistbook.services.trials import record_trial

LIVE = "\"'`><img src=x onerror=alert(1)><script>alert(1)</script>{{7*7}}{% now %}&amp;" + "W" * 30
# Taken from cells as they are: a line separator, a soft hyphen, a tag letter, an annotation sign.
HIDDEN = f"{LIVE}\u2028\u00ad\U000e0041\ufff9"
# Refused in cells, but not where words come another way: turned writing, a colour of terminals, a next line.
TURNED = f"{HIDDEN}\u202e\x1b[31m\x85"
CODES = {"A": "A'\"..%2f<b>", "B": "B&é?#"}
NAMES = {
    ("vehicle", "name"),
    ("parts", "name"),
    ("facts", "shared source"),
    ("measurements", "shared source"),
    ("effects", "shared source"),
    ("content", "shared source"),
}
"""Held to what names are held to, or in need of a band."""
KNOWN_WORDS = {
    ("parts", "system"),
    ("instruments", "kind"),
    ("instruments", "class"),
    ("functions", "name"),
    ("functions", "aliases"),
    ("claims", "quantity"),
    ("claims", "duty"),
    ("facts", "duty"),
}
"""Free text to the schema, but looked up in a list."""


def spoiled(sheets, rows):
    for name, sheet in sheets.items():
        for row in rows.get(name, ()):
            for column in sheet.columns:
                place = (name, column.header)
                if column.holds is not Holds.TEXT or place in KNOWN_WORDS or column.header == "shared source":
                    continue
                row[column.header] = LIVE if place in NAMES else HIDDEN
            row[f"own {LIVE}"] = HIDDEN
    return rows


def fill(record, folder):
    for place, (code, arm_kg) in enumerate(zip(CODES.values(), (2.5, 3.0), strict=True)):
        rows = spoiled(SHEETS, vehicle(code, "x", place, arm_kg))
        load_workbook(record, saved(folder, rows), TURNED, note=TURNED)
        rows["measurements"][0]["value"] = arm_kg + 0.1
        rows["measurements"].pop()
        load_workbook(record, saved(folder, rows), TURNED, note=TURNED)
    study = spoiled(STUDY_SHEETS, copy.deepcopy(STUDY | {"content": CONTENT}))
    study["assumptions"] = [{"assumption": "draws", "value": 100}, {"assumption": LIVE, "value": LIVE}]
    for row in (row for sheet in study.values() for row in sheet):
        row |= {name: CODES[row[name]] for name in ("vehicle", "other", "from") if row.get(name) in CODES}
        if "vehicles" in row:
            row["vehicles"] = "; ".join(CODES.values())
    path = folder / "study.xlsx"
    write_workbook(path, study, STUDY_SHEETS)
    load_study(record, path, TURNED)
    freeze(record, "two", TURNED)
    enter_tests(record, folder)


def enter_tests(record, folder):
    columns = ("t" + LIVE, "wall" + LIVE, "pack" + HIDDEN)
    pack = Mapped(columns[2], "pack_power_w", "kW", sign=-1)
    save_channel_map(
        record,
        LIVE,
        ChannelMap(LIVE, columns[0], "s", (Mapped(columns[1], "wall_power_w", "kW"), pack)),
        TURNED,
    )
    path = folder / "a<script>\u202e\x1b'\"\n.csv"
    heads = ";".join('"' + one.replace('"', '""') + '"' for one in columns)
    for wall in (10, 11):
        path.write_text(heads + "\n" + "".join(f"{60 * minute};{wall};9\n" for minute in range(61)))
        log = log_series(path, LIVE, record=record)
        outcome = evaluate("charge", log, Asked(full=True), label=TURNED)
        more = {"person": TURNED, "configuration": "delivered", "note": TURNED, "at": TURNED}
        record_trial(record, CODES["A"], outcome, name=TURNED, file=path, log=log, **more)


class Looked(HTMLParser):
    """Links of a page, and what should not be in it."""

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.links, self.live, self.unseen = [], [], []
        self.feed(page)
        # In a title marks are text: one for breaking a long word would be read out.
        if "<title" in page and not re.search(r"<title>[^<]+</title>", page):
            self.unseen.append(("title", "", "a mark"))

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name in ("href", "hx-get") and value:
                self.links.append(value)
            if name.startswith("on") or name == "style" or (value or "").lstrip().startswith("javascript:"):
                self.live.append((tag, name, value))
            if (tag, name) != ("input", "value"):  # what the reader typed goes back as it was
                self._seen(f"{tag} {name}", value or "")
            if "<wbr>" in (value or ""):
                self.unseen.append((tag, name, "<wbr>"))
        if tag in ("img", "style", "iframe", "object") or (tag == "script" and "src" not in dict(attrs)):
            self.live.append((tag, attrs))

    def handle_data(self, data):
        self._seen(self.lasttag or "", data)

    def _seen(self, where, words):
        hidden = [one for one in words if unicodedata.category(one) in ("Cc", "Cf", "Zl", "Zp", "Co", "Cn")]
        if set(hidden) - {"\n", "\t"}:
            self.unseen.append((where, [f"U+{ord(one):04X}" for one in hidden], words[:40]))


def kind_of(address):
    """One address of each kind is looked at: the same page and zones of a vehicle or study."""
    path = urlsplit(address).path
    of = re.sub(r"\d+", "n", path)
    return of, tuple(sorted(name for name, _ in parse_qsl(urlsplit(address).query)))


def test_hostile_words_are_text_on_every_page(record, tmp_path, ask):
    if record.database != "sqlite":
        pytest.skip("pages come out of the same templates on each database")
    fill(record, tmp_path)
    waiting, seen = ["/", "/nothing/?" + "x" * 9, "/studies/none/"], {}
    while waiting:
        address = waiting.pop(0)
        if kind_of(address) in seen or re.search(r"^/static/|[?&](quantity|duty)=", address):
            continue
        answer = ask(address)
        seen[kind_of(address)] = answer.status_code
        check_headers_of_ours(answer)
        found = Looked(answer.content.decode())
        # first principles: whoever typed it, it is text; a sign that hides or turns others is shown as a box.
        assert found.live == [], address
        assert found.unseen == [], address
        waiting += [urljoin(f"http://127.0.0.1{address}", link) for link in found.links]
        outside = [link for link in waiting if not link.startswith(("/", "http://127.0.0.1/"))]
        assert outside == [], address
        waiting = [link.removeprefix("http://127.0.0.1") for link in waiting]
    kinds = {re.sub(r"^/(vehicles|studies)/[^/]*", r"/\1/…", of) for of, _ in seen}
    assert len(seen) > 40
    assert kinds >= {f"/vehicles/…/{page}" for page in ("", "parts/", "mass/", "tests/", "history/")}
    assert kinds >= {f"/studies/…/{page}" for page in ("", "gap/", "gap/opened/", "claims/")}
    assert {code for code in seen.values() if code >= 500} == set()


def check_headers_of_ours(answer):
    """As on every page; words that look like live ones stand escaped here, so only the headers are held against."""
    bare = copy.copy(answer)
    bare.content = b""
    check_headers(bare)


@pytest.mark.parametrize("sign", ["\u202e", "\u200b", "\u2066", "\ufeff", "\x1b"])
def test_what_is_asked_for_is_shown_without_signs_that_turn_it(van, client, sign):
    for address in (
        "/vehicles/{}/",
        "/vehicles/WHI/?configuration={}",
        "/studies/{}/",
        "/vehicles/WHI/history/?of={}",
    ):
        page = client.get(address.format(f"a{sign}b")).content.decode()
        assert Looked(page).unseen == []
