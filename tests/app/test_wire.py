"""What goes over the wire, where the server itself has a say: the client of the other tests never sees that."""

import re
import shutil
import socket
import subprocess

import pytest

from app.looking import SERVE, python


@pytest.fixture(scope="module")
def port(sqlite_template, tmp_path_factory):
    store = tmp_path_factory.mktemp("wire") / "store"
    shutil.copytree(sqlite_template, store)
    serving = subprocess.Popen(
        **python(SERVE, "serve", "--store", store, "--port", "0"),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    try:
        yield int(re.match(r"http://127\.0\.0\.1:(\d+)", serving.stdout.readline())[1])
    finally:
        serving.terminate()
        serving.wait(20)
        serving.stdout.close()


def said(port, *lines, body=b""):
    """Everything the server sends until it closes."""
    head = "\r\n".join((*lines, "Connection: close", "", "")).encode()
    with socket.create_connection(("127.0.0.1", port), timeout=30) as connection:
        connection.sendall(head + body)
        return b"".join(iter(lambda: connection.recv(65536), b""))


def apart(answer):
    head, _, body = answer.partition(b"\r\n\r\n")
    length = re.search(rb"(?mi)^Content-Length: (\d+)", head)
    return head, int(length[1]) if length else None, body


@pytest.mark.parametrize(
    "path", ["/", "/nothing/", "/vehicles/NONE/", "/studies/NONE/gap/", "/theme/", "/jobs/a/", "/static/a"]
)
def test_an_answer_to_head_has_no_body(port, path):
    head, length, body = apart(said(port, f"HEAD {path} HTTP/1.1", "Host: 127.0.0.1"))
    # published: RFC 9110, 9.3.2: the server sends no content to HEAD, and the headers that GET would have.
    assert body == b""
    as_asked = apart(said(port, f"GET {path} HTTP/1.1", "Host: 127.0.0.1"))
    assert head.split(b"\r\n")[0] == as_asked[0].split(b"\r\n")[0]
    # Tokens of forms differ in value, not in length.
    assert length == len(as_asked[2])


def test_a_large_body_is_refused_before_it_is_kept(port):
    declared = said(port, "POST /theme/ HTTP/1.1", "Host: 127.0.0.1", "Content-Length: 100000000")
    # published: RFC 9110, 15.5.14: 413, and the connection may be closed; the body was not even sent here.
    assert declared.split(b"\r\n")[0] == b"HTTP/1.1 413 Request Entity Too Large"
    small = said(port, "POST /theme/ HTTP/1.1", "Host: 127.0.0.1", "Content-Length: 3", body=b"a=b")
    assert small.split(b"\r\n")[0] == b"HTTP/1.1 403 Forbidden"


FIRST = """
import sys
from pathlib import Path
from hoistbook.app.serve import application
application(Path(sys.argv[1]))
from django.test import Client
before = set(sys.modules)
assert Client(HTTP_HOST="127.0.0.1").get("/").status_code == 200
print(sorted(name for name in set(sys.modules) - before if name.startswith(("hoistbook", "scipy", "numpy"))))
"""


def test_the_first_reader_does_not_wait_for_modules_of_the_program(sqlite_template, tmp_path):
    shutil.copytree(sqlite_template, tmp_path / "store")
    done = subprocess.run(**python(FIRST, tmp_path / "store"), check=True, stdout=subprocess.PIPE)
    assert done.stdout.strip() == "[]"
