"""The one module that touches Pillow: picture bytes -> pages and pixels; its errors become ours.

How a page gets upright and onto white, in this order: header read, size checked, frame decoded,
EXIF turn applied once, transparency laid on white, brought to 8 bits, made grey where nothing on it
is coloured.

Pillow works while a lock is held: its warnings are silenced for the whole process meanwhile, and
one page at a time bounds the memory.
"""

from __future__ import annotations

import io
import logging
import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import ExifTags, Image, ImageOps

from loomfolio.basics import FileUnreadableError, Resolution
from loomfolio.sheets.limits import check_page_px, check_pages, no_such_page
from loomfolio.sheets.pixels import eight_bits, grey_if_grey
from loomfolio.sheets.records import PageInfo, Pixels, SourceKind
from loomfolio.sheets.resolution import believable

# What Pillow logs of a damaged file, the error says in plain words.
logging.getLogger("PIL").setLevel(logging.CRITICAL + 1)
Image.MAX_IMAGE_PIXELS = None  # `limits.check_page_px` is asked first, with a limit of our own

_KINDS: dict[str, SourceKind] = {
    "PNG": "PNG",
    "JPEG": "JPEG",
    "MPO": "JPEG",  # of a camera, with a second, smaller picture: only the first one counts
    "GIF": "GIF",
    "TIFF": "TIFF",
    "WEBP": "WebP",
}
_OPENED_AS = ("PNG", "JPEG", "GIF", "TIFF", "WEBP")
_WITH_PAGES = frozenset({"GIF", "TIFF", "WEBP"})
_DECODER_ERRORS = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
    RuntimeError,
    AssertionError,
    MemoryError,
    EOFError,
    struct.error,
    zlib.error,
)
"""What Pillow raises on damaged files, documented or not; caught round calls of Pillow only."""

_SIDEWAYS = frozenset({5, 6, 7, 8})
_CAMERA_TAGS = (ExifTags.Base.ExposureTime, ExifTags.Base.FNumber, ExifTags.Base.FocalLength)
_CM_PER_INCH = 2.54
_DOTS_PER_INCH_OF_UNIT = {2: 1.0, 3: _CM_PER_INCH}
"""By the resolution unit of EXIF and TIFF: 2 is the inch, 3 the cm; 1 states a shape only."""
_PNG_SAYS_MORE = (b"eXIf", b"XML:com.adobe.xmp", b"Raw profile type")
_PNG_STEP_DPI = 0.0254
_PAGE_MODES = frozenset(
    ("1", "L", "LA", "La", "P", "PA", "RGB", "RGBA", "RGBX", "RGBa", "CMYK", "YCbCr")
)
_SUBFILE_NOT_A_PAGE = 0b101
"""Bits of TIFF's NewSubfileType: a smaller copy of another page, or its transparency mask."""

_ONE_AT_A_TIME = threading.Lock()


class _Decoded(NamedTuple):
    """What Pillow made of a page, perhaps not to be written into: uint8 (H, W) or (H, W, 3), or uint16 (H, W)."""

    info: PageInfo
    values: NDArray[np.uint8] | NDArray[np.uint16]
    kind: SourceKind
    white_is_zero: bool


def image_pages(path: Path, data: bytes) -> tuple[PageInfo, ...]:
    """Return what each page of a picture file is, by its headers."""
    with _opened(path, data) as image:
        frames = _page_frames(path, image)
        return tuple(
            _page_info(path, data, image, page, frame) for page, frame in enumerate(frames, 1)
        )


def image_page_pixels(
    path: Path, data: bytes, page: int
) -> tuple[Pixels, Resolution | None, SourceKind]:
    """Decode one page, upright and on white; with the resolution that the file states."""
    decoded = _decode(path, data, page)
    info, values = decoded.info, decoded.values
    if values.dtype == np.uint16:
        values = eight_bits(values.astype(np.uint16), white_is_zero=decoded.white_is_zero)
    pixels = values.astype(np.uint8, copy=values.ndim == 2)
    stated = None
    if info.x_dpi is not None and info.y_dpi is not None:
        stated = Resolution(info.x_dpi, info.y_dpi)
    return grey_if_grey(pixels) if pixels.ndim == 3 else pixels, stated, decoded.kind


def _decode(path: Path, data: bytes, page: int) -> _Decoded:
    with _opened(path, data) as image:
        frames = _page_frames(path, image)
        if not 1 <= page <= len(frames):
            raise no_such_page(path, page, len(frames))
        info = _page_info(path, data, image, page, frames[page - 1])
        kind = _KINDS[str(image.format)]
        white_is_zero = kind == "TIFF" and _is_inverted(image)
        if image.mode not in _PAGE_MODES and not image.mode.startswith("I;16"):
            raise FileUnreadableError(
                path,
                f"its pixels are numbers that no scanner writes ({image.mode})",
                "save it with 8 bits a colour",
            )
        image.load()
        ImageOps.exif_transpose(image, in_place=True)
        return _Decoded(info, _flat(image), kind, white_is_zero)


@contextmanager
def _opened(path: Path, data: bytes) -> Iterator[Image.Image]:
    """Read the header only; whatever the decoder raises inside becomes one plain sentence."""
    with _ONE_AT_A_TIME, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            with Image.open(io.BytesIO(data), formats=_OPENED_AS) as image:
                yield image
        except FileUnreadableError:
            raise
        except _DECODER_ERRORS as error:
            raise FileUnreadableError(
                path, "the picture is broken or cut off", "scan or export it again"
            ) from error


def _page_frames(path: Path, image: Image.Image) -> tuple[int, ...]:
    """The frames that are pages: of GIF, WebP and TIFF all but a TIFF's thumbnails and masks."""
    if image.format not in _WITH_PAGES:
        return (0,)
    count = int(getattr(image, "n_frames", 1))
    check_pages(path, count)
    if image.format != "TIFF" or count == 1:
        return tuple(range(count))
    return tuple(frame for frame in range(count) if _is_page(image, frame)) or (0,)


def _is_page(image: Image.Image, frame: int) -> bool:
    image.seek(frame)
    kind = image.getexif().get(ExifTags.Base.NewSubfileType, 0)
    return not (isinstance(kind, int) and kind & _SUBFILE_NOT_A_PAGE)


def _page_info(path: Path, data: bytes, image: Image.Image, page: int, frame: int) -> PageInfo:
    """Go to a page and say what it will be once it is upright; checks its size before all else."""
    image.seek(frame)
    width_px, height_px = image.size
    check_page_px(path, page, width_px, height_px)
    exif = _exif(image, data)
    x_dpi, y_dpi = _stated_dpi(image, exif) or (0.0, 0.0)
    if exif.get(ExifTags.Base.Orientation) in _SIDEWAYS:
        x_dpi, y_dpi = y_dpi, x_dpi
        if image.format != "TIFF":  # of which Pillow states the upright size at once
            width_px, height_px = height_px, width_px
    stated = None if _is_photo(exif) else believable(x_dpi, y_dpi, width_px, height_px)
    return PageInfo(
        number=page,
        width_px=width_px,
        height_px=height_px,
        x_dpi=stated.x_dpi if stated else None,
        y_dpi=stated.y_dpi if stated else None,
        is_vector=False,
        label=f"page {page}",
    )


def _exif(image: Image.Image, data: bytes) -> Image.Exif:
    """What the file says of itself. A PNG may say it after its pixels, which are decoded then."""
    if image.format == "PNG" and not any(mark in data for mark in _PNG_SAYS_MORE):
        return Image.Image.getexif(image)  # the PNG reader's own would decode to be sure
    return image.getexif()


def _stated_dpi(image: Image.Image, exif: Image.Exif) -> tuple[float, float] | None:
    """The resolution that the file states along the stored rows and columns, believable or not."""
    if image.format in {"PNG", "TIFF"}:
        stated = image.info.get("dpi")
        return (_whole(float(stated[0])), _whole(float(stated[1]))) if stated else None
    unit = _DOTS_PER_INCH_OF_UNIT.get(image.info.get("jfif_unit", 0) + 1)
    if unit is not None:  # JFIF counts the units from 1
        x, y = image.info["jfif_density"]
        return float(x) * unit, float(y) * unit
    x, y = exif.get(ExifTags.Base.XResolution), exif.get(ExifTags.Base.YResolution)
    unit = _DOTS_PER_INCH_OF_UNIT.get(exif.get(ExifTags.Base.ResolutionUnit, 2))
    return None if x is None or y is None or unit is None else (float(x) * unit, float(y) * unit)


def _whole(dpi: float) -> float:
    """Return the whole number that a PNG meant: it states dots per metre, 300 dpi as 11811."""
    return float(round(dpi)) if abs(dpi - round(dpi)) <= _PNG_STEP_DPI / 2 else dpi


def _is_photo(exif: Image.Exif) -> bool:
    """Was it taken by a camera? It cannot know how large the paper was, whatever it writes."""
    taken = exif.get_ifd(ExifTags.IFD.Exif)
    return any(tag in taken for tag in _CAMERA_TAGS)


def _is_inverted(image: Image.Image) -> bool:
    """Does the TIFF say that 0 is white? Pillow turns 1 and 8 bits round itself, but not 16."""
    return image.getexif().get(ExifTags.Base.PhotometricInterpretation) == 0


def _flat(image: Image.Image) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """Return grey in 8 or 16 bits, or RGB, whatever is transparent laid on white paper."""
    if image.mode.startswith("I;16"):
        return np.asarray(image, np.uint16)
    if not image.has_transparency_data:
        mode = "L" if image.mode in {"1", "L"} else "RGB"
        return np.asarray(image if image.mode == mode else image.convert(mode), np.uint8)
    overlay = image.convert("RGBA")
    paper = Image.new("RGBA", overlay.size, (255, 255, 255, 255))
    return np.asarray(Image.alpha_composite(paper, overlay).convert("RGB"), np.uint8)
