"""A cloth of the stash corrected by eye, or its print called what the maker knows it to be."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

from palettes.encodings import srgb8_to_lin
from swatches.by_eye import AS_IT_IS, ByEye
from swatches.print_about import PrintAbout, PrintWord, Way
from swatches.swatch import Swatch
from ui.mistakes import Mistake
from ui.photo_words import trust_line
from ui.shelf import open_shelf

__all__ = ["correct_cloth", "retold"]


def correct_cloth(
    *,
    cloth: str,
    light: str | None,
    warm: str | None,
    pink: str | None,
    strong: str | None,
    as_photographed: bool,
    way: str | None,
    kind: str | None,
    stash: str | None,
) -> None:
    """Keeps the correction beside the cloth and says what is now known of it."""
    typed = {"light": light, "warm": warm, "pink": pink, "strong": strong}
    wished = {name: _number(name, value) for name, value in typed.items() if value is not None}
    if not (wished or as_photographed or way or kind):
        raise Mistake(
            "Nothing is said that could be corrected.",
            mend="Give --light, --warm, --pink, --strong, --way or --kind.",
        )
    shelf = open_shelf(stash)
    kept = shelf.stored(cloth)
    by_eye = replace(AS_IT_IS if as_photographed else kept.by_eye, **wished)
    now = retold(replace(kept, by_eye=by_eye), way=way, kind=kind)
    shelf.add(now, replace=True)
    print(f'"{now.name}": {_words(by_eye)}.')
    print(trust_line(now))
    if now.about is not None:
        print(now.about.words)


def retold(swatch: Swatch, *, way: str | None, kind: str | None) -> Swatch:
    """The swatch with its print called what the maker says; itself when nothing is said."""
    if not way and not kind:
        return swatch
    about = swatch.about or _about(swatch)
    if way:
        about = replace(about, way=cast(Way, way), way_sure=True)
    if kind:
        about = replace(about, word=cast(PrintWord, kind))
    return replace(
        swatch,
        about=about,
        one_way=about.way == "one-way" if way else swatch.one_way,
        kind="solid" if about.word == "plain" else "print",
    )


def _about(swatch: Swatch) -> PrintAbout:
    """What the picture says, for cloth that was kept before this was asked."""
    from swatches.print_kind import about_print
    from swatches.repeat import find_repeat

    light = srgb8_to_lin(swatch.tile_srgb8)
    return about_print(light, ppi=swatch.ppi, repeat=find_repeat(light, ppi=swatch.ppi), wraps=swatch.repeats)


def _number(name: str, typed: str) -> float:
    try:
        return float(typed)
    except ValueError:
        raise Mistake(
            f'--{name} "{typed[:40]}" is not a number.', mend="Give a number from -100 to 100."
        ) from None


def _words(by_eye: ByEye) -> str:
    if by_eye == AS_IT_IS:
        return "as photographed, nothing corrected by eye"
    pairs = (("light", by_eye.light), ("warm", by_eye.warm), ("pink", by_eye.pink), ("strong", by_eye.strong))
    return "corrected by eye: " + ", ".join(f"{name} {value:+g}" for name, value in pairs if value)
