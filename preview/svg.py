"""A block as SVG in true inches: the cloth as one picture, seams and numbers as lines and text over it.

Source: Scalable Vector Graphics (SVG) 1.1, second edition (W3C, 2011), and CSS for units.
"""

from __future__ import annotations

from base64 import b64encode
from io import BytesIO
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.files import check_picture, jpeg_bytes, srgb_profile
from preview.frame import Frame
from preview.spots import spots_of
from preview.writing import OutputError, write_whole

__all__ = ["save_svg"]

_LINE_IN = 0.012
_MOST_TEXT_IN = 0.3


def save_svg(
    path: Path | str,
    frame: Frame,
    picture_srgb8: NDArray[np.uint8],
    *,
    lines: bool = True,
    numbers: bool = False,
    lossless: bool = False,
) -> Path:
    """The path of the SVG now written: its user unit is one inch, its size that of the finished block.

    The picture (of this frame) is embedded as JPEG, or as PNG if `lossless`.
    Raises: OutputError for another name or a closed folder; ValueError for a picture of another size.
    """
    path = Path(path)
    if path.suffix.lower() != ".svg":
        raise OutputError(path, "is not named as an SVG drawing", mend='End the file name in ".svg".')
    check_picture(path, picture_srgb8, ppi=frame.ppi)
    if picture_srgb8.shape[:2] != (frame.height_px, frame.width_px):
        raise ValueError(f"the picture is {picture_srgb8.shape}, not of the frame's size")
    left, top = frame.left_px / frame.ppi, frame.top_px / frame.ppi
    whole_w, whole_h = frame.width_px / frame.ppi, frame.height_px / frame.ppi
    # The last row and column of pixels reach a little beyond the block.
    wide = min(whole_w, float(frame.scene.width_in) - left)
    high = min(whole_h, float(frame.scene.height_in) - top)
    embedded = _embedded(picture_srgb8, frame.ppi, lossless=lossless)
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{_n(wide)}in" height="{_n(high)}in" '
        f'viewBox="{_n(left)} {_n(top)} {_n(wide)} {_n(high)}">\n'
        f"<title>{escape(frame.scene.name)}</title>\n"
        f'<image x="{_n(left)}" y="{_n(top)}" width="{_n(whole_w)}" height="{_n(whole_h)}" '
        f'preserveAspectRatio="none" xlink:href="{embedded}"/>\n'
    ]
    if lines:
        parts += _outlines(frame)
    if numbers:
        parts += _numbers(frame)
    write_whole(path, "".join([*parts, "</svg>\n"]).encode())
    return path


def _n(value: float) -> str:
    """A number to a hundred-thousandth of an inch, without needless noughts."""
    return f"{value:.5f}".rstrip("0").rstrip(".")


def _embedded(picture_srgb8: NDArray[np.uint8], ppi: float, *, lossless: bool) -> str:
    if not lossless:
        return f"data:image/jpeg;base64,{b64encode(jpeg_bytes(picture_srgb8, ppi=ppi)).decode()}"
    body = BytesIO()
    Image.fromarray(picture_srgb8).save(body, "PNG", dpi=(ppi, ppi), icc_profile=srgb_profile())
    return f"data:image/png;base64,{b64encode(body.getvalue()).decode()}"


def _outlines(frame: Frame) -> list[str]:
    scene, groups = frame.scene, {False: "#222226", True: "#b0283c"}
    found = []
    for stitched, ink in groups.items():
        found.append(f'<g fill="none" stroke="{ink}" stroke-width="{_LINE_IN}" stroke-linejoin="round">\n')
        for ring, owner in enumerate(scene.ring_owner.tolist()):
            if bool(scene.stitched[owner]) == stitched and frame.present[owner]:
                points = scene.points_in[scene.ring_first[ring] : scene.ring_first[ring + 1]]
                walk = " ".join(f"{_n(x)},{_n(y)}" for x, y in points.tolist())
                found.append(f'<polygon points="{walk}"/>\n')
        found.append("</g>\n")
    return found


def _numbers(frame: Frame) -> list[str]:
    found = [
        '<g font-family="sans-serif" text-anchor="middle" fill="#222226" stroke="#fff" '
        'paint-order="stroke" stroke-linejoin="round">\n'
    ]
    for owner, spot in spots_of(frame.scene, owners=np.flatnonzero(frame.present)).items():
        size = min(_MOST_TEXT_IN, max(0.08, 0.9 * spot.radius_in))
        # A third of a letter's size below the middle is where its foot stands.
        found.append(
            f'<text x="{_n(spot.x_in)}" y="{_n(spot.y_in + size * 0.35)}" font-size="{_n(size)}" '
            f'stroke-width="{_n(size / 6)}">{frame.scene.numbers[owner]}</text>\n'
        )
    return [*found, "</g>\n"]
