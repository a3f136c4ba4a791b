"""What the command works out ahead of a block: how many blocks a quilt takes, and how units can be made."""

from __future__ import annotations

from fractions import Fraction
from textwrap import wrap

from blocks.lengths import parse_inches, parse_size
from blocks.methods import METHODS, MethodCost, compare_methods
from blocks.scaling import scale_block
from blocks.setting import Border, Sashing, Setting, SettingError, blocks_for_size, quilt_size
from blocks.steps import Part
from cutting.rules import is_metric, length_text, size_text
from ui.making import find_block
from ui.mistakes import Mistake, closest
from ui.ruler_words import grid_for
from ui.setting_words import rounded_in

__all__ = ["count_blocks", "show_methods"]

_WIDE = 96

_CLOTHS = {
    "half-square triangle": ("upper left", "lower right"),
    "quarter-square triangle": ("top and bottom", "left and right"),
    "flying geese": ("goose", "sky"),
    "square in a square": ("middle", "corners"),
}
_FOUR = ("top", "right", "bottom", "left")


def count_blocks(
    *,
    block: str,
    wanted: str,
    width: Fraction | None,
    sashing: str | None,
    around: bool,
    border: str | None,
    on_point: bool,
) -> None:
    """Prints how many blocks across and down make a quilt of the wanted size, and how large it then is."""
    made = find_block(block)
    made = made if width is None else scale_block(made, width_in=width)
    if made.finished_width_in != made.finished_height_in:
        raise SettingError(f"{made.name} is not square.", "Count the blocks of a square block.")
    block_in = made.finished_width_in
    sash_in = parse_inches(sashing) if sashing else Fraction(0)
    border_in = parse_inches(border) if border else Fraction(0)
    if on_point and sash_in:
        raise SettingError("Sashing is not laid in an on-point setting.", "Leave out the one or the other.")
    wanted_in = parse_size(wanted)
    across, down = blocks_for_size(
        wanted_in,
        block_in=block_in,
        sashing_in=sash_in,
        around=around,
        borders_in=border_in,
        on_point=on_point,
    )
    if across * down > 10_000:
        raise SettingError("That is more than 10,000 blocks.", "Ask for a smaller quilt or larger blocks.")
    setting = Setting(
        ((Part(made.name),) * across,) * down,
        on_point=on_point,
        sashing=Sashing("sash", sash_in, around=around) if sash_in else None,
        borders=(Border("border", border_in),) if border_in else (),
    )
    grid_in = grid_for(None, *wanted_in, block_in)
    width_in, height_in = (rounded_in(side) for side in quilt_size(setting, block_in=(block_in, block_in)))
    many = across * down + ((across - 1) * (down - 1) if on_point else 0)
    between = (
        f", with {across - 1} across and {down - 1} down in between"
        if on_point and min(across, down) > 1
        else ""
    )
    about = "about " if on_point else ""
    print(f"{across} across and {down} down{between}: {many} block{'s' if many > 1 else ''} of {made.name}.")
    print(f"The quilt finishes {about}{size_text(width_in, height_in, grid_in=grid_in)}.")
    print(f"Wanted: {size_text(*wanted_in, grid_in=grid_in)}; the counts are the fewest that are no smaller.")


def show_methods(
    *, kind: str, finished: str, count: Fraction, cloths: str, seam: Fraction, ruler: str | None
) -> None:
    """Prints what so many units cost by each method of making them."""
    plain = " ".join(kind.lower().split())
    found = plain if plain in METHODS else plain.removesuffix("s")
    if found not in METHODS:
        raise Mistake(f'There is no choice of methods for "{kind}".', mend=closest(plain, METHODS))
    size_in = parse_size(finished)
    if found == "flying geese" and size_in[0] == size_in[1]:
        size_in = size_in[0], size_in[0] / 2
    grid_in = grid_for(ruler, *size_in, seam)
    costs = compare_methods(
        found,
        size_in,
        cloths=_FOUR if cloths == "4" else _CLOTHS[found],
        count=int(count),
        seam_in=seam,
        grid_in=grid_in,
    )
    size = size_text(*size_in, grid_in=grid_in)
    print(f"{int(count)} x {found}, {size} finished, {length_text(seam, grid_in=grid_in)} seam allowance")
    for cost in costs:
        print("\n" + "\n".join(_method_lines(cost, grid_in)))
    print("\n" + "\n".join(wrap(_MEANING, _WIDE)))


_MEANING = (
    "Left over is the cloth of the pieces that is in no patch with its seam allowance: trimmings, and units "
    "beyond those needed. Print turned: clockwise from upright, in the unit as it is drawn, for pieces cut "
    "with the print upright."
)


def _method_lines(cost: MethodCost, grid_in: Fraction) -> list[str]:
    spare = f", {cost.spare} to spare" if cost.spare else ""
    lines = [f"{cost.method}: makes {cost.made}{spare}"]
    for cut in cost.cuts:
        exact = cut.width_in == cut.rounded_width_in and cut.height_in == cut.rounded_height_in
        size = size_text(cut.rounded_width_in, cut.rounded_height_in, grid_in=grid_in)
        lines.append(f"  cut {cut.quantity:>4} of {size}{'' if exact else ' *'}  {cut.role}")
    # A diagonal's last digits can make nothing left over come out as less.
    wasted_sq_in = max(0.0, cost.wasted_sq_in)
    share = wasted_sq_in / cost.cloth_sq_in
    lines.append(
        f"  cloth {_area(cost.cloth_sq_in, grid_in)}; left over {_area(wasted_sq_in, grid_in)} "
        f"({share * 100:.0f} %)"
    )
    turns: dict[str, list[str]] = {}
    for role, turn_deg, many in cost.turns:
        turns.setdefault(role, []).append(
            f"{many} by {turn_deg:g} degrees" if turn_deg else f"{many} upright"
        )
    lines += wrap(
        "print turned: " + "; ".join(f"{role}: {', '.join(ways)}" for role, ways in turns.items()),
        _WIDE,
        initial_indent="  ",
        subsequent_indent="    ",
    )
    edges = "on the bias: handle them gently" if cost.bias_outside else "on the grain"
    lines.append(f"  outer edges {edges}")
    return lines


def _area(sq_in: float, grid_in: Fraction) -> str:
    # An inch is 2.54 cm exactly, a square inch 6.4516 square centimetres.
    return f"{sq_in * 6.4516:.0f} sq cm" if is_metric(grid_in) else f"{sq_in:.1f} sq in"
