"""What every way of measuring the scale of a photograph gives, or why it gives none."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["MeasuredScale", "ScaleError"]


class ScaleError(ValueError):
    """A scale that cannot be used. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True)
class MeasuredScale:
    """Pixels per inch of cloth, and where they came from in plain words."""

    ppi: float
    note: str
    off: float | None = None
    """Share by which it may be off in 19 of 20 cases, as far as can be said."""
    tilt_deg: float | None = None
    """How far the camera looked off straight down along what was measured, where that shows."""
