"""Our own photo sheet, as the simulator draws things."""

from benchmarks.sim.scene import SheetLayout
from swatches.sheet_layout import INK_REFLECTANCE, PAPER_REFLECTANCE, TAG_MM, Page, sheet_layout

__all__ = ["our_sheet"]


def our_sheet(page: Page = "A4") -> SheetLayout:
    """The printed sheet; its thin bars and words are left out."""
    ours = sheet_layout(page)
    return SheetLayout(
        paper=ours.paper_mm,
        window=ours.window_mm,
        tags=[(number, left, top, TAG_MM) for number, left, top in ours.tags_mm],
        patches=[(b[0], b[1], b[2] - b[0], b[3] - b[1], grey) for b, grey in ours.greys_mm],
        paper_reflectance=PAPER_REFLECTANCE,
        ink_reflectance=INK_REFLECTANCE,
    )
