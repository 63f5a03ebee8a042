"""Keep the last few answers, so that a question asked again with the same inputs costs nothing."""

from __future__ import annotations

import itertools
import threading
import weakref
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Answer = TypeVar("Answer")

_numbers: dict[int, tuple[weakref.ref[object], int]] = {}
_next_number = itertools.count()
_numbering = threading.Lock()


def number_of(thing: object) -> int:
    """Give an object a number of its own, the same at each call, that no other object ever gets.

    Unlike its address in memory, which a later object may take over, it can stand for the object in
    the inputs of a kept answer without keeping the object itself.
    """
    with _numbering:
        found = _numbers.get(id(thing))
        if found is not None and found[0]() is thing:
            return found[1]
        number = next(_next_number)
        _numbers[id(thing)] = (weakref.ref(thing), number)
        return number


class Recent(Generic[Answer]):
    """The most recently used answers by their inputs; safe to use from several threads.

    Parameters
    ----------
    most
        How many answers to keep.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, Answer] = OrderedDict()
        self._busy: dict[Hashable, threading.Lock] = {}
        self._lock = threading.Lock()

    def get(self, inputs: Hashable, make: Callable[[], Answer]) -> Answer:
        """Answer to these inputs: the kept one, or a new one, which is then kept.

        Threads that ask together wait for the one that makes the answer. A question that fails is kept
        by nobody; the next one asks anew.
        """
        with self._lock:
            if inputs in self._kept:
                self._kept.move_to_end(inputs)
                return self._kept[inputs]
            turn = self._busy.setdefault(inputs, threading.Lock())
        with turn:
            with self._lock:
                if inputs in self._kept:
                    return self._kept[inputs]
            try:
                return self._keep(inputs, make())
            finally:
                with self._lock:
                    self._busy.pop(inputs, None)

    def _keep(self, inputs: Hashable, answer: Answer) -> Answer:
        with self._lock:
            self._kept[inputs] = answer
            self._kept.move_to_end(inputs)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return answer

    def clear(self) -> None:
        """Forget everything."""
        with self._lock:
            self._kept.clear()
