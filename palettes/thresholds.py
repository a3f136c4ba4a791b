"""Every figure that decides what a seam is called, each with its unit, its meaning and its source.

The figures marked "ours" were set by looking at 26 pairs of cloth drawn as leaves and stems, by one
reader: a first proposal to be tried with quilters, not a law. With them the shares rank those pairs much
as the reader did (Kendall's tau 0.8 by value, 0.77 with colour) and put one of the 26 in a class that
the reader would not. The published ones decide nothing; they
are shown beside a reading so that a maker can hold ours against them.
"""

# ruff: noqa: N815 - L* keeps its capital in field names too

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FOOTING", "OURS", "THRESHOLDS", "Figure", "Thresholds", "deciding_figures"]

OURS = "ours"


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The figures a reading is made with. Another set can be tried with dataclasses.replace."""

    half_seen_L: float = 10.0
    sureness_L: float = 5.0
    clear_share: float = 0.80
    soft_share: float = 0.40
    red_green_weight: float = 0.3
    blue_yellow_weight: float = 0.1
    false_edge_weight: float = 0.35
    turned_weight: float = 0.5
    inside_in: float = 0.25


THRESHOLDS = Thresholds()


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with what it means and where it comes from: OURS, or a publication."""

    value: float
    unit: str
    meaning: str
    source: str


def deciding_figures(thresholds: Thresholds = THRESHOLDS) -> tuple[Figure, ...]:
    """The figures behind a reading, in the order in which they come into it."""
    return (
        Figure(
            thresholds.half_seen_L,
            "L*",
            "a step this large is sure to be seen at half the places; it is one Munsell value step",
            f"{OURS}; one value step is about 10 L* by ASTM D1535",
        ),
        Figure(
            thresholds.sureness_L, "L*", "how much more makes the eye surer: 84 % at one of these more", OURS
        ),
        Figure(
            thresholds.red_green_weight,
            "L* per unit of a*",
            "what a step towards red or green adds when colour helps",
            OURS,
        ),
        Figure(
            thresholds.blue_yellow_weight,
            "L* per unit of b*",
            "what a step towards blue or yellow adds: little, for such a step alone makes almost no border",
            f"{OURS}, after Tansley and Boynton, and J. Opt. Soc. Am. 71, 145 (1981)",
        ),
        Figure(
            thresholds.turned_weight,
            "",
            "what a place counts whose step runs against the rest: light on dark where most is dark on light",
            OURS,
        ),
        Figure(
            thresholds.inside_in,
            "in",
            "how far inside each cloth its own false edges are looked for",
            OURS,
        ),
        Figure(
            thresholds.false_edge_weight,
            "",
            "how much of each cloth's own false edges is taken off the share that shows",
            f"{OURS}; that a busy ground hides a step: Montag and Berns (2000), Color Res. Appl. 25, 241",
        ),
        Figure(thresholds.clear_share, "of the edge", "from here up an edge is called clear", OURS),
        Figure(thresholds.soft_share, "of the edge", "from here up an edge is soft, below it is lost", OURS),
    )


FOOTING = (
    Figure(
        30.0,
        "L*",
        "the least difference advised for coloured text on a coloured ground",
        "Zuffi, Brambilla, Beretta and Scala, report HPL-2009-182",
    ),
    Figure(20.0, "L*", "the least at which small text can be read at all", "NASA Ames, colour usage pages"),
    Figure(
        3.0,
        ":1",
        "the least contrast for the parts of a picture that carry its meaning",
        "W3C, WCAG 2.1, success criterion 1.4.11",
    ),
    Figure(
        30.0,
        "% of light",
        "the difference in reflected light asked between surfaces that meet in a building",
        "BS 8300-2:2018, annex B",
    ),
)
"""Published figures for comparison: text and buildings, not cloth."""
