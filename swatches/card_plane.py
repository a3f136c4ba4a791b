"""The plane of the cloth as a bank-card-size card shows it: inches on the cloth to pixels of the photo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, hypot
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.camera_pose import pose_over
from swatches.clicks import CLICK_PX, check_inside
from swatches.known_sizes import CARD, CARD_LONG_IN, CARD_SHORT_IN, KnownSize
from swatches.resampling import pixels_per_unit
from swatches.swatch import LEAST_PPI, MOST_PPI

__all__ = ["CARD_LONG_IN", "CARD_SHORT_IN", "CardError", "CardPlane", "find_card_plane"]

_LEAST_SIDE_PX = 30.0
_SLANT = 1.385
"""A ratio of sides seen from up to about 43 degrees off the vertical, either way."""
_MOST_OPPOSITE = 1.7
_RIGHTLY_SMALL = 0.01
_BESIDE_PX = {"by edges": 3.2, "by hand": 9.3}
"""As if each side of the card were so many pixels off: 19 of 20 pieces of cloth on its four sides, one card
length wide, are less far off. Corners lie where edges cross, or are marked within 2 pixels or so (CLICK_PX).
Measured on 40 simulated cards at 3 megapixels; on the card itself it is a third of that or less."""

Point = tuple[float, float]


class CardError(ValueError):
    """Corners that are not those of a card as a camera sees it. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True, eq=False)
class CardPlane:
    """The cloth's plane: inches from the card's centre, along the card's edges, right and down as seen."""

    to_photo: NDArray[np.float64]
    """Homography (3, 3) from inches to continuous pixels of the photograph."""
    card_width_in: float
    card_height_in: float
    """Of the cloth that the card hides, as it lies: a shade more than its own size, as it is thick."""
    width_px: int
    height_px: int
    """Size of the photograph."""
    ppi: float
    """Pixels per inch at the card, in the direction that has fewer."""
    uncertainty: float
    """Share by which the scale may be off up to one length of the card around it (19 of 20 cases)."""
    tilt_deg: float | None
    """The angle between the camera's axis and straight down on it; None where no pose fits."""
    note: str

    @property
    def corners_in(self) -> NDArray[np.float64]:
        """The card's corners (4, 2) in this plane, round from the upper left."""
        return _corners_in(self.card_width_in, self.card_height_in)


def find_card_plane(
    corners_px: Sequence[Point],
    *,
    width_px: int,
    height_px: int,
    thing: KnownSize = CARD,
    marked: Literal["by edges", "by hand"] = "by hand",
) -> CardPlane:
    """The plane from the four corners of a card or sheet, in any order, in a photograph of that size.

    `marked`: corners where found edges cross are surer than clicks.
    The plane's axes are the card's edges, turned by quarter turns so that up in the photograph stays up.
    Raises: PointError for corners outside the picture; CardError for corners that coincide, lie on a
        line, form no convex four-sided figure or one that no card shows.
    """
    if len(corners_px) != 4:
        raise CardError(
            f"A {thing.called} has 4 corners, not {len(corners_px)}", mend="Mark its four corners."
        )
    for corner in corners_px:
        check_inside(corner, width_px=width_px, height_px=height_px)
    corners = _from_top_left(corners_px, called=thing.called)
    across = (_side(corners, 0) + _side(corners, 2)) / 2
    down = (_side(corners, 1) + _side(corners, 3)) / 2
    _check_card_like(corners, across=across, down=down, thing=thing)
    wide, high = thing.long_in, thing.short_in
    if down > across:
        wide, high = high, wide
    own = _corners_in(float(wide), float(high))
    pose = pose_over(own, corners, width_px=width_px, height_px=height_px)
    # Seen past its edges, a face parallel to the cloth hides a larger piece of it of the same shape.
    nearer = 0.0 if pose is None else thing.thick_in / (pose.height_in + thing.thick_in)
    hidden = own / (1 - nearer)
    to_photo = np.asarray(
        cv2.getPerspectiveTransform(hidden.astype(np.float32), corners.astype(np.float32)), dtype=np.float64
    )
    ppi = pixels_per_unit(to_photo, (0.0, 0.0))[0]
    if not LEAST_PPI <= ppi <= MOST_PPI:
        raise CardError(
            f"The {thing.called} is seen at {ppi:.3g} pixels per inch", mend="Photograph it from nearer."
        )
    each_px = hypot(1 / across, 1 / down)
    uncertainty = hypot(_BESIDE_PX[marked] * each_px, thing.tolerance, nearer / 2)
    called = thing.called
    note = (
        f"Scale: from the four corners of a {called}, good to ±{uncertainty:.1%} on it and one length "
        f"of it around, less sure further off. The cloth is square to the {called}: "
        "lay its edge along the grain."
    )
    if nearer:
        note += f" {nearer:.2%} was taken off because the {called} is thick and so nearer to the camera."
    if CLICK_PX * each_px > _RIGHTLY_SMALL:
        note += f" The {called} is small in the picture: photograph it from nearer for a better scale."
    return CardPlane(
        to_photo, float(wide) / (1 - nearer), float(high) / (1 - nearer), width_px, height_px, ppi,
        uncertainty, None if pose is None else pose.tilt_deg, note,
    )  # fmt: skip


def _corners_in(wide: float, high: float) -> NDArray[np.float64]:
    """Corners (4, 2) of a rectangle round its middle, from the upper left."""
    return np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * (wide / 2, high / 2)


def _from_top_left(corners_px: Sequence[Point], *, called: str) -> NDArray[np.float64]:
    """The corners clockwise as seen, from the one that makes the first edge run most nearly to the right."""
    corners = np.array(corners_px, dtype=np.float64)
    centre = corners.mean(axis=0)
    clockwise = corners[np.argsort([atan2(y, x) for x, y in corners - centre], kind="stable")]
    edges = np.roll(clockwise, -1, axis=0) - clockwise
    if np.hypot(*edges.T).min() < _LEAST_SIDE_PX:
        raise CardError(
            f"Two of the {called}'s corners are less than {_LEAST_SIDE_PX:g} pixels apart",
            mend=f"Mark four different corners, or photograph the {called} from nearer.",
        )
    after = np.roll(edges, -1, axis=0)
    turns = (edges[:, 0] * after[:, 1] - edges[:, 1] * after[:, 0]) / (
        np.hypot(*edges.T) * np.hypot(*after.T)
    )
    # Below sin 30 degrees two edges are nearly in line: no tilt that is any use shows a card so.
    if turns.min() < 0.5:
        raise CardError(
            f"The four corners are not those of a {called}: "
            "they are in line, or one lies inside the other three",
            mend=f"Mark the four corners of the {called} again, where its edges would meet.",
        )
    leaning = [
        abs(atan2(edge[1] - edges[i - 2][1], edge[0] - edges[i - 2][0])) for i, edge in enumerate(edges)
    ]
    return np.roll(clockwise, -int(np.argmin(leaning)), axis=0)


def _side(corners: NDArray[np.float64], first: int) -> float:
    return hypot(*(corners[(first + 1) % 4] - corners[first]))


def _check_card_like(corners: NDArray[np.float64], *, across: float, down: float, thing: KnownSize) -> None:
    ratio = max(across, down) / min(across, down)
    sides = [_side(corners, i) for i in range(4)]
    uneven = max(max(sides[i], sides[i + 2]) / min(sides[i], sides[i + 2]) for i in (0, 1))
    own = float(thing.long_in / thing.short_in)
    if not own / _SLANT <= ratio <= own * _SLANT or uneven > _MOST_OPPOSITE:
        raise CardError(
            f"The marked sides are {ratio:.2f} to 1 and opposite ones differ {uneven:.2f} times; "
            f"a {thing.called} seen from above is {own:.2f} to 1 with equal ones",
            mend="Check the four corners, or photograph it from more nearly above.",
        )
