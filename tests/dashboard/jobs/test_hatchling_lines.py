"""Lines of hatchlings: looks with sex and number; males.females.unsexed is the trade's own notation."""

from __future__ import annotations

from collections import Counter

import pytest

from dashboard.jobs.hatchling_lines import read_lines
from dashboard.records import catalogue_reader
from genetics import Sex

M, F, U = Sex.MALE, Sex.FEMALE, Sex.UNSEXED


@pytest.fixture(scope="module")
def reader():
    return catalogue_reader()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("pastel het clown f", {("pastel het clown", F): 1}),
        ("clown", {("clown", U): 1}),
        ("4 clown m", {("clown", M): 4}),
        ("3 x enchi ?", {("enchi", U): 3}),
        ("2× pastel female", {("pastel", F): 2}),
        ("66% het clown m", {("66% het clown", M): 1}),
        ("2 66% het clown", {("66% het clown", U): 2}),
        ("1.2 het clown", {("het clown", M): 1, ("het clown", F): 2}),
        ("0.1.3 normal", {("normal", F): 1, ("normal", U): 3}),
        ("pastel f\n\n  3 like this\nclown m,", {("pastel", F): 4, ("clown", M): 1}),
        ("1.1 pastel\n2 more like that", {("pastel", M): 1, ("pastel", F): 3}),
    ],
)
def test_lines_as_a_breeder_writes_them(reader, text, expected):
    lines = read_lines(text, reader)
    assert lines.faults == ()
    assert Counter((draft.text, draft.sex) for draft in lines.drafts) == expected


def test_a_line_that_can_t_be_read_says_where_and_what_is_nearest(reader):
    lines = read_lines("clown f\npastle het clown m", reader)
    (fault,) = lines.faults
    assert (fault.line, fault.written) == (2, "pastle het clown m")
    assert "pastel" in fault.why.nearest
    assert fault.why.word == "pastle"


def test_nothing_above_none_hatched_and_too_many_are_refused(reader):
    assert "no line above" in read_lines("2 like this", reader).faults[0].why.reason
    assert "none hatched" in read_lines("0.0 clown", reader).faults[0].why.reason
    assert "26 hatchlings; at most 25" in read_lines("20 clown\n6 pastel", reader).faults[0].why.reason
