"""A disk that is full keeps what was, says so, and takes up work again once there is room."""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import subprocess
import sys
from pathlib import Path

import pytest

from dashboard.records import BackUpFailed, NotStored, open_book

ROOT = Path(__file__).parents[4]


def test_a_book_that_may_not_grow(book, price):
    """First way: the engine's own limit of pages."""
    book.add_animal("Larch", "normal")
    with book._store.reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages + 1}")
    with pytest.raises(NotStored, match="disk is full"):
        book.add_observations([price(minor=m) for m in range(1, 3000)], "big.csv")
    assert (len(book.animals()), book.price_observations(), book.data_version) == (1, (), 1)


@pytest.mark.skipif(os.name != "posix", reason="only such systems limit the size of a file")
def test_a_file_that_may_not_grow(path, price):
    """Second way: the system's limit on the size of a file, met in the midst of a transaction."""
    with open_book(path) as book:
        book.add_animal("Larch", "normal")
    limit = path.stat().st_size + 8192
    script = f"""
import resource, signal, sys
from pathlib import Path
from dashboard.records import NotStored, open_book
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
book = open_book(Path({str(path)!r}))
resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit}))
from dashboard.records import AnimalDraft
from genetics import Sex
drafts = [AnimalDraft(f"Animal {{n}}", Sex.UNSEXED, "normal", note="x" * 400) for n in range(400)]
try:
    book.add_animals(drafts, "big.csv")
except NotStored as refused:
    print(refused)
    print(len(book.animals()), book.data_version)
"""
    out = _run(script)
    assert "Nothing was saved" in out[0]
    assert out[1] == "1 1"
    with open_book(path) as book:
        assert [animal.name for animal in book.animals()] == ["Larch"]
        assert book.add_animal("Alder", "normal").id


@pytest.fixture
def small_disk(tmp_path):
    """A disk of half a megabyte of its own."""
    place = tmp_path / "disk"
    place.mkdir()
    name = ctypes.util.find_library("c")
    libc = ctypes.CDLL(name, use_errno=True) if name else None
    if libc is None or not hasattr(libc, "mount") or os.name != "posix":
        pytest.skip("no small disk can be made on this system")
    if libc.mount(b"tmpfs", str(place).encode(), b"tmpfs", 0, b"size=640k") != 0:
        pytest.skip(f"no small disk can be made here: {os.strerror(ctypes.get_errno())}")
    yield place
    libc.umount2(str(place).encode(), 2)


def test_a_disk_that_is_full(small_disk, price):
    """Third way: a real disk with no room left, for an edit, a back-up and a new book."""
    path = small_disk / "book.sqlite"
    with open_book(path) as book:
        book.add_animal("Larch", "normal")
        with pytest.raises(NotStored, match=r"disk is full|refused to write"):
            book.add_observations([price(minor=m) for m in range(1, 9000)], "big.csv")
        assert (len(book.animals()), book.price_observations(), book.data_version) == (1, (), 1)
        filler = small_disk / "filler"
        filler.write_bytes(b"x" * _room(small_disk))
        with pytest.raises(BackUpFailed):
            book.back_up()
        assert not list((small_disk / "book-back-ups").glob("*"))
        with pytest.raises(NotStored):
            open_book(small_disk / "second.sqlite")
        assert not (small_disk / "second.sqlite").exists()
        filler.unlink()
        assert book.add_animal("Alder", "normal").id
        assert book.back_up().path.exists()
    with open_book(path) as book:
        assert [animal.name for animal in book.animals()] == ["Larch", "Alder"]


def _room(place):
    status = os.statvfs(place)
    return status.f_bavail * status.f_frsize


def _run(script):
    found = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
        timeout=60,
    )
    assert found.returncode == 0, found.stderr
    return found.stdout.splitlines()
