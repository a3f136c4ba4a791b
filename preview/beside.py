"""The light beside every edge: what of each cloth lies there, as cut, turned and bent."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import erf, sqrt

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion
from palettes.shares import Places
from palettes.viewing import Viewing
from preview.audition import Audition
from preview.keeping import PaintCache
from preview.seen_cloth import SeenCloth, look_at, see_cloth, unblurred_cloth
from preview.survey import Survey
from swatches.swatch import Swatch

__all__ = ["means_lin", "moved", "patch_rows", "places_beside", "rows_of_places"]

_Floats = NDArray[np.float64]
_Ints = NDArray[np.intp]

_WHOLE = 0.999
"""A patch that keeps this much of its own light is not mixed with its neighbour at all."""


def rows_of_places(places: Sequence[Motion]) -> _Floats:
    """Motions as rows of (cos, sin, dx_in, dy_in)."""
    return np.array([[float(m.cos), float(m.sin), float(m.dx_in), float(m.dy_in)] for m in places])


def patch_rows(audition: Audition) -> _Floats:
    """The place of every patch on its cloth as a row, in the order of draft.patches."""
    return rows_of_places([audition.place_of(patch) for patch in audition.draft.patches])


def moved(rows: _Floats, points_in: _Floats) -> _Floats:
    """Points (n, 2) each moved by its own row, or all by one."""
    cos, sin, dx, dy = np.atleast_2d(rows).T
    x, y = points_in[:, 0], points_in[:, 1]
    return np.column_stack([cos * x - sin * y + dx, sin * x + cos * y + dy])


def places_beside(
    survey: Survey,
    audition: Audition,
    *,
    viewing: Viewing,
    cache: PaintCache,
    only: _Ints | None = None,
    rows: _Floats | None = None,
) -> Places:
    """Linear light beside the edges, ready for palettes.reading; of `only` these edges, in this order.

    rows: other places for the patches, as rows_of_places gives them.
    """
    patches = audition.draft.patches
    rows = patch_rows(audition) if rows is None else rows
    chosen = np.arange(len(survey.edges)) if only is None else only
    ends = np.append(survey.starts, survey.count)
    lengths = ends[chosen + 1] - ends[chosen]
    starts = np.cumsum(lengths) - lengths
    at = np.repeat(ends[chosen] - starts, lengths) + np.arange(lengths.sum())
    owners = [np.repeat(owner[chosen], lengths) for owner in survey.owners]
    radius_in = np.repeat(survey.radii_in[chosen], lengths)
    points = [
        moved(rows[owner], side[at])
        for side, owner in zip((*survey.near, *survey.far), (*owners, *owners), strict=True)
    ]
    light, known = _light_at(
        np.concatenate(points),
        cloths=[audition.cloth_of(patch) for patch in patches],
        owner_of=np.concatenate([*owners, *owners]),
        radius_in=np.tile(radius_in, 4),
        look=lambda cloth, radius: see_cloth(cloth, viewing=viewing, radius_in=radius, cache=cache),
    )
    shows = np.concatenate([side[at] for side in survey.shows])
    count = len(at)
    light[2 * count :][~(known[2 * count :] & shows)] = np.nan
    first, second, first_deep, second_deep = np.split(light, 4)
    first, second = _mixed(first, second, survey, chosen, lengths, viewing=viewing)
    told = known[:count] & known[count : 2 * count]
    # Places beyond a photograph say nothing, unless an edge has no other place.
    silent = np.add.reduceat(told, starts) == 0 if count else np.zeros(0, bool)
    return Places(first, second, first_deep, second_deep, starts, told | np.repeat(silent, lengths))


def _mixed(
    first: _Floats,
    second: _Floats,
    survey: Survey,
    chosen: _Ints,
    lengths: _Ints,
    *,
    viewing: Viewing,
) -> tuple[_Floats, _Floats]:
    """Both sides as they look where a patch is as narrow as the eye's blur: each has some of the other."""
    kept = [
        np.array([erf(float(each) / (2 * sqrt(2) * viewing.sigma_in)) for each in widths[chosen]])
        for widths in survey.widths_in
    ]
    # A patch too small to be measured is read as it is; nothing better is known of it.
    one, other = (np.repeat(np.where(each > 0, each, 1.0), lengths)[:, None] for each in kept)
    if one.min(initial=1) > _WHOLE and other.min(initial=1) > _WHOLE:
        return first, second
    return one * first + (1 - one) * second, other * second + (1 - other) * first


def means_lin(
    survey: Survey,
    audition: Audition,
    *,
    cache: PaintCache,
    only: _Ints | None = None,
    rows: _Floats | None = None,
) -> _Floats:
    """Mean linear light (n, 3) of what shows of each patch, or of `only` these; nan for a hidden one."""
    patches = audition.draft.patches
    chosen = np.arange(len(patches)) if only is None else only
    if not len(chosen):
        return np.empty((0, 3))
    insides = [survey.insides[index] for index in chosen]
    turn_of = np.repeat(np.arange(len(chosen)), [len(points) for points in insides])
    rows = patch_rows(audition) if rows is None else rows
    light, known = _light_at(
        moved(rows[chosen][turn_of], np.concatenate(insides)),
        cloths=[audition.cloth_of(patch) for patch in patches],
        owner_of=chosen[turn_of],
        look=lambda cloth, _: unblurred_cloth(cloth, cache=cache),
    )
    # Cloth beyond a photograph is left out, unless a patch has no other.
    told = np.bincount(turn_of, known, minlength=len(chosen))
    weight = np.where(told[turn_of] > 0, known, 1.0)
    sums = [np.bincount(turn_of, weight * light[:, each], minlength=len(chosen)) for each in range(3)]
    total = np.bincount(turn_of, weight, minlength=len(chosen))[:, None]
    return np.where(total > 0, np.stack(sums, axis=1) / np.maximum(total, 1e-9), np.nan)


def _light_at(
    points_in: _Floats,
    *,
    cloths: Sequence[Swatch],
    owner_of: _Ints,
    look: Callable[[Swatch, float], SeenCloth],
    radius_in: _Floats | None = None,
) -> tuple[_Floats, NDArray[np.bool_]]:
    """The light (n, 3) around cloth points, each on the cloth of its patch, and whether it is known."""
    radii, radius_of = np.unique(
        radius_in if radius_in is not None else np.zeros(len(points_in)), return_inverse=True
    )
    numbers: dict[int, int] = {}
    cloth_of = np.array([numbers.setdefault(id(cloth), len(numbers)) for cloth in cloths], np.intp)
    by_number = {numbers[id(cloth)]: cloth for cloth in cloths}
    group_of = (cloth_of[owner_of] * len(radii) + radius_of).astype(np.uint16)
    order = np.argsort(group_of, kind="stable")
    groups, firsts = np.unique(group_of[order], return_index=True)
    light, known = np.empty((len(points_in), 3)), np.empty(len(points_in), bool)
    for group, rows in zip(groups, np.split(order, firsts[1:]), strict=True):
        number, which = divmod(int(group), len(radii))
        seen = look(by_number[number], float(radii[which]))
        light[rows], known[rows] = look_at(seen, points_in[rows])
    return light, known
