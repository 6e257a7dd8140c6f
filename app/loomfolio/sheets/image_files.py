"""The one module that touches Pillow: picture bytes -> pages and pixels; its errors become ours.

How a page gets upright and onto white, in this order: header read, size checked, frame decoded, EXIF
turn applied once, transparency laid on white, brought to 8 bits, made grey where nothing is coloured.

Pillow decodes while a lock is held: warnings are silenced for the whole process meanwhile, and a page
at a time bounds the memory.
"""

from __future__ import annotations

import io
import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from PIL import ExifTags, Image, ImageOps

from loomfolio.basics import FileUnreadableError, Resolution
from loomfolio.sheets.limits import check_page_px, check_pages
from loomfolio.sheets.pixels import eight_bits, grey_if_grey
from loomfolio.sheets.records import PageInfo, Pixels, SourceKind
from loomfolio.sheets.resolution import believable

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
"""What Pillow's decoders were seen to raise, or raise in their source, on damaged files."""

_SIDEWAYS = frozenset({5, 6, 7, 8})
_CAMERA_TAGS = (ExifTags.Base.ExposureTime, ExifTags.Base.FNumber, ExifTags.Base.FocalLength)
_CM_PER_INCH = 2.54

_ONE_AT_A_TIME = threading.Lock()


def image_pages(path: Path, data: bytes) -> tuple[PageInfo, ...]:
    """Return what each page of a picture file is, by its headers."""
    with _opened(path, data) as image:
        return tuple(_page_info(path, image, number) for number in _numbers(path, image))


def image_page_pixels(
    path: Path, data: bytes, page: int
) -> tuple[Pixels, Resolution | None, SourceKind]:
    """Decode one page, upright and on white; with the resolution that the file states."""
    with _opened(path, data) as image:
        numbers = _numbers(path, image)
        if page not in numbers:
            raise FileUnreadableError(
                path, f"there is no page {page}, the file has {len(numbers)}", "choose another page"
            )
        info = _page_info(path, image, page)
        kind = _KINDS[str(image.format)]
        pixels = _upright_pixels(image)
    stated = None
    if info.x_dpi is not None and info.y_dpi is not None:
        stated = Resolution(info.x_dpi, info.y_dpi)
    return pixels, stated, kind


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


def _numbers(path: Path, image: Image.Image) -> range:
    """The page numbers of the file; only GIF, TIFF and WebP have more than one page."""
    pages = int(getattr(image, "n_frames", 1)) if image.format in _WITH_PAGES else 1
    check_pages(path, pages)
    return range(1, pages + 1)


def _page_info(path: Path, image: Image.Image, number: int) -> PageInfo:
    """Go to a page and say what it will be once it is upright."""
    if number > 1:
        image.seek(number - 1)
    width_px, height_px = image.size
    check_page_px(path, number, width_px, height_px)
    x_dpi, y_dpi = _stated_dpi(image) or (0.0, 0.0)
    if _is_sideways(image):
        x_dpi, y_dpi = y_dpi, x_dpi
        if image.format != "TIFF":  # of which Pillow states the upright size at once
            width_px, height_px = height_px, width_px
    stated = None if _is_photo(image) else believable(x_dpi, y_dpi, width_px, height_px)
    return PageInfo(
        number=number,
        width_px=width_px,
        height_px=height_px,
        x_dpi=stated.x_dpi if stated else None,
        y_dpi=stated.y_dpi if stated else None,
        is_vector=False,
        label=f"page {number}",
    )


def _stated_dpi(image: Image.Image) -> tuple[float, float] | None:
    """The resolution that the file states along the stored rows and columns, believable or not."""
    stated = image.info.get("dpi")
    if isinstance(stated, tuple) and len(stated) == 2:
        return float(stated[0]), float(stated[1])
    if image.format != "WEBP":
        return None
    exif = image.getexif()
    x, y = exif.get(ExifTags.Base.XResolution), exif.get(ExifTags.Base.YResolution)
    unit = {2: 1.0, 3: _CM_PER_INCH}.get(exif.get(ExifTags.Base.ResolutionUnit, 2))
    if x is None or y is None or unit is None:
        return None
    return float(x) * unit, float(y) * unit


def _is_sideways(image: Image.Image) -> bool:
    return image.getexif().get(ExifTags.Base.Orientation) in _SIDEWAYS


def _is_photo(image: Image.Image) -> bool:
    """Was it taken by a camera? It cannot know how large the paper was, whatever it writes."""
    taken = image.getexif().get_ifd(ExifTags.IFD.Exif)
    return any(tag in taken for tag in _CAMERA_TAGS)


def _upright_pixels(image: Image.Image) -> Pixels:
    white_is_zero = image.format == "TIFF" and image.mode.startswith("I;16") and _is_inverted(image)
    image.load()
    upright = ImageOps.exif_transpose(image)
    if upright.mode.startswith("I;16"):
        return eight_bits(np.asarray(upright, np.uint16), white_is_zero=white_is_zero)
    if upright.mode in {"1", "L"} and not upright.has_transparency_data:
        return np.array(upright.convert("L"), np.uint8)
    return grey_if_grey(np.asarray(_on_white(upright), np.uint8))


def _is_inverted(image: Image.Image) -> bool:
    """Does the TIFF say that 0 is white? Pillow turns 8 bits round, but not 16."""
    return image.getexif().get(ExifTags.Base.PhotometricInterpretation) == 0


def _on_white(image: Image.Image) -> Image.Image:
    """Return the picture as RGB, whatever is transparent laid on white paper."""
    if not image.has_transparency_data:
        return image.convert("RGB")
    overlay = image.convert("RGBA")
    paper = Image.new("RGBA", overlay.size, (255, 255, 255, 255))
    return Image.alpha_composite(paper, overlay).convert("RGB")
