"""The picture again, by slow and obvious code that shares only the drafts' own maps with the engine."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from blocks.values import Bend
from palettes.encodings import decode


def crossings(outline, y):
    """Sorted x where a level line crosses a closed outline."""
    found = []
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        x0, y0, x1, y1 = float(x0), float(y0), float(x1), float(y1)
        if (y0 <= y) != (y1 <= y):
            found.append(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
    return sorted(found)


def true_shares(draft, *, ppi, window, lines=16):
    """(patches, rows, columns): how much of each pixel shows each patch.

    Every pixel row is cut into `lines` strips, and again at every corner; along the middle of each strip
    the uppermost patch between any two crossings owns exactly that length.
    """
    left, top, width, height = window
    shares = np.zeros((len(draft.patches), height, width))
    upward = sorted(range(len(draft.patches)), key=lambda i: (draft.patches[i].layer, i))
    corners = [float(y) * ppi - top for patch in draft.patches for _, y in patch.outline]
    reach = [sorted(float(y) for _, y in patch.outline)[:: len(patch.outline) - 1] for patch in draft.patches]
    cuts = np.unique(np.clip([*np.arange(height * lines + 1) / lines, *corners], 0, height))
    for above, below in pairwise(cuts):
        middle_y = (above + below) / 2
        row = int(middle_y)
        spans = [
            (i, np.array(crossings(draft.patches[i].outline, (top + middle_y) / ppi)) * ppi - left)
            for i in upward
            if reach[i][0] <= (top + middle_y) / ppi <= reach[i][1]
        ]
        breaks = np.concatenate([np.arange(width + 1.0), *(at for _, at in spans)])
        breaks = np.unique(np.clip(breaks, 0, width))
        middle, length = (breaks[1:] + breaks[:-1]) / 2, np.diff(breaks)
        owner = np.full(len(middle), -1)
        for i, at in spans:
            owner[np.searchsorted(at, middle) % 2 == 1] = i
        shown = owner >= 0
        column = np.floor(middle).astype(int)
        np.add.at(shares, (owner[shown], row, column[shown]), length[shown] * (below - above))
    return shares


def true_light(audition, *, ppi, window, times):
    """(rows, columns, 3): linear light averaged over `times` x `times` points of each pixel.

    The cloth is taken as its photograph's pixels, each of one colour. Straight pieces only.
    """
    left, top, width, height = window
    column, row = np.meshgrid(np.arange(width), np.arange(height))
    total = np.zeros((height, width, 3))
    for i in range(times):
        for j in range(times):
            x = (left + column + (i + 0.5) / times) / ppi
            y = (top + row + (j + 0.5) / times) / ppi
            light = np.zeros((height, width, 3))
            for patch in sorted(audition.draft.patches, key=lambda each: (each.layer, each.number)):
                inside = _inside(patch.outline, x, y)
                light[inside] = _cloth_light(audition, patch, x[inside], y[inside])
            total += light
    return total / times**2


def _inside(outline, x, y):
    inside = np.zeros(x.shape, bool)
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        x0, y0, x1, y1 = float(x0), float(y0), float(x1), float(y1)
        if y0 != y1:
            inside ^= ((y0 <= y) != (y1 <= y)) & (x0 + (y - y0) * (x1 - x0) / (y1 - y0) <= x)
    return inside


def _cloth_light(audition, patch, x, y):
    assert not isinstance(patch.to_piece, Bend)
    swatch = audition.cloth_of(patch)
    motion = audition.place_of(patch).after(patch.to_piece)
    c, s = float(motion.cos), float(motion.sin)
    across = np.floor((c * x - s * y + float(motion.dx_in)) * swatch.ppi).astype(int)
    down = np.floor((s * x + c * y + float(motion.dy_in)) * swatch.ppi).astype(int)
    height, width = swatch.tile_srgb8.shape[:2]
    return decode(swatch.tile_srgb8[down % height, across % width] / 255)
