"""The pieced patches of a drawing made to tile their block exactly, or everything that keeps them from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from shapely.geometry import Polygon
from shapely.validation import explain_validity

from blocks.curves import ExactPoint
from blocks.faults import Fault, FaultsError
from blocks.healing import heal_outlines
from blocks.lengths import inches_text
from blocks.misfits import Misfit, find_misfits, region_of, thick_parts
from blocks.pathtext import rounded_text
from blocks.polygons import area, rectangle
from blocks.snapping import snap_outlines, straightened
from blocks.svg_patches import DrawnPatch
from blocks.tiling import TilingError, check_tiling

__all__ = ["fit_patches", "misfit_fault"]

_MOST_NAMED = 4


def fit_patches(
    patches: Sequence[DrawnPatch], *, width_in: Fraction, height_in: Fraction, tolerance_in: Fraction
) -> tuple[tuple[ExactPoint, ...], ...]:
    """An exact outline for each patch, clockwise as seen; together they tile the block.

    Raises: FaultsError with every patch that cannot be one, else with every gap and overlap.
    """
    faults = list(_shape_faults(patches, tolerance_in))
    if faults:
        raise FaultsError(faults)
    drawn = [patch.outline for patch in patches]
    outlines = [outline if area(outline) > 0 else outline[::-1] for outline in drawn]
    misfits = find_misfits(outlines, width_in=width_in, height_in=height_in, tolerance_in=tolerance_in)
    if misfits:
        raise FaultsError([misfit_fault(misfit, patches) for misfit in misfits])
    exact = snap_outlines(outlines, width_in=width_in, height_in=height_in, tolerance_in=tolerance_in)
    if not _fit(exact, width_in, height_in):
        healed = heal_outlines(exact, width_in=width_in, height_in=height_in)
        exact = tuple(map(straightened, healed))
    faults = list(_lost(patches, exact))
    if faults:
        raise FaultsError(faults)
    try:
        check_tiling(exact, block=rectangle(width_in, height_in), step="the drawing")
    except TilingError as error:
        fault = Fault("the drawing", "", str(error).rstrip("."), error.mend)
        raise FaultsError([fault]) from error
    return exact


def _fit(outlines: Sequence[Sequence[ExactPoint]], width_in: Fraction, height_in: Fraction) -> bool:
    """Whether outlines are sound and tile the block."""
    try:
        check_tiling(outlines, block=rectangle(width_in, height_in), step="")
    except TilingError:
        return False
    return all(len(outline) > 2 and _polygon(outline).is_valid for outline in outlines)


def _polygon(outline: Sequence[ExactPoint]) -> Polygon:
    return Polygon([(float(x), float(y)) for x, y in outline])


def _shape_faults(patches: Sequence[DrawnPatch], tolerance_in: Fraction) -> Iterator[Fault]:
    """Patches that are thinner than the tolerance, or that fall into several parts."""
    for patch in patches:
        region = region_of(patch.outline)
        parts = thick_parts(region, thin_in=float(tolerance_in))
        if not parts:
            message = f"it is nowhere wider than the tolerance of {inches_text(tolerance_in)} in"
            yield Fault(patch.where, "", message, "Delete it, draw it wider, or read with a finer tolerance.")
        elif len(parts) > 1:
            message = f"it crosses or touches itself, or is pinched, {_near(patch.outline)}"
            yield Fault(patch.where, "", message, "Draw it as one simple outline, or as several patches.")


def _near(outline: Sequence[ExactPoint]) -> str:
    """Where an outline goes wrong, in words."""
    numbers = explain_validity(_polygon(outline)).partition("[")[2].rstrip("]").split()
    if len(numbers) < 2:
        return "somewhere along its length"
    return f"near {float(numbers[0]):.2f}, {float(numbers[1]):.2f} in"


def _lost(patches: Sequence[DrawnPatch], outlines: Sequence[Sequence[ExactPoint]]) -> Iterator[Fault]:
    """Patches that did not come through being brought together with their neighbours."""
    for patch, outline in zip(patches, outlines, strict=True):
        if len(outline) < 3 or not _polygon(outline).is_valid:
            message = "it is too thin in places to be told from its neighbours' edges"
            yield Fault(patch.where, "", message, "Draw it wider there, or read with a finer tolerance.")


def misfit_fault(misfit: Misfit, patches: Sequence[DrawnPatch]) -> Fault:
    """A gap or overlap in words, with its place and its size."""
    x, y = misfit.at
    area_told = rounded_text(misfit.area_in2, places=4 if misfit.area_in2 >= 0.001 else 7)
    widest = rounded_text(misfit.widest_in, places=3 if misfit.widest_in < 1 else 2)
    size = f"{area_told} sq in, {widest} in at its widest"
    named = [str(patches[i]) for i in misfit.patches]
    if misfit.kind == "overlap":
        message = f"{' and '.join(named)} overlap: {size}"
        mend = "Draw one of the two smaller, or have later shapes read as appliqué."
    elif misfit.kind == "outside":
        message = f"{named[0]} reaches outside the block: {size}"
        mend = "Keep it inside the page, or fit the page to the drawing."
    else:
        more = len(named) - _MOST_NAMED
        told = ", ".join(named[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
        message = f"there is a gap{f' beside {told}' if told else ''}: {size}"
        mend = "Draw a patch there, move the edges together, or fit the page to the drawing."
    return Fault(f"at {x:.2f}, {y:.2f} in from the top left", "", message, mend)
