"""ICC profiles that are no more than three tone curves and a matrix, as most photographs carry them.

The colour engine of the picture library converts in 8 bits and cuts off what sRGB cannot hold; with the
profile itself at hand all bits are kept and vivid colours are dealt with deliberately. Profiles with tables
stay with that engine.

Source: ICC.1:2010 (profile version 4.3): header 7.2, tag table 7.3, XYZType 10.31, curveType 10.5,
parametricCurveType 10.16; matrix and curves as in annex F.3.
"""

from __future__ import annotations

import struct

import numpy as np
from numpy.typing import NDArray

from swatches.spaces import Space, xyz_to_srgb
from swatches.tone_curves import Formula, Points, Tones, gamma_tones

__all__ = ["space_from_icc"]

_MOST_TAGS = 100
_TABLES = frozenset({b"A2B0", b"A2B1", b"A2B2", b"D2B0", b"D2B1", b"D2B2", b"D2B3"})
# Source: ICC.1:2010, 7.2.16: the illuminant of the space in which profiles meet (D50).
_MEETING_WHITE = np.array([0.9642, 1.0, 0.8249])
# How many numbers each kind of formula has, and which of ours they are in the order of the file.
_FORMULAS = ("g", "gab", "gabc", "gabcd", "gabcdef")


def space_from_icc(icc: bytes) -> Space | None:
    """The space of an RGB or grey profile of curves and a matrix; None for any other or a broken one."""
    kind, meeting = icc[16:20], icc[20:24]
    tags = _tags(icc)
    if icc[36:40] != b"acsp" or meeting != b"XYZ " or _TABLES & tags.keys():
        return None
    try:
        if kind == b"GRAY":
            grey = _tones(tags[b"kTRC"])
            return Space("its profile", (grey, grey, grey), np.eye(3))
        if kind != b"RGB ":
            return None
        red, green, blue = (_tones(tags[channel + b"TRC"]) for channel in (b"r", b"g", b"b"))
        colorants = np.stack([_xyz(tags[channel + b"XYZ"]) for channel in (b"r", b"g", b"b")], axis=1)
    except (KeyError, ValueError, struct.error):
        return None
    return Space("its profile", (red, green, blue), xyz_to_srgb(_MEETING_WHITE) @ colorants)


def _tags(icc: bytes) -> dict[bytes, bytes]:
    """The bodies of all tags that lie inside the profile."""
    count = int.from_bytes(icc[128:132], "big")
    tags: dict[bytes, bytes] = {}
    for place in range(132, 132 + 12 * min(count, _MOST_TAGS), 12):
        if place + 12 > len(icc):
            break
        name, start, length = struct.unpack_from(">4sII", icc, place)
        if start + length <= len(icc):
            tags[name] = icc[start : start + length]
    return tags


def _xyz(body: bytes) -> NDArray[np.float64]:
    if body[:4] != b"XYZ ":
        raise ValueError("no XYZ values")
    return np.array(struct.unpack_from(">3i", body, 8)) / 65536


def _tones(body: bytes) -> Tones:
    """The tone curve of a tag. Raises: ValueError or struct.error for what is none."""
    kind = body[:4]
    if kind == b"para":
        number = struct.unpack_from(">H", body, 8)[0]
        names = _FORMULAS[number] if number < len(_FORMULAS) else ""
        return _formula(dict(zip(names, struct.unpack_from(f">{len(names)}i", body, 12), strict=True)))
    if kind != b"curv":
        raise ValueError("no curve")
    count = struct.unpack_from(">I", body, 8)[0]
    if count == 0:
        return gamma_tones(1.0)
    points = struct.unpack_from(f">{count}H", body, 12)
    return gamma_tones(points[0] / 256) if count == 1 else Points(points)


def _formula(stated: dict[str, int]) -> Formula:
    """The formula of stated numbers, each in 65536ths. Kinds that name fewer numbers imply the others."""
    part = {name: number / 65536 for name, number in stated.items()}
    a, b, g = part.get("a", 1.0), part.get("b", 0.0), part.get("g", 0.0)
    if not (a > 0 and 0 < g <= 20):
        raise ValueError("no formula of a tone curve")
    if "d" in part:
        return Formula(g, a, b, part["c"], part["d"], part.get("e", 0.0), part.get("f", 0.0))
    # Below -b/a the light is none, or in the kind with c just that.
    floor = part.get("c", 0.0)
    return Formula(g, a, b, d=-b / a if "a" in part else 0.0, e=floor, f=floor)
