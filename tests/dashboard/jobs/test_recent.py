"""Kept answers: used again for the same inputs only, never for another object's address."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from dashboard.jobs.recent import Recent, number_of


def test_an_answer_is_made_once_and_the_longest_unused_one_is_forgotten():
    made, kept = [], Recent[str](2)

    def ask(question: str) -> str:
        return kept.get(question, lambda: made.append(question) or question.upper())

    assert [ask(q) for q in "aabab"] == ["A", "A", "B", "A", "B"]
    ask("a")
    ask("c")  # b was unused for longest
    ask("a")
    assert made == ["a", "b", "c"]
    ask("b")
    assert made == ["a", "b", "c", "b"]
    kept.clear()
    ask("b")
    assert made[-1] == "b"
    assert len(made) == 5


def test_a_question_that_fails_is_kept_by_nobody():
    kept = Recent[int](2)
    with pytest.raises(ZeroDivisionError):
        kept.get("q", lambda: 1 // 0)
    assert kept.get("q", lambda: 7) == 7


def test_many_threads_get_the_answers_to_their_own_questions():
    kept = Recent[int](5)
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda n: kept.get(n % 9, lambda: (n % 9) ** 2), range(2000)))
    assert found == [(n % 9) ** 2 for n in range(2000)]


class Thing:
    pass


def test_an_object_keeps_its_number_and_a_later_one_at_the_same_address_gets_another():
    thing = Thing()
    number = number_of(thing)
    assert number_of(thing) == number
    seen, addresses = {number}, set()
    for _ in range(50):
        thing = Thing()
        assert number_of(thing) not in seen
        seen.add(number_of(thing))
        addresses.add(id(thing))
        del thing
    assert len(addresses) < 50  # addresses were used again, numbers never
