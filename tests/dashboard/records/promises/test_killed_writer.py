"""A program killed at any moment loses no edit it reported and leaves none half done."""

from __future__ import annotations

import itertools
import os
import random
import signal
import threading
import time
from collections import Counter

import pytest

from dashboard.records import HatchlingDraft, open_book
from genetics import Sex

EDITS = 1_500
ROWS = 3
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system can't fork a process to kill it")


def test_nothing_reported_is_lost_and_nothing_is_half_done_under_kill(path):
    """`EDITS` edits of three rows each, killed at random times; a row each for clutch and parents."""
    _start(path)
    draw = random.Random(20261125)
    reported: set[tuple[str, int]] = set()
    turn = 0
    end = time.monotonic() + 100
    while len(reported) < EDITS and time.monotonic() < end:
        name = f"turn{turn}"
        reported |= {(name, number) for number in _write_until_killed(path, name, draw.uniform(0.02, 3.0))}
        turn += 1
        _check(path, reported, turn)
    assert len(reported) >= EDITS
    assert turn >= 5


def _start(path):
    with open_book(path, reader=lambda text, sex: ()) as book:
        sire = book.add_animal("Basalt", "normal", sex=Sex.MALE)
        dam = book.add_animal("Tansy", "normal", sex=Sex.FEMALE)
        pairing = book.add_pairing(2026, sire.id, dam.id)
        from dashboard.records.kinds import CLUTCHES

        book.add_row(CLUTCHES, {"pairing_id": pairing.id})


def _check(path, reported, turns):
    with open_book(path, reader=lambda text, sex: ()) as book:
        young = [animal for animal in book.animals() if animal.clutch_id is not None]
        edits = Counter((name, int(number)) for name, number, _ in (a.name.split() for a in young))
        lost = reported - set(edits)
        assert not lost, f"{len(lost)} reported edits are gone"
        assert set(edits.values()) == {ROWS}, "an edit is half done"
        assert len(set(edits) - reported) <= turns  # stored, killed before it could say so: one a turn
        assert book.data_version == len(edits) + 4
        rows = {(animal.version, animal.name.rsplit(" ", 1)[0]) for animal in young}
        assert len(rows) == len(edits)  # all rows of an edit have its number


def _write_until_killed(path, name, seconds):
    """Write in a process of its own until it is killed; gives the numbers of the edits it reported."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _write(path, name, writing)
    os.close(writing)
    killer = threading.Timer(seconds, os.kill, (child, signal.SIGKILL))
    killer.start()
    with os.fdopen(reading) as reports:
        out = reports.read()
    killer.join()
    os.waitpid(child, 0)
    whole = out.splitlines() if out.endswith("\n") else out.splitlines()[:-1]
    return [int(line) for line in whole]


def _write(path, name, reports):
    book = open_book(path, reader=lambda text, sex: ())
    for number in itertools.count():
        drafts = [HatchlingDraft("normal", name=f"{name} {number} {part}") for part in range(ROWS)]
        book.add_hatchlings(1, drafts)
        os.write(reports, f"{number}\n".encode())
