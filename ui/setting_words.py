"""What is said of a setting: what its own roles are for, what it is made of, and how large it is."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from blocks.motion import Number
from blocks.quilt import Quilt
from blocks.setting import Setting
from cutting.rules import size_text

__all__ = ["quilt_sentence", "rounded_in", "setting_roles", "setting_sentence"]


def setting_roles(setting: Setting) -> dict[str, str]:
    """The roles that the setting itself brings, with what each is for; some may be roles of a block too."""
    uses: dict[str, list[str]] = {}
    sash = setting.sashing
    if setting.on_point:
        uses.setdefault(setting.triangle_cloth, []).append("the setting and corner triangles")
    if sash is not None:
        uses.setdefault(sash.cloth, []).append("the sashing between the blocks")
        if sash.cornerstone:
            uses.setdefault(sash.cornerstone, []).append("the cornerstones of the sashing")
    many = len(setting.borders) > 1
    for number, border in enumerate(setting.borders, start=1):
        uses.setdefault(border.cloth, []).append(f"border {number}" if many else "the border")
    if setting.binding is not None:
        uses.setdefault(setting.binding.cloth, []).append("the binding")
    return {role: ", ".join(what) for role, what in uses.items()}


def setting_sentence(setting: Setting) -> str:
    """How the blocks are set, in one sentence."""
    parts = [part for row in (*setting.rows, *setting.between) for part in row]
    counts = Counter(part.of for part in parts)
    listed = ", ".join(f"{count} x {name}" for name, count in counts.items())
    if setting.on_point:
        how = f"on point, {setting.across} across and {setting.down} down with the blocks in between"
    else:
        how = f"{setting.across} across and {setting.down} down"
    extras = list(setting_roles(setting).values())
    return f"{len(parts)} blocks ({listed}), {how}{'; ' if extras else ''}{', '.join(extras)}."


def quilt_sentence(quilt: Quilt, *, grid_in: Fraction) -> str:
    """How large the quilt finishes, in the ruler's own units."""
    sides = rounded_in(quilt.finished_width_in), rounded_in(quilt.finished_height_in)
    about = "about " if quilt.setting.on_point else ""
    return f"The quilt finishes {about}{size_text(*sides, grid_in=grid_in)}."


def rounded_in(length_in: Number) -> Fraction:
    """A length to read: exact, or to an eighth of an inch where a diagonal makes it irrational."""
    return length_in if isinstance(length_in, Fraction) else Fraction(round(length_in * 8), 8)
