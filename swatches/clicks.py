"""Places a maker marks on a photograph."""

from __future__ import annotations

from math import isfinite

__all__ = ["CLICK_PX", "PointError", "check_inside"]

CLICK_PX = 2.0
"""How far a careful click lies from where it was meant, in pixels of the photograph (ours)."""


class PointError(ValueError):
    """A marked place that is not in the picture. Carries how to mend it."""

    def __init__(self, why: str) -> None:
        self.mend = "Give points in pixels of the upright picture, counted from its top left corner."
        super().__init__(f"{why}.")


def check_inside(point_px: tuple[float, float], *, width_px: int, height_px: int) -> None:
    """Nothing, when the point lies in the picture.

    Raises: PointError for a point outside it or one that is no number.
    """
    x, y = point_px
    if not (isfinite(x) and isfinite(y) and 0 <= x <= width_px and 0 <= y <= height_px):
        raise PointError(
            f"The point ({x:g}, {y:g}) lies outside the picture of {width_px} x {height_px} pixels"
        )
