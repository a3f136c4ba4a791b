"""Picture files opened with care: everything that should be refused is refused before decoding."""

from __future__ import annotations

from os import SEEK_END
from pathlib import Path
from typing import BinaryIO, Literal

from PIL import Image

from swatches.boxes import is_boxed, is_whole
from swatches.jpeg_marks import JpegMarks, is_jpeg, read_jpeg_marks
from swatches.photo import PhotoError

__all__ = [
    "COPY_AGAIN",
    "HEAD_BYTES",
    "MOST_PIXELS",
    "SAVE_AGAIN",
    "check_marks",
    "open_file",
    "open_picture",
]

MOST_PIXELS = 80_000_000
"""More are refused before decoding: this bounds memory near 600 MB, and 1.8 GB for 16 bits."""

HEAD_BYTES = 65536
COPY_AGAIN = "Copy the file again from the camera, phone or scanner; this copy is damaged."
_DEVELOP = "Develop it in the camera's or another program and save it as JPEG or TIFF."
SAVE_AGAIN = "Open it in the program it came from and save it again as JPEG or PNG."

_MOST_FILE_BYTES = 1_000_000_000
_LEAST_SIDE_PX = 8
_MOST_SCANS = 100
_FORMATS: tuple[str, ...] = ("JPEG", "PNG", "TIFF", "WEBP", "GIF", "BMP", "JPEG2000")
_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"GIF87a", b"GIF89a")
_TIFF_ORDERS: dict[bytes, Literal["little", "big"]] = {b"II*\0": "little", b"MM\0*": "big"}
_DNG_VERSION, _KIND_OF_PAGE = 50706, 254
_SMALLER = f"Save it smaller than {MOST_PIXELS // 1_000_000} million pixels."
_NOT_PICTURES = (
    (b"%PDF", "is a PDF document", "Save its page as a PNG or TIFF picture."),
    (b"\xff\x0a", "is a JPEG XL picture", SAVE_AGAIN),
    (b"\x00\x00\x00\x0cJXL ", "is a JPEG XL picture", SAVE_AGAIN),
    (b"PK\x03\x04", "is an archive", "Unpack it and name one picture inside."),
    (b"<", "is a web page or a drawing, not a photograph", "Save it as a PNG picture."),
)


def open_file(path: Path) -> BinaryIO:
    """The file, open for reading.

    Raises: PhotoError for what is missing, a folder, empty, too large or not to be read.
    """
    try:
        if path.is_dir():
            raise PhotoError(path, "is a folder", mend="Name one picture file inside it.")
        if not path.exists():
            raise PhotoError(path, "does not exist", mend="Check the spelling of the file and its folder.")
        if not path.is_file():
            raise PhotoError(path, "is not an ordinary file", mend="Copy the picture to a folder first.")
        length = path.stat().st_size
        if length == 0:
            raise PhotoError(path, "is empty", mend=COPY_AGAIN)
        if length > _MOST_FILE_BYTES:
            raise PhotoError(path, f"is {length / 1e9:.1f} GB large", mend=_SMALLER)
        return path.open("rb")
    except (OSError, ValueError) as fault:
        if isinstance(fault, PhotoError):
            raise
        reason = getattr(fault, "strerror", None) or "its name cannot be used"
        raise PhotoError(
            path, f"cannot be opened ({reason})", mend="Check that you may read the file, or copy it."
        ) from fault


def check_marks(path: Path, coded: bytes) -> JpegMarks | None:
    """A JPEG's own markers, once they promise no more than the file can hold; None for other files.

    Raises: PhotoError for false sizes and for files made to keep the decoder busy.
    """
    if not is_jpeg(coded):
        return None
    marks = read_jpeg_marks(coded)
    if marks is None:
        raise PhotoError(path, "is a JPEG without any picture in it", mend=COPY_AGAIN)
    _check_size(path, marks.width_px, marks.height_px)
    if marks.coded_bytes < marks.least_bytes:
        raise PhotoError(
            path,
            f"claims {marks.width_px} x {marks.height_px} pixels but holds too little for them",
            mend=COPY_AGAIN,
        )
    if marks.scans > _MOST_SCANS:
        raise PhotoError(path, f"is coded in {marks.scans} layers", mend=SAVE_AGAIN)
    return marks


def open_picture(path: Path, file: BinaryIO, head: bytes) -> Image.Image:
    """The picture with its header read and its size checked, no pixel decoded yet.

    Raises: PhotoError for what no listed decoder knows, is too large or too small.
    """
    formats = _FORMATS
    for start, what, mend in _NOT_PICTURES:
        if head.startswith(start):
            raise PhotoError(path, what, mend=mend)
    if is_boxed(head):
        if not is_whole(file):
            raise PhotoError(path, "is cut short", mend=COPY_AGAIN)
        formats = _boxed_formats()
    try:
        image = Image.open(file, formats=formats)
        raw = _is_raw(image, head)
    except Image.DecompressionBombError as fault:
        raise PhotoError(path, "has too many pixels", mend=_SMALLER) from fault
    except Exception as fault:  # decoders raise almost anything at broken files
        if _is_broken(file, head):
            raise PhotoError(path, "is damaged or cut short", mend=COPY_AGAIN) from fault
        raise PhotoError(path, "is not a picture that can be read here", mend=SAVE_AGAIN) from fault
    if raw:
        raise PhotoError(
            path, "is a camera's raw file, of which only a small copy could be read", mend=_DEVELOP
        )
    _check_size(path, image.width, image.height)
    return image


def _boxed_formats() -> tuple[str, ...]:
    """What reads files built of boxes, as far as it is installed."""
    try:
        # Takes some tenths of a second and is wanted for these files alone.
        from pillow_heif import register_heif_opener
    except ImportError:
        return ("AVIF",)
    register_heif_opener(thumbnails=False)
    return ("HEIF", "AVIF")


def _is_raw(image: Image.Image, head: bytes) -> bool:
    """Whether a TIFF is a raw file: its first picture is a small copy, or it is of a camera's own kind.

    Source: TIFF revision 6.0, tag 254; Digital Negative (DNG) Specification 1.4, tag 50706.
    """
    if image.format != "TIFF":
        return False
    tags = getattr(image, "tag_v2", {})
    kind = tags.get(_KIND_OF_PAGE)
    return _DNG_VERSION in tags or head[8:10] == b"CR" or (isinstance(kind, int) and bool(kind & 1))


def _is_broken(file: BinaryIO, head: bytes) -> bool:
    """Whether a file that no decoder takes begins as a picture does that they would take if it were whole."""
    if head.startswith(_STARTS):
        return True
    order = _TIFF_ORDERS.get(head[:4])
    # A TIFF may also be of a kind that is not read; but its directory, often at its end, must be there.
    return order is not None and int.from_bytes(head[4:8], order) + 2 > file.seek(0, SEEK_END)


def _check_size(path: Path, width_px: int, height_px: int) -> None:
    if width_px * height_px > MOST_PIXELS:
        raise PhotoError(path, f"has too many pixels ({width_px} x {height_px})", mend=_SMALLER)
    if min(width_px, height_px) < _LEAST_SIDE_PX:
        raise PhotoError(
            path,
            f"is only {width_px} x {height_px} pixels",
            mend=f"Choose a picture of at least {_LEAST_SIDE_PX} pixels a side.",
        )
