"""Marks on printed pages: bars to measure, and where sheets overlap. All in inches from the top left."""

from __future__ import annotations

from collections.abc import Iterator

from preview.pdf_parts import polygon, text

__all__ = ["check_bars", "overlap_marks"]

_INCHES = 4
_CENTIMETRES = 10
_CM_IN = 1 / 2.54
_THIN_IN = 0.008


def check_bars(left_in: float, bottom_in: float) -> Iterator[str]:
    """Bars of 4 inches and 10 centimetres, along the foot and up the left side of a page.

    They meet near the corner given. Ticks stand at every inch and centimetre, inches longer.
    """
    yield f"{_THIN_IN} w 0 J [] 0 d"
    for upright in (False, True):
        for off, count, unit, word in ((0.12, _INCHES, 1.0, "in"), (0.36, _CENTIMETRES, _CM_IN, "cm")):
            start = 0.65
            yield _line(left_in, bottom_in, (start, off), (start + count * unit, off), upright=upright)
            for tick in range(count + 1):
                at = start + tick * unit
                tall = 0.1 if tick in (0, count) else 0.05
                yield _line(left_in, bottom_in, (at, off - tall), (at, off + tall), upright=upright)
            along, across = start + count * unit + 0.05, off
            x, y = _placed(left_in, bottom_in, (along, across), upright=upright)
            label = f"{count} {word}"
            yield text(x - 0.12 if upright else x, y if upright else y + 0.03, label, size_pt=7)


def overlap_marks(
    box_in: tuple[float, float, float, float],
    overlap_in: float,
    *,
    place: tuple[int, int],
    count: tuple[int, int],
) -> Iterator[str]:
    """Broken lines where the neighbouring sheets begin and end, with a diamond at both ends of each.

    The same line of the block is marked on both sheets, so the diamonds lie on each other when they match.
    """
    x, y, wide, high = box_in
    yield f"{_THIN_IN} w [0.08 0.06] 0 d"
    marks: list[tuple[float, float]] = []
    upright = [x + overlap_in] * (place[0] > 0) + [x + wide - overlap_in] * (place[0] + 1 < count[0])
    level = [y + overlap_in] * (place[1] > 0) + [y + high - overlap_in] * (place[1] + 1 < count[1])
    # The edges of the sheet's own share are the neighbour's broken lines.
    for at in [*upright, *([x] * (place[0] > 0)), *([x + wide] * (place[0] + 1 < count[0]))]:
        yield polygon([(at, y - 0.1), (at, y + high + 0.1)], closed=False)
        marks += [(at, y), (at, y + high)]
    for at in [*level, *([y] * (place[1] > 0)), *([y + high] * (place[1] + 1 < count[1]))]:
        yield polygon([(x - 0.1, at), (x + wide + 0.1, at)], closed=False)
        marks += [(x, at), (x + wide, at)]
    yield "[] 0 d"
    for mx, my in marks:
        yield polygon([(mx - 0.06, my), (mx, my - 0.06), (mx + 0.06, my), (mx, my + 0.06)])


def _placed(
    left_in: float, bottom_in: float, at: tuple[float, float], *, upright: bool
) -> tuple[float, float]:
    along, across = at
    return (left_in + across, bottom_in - along) if upright else (left_in + along, bottom_in - across)


def _line(
    left_in: float, bottom_in: float, start: tuple[float, float], end: tuple[float, float], *, upright: bool
) -> str:
    ends = [_placed(left_in, bottom_in, at, upright=upright) for at in (start, end)]
    return polygon(ends, closed=False)
