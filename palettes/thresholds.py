"""Every figure that decides what a seam is called, each with its unit, its meaning and its source.

The figures marked "ours" are a first proposal to be tried with quilters, not a law: they were set by
looking at 26 pairs of cloth drawn as leaves and stems, by one reader, and held against other pairs that
had no part in setting them. The published ones in FOOTING decide nothing; they are shown beside a
reading so that a maker can hold ours against them.
"""

# ruff: noqa: N815 - L* and CIEDE2000 keep their capitals in field names too

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FOOTING", "OURS", "THRESHOLDS", "Figure", "Thresholds", "deciding_figures"]

OURS = "ours"


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The figures a reading is made with. Another set can be tried with dataclasses.replace."""

    eye_spread_deg: float = 0.05
    compared_radius_in: float = 1 / 8
    narrow_in: float = 1 / 2
    narrow_radius_in: float = 1 / 16
    half_seen_L: float = 10.0
    sureness_L: float = 5.0
    red_green_weight: float = 0.3
    blue_yellow_weight: float = 0.1
    turned_weight: float = 0.5
    inside_in: float = 0.25
    false_edge_weight: float = 0.35
    clear_share: float = 0.80
    soft_share: float = 0.40
    lost_place: float = 0.5
    lively_share: float = 0.05
    busy_share: float = 0.25
    same_dE00: float = 8.0
    merges_share: float = 0.12
    like_scale: float = 1.6
    one_cloth_L: float = 6.0
    one_cloth_colour: float = 0.5
    clump_L: float = 10.0
    unmeasured_L: float = 8.3
    grey_card_L: float = 6.1
    white_paper_L: float = 4.7
    grey_steps_L: float = 2.7
    chart_L: float = 0.7
    one_photo_grey_L: float = 2.4
    one_photo_paper_L: float = 5.5
    one_photo_grey_card_L: float = 6.9
    one_photo_unmeasured_L: float = 6.0
    screen_veil: float = 0.01
    projector_veil: float = 0.05
    matters_share: float = 0.1
    marked_lab: float = 3.0
    apart_lab: float = 13.0
    neutral_C: float = 10.0
    clump_fewest: float = 3.0
    shelf_same_lab: float = 12.0
    harmony_ab: float = 20.0
    calm_weight: float = 0.5
    merge_weight: float = 0.5
    worth_share: float = 0.05
    outline_in: float = 1 / 16


THRESHOLDS = Thresholds()


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with what it means and where it comes from: OURS, or a publication."""

    value: float
    unit: str
    meaning: str
    source: str


_PHOTOS = f"{OURS}: simulated photographs of 99 real reflectances in 2 cameras and 9 lights"
"""Doubts are standard deviations with which, were errors normal, 19 of 20 stay within them on the worse side:
errors lean to one side, a grey card's to too light. Measured with benchmarks.photo_colour.errors_L."""


def deciding_figures(thresholds: Thresholds = THRESHOLDS) -> tuple[Figure, ...]:
    """The figures behind a reading, in the order in which they come into it."""
    t = thresholds
    return (
        Figure(
            t.eye_spread_deg,
            "degrees",
            "spread s of the eye's blur, exp(-r^2 / s^2): between S-CIELAB's paper and its program",
            "the number for the narrow luminance term in the authors' program (Zhang and Wandell)",
        ),
        Figure(t.compared_radius_in, "in", "how much cloth beside an edge the eye takes together", OURS),
        Figure(t.narrow_in, "in", "a patch under this width is compared over less cloth", OURS),
        Figure(t.narrow_radius_in, "in", "how much cloth is taken together beside a narrow patch", OURS),
        Figure(
            t.half_seen_L,
            "L*",
            "a step this large is sure to be seen at half the places; it is one Munsell value step",
            f"{OURS}; one value step is about 10 L* by ASTM D1535",
        ),
        Figure(t.sureness_L, "L*", "how much more makes the eye surer: 84 % at one of these more", OURS),
        Figure(
            t.red_green_weight,
            "L* per unit of a*",
            "what a step towards red or green adds when colour helps",
            OURS,
        ),
        Figure(
            t.blue_yellow_weight,
            "L* per unit of b*",
            "what a step towards blue or yellow adds: little, for such a step alone makes almost no border",
            f"{OURS}, after Tansley and Boynton, and J. Opt. Soc. Am. 71, 145 (1981)",
        ),
        Figure(
            t.turned_weight,
            "",
            "what a place counts whose step runs against the rest: light on dark where most is dark on light",
            OURS,
        ),
        Figure(t.inside_in, "in", "how far inside each cloth its own false edges are looked for", OURS),
        Figure(
            t.false_edge_weight,
            "",
            "how much of each cloth's own false edges is taken off the share that shows",
            f"{OURS}; that a busy ground hides a step: Montag and Berns (2000), Color Res. Appl. 25, 241",
        ),
        Figure(t.clear_share, "of the edge", "from here up an edge is called clear", OURS),
        Figure(t.soft_share, "of the edge", "from here up an edge is soft, below it is lost", OURS),
        *_beside_the_share(t),
        *_doubts(t),
        *_for_choosing(t),
    )


def _beside_the_share(t: Thresholds) -> tuple[Figure, ...]:
    return (
        Figure(
            t.lost_place, "", "a place counts as lost when its step is less sure to be seen than this", OURS
        ),
        Figure(
            t.lively_share, "of the edge", "false edges from here up make a cloth lively, not plain", OURS
        ),
        Figure(t.busy_share, "of the edge", "false edges from here up make a cloth busy", OURS),
        Figure(
            t.same_dE00,
            "CIEDE2000",
            "two colours closer than this are taken for the same across a room",
            OURS,
        ),
        Figure(
            t.merges_share,
            "of both cloths",
            "from here up one cloth holds so much of the other's own colours that the two merge",
            OURS,
        ),
        Figure(t.like_scale, ":1", "motifs whose sizes are nearer than this are of like scale", OURS),
        Figure(t.one_cloth_L, "L*", "prints of like scale nearer than this look like one cloth", OURS),
        Figure(
            t.one_cloth_colour, "", "how much of colour's help is left where two prints look like one", OURS
        ),
        Figure(t.clump_L, "L*", "cloths within this of each other, and no more, are a clump", OURS),
    )


def _doubts(t: Thresholds) -> tuple[Figure, ...]:
    return (
        Figure(
            t.unmeasured_L,
            "L*",
            "doubt about a cloth photographed without a reference, a third of a stop of exposure with it",
            _PHOTOS,
        ),
        Figure(t.grey_card_L, "L*", "doubt about one photographed with one grey card", _PHOTOS),
        Figure(t.white_paper_L, "L*", "doubt about one photographed with white paper only", _PHOTOS),
        Figure(t.grey_steps_L, "L*", "doubt about one photographed with steps of grey", _PHOTOS),
        Figure(t.chart_L, "L*", "doubt about one photographed with steps of grey and 24 colours", _PHOTOS),
        Figure(
            t.one_photo_grey_L,
            "L*",
            "doubt about the step between two in one photograph with steps of grey",
            _PHOTOS,
        ),
        Figure(t.one_photo_paper_L, "L*", "the same with white paper only", _PHOTOS),
        Figure(t.one_photo_grey_card_L, "L*", "the same with one grey card", _PHOTOS),
        Figure(
            t.one_photo_unmeasured_L,
            "L*",
            "the same without a reference, with light that differs by a tenth from one to the other",
            _PHOTOS,
        ),
        Figure(
            t.screen_veil,
            "of white",
            "room light on a screen, added to everything that it shows",
            f"{OURS}, between the reference and the typical viewing room of IEC 61966-2-1",
        ),
        Figure(
            t.projector_veil, "of white", "room light on a projector's wall: contrast 20 to 1 is left", OURS
        ),
    )


def _for_choosing(t: Thresholds) -> tuple[Figure, ...]:
    return (
        Figure(
            t.matters_share, "of the edge", "a cause that takes or gives less is not named in a reason", OURS
        ),
        Figure(
            t.marked_lab, "CIELAB", "less spread than this in a cloth is weave and mottling, no motifs", OURS
        ),
        Figure(t.apart_lab, "CIELAB", "how far the main colours of a print lie apart at least", OURS),
        Figure(t.neutral_C, "C*", "less chroma than this is cream, grey, black or white", OURS),
        Figure(t.clump_fewest, "cloths", "so many make a clump; two of one value are a pair", OURS),
        Figure(
            t.shelf_same_lab,
            "CIELAB",
            "the same colour when a shelf is ranked, where CIEDE2000 is slow",
            OURS,
        ),
        Figure(
            t.harmony_ab,
            "a*, b*",
            "a colour so far from the nearest of a print's own has a harmony of 0.37",
            OURS,
        ),
        Figure(t.calm_weight, "", "what a background pays for its own false edges on the shelf", OURS),
        Figure(
            t.merge_weight, "", "what a cloth pays on the shelf that is all in its neighbour's colours", OURS
        ),
        Figure(
            t.worth_share, "of the edge", "a remedy that shows less than this much more is not told", OURS
        ),
        Figure(t.outline_in, "in", "width of the stitch that outlines a patch", OURS),
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
