"""Keeps what is costly to make again, within a memory limit; the oldest unused goes first."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import RLock
from typing import TypeVar

__all__ = ["PaintCache"]

_Kept = TypeVar("_Kept")

_LIMIT_BYTES = 768 * 2**20


class PaintCache:
    """Prefiltered cloths, laid cloths and the last picture of each frame, for repainting quickly.

    Pass one to paint again and again; nothing is kept outside it. `lock` is held while painting, so
    one cache may serve several threads.
    """

    def __init__(self, *, limit_bytes: int = _LIMIT_BYTES) -> None:
        self.lock = RLock()
        self._limit_bytes = limit_bytes
        self._kept: OrderedDict[Hashable, tuple[object, int]] = OrderedDict()
        self._bytes = 0

    @property
    def kept_bytes(self) -> int:
        """How much is kept now."""
        return self._bytes

    def get(self, key: Hashable, make: Callable[[], _Kept], *, weigh: Callable[[_Kept], int]) -> _Kept:
        """What was made for this key, made now if it is not kept. `weigh` gives its size in bytes."""
        with self.lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key][0]  # type: ignore[return-value]
            made = make()
            self._put(key, made, weigh(made))
            return made

    def forget(self, token: object) -> None:
        """Drops what was kept for a frame: after a picture that is drawn in many windows, once each."""
        with self.lock:
            for key in [key for key in self._kept if isinstance(key, tuple) and token in key[1:2]]:
                _, freed = self._kept.pop(key)
                self._bytes -= freed

    def _put(self, key: Hashable, made: object, size: int) -> None:
        if size > self._limit_bytes:
            return
        while self._kept and self._bytes + size > self._limit_bytes:
            _, (_, freed) = self._kept.popitem(last=False)
            self._bytes -= freed
        self._kept[key] = (made, size)
        self._bytes += size
