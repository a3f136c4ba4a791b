"""What the renderer is measured on: a block of 60 pieced patches with appliqué, a quilt of eighty."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from blocks.blockfile import parse_block
from blocks.drafting import draft_block
from blocks.motion import Motion, shift, turn
from blocks.quilt import Quilt, set_quilt
from blocks.setting import Border, Sashing, Setting
from blocks.steps import Part
from blocks.values import Draft
from preview.audition import make_audition
from preview.quilt_audition import dress_quilt
from preview.scene import scene_of
from preview.wear import Dressed
from swatches.demo import demo_swatch

__all__ = ["CLOTHS", "Bench", "bench_block", "bench_quilt", "dressed", "scattered_places"]

CLOTHS = {
    "ground": "late garden",
    "pear": "bee garden",
    "leaf": "apple blossom",
    "plum": "clover field",
    "cream": "hay meadow",
    "straw": "night hedge",
    "stem": "mill stripe",
    "petal": "orchard lane",
    "sash": "pear drop",
    "stone": "hen yard",
    "border": "gate plaid",
}
"""Prints that repeat every 2 to 10 inches, at 150 pixels per inch."""

OTHER_CLOTH = "picnic cloth"
"""What a role is swapped to."""

_HEAD = """
name = "Bench"
finished = "{side}"
[roles]
ground = "a"
pear = "b"
leaf = "c"
plum = "d"
cream = "e"
straw = "f"
stem = "g"
petal = "h"
[[step]]
name = "plain"
make = "rectangle"
finished = "{unit}"
cloth = "ground"
[[step]]
name = "first halves"
make = "half-square triangle"
finished = "{unit}"
cloths = ["pear", "leaf"]
[[step]]
name = "second halves"
make = "half-square triangle"
finished = "{unit}"
cloths = ["plum", "cream"]
[[step]]
name = "four"
make = "rows"
of = [["light", "dark"], ["dark", "light"]]
"""
_SQUARES = """
[[step]]
name = "light"
make = "rectangle"
finished = "{half}"
cloth = "cream"
[[step]]
name = "dark"
make = "rectangle"
finished = "{half}"
cloth = "straw"
"""
_STEM = '[[applique]]\nname = "stem {n}"\nshape = "stem"\ncloth = "stem"\npath = "{path}"\nwidth = "3/8"\n'
_PETAL = (
    '[[applique]]\nname = "petal {n}"\nshape = "petal"\ncloth = "petal"\n'
    'at = "{x}, {y}"\nlength = "1 1/2"\nwidth = "5/8"\nturn = {turn}\n'
)
_STEMS = ("M 2 11 C 3 6 6 7 6 2", "M 6.5 11.5 C 8 8 4 6 7 1.5", "M 11 11 C 12 6 8 7 9 2")


def _block_text(side_in: Fraction) -> str:
    sizes = {"side": side_in, "unit": side_in / 5, "half": side_in / 10}
    head, four = _HEAD.split('[[step]]\nname = "four"')
    text = head + _SQUARES + '[[step]]\nname = "four"' + four
    for name, value in sizes.items():
        text = text.replace("{" + name + "}", str(value))
    # Ten first halves, four second, seven fours and four plain squares: 60 patches.
    units = ["first halves"] * 10 + ["second halves"] * 4 + ["four"] * 7 + ["plain"] * 4
    order = np.random.default_rng(4).permutation(len(units))
    rows = [
        [
            f'"{units[k]} turned {90 * (k % 4)}"' if k % 4 and units[k] != "four" else f'"{units[k]}"'
            for k in row
        ]
        for row in order.reshape(5, 5)
    ]
    listed = ",\n".join("[" + ", ".join(row) + "]" for row in rows)
    text += f'[[step]]\nname = "whole"\nmake = "rows"\nof = [\n{listed}\n]\n'
    text += "".join(_STEM.format(n=n, path=path) for n, path in enumerate(_STEMS))
    for n in range(12):
        x, y = 1.7 + 2.9 * (n % 4), 1.8 + 3.6 * (n // 4)
        text += _PETAL.format(n=n, x=round(x, 2), y=round(y, 2), turn=29 * n)
    return text


def bench_block(side_in: Fraction = Fraction(25, 2)) -> Draft:
    """60 pieced patches, 3 bent stems and 12 petals."""
    draft = draft_block(parse_block(_block_text(side_in), source="bench"))
    assert sum(not patch.is_applique() for patch in draft.patches) == 60
    return draft


def bench_quilt() -> Quilt:
    """Eight by ten blocks of 12 1/2 inches with sashing and a border: 120 x 150 inches."""
    block = parse_block(_block_text(Fraction(25, 2)), source="bench")
    rows = tuple(tuple(Part("Bench", (r + c) % 4) for c in range(8)) for r in range(10))
    setting = Setting(
        rows,
        sashing=Sashing("sash", Fraction(5, 2), cornerstone="stone"),
        borders=(Border("border", Fraction(5, 4)),),
    )
    return set_quilt(setting, {"Bench": block}, seam_in=Fraction(1, 4))


def scattered_places(count: int, *, seed: int) -> dict[int, Motion]:
    """Places on the bolt as a cutting plan gives them: to an eighth of an inch, some a quarter turned."""
    rng = np.random.default_rng(seed)
    x, y = rng.integers(0, 42 * 8, count), rng.integers(0, 90 * 8, count)
    quarters = rng.integers(0, 2, count)
    return {
        n: shift(Fraction(int(x[n]), 8), Fraction(int(y[n]), 8)).after(turn(90 * int(quarters[n])))
        for n in range(count)
    }


@dataclass(frozen=True, slots=True)
class Bench:
    """A block or quilt in its cloths, twice: every piece lies elsewhere on its cloth the second time."""

    subject: Draft | Quilt
    auditions: tuple[Dressed, Dressed]
    swapped: Callable[[], Dressed]
    """The first audition with the print "pear", of ten patches in a block, changed alone."""


def dressed(subject: Draft | Quilt, *, seed: int) -> Bench:
    """The subject in CLOTHS, with places that `seed` scatters."""
    first = {role: CLOTHS[role] for role in sorted(set(scene_of(subject).roles))}
    made = {name: demo_swatch(name) for name in {*first.values(), OTHER_CLOTH}}
    count = sum(1 for _ in subject.pieces()) if isinstance(subject, Quilt) else len(subject.pieces)

    def wear(names: Mapping[str, str], seed: int) -> Dressed:
        cloths = {role: made[name] for role, name in names.items()}
        places = scattered_places(count, seed=seed)
        if isinstance(subject, Quilt):
            return dress_quilt(subject, roles=cloths, places=places)
        return make_audition(subject, roles=cloths, places=places)

    auditions = wear(first, seed), wear(first, seed + 100)
    return Bench(subject, auditions, lambda: wear(first | {"pear": OTHER_CLOTH}, seed))
