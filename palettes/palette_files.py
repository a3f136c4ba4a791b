"""A palette as text for other programs: CSV, JSON, and GPL, the plain list that drawing programs read."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence

from palettes.print_palette import PaletteColour

__all__ = ["palette_csv", "palette_gpl", "palette_json"]


def palette_csv(colours: Sequence[PaletteColour], *, measured: bool = True) -> str:
    """A table with a heading: name, hex, red, green, blue, share, L, a, b, family, and whether measured."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\r\n")
    rows.writerow(["name", "hex", "red", "green", "blue", "share", "L", "a", "b", "family", "measured"])
    told = "yes" if measured else "no"
    for each in colours:
        figures = (f"{value:.2f}" for value in each.lab)
        rows.writerow([each.name, each.hex, *_codes(each), f"{each.share:.4f}", *figures, each.family, told])
    return out.getvalue()


def palette_json(colours: Sequence[PaletteColour], *, name: str) -> str:
    """One object: the name, what the figures are, and the colours in order."""
    return (
        json.dumps(
            {
                "name": name,
                "space": "sRGB hex; L, a, b are CIELAB, D65",
                "colours": [
                    {
                        "name": each.name,
                        "hex": each.hex,
                        "share": round(each.share, 4),
                        "lab": [round(value, 2) for value in each.lab],
                        "family": each.family,
                    }
                    for each in colours
                ],
            },
            indent=2,
            ensure_ascii=False,
        )
        + "\n"
    )


def palette_gpl(colours: Sequence[PaletteColour], *, name: str) -> str:
    """The palette in GPL form: a heading of four lines, then red, green, blue and a name on each line."""
    heading = ["GIMP Palette", f"Name: {_one_line(name)}", "Columns: 0", "#"]
    lines = [
        " ".join(f"{code:3d}" for code in _codes(each)) + f"\t{_one_line(each.name)}" for each in colours
    ]
    return "\n".join([*heading, *lines]) + "\n"


def _codes(colour: PaletteColour) -> tuple[int, int, int]:
    red, green, blue = bytes.fromhex(colour.hex[1:])
    return red, green, blue


def _one_line(text: str) -> str:
    return " ".join(text.split()) or "palette"
