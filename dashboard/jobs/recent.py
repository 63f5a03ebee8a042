"""Keep the last few answers, so that a question asked again with the same inputs costs nothing."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Answer = TypeVar("Answer")


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
        self._lock = threading.Lock()

    def get(self, inputs: Hashable, make: Callable[[], Answer]) -> Answer:
        """Answer to these inputs: the kept one, or a new one, which is then kept.

        Two threads may make the same answer at once; a question that fails is kept by nobody.
        """
        with self._lock:
            if inputs in self._kept:
                self._kept.move_to_end(inputs)
                return self._kept[inputs]
        answer = make()
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
