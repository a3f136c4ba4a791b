"""The command draws: a block or a quilt as a picture, a drawing, or true-size pages, in any view."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from blocks.svg_out import line_drawing
from palettes.viewing import Viewing
from preview.bands import save_in_bands
from preview.files import SUFFIXES, save_picture
from preview.frame import prepare_frame, whole_px
from preview.keeping import PaintCache
from preview.pdf import Paper, save_pdf
from preview.progress import Watch
from preview.svg import save_svg
from preview.views import side_by_side
from preview.views_roles import roles_key
from ui.asked import Asked, pieces_of, split_names
from ui.audition_file import audition_text
from ui.bench import Worked, roles_of
from ui.closer_looks import look_closer, several_cuttings
from ui.colour_words import care_text, mentioned, picture_caution
from ui.footnote import footed
from ui.mistakes import Mistake
from ui.orders import fill_order, written_order
from ui.writing import check_place, write_whole

__all__ = ["draw_picture"]

_ENDS = (*SUFFIXES, ".svg", ".pdf")
_BANDED = (".png", ".tif", ".tiff")
_MOST_AT_ONCE_PX = 40_000_000
"""Larger pictures in cloth are drawn and written a band at a time."""

_WITHOUT_CLOTH = ("lines", "roles")
_JUDGED = ("seams", "lost")
"""Views that say whether edges read; a caution goes with the picture."""

_ON_PAPER = ("colour", "numbered")


def draw_picture(
    *,
    asked: Asked,
    viewing: Viewing,
    to: str,
    view: str,
    ppi: Fraction,
    paper: Paper,
    several: Fraction | None,
    fussy: str | None,
    keep: str | None,
    say: Callable[[str], None],
) -> None:
    """Draws into a file of the kind that its name ends in; with `keep`, also writes an audition file."""
    file = check_place(Path(to), ends=_ENDS)
    kept_file = check_place(Path(keep), ends=(".toml",)) if keep else None
    _check_view(file, view=view, several=several, fussy=fussy)
    order = asked.order()
    worked = fill_order(order, asked.shelf(), say=say)
    still = pieces_of(worked, split_names(fussy, roles_of(worked.drafted), what="role"))
    say("Drawing ...")
    if several is not None:
        sheet = several_cuttings(worked, count=int(several), fussy=still, viewing=viewing, ppi=float(ppi))
        sheet = footed(sheet, mentioned(*worked.cloths.values()))
        save_picture(file, sheet, ppi=float(ppi))
        told = f"{int(several)} cuttings, {_size(sheet.shape[1], sheet.shape[0], ppi)}"
    else:
        told = _draw(worked, file, view=view, viewing=viewing, ppi=ppi, paper=paper, say=say)
    if kept_file:
        write_whole(kept_file, audition_text(written_order(order, worked, beside=kept_file.parent)))
    print(f"{file}: {told}")
    if view not in _WITHOUT_CLOTH:
        judged = several is not None or view in _JUDGED
        cloths = worked.cloths.values()
        print(care_text(mentioned(*cloths) if judged else picture_caution(cloths)), end="")


def _check_view(file: Path, *, view: str, several: Fraction | None, fussy: str | None) -> None:
    end = file.suffix.lower()
    if end == ".pdf" and view not in _ON_PAPER:
        raise Mistake(
            "On paper at true size the block is drawn in colour or numbered.",
            mend="Add --view numbered, or write a .png.",
        )
    if several is not None and (view != "colour" or end not in SUFFIXES):
        raise Mistake(
            "Several cuttings are shown in colour, in one picture.",
            mend="Leave out --view, and end the name in .png or .jpg.",
        )
    if fussy is not None and several is None:
        raise Mistake("--fussy says what stays where it is cut.", mend="Add --several, or leave it out.")


def _draw(
    worked: Worked,
    file: Path,
    *,
    view: str,
    viewing: Viewing,
    ppi: Fraction,
    paper: Paper,
    say: Callable[[str], None],
) -> str:
    """What is now in the file, in words."""
    scene, end, px_per_in = worked.drafted.scene, file.suffix.lower(), float(ppi)
    if end == ".svg" and view == "lines":
        write_whole(file, line_drawing(worked.drafted.draft))
        return "a drawing in inches, with the role and number of each patch"
    watch = Watch(tell=_tenths(say))
    if end == ".pdf":
        save_pdf(
            file, scene, worked.audition, paper=paper, ppi=px_per_in, numbers=view == "numbered", watch=watch
        )
        return f"true size at {px_per_in:g} pixels per inch; print it at 100 % and measure the bars"
    across, down = whole_px(scene, ppi=px_per_in)
    if view == "colour" and end in _BANDED and across * down > _MOST_AT_ONCE_PX:
        save_in_bands(file, scene, worked.audition, ppi=px_per_in, watch=watch)
        return _size(across, down, ppi)
    frame = prepare_frame(scene, ppi=px_per_in)
    under = "colour" if end == ".svg" and view == "numbered" else view
    picture = look_closer(worked, view=under, frame=frame, viewing=viewing, cache=PaintCache())
    if end == ".svg":
        save_svg(file, frame, picture, lines=view in _ON_PAPER, numbers=view == "numbered")
        return f"a drawing in inches with a picture at {px_per_in:g} pixels per inch in it"
    if view == "roles":
        picture = side_by_side([picture, roles_key(frame)])
    if view in _JUDGED:
        picture = footed(picture, mentioned(*worked.cloths.values()))
    save_picture(file, picture, ppi=px_per_in)
    return _size(picture.shape[1], picture.shape[0], ppi)


def _size(across: int, down: int, ppi: Fraction) -> str:
    return f"{across} x {down} pixels at {float(ppi):g} per inch"


def _tenths(say: Callable[[str], None]) -> Callable[[float], object]:
    """What says how far a long drawing is, at every tenth."""
    told = [0]

    def tell(share: float) -> None:
        tenth = int(share * 10)
        if told[0] < tenth < 10:
            told[0] = tenth
            say(f"{tenth * 10} % drawn ...")

    return tell
