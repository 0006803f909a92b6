"""What stands on the pages of a study: figures of two small vehicles, worked out by hand."""

import html
import re
from datetime import UTC, datetime

import pytest

from app.study_store import STUDY, fill, load, van
from app.test_addresses import check_headers
from capture.books import saved
from hoistbook.app.study_sheet import STUDY_PAGES, study_address
from hoistbook.app.work import LINE
from hoistbook.core.vehicle.records import Vehicle
from hoistbook.services.as_json.study import study_json
from hoistbook.services.claim_states import claims_of, kept_claims
from hoistbook.services.pages.studies import study_front
from hoistbook.services.record import load_workbook, teardown
from hoistbook.services.study import freeze, known_study, report_of, state_of_study
from hoistbook.services.study_report import resolved_content, study_report, version_state
from hoistbook.store.changes.models import Change
from hoistbook.store.studies.reading import versions

ODD = ("<script>document.title='stolen'</script>", '"><img src=x onerror=alert(1)>')


@pytest.fixture
def filled(record, tmp_path):
    fill(record, tmp_path)
    return record


def text_of(answer):
    """The words of a page without its marks."""
    words = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return re.sub(r"\s+", " ", html.unescape(words).replace("\u2007", ""))


def rows_of(answer, table):
    """The cells of a table's body as words."""
    body = re.search(rf'<table[^>]* id="{table}".*?<tbody>(.*?)</tbody>', answer.content.decode(), re.DOTALL)[
        1
    ]
    return [
        [
            re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", cell)).replace("\u2007", "")).strip()
            for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        ]
        for row in body.split("<tr")[1:]
    ]


def test_a_study_shows_what_it_fixed(filled, ask):
    page = ask("/studies/two/")
    text = text_of(page)
    # first principles: typed in study_store.
    assert "Why is B heavier?" in text
    assert rows_of(page, "members") == [
        ["1 Alpha", "A", "delivered", "Start"],
        ["2 Beta", "B", "delivered", ""],
    ]
    assert rows_of(page, "equality") == [
        ["Payload", "kg", "700", "= 705", "same ballast"],
        ["Seats", "", "3", "≠ 2", "content: bench"],
    ]
    own, stated = rows_of(page, "content")
    # A has no row in the study, so the tow bar of its own workbook counts.
    assert own[0] == "Alpha"
    assert own[-1] == "its workbook"
    assert stated == ["Beta", "Tow bar detachable", "strip", "21.0", "± 1.0", "kg", "Mass", "guide", "study"]
    assert [row[0] for row in rows_of(page, "assumptions")] == ["Draws", "Weather"]
    assert "recorded with the study" in text


def test_the_scales_are_held_against_what_was_found_the_same(filled, ask):
    page = ask("/studies/two/")
    (pair,) = rows_of(page, "pairs")
    assert pair[0] == "Alpha to Beta"
    # first principles: two arms, 3.0 and 2.5 kg each, are 1.000 kg apart, nothing else differs; a finding of "same"
    # that is off by a kilogram of weighed parts does not count, so nothing was looked at.
    guide = rows_of(page, "looked")[0]
    assert guide[:2] == ["Guide", "+1.000"]
    assert guide[5] == "contradicted: look again"
    assert pair[4].split()[0] == "<1" or pair[4].startswith("0")
    assert "1 finding of “same” or “carried over” does not bear out on the scales" in text_of(page)
    (finding,) = rows_of(page, "findings")
    assert finding[:2] == ["Guide", "same"]
    assert "+1.000" in finding[4]
    assert "contradicted" in finding[4]


def test_a_plan_says_what_is_on_record_and_what_is_lost(filled, ask):
    page = ask("/studies/two/")
    first, lost, second = rows_of(page, "plan-1")
    assert first[:4] == ["1", "B1 bolts of the traction battery", "Ada", "T40"]
    assert first[4] == "✓ recorded: photo P-7 ○ still to record: torque"
    assert first[5] == "removed"
    # common practice: a traction battery calls for these three cautions at least (core.vehicle.hazards).
    assert {"lifting", "high voltage", "fire"} <= set(first[6].split(", "))
    assert lost[1].startswith("Lost.")
    assert "torque" in lost[1]
    assert second[5] == "planned"
    raw = page.content.decode()
    assert '/vehicles/B/parts/?at=B1&amp;configuration=delivered"' in raw
    text = text_of(page)
    assert "1 of 2 steps done; 1 without all of its record" in text
    assert "Local law, the maker's rescue and dismantling sheets" in text
    assert re.search(r"High voltage: isolated.*Step 1\.", text)


def test_every_page_of_a_study_says_where_it_stands_frozen(filled, ask, tmp_path):
    pages = [study_address(name, "two") for _, name, _ in STUDY_PAGES]

    def standing():
        told = [
            re.search(r'<p class="standing[^>]*>(.*?)</p>', ask(page).content.decode())[1] for page in pages
        ]
        return [re.sub(r"<[^>]+>", "", html.unescape(one)) for one in told]

    assert all(one.startswith("Draft, not frozen.") for one in standing())
    freeze(filled, "two", "Kim")
    today = datetime.now(UTC).date().isoformat()
    assert set(standing()) == {f"Frozen as version 1 on {today}."}
    load(filled, tmp_path, content=[{**STUDY["content"][0], "value": 20.0}])
    for told in standing():
        assert told.startswith("Frozen as version 1; changed since: content: tow bar of B")
        assert "21" in told
        assert "20" in told
    text = text_of(ask("/studies/two/"))
    assert "Since version 1, not frozen" in text
    freeze(filled, "two", "Ruben")
    second, first = rows_of(ask("/studies/two/"), "versions")
    assert (second[0], second[2]) == ("2", "Ruben")
    assert second[3].startswith("Content, tow bar of B")
    assert (first[0], first[3]) == ("1", "the first version")


def test_claims_stand_with_figures_limit_and_what_would_settle_them(filled, ask):
    page = ask("/studies/two/claims/")
    text = text_of(page)
    assert "Of 4 claims the record confirms 1, refutes 1 and leaves 2 open." in text
    light, heavy, long, brake = rows_of(page, "claims")
    assert [row[1] for row in (light, heavy, long, brake)] == ["confirmed", "refuted", "open", "open"]
    # first principles: arms of 2.5 and 3.0 kg, two each.
    assert light[4].startswith("−1.000 ±")
    assert light[5] == "at least 0.5 kg less"
    # first principles: 1 mm apart, ±2 mm (95 %) each: u = √2 · 2/1.96 = 1.4431 mm, P = Φ(0.69296) = 0.7558, band
    # 1.96 u = 2.83 mm, printed as 2.9: rounded up; detection limit 1.6449 u = 2.37 mm.
    assert long[4] == "+1.0 ± 2.9 mm"
    assert long[6] == "75.6 %"
    assert "The line must be passed by 2.4 mm to be confirmed" in text
    # The brake has no part, so nothing can be said of its mass.
    assert brake[4] == "not measured"
    assert "Not measured: " in text
    assert "cannot both hold" in text
    raw = page.content.decode()
    assert '/vehicles/A/mass/?configuration=delivered#B"' in raw
    assert '/vehicles/A/history/?of=R1"' in raw
    assert '/vehicles/B/?configuration=delivered#D"' in raw


def test_what_would_settle_a_claim_stands_with_a_caution(filled, ask):
    raw = ask("/studies/two/claims/").content.decode()
    claim = re.search(r'<article class="claim" id="claim-3".*?</article>', raw, re.DOTALL)[0]
    assert "What would settle it" in claim
    assert re.search(r"<b>Measure .*at [^<]* \([AB]\)\.</b>", claim)
    assert "licensed or otherwise qualified people decide" in re.sub(r"\s+", " ", claim)
    settled = re.search(r'<article class="claim" id="claim-1".*?</article>', raw, re.DOTALL)[0]
    assert "What would settle it" not in settled


def test_claims_are_shown_by_state(filled, ask):
    page = ask("/studies/two/claims/?state=open")
    assert [row[2] for row in rows_of(page, "claims")] == ["long", "brake"]
    assert 'id="claim-3"' in page.content.decode()
    assert 'id="claim-1"' not in page.content.decode()
    assert "2 of 4 claims" in text_of(page)
    refused = ask("/studies/two/claims/?state=opn")
    assert refused.status_code == 404
    assert "open" in text_of(refused)


def test_a_claim_says_what_moved_its_state(filled, ask, tmp_path):
    ask("/studies/two/claims/")
    load_workbook(filled, saved(tmp_path, van("B", "Beta", 3.0, 2920.0)), "Ruben", "tape misread")
    page = ask("/studies/two/claims/")
    raw = page.content.decode()
    claim = re.search(r'<article class="claim" id="claim-3".*?</article>', raw, re.DOTALL)[0]
    words = re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", claim)))
    # first principles: 20 mm apart with u = 1.4431 mm.
    assert "Confirmed: “B is longer between the axles.”" in words
    assert "2 states" in words
    assert "load of B by Ruben: tape misread" in words
    assert words.index("confirmed") < words.index("first held against the record")
    link = re.search(r'href="(/vehicles/B/history/changes/\d+/)"', claim)[1]
    assert ask(link).status_code == 200
    # The others stand as they stood.
    other = re.search(r'<article class="claim" id="claim-1".*?</article>', raw, re.DOTALL)[0]
    assert "So since it was first held against the record" in other


def test_pages_answer_to_looking_and_to_nothing_else(filled, ask, client):
    for _, name, _ in STUDY_PAGES:
        address = study_address(name, "two")
        check_headers(ask(address))
        head = client.head(address)
        assert (head.status_code, head.content) == (200, b"")
        assert client.post(address, {}).status_code == 403  # a form without our token


def test_asking_for_a_page_writes_nothing(filled, client):
    """What has to be written down is written by the job, under the program's own name, never by the one who looks."""
    before = list(Change.objects.values_list("pk", flat=True))
    for address in ("/studies/two/", "/studies/two/claims/"):
        assert "is being worked out" in text_of(client.get(address))
    assert all(job.finished.wait(60) for job in LINE.jobs())
    written = Change.objects.exclude(pk__in=before)
    assert [(change.person, change.kind) for change in written] == [("hoistbook", "claims")]
    for address in ("/studies/two/", "/studies/two/claims/"):
        assert "is being worked out" not in text_of(client.get(address))
    assert Change.objects.count() == len(before) + 1


def test_what_is_not_there_is_said(filled, ask):
    for page in ("/studies/tow/", "/studies/tow/claims/"):
        answer = ask(page)
        assert answer.status_code == 404
        assert "did you mean 'two'" in text_of(answer)
    assert ask("/studies/two/?from=A&to=Q").status_code == 404
    assert ask("/studies/two/?from=A&to=B").status_code == 200


def test_names_stay_words(record, ask, tmp_path):
    changes = {
        "study": [{"study": "two", "title": ODD[0], "question": ODD[1], "owner": ODD[0], "note": ODD[1]}],
        "vehicles": [{**STUDY["vehicles"][0], "role": ODD[0], "note": ODD[1]}, STUDY["vehicles"][1]],
        "equality": [{**STUDY["equality"][0], "property": ODD[0], "value": ODD[1]}],
        "content": [{**STUDY["content"][0], "item": ODD[0], "description": ODD[1], "note": ODD[0]}],
        "assumptions": [{"assumption": ODD[0], "value": ODD[1], "source": ODD[0]}],
        "findings": [{**STUDY["findings"][0], "what was compared": ODD[0], "person": ODD[1]}],
        "strip_plan": [{**STUDY["strip plan"][0], "what": ODD[0], "who": ODD[1], "recorded": ODD[0]}],
        "claims": [{**row, "sentence": ODD[0], "person": ODD[1]} for row in STUDY["claims"]],
    }
    fill(record, tmp_path, names=(ODD[0], ODD[1]), **changes)
    for _, name, _ in STUDY_PAGES:
        answer = ask(study_address(name, "two"))
        raw = answer.content.decode()
        assert answer.status_code == 200
        assert "<script>document" not in raw
        assert "<img" not in raw
    assert "document.title='stolen'" in text_of(ask("/studies/two/claims/"))


def test_a_study_without_its_vehicles_is_shown(record, ask, tmp_path):
    load(record, tmp_path)
    for page in ("/studies/two/", "/studies/two/claims/"):
        assert ask(page).status_code == 200
    text = text_of(ask("/studies/two/"))
    assert "not in this store" in text
    assert "Stops freezing" in text
    assert "A: not in the store yet" in text
    assert "leaves 4 open" in text_of(ask("/studies/two/claims/"))


def test_outlines_say_the_same_as_whole_vehicles(filled):
    study = known_study(filled, "two")
    whole = {code: teardown(filled, code) for code in study.codes}
    assert report_of(filled, "two") == study_report(study, whole)
    # Asked again, it comes from what is kept.
    assert study_json(report_of(filled, "two")) == study_json(study_report(study, whole))
    expected = version_state(study, resolved_content(study, whole), versions("two"))
    assert state_of_study(filled, "two") == expected == study_front(filled, "two").state
    outline = study_front(filled, "two").outlines["A"]
    assert outline.vehicle == Vehicle("A", "Alpha")
    assert outline.nodes == ()


def test_kept_claims_are_there_once_they_are_written_down(filled, tmp_path):
    assert kept_claims(filled, "two") is None
    told = claims_of(filled, "two")
    kept = kept_claims(filled, "two")
    assert [one["state"] for one in kept["claims"]] == [one["state"] for one in told["claims"]]
    assert not any(one["new"] for one in kept["claims"])
    load_workbook(filled, saved(tmp_path, van("B", "Beta", 3.0, 2920.0)), "Ruben")
    assert kept_claims(filled, "two") is None
