"""How far a long drawing is, and whether it should stop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["QUIET", "Cancelled", "Watch"]


class Cancelled(Exception):
    """The drawing was stopped because it was asked to; nothing half-written is left."""

    def __init__(self) -> None:
        super().__init__("Stopped; nothing was written.")


@dataclass(frozen=True, slots=True)
class Watch:
    """Whom to tell how far it is (0 to 1), and whom to ask whether to stop. Both may be left out."""

    tell: Callable[[float], object] | None = None
    stop: Callable[[], bool] | None = None

    def at(self, share: float) -> None:
        """Says how far it is. Raises: Cancelled if it should stop."""
        if self.stop is not None and self.stop():
            raise Cancelled
        if self.tell is not None:
            self.tell(min(1.0, max(0.0, share)))


QUIET = Watch()
