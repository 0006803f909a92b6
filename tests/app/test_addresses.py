"""What every answer keeps to: headers, names of this machine only, forms of our own, plain words for what is lost."""

import re

import pytest
from django.db import InterfaceError, OperationalError

from capture.books import sound
from hoistbook.app.work import LINE

PAGES = (
    "/",
    "/vehicles/WHI/",
    "/vehicles/WHI/parts/",
    "/vehicles/WHI/parts/?at=A1",
    "/vehicles/WHI/parts/?q=bolt",
    "/vehicles/WHI/parts/lines/?at=VAN",
    "/vehicles/WHI/parts/branches/?at=VAN",
    "/vehicles/WHI/parts/find/?q=bolt",
    "/vehicles/WHI/mass/",
    "/vehicles/WHI/history/",
    "/vehicles/WHI/history/?of=A1",
    "/vehicles/WHI/history/changes/1/",
)
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "a' onmouseover='alert(1)",
    "x" * 200,
)


def words(answer):
    return answer.content.decode()


def test_every_answer_lets_the_browser_run_only_our_own_files(van, ask):
    for address in (*PAGES, "/nothing/", "/vehicles/NONE/"):
        check_headers(ask(address))


def check_headers(answer):
    policy = answer.headers["Content-Security-Policy"]
    # first principles: the policy the pages are to keep, directive by directive.
    assert sorted(policy.split("; ")) == [
        "base-uri 'none'",
        "connect-src 'self'",
        "default-src 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "img-src 'self' data:",
        "script-src 'self'",
        "style-src 'self'",
    ]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert "no-cache" in answer.headers["Cache-Control"]
    text = words(answer)
    for inline in ("<style", " style=", " onclick=", " onload=", "javascript:", "<script>"):
        assert inline not in text


def test_every_page_answers_to_looking_and_to_nothing_else(van, ask, client):
    for address in PAGES:
        assert ask(address).status_code == 200, address
        head = client.head(address)
        assert (head.status_code, head.content) == (200, b""), address
        assert client.put(address).status_code in (403, 405), address
        assert client.post(address, {}).status_code == 403, address  # a form without our token


def test_a_foreign_name_of_this_machine_is_refused(van, client):
    for host in ("evil.example", "127.0.0.1.evil.example", "10.0.0.7", "localhost.evil"):
        answer = client.get("/", headers={"host": host})
        assert answer.status_code == 400
        assert "WHI" not in words(answer)
    for host in ("127.0.0.1:8765", "localhost:1", "[::1]:80"):
        assert client.get("/", headers={"host": host}).status_code == 200


def test_what_is_not_there_is_said_with_what_is(van, ask):
    for address, said in (
        ("/vehicles/WHJ/", "WHI"),
        ("/vehicles/WHI/?configuration=other", "delivered"),
        ("/vehicles/WHI/parts/?at=A9", "A9"),
        ("/vehicles/WHI/history/changes/99/", "no change 99"),
        ("/nothing/at/all/", "no page at this address"),
    ):
        answer = ask(address)
        assert answer.status_code == 404
        assert said in words(answer)
        assert "Nothing in the record was changed" in words(answer)


def test_a_name_nobody_knows_is_said_on_the_page_of_changes(van, ask):
    answer = ask("/vehicles/WHI/history/?of=A77")
    assert answer.status_code == 200
    assert "A77" in words(answer)


def test_a_name_is_text_wherever_it_stands(load, ask):
    rows = sound()
    for number, name in enumerate(HOSTILE):
        like = f"H{number}"
        rows["parts"].append(
            {
                "tag": like,
                "parent": "VAN",
                "name": name,
                "kind": "part",
                "material": name,
                "note": name,
                "side": "left",
            }
        )
        rows["measurements"].append(
            {**rows["measurements"][0], "reading": f"RH{number}", "of": like, "person": name, "note": name}
            | {"evidence": name}
        )
        rows["configurations"].append(
            {"configuration": f"c{number}", "wheels": name, "options": name, "note": name}
        )
        rows["facts"].append(
            {**rows["facts"][0], "configuration": f"c{number}", "note": name, "evidence": name}
        )
    rows["vehicle"][0] |= {
        "name": HOSTILE[0],
        "maker": HOSTILE[1],
        "note": HOSTILE[2],
        "family": HOSTILE[3][:60],
    }
    rows["instruments"][0]["note"] = HOSTILE[1]
    load(rows, note=HOSTILE[1])
    rows["parts"][-1] |= {"name": HOSTILE[1], "material": HOSTILE[0]}
    load(rows, note=HOSTILE[0])
    names = [f"/vehicles/WHI/?configuration=c{n}" for n in range(4)]
    names += [f"/vehicles/WHI/parts/?at=H{n}" for n in range(4)]
    names += ["/vehicles/WHI/history/?of=H3", "/vehicles/WHI/history/changes/2/"]
    for address in (*PAGES, *names):
        answer = ask(address)
        assert answer.status_code == 200, address
        text = words(answer)
        for live in ("<script>alert", "<img", "' onmouseover"):
            assert live not in text, address


def test_odd_questions_are_answered(van, ask):
    for query in (
        "at=%00",
        "at=" + "9" * 5000,
        "first=-1",
        "first=abc",
        "first=99999999",
        "q=%3Cscript%3E",
        "at=",
    ):
        for page in ("parts/", "parts/lines/", "parts/branches/", "parts/find/"):
            answer = ask(f"/vehicles/WHI/{page}?{query}")
            assert answer.status_code in (200, 400, 404)
            assert "<script>" not in words(answer)
    for name in ("%00", "%3Cscript%3E", "9" * 3000):
        answer = ask(f"/vehicles/WHI/history/?of={name}")
        assert answer.status_code == (400 if name == "%00" else 200)
        assert "<script>" not in words(answer)


def test_a_fault_of_the_program_shows_no_trace_of_it(van, ask, client, monkeypatch):
    def broken(*_):
        msg = "secret detail"
        raise RuntimeError(msg)

    client.raise_request_exception = False
    monkeypatch.setattr("hoistbook.app.views.history.changes_of", broken)
    answer = client.get("/vehicles/WHI/history/")
    assert answer.status_code == 500
    assert "secret" not in words(answer)
    assert "Traceback" not in words(answer)
    assert "could not be made" in words(answer)


@pytest.mark.parametrize(
    "error", [OperationalError("no connection to the server"), InterfaceError("connection already closed")]
)
def test_trouble_of_the_database_is_no_fault_of_the_program(van, client, monkeypatch, error):
    def broken(*_):
        raise error

    monkeypatch.setattr("hoistbook.app.views.history.changes_of", broken)
    monkeypatch.setattr(
        "hoistbook.app.errors.said_of_store", lambda found: found is error and "Look at the disk."
    )
    answer = client.get("/vehicles/WHI/history/")
    assert answer.status_code == 503
    assert "Look at the disk." in words(answer)


def test_a_full_disk_is_called_by_its_name(van, client, monkeypatch, record):
    if record.database != "sqlite":
        pytest.skip("what SQLite says")

    def full(*_):
        # published: SQLite, "Result and Error Codes": the words of SQLITE_FULL (13).
        msg = "database or disk is full"
        raise OperationalError(msg)

    monkeypatch.setattr("hoistbook.app.views.history.changes_of", full)
    assert "the disk is full" in words(client.get("/vehicles/WHI/history/"))


def test_what_cannot_be_worked_out_is_said_with_the_reason(van, ask, monkeypatch):
    def refused(*_, **__):
        msg = "the part tree hangs in a ring; correct A1."
        raise ValueError(msg)

    monkeypatch.setattr("hoistbook.services.pages.book.mass_report", refused)
    answer = ask("/vehicles/WHI/mass/")
    assert "could not be worked out" in words(answer)
    assert "correct A1" in words(answer)


def test_the_theme_is_kept_by_a_form_of_ours_and_by_no_other(van, client):
    page = client.get("/")
    assert 'data-theme="' not in words(page)
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', words(page))[1]
    answer = client.post("/theme/", {"theme": "dark", "next": "/vehicles/WHI/", "csrfmiddlewaretoken": token})
    assert (answer.status_code, answer.headers["Location"]) == (302, "/vehicles/WHI/")
    assert 'data-theme="dark"' in words(client.get("/"))
    away = client.post(
        "/theme/", {"theme": "light", "next": "https://evil.example/", "csrfmiddlewaretoken": token}
    )
    assert away.headers["Location"] == "/"
    assert client.post("/theme/", {"theme": "dark"}).status_code == 403
    client.post("/theme/", {"theme": "auto", "csrfmiddlewaretoken": token})
    assert 'data-theme="' not in words(client.get("/"))


def test_style_and_scripts_come_from_here_and_keep_for_good(van, client):
    text = words(client.get("/"))
    links = re.findall(r'(?:src|href)="(/static/[^"]+)"', text)
    assert len(links) >= 4
    assert re.findall(r'(?:src|href)="(?:https?:)?//', text) == []
    for link in links:
        answer = client.get(link)
        assert answer.status_code == 200
        assert "immutable" in answer.headers["Cache-Control"]
        assert b"".join(answer)
        answer.close()
    module = re.sub(r"keys\.js$", "copy.js", next(link for link in links if link.endswith("keys.js")))
    answer = client.get(module)
    assert answer.status_code == 200
    answer.close()


def test_an_empty_store_says_how_to_fill_it(record, ask):
    assert "hoistbook load" in words(ask("/"))
    assert LINE.find("nothing") is None
