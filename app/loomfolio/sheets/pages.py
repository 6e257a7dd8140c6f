"""Open a file of the documents and return its pages: PNG, JPEG, GIF, TIFF, WebP and PDF.

The bytes are read once, with their number checked first; by the first ones (not by the name) they
go to `pdf_files` or `image_files`. Each of the two is the only module that touches its library.
"""

from __future__ import annotations

import hashlib
import stat
from pathlib import Path

from loomfolio.basics import FileUnreadableError, UsageError
from loomfolio.sheets.drawings import PageDrawing
from loomfolio.sheets.image_files import image_page_pixels, image_pages
from loomfolio.sheets.limits import check_file_bytes
from loomfolio.sheets.pdf_drawing import pdf_page_drawing
from loomfolio.sheets.pdf_files import PDF_DPI, is_pdf, pdf_page_pixels, pdf_pages
from loomfolio.sheets.records import PageImage, PageInfo
from loomfolio.sheets.resolution import HIGHEST_DPI

LOWEST_DRAWN_DPI = 20
"""A4 is then 165 × 234 px: a picture for a list."""

_PICTURE_MARKS = (
    b"\x89PNG\r\n\x1a\n",
    b"\xff\xd8\xff",
    b"GIF87a",
    b"GIF89a",
    b"II*\x00",
    b"MM\x00*",
    b"II+\x00",
    b"MM\x00+",
)
_FOREIGN_MARKS = (
    (b"BM", "a Windows bitmap"),
    (b"PK\x03\x04", "a zip archive or an office document"),
    (b"\xd0\xcf\x11\xe0", "an old office document"),
    (b"AC10", "a CAD drawing"),
    (b"%!PS", "PostScript"),
    (b"<?xml", "text"),
    (b"<svg", "an SVG drawing"),
)


def page_list(path: Path, *, password: str | None = None) -> tuple[PageInfo, ...]:
    """Return what each page of a file is; never empty. No PDF page is drawn for it.

    Raises
    ------
    FileUnreadableError
        The file is missing, empty, broken, or of a kind that is not read here.
    LimitExceededError
        It is larger than `limits` allows.
    PasswordNeededError
        It is a protected PDF, and `password` is missing or wrong.
    """
    return pages_of(path, read_bytes(path), password)


def load_page(
    path: Path, *, page: int = 1, dpi: float = PDF_DPI, password: str | None = None
) -> PageImage:
    """Return the pixels of one page: upright, on white, 8 bits, grey where nothing is coloured.

    `dpi` is used for PDF pages only. The same file gives the same pixels, always.

    Raises
    ------
    FileUnreadableError, LimitExceededError, PasswordNeededError
        As `page_list`, or there is no such page.
    UsageError
        `dpi` is no number from 20 to 2400.
    """
    return page_of(path, read_bytes(path), page=page, dpi=dpi, password=password)


def load_drawing(
    path: Path, *, page: int = 1, dpi: float = PDF_DPI, password: str | None = None
) -> PageDrawing | None:
    """Return what is drawn on one page in px of `load_page` at the same `dpi`.

    None where the file is a picture, or the page holds more than is read this way (`pdf_drawing`).

    Raises
    ------
    FileUnreadableError, LimitExceededError, PasswordNeededError, UsageError
        As `load_page`.
    """
    data = read_bytes(path)
    if not is_pdf(data):
        return None
    _check_drawn_dpi(dpi)
    return pdf_page_drawing(path, data, page, dpi, password)


def pages_of(path: Path, data: bytes, password: str | None) -> tuple[PageInfo, ...]:
    """Do what `page_list` does with bytes that are at hand; `path` is for the sentences only."""
    return pdf_pages(path, data, password) if is_pdf(data) else image_pages(path, data)


def page_of(
    path: Path, data: bytes, *, page: int, dpi: float, password: str | None = None
) -> PageImage:
    """Do what `load_page` does with bytes that are at hand; `path` is for the sentences only."""
    digest = hashlib.sha256(data).hexdigest()
    if is_pdf(data):
        _check_drawn_dpi(dpi)
        drawn, drawn_at = pdf_page_pixels(path, data, page, dpi, password)
        return PageImage(drawn, drawn_at, "file", digest, "PDF")
    pixels, stated, kind = image_page_pixels(path, data, page)
    return PageImage(pixels, stated, "file" if stated else None, digest, kind)


def _check_drawn_dpi(dpi: float) -> None:
    if not LOWEST_DRAWN_DPI <= dpi <= HIGHEST_DPI:
        raise UsageError(
            f"A page cannot be drawn at {dpi:g} dpi;"
            f" give a number from {LOWEST_DRAWN_DPI} to {HIGHEST_DPI:g}."
        )


def read_bytes(path: Path) -> bytes:
    """Return the bytes of a file that claims to be a PDF or a picture, within the limit."""
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise FileUnreadableError(path, "this is no file", "choose a picture or a PDF")
        check_file_bytes(path, status.st_size)
        data = path.read_bytes()
    except FileNotFoundError:
        raise FileUnreadableError(path, "there is no such file", "check the path") from None
    except (OSError, ValueError) as error:
        raise FileUnreadableError(
            path, "the file cannot be read", "check that you may open it"
        ) from error
    if not data:
        raise FileUnreadableError(path, "the file is empty", "scan or export it again")
    _check_kind(path, data)
    return data


def _check_kind(path: Path, data: bytes) -> None:
    is_webp = data[:4] == b"RIFF" and data[8:12] == b"WEBP"
    if is_webp or data.startswith(_PICTURE_MARKS) or is_pdf(data):
        return
    if data[4:12] in {b"ftypheic", b"ftypheix", b"ftypmif1", b"ftypavif"}:
        raise _foreign(path, "a HEIC or AVIF photo")
    for mark, kind in _FOREIGN_MARKS:
        if data.startswith(mark):
            raise _foreign(path, kind)
    raise _foreign(path, "neither a picture nor a PDF")


def _foreign(path: Path, kind: str) -> FileUnreadableError:
    return FileUnreadableError(
        path, f"this is {kind}", "save it as PNG, JPEG, GIF, TIFF, WebP or PDF"
    )
