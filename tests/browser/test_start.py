"""The start: one program for one book, for this computer alone, with its traces kept off the screen."""

from __future__ import annotations

import http.client
import subprocess
import sys

import pytest

from .conftest import REPOSITORY, environment, free_port

pytestmark = pytest.mark.browser


def ask(server, path: str, headers: dict[str, str]) -> int:
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    try:
        line.request("GET", path, headers=headers)
        return line.getresponse().status
    finally:
        line.close()


def upgrade(origin: str) -> dict[str, str]:
    return {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==",  # the sample key of RFC 6455, section 1.3
        "Origin": origin,
    }


def start(home, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "dashboard", *words],
        cwd=REPOSITORY,
        env=environment(home),
        capture_output=True,
        text=True,
        timeout=90,
        check=False,
    )


def test_a_foreign_host_is_refused(app):
    own = f"127.0.0.1:{app.port}"
    assert ask(app, "/_stcore/stream", {**upgrade(f"http://{own}"), "Host": own}) == 101
    foreign = {**upgrade("http://books.example"), "Host": "books.example"}
    assert ask(app, "/_stcore/stream", foreign) == 403


def test_a_foreign_origin_is_refused(app):
    assert ask(app, "/_stcore/stream", upgrade("http://books.example")) == 403


def test_a_second_start_with_the_same_book_opens_the_running_program(app):
    second = start(app.home, "--no-browser")
    assert second.returncode == 0
    assert second.stdout.strip() == f"Hatchmargin already runs with this book: {app.url}"


def test_the_start_says_the_address_and_the_path_of_the_book_and_no_trace(app):
    words = (app.home / "printed.txt").read_text(encoding="utf-8")
    assert app.url in words
    assert str(app.home / "my-book.sqlite") in words
    assert "Traceback" not in words


def test_a_port_in_use_is_refused_with_a_sentence(app, tmp_path):
    other = start(tmp_path, "--no-browser", "--port", str(app.port))
    assert other.returncode == 2
    assert other.stderr.startswith(f"Port {app.port} is in use by another program")


def test_a_word_that_is_no_port_is_refused(tmp_path):
    refused = start(tmp_path, "--port", "http")
    assert refused.returncode == 2
    assert "allowed: 1 to 65535" in refused.stderr


def test_a_claim_left_by_a_killed_program_does_not_bar_the_book(tmp_path):
    from dashboard import running

    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HATCHMARGIN_HOME", str(tmp_path))
        patch.setattr(running, "_STARTING", 0.0)
        first, ours = running.claim(tmp_path / "my-book.sqlite", free_port())
        again, ours_again = running.claim(tmp_path / "my-book.sqlite", free_port())
    assert (ours, ours_again) == (True, True)
    assert again.path == first.path
