"""What in a photograph tells its scale, and what tells its colours."""

from __future__ import annotations

from dataclasses import dataclass

from swatches.chart_colours import Edition
from swatches.ruler_scale import RulerTicks
from swatches.scale import CardCorners, ShownAcross, TwoPoints, TypedPpi
from swatches.sheet_layout import PAPER_REFLECTANCE, Page

__all__ = ["Card", "Chart", "ColourReference", "GreyCard", "Paper", "PhotoSheet", "Reference", "WhitePaper"]

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]


@dataclass(frozen=True, slots=True)
class PhotoSheet:
    """Our printed sheet, found by itself; its 100 mm bar measured once for a printer."""

    bar_mm: float = 100.0


@dataclass(frozen=True, slots=True)
class Card:
    """A bank-card-size card: found by itself, or near rough corners, or with `exact` just where they are."""

    corners_px: Corners | None = None
    exact: bool = False


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper of a standard size, found as a card is."""

    page: Page
    corners_px: Corners | None = None
    exact: bool = False


@dataclass(frozen=True, slots=True)
class GreyCard:
    """A place on an even grey card in the photograph."""

    point_px: Point
    reflectance: float = 0.18


@dataclass(frozen=True, slots=True)
class WhitePaper:
    """A place on white paper in the photograph."""

    point_px: Point
    reflectance: float = PAPER_REFLECTANCE


@dataclass(frozen=True, slots=True)
class Chart:
    """A 24-patch chart: found by itself, or by the outer corners of its field of patches, in order round."""

    corners_px: Corners | None = None
    edition: Edition = "after 2014"


Reference = PhotoSheet | Card | Paper | CardCorners | TwoPoints | RulerTicks | ShownAcross | TypedPpi
ColourReference = GreyCard | WhitePaper | Chart
