"""PDF bytes -> pages and pixels, by PDFium; its errors become ours.

PDFium is not made for threads, so one lock guards every call (`opened_pdf`). Its objects stay in this
module, `pdf_drawing` and `pdf_words`: what goes out are records and arrays.
"""

from __future__ import annotations

import hashlib
import io
import math
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium_raw

from loomfolio.basics import (
    FileUnreadableError,
    LimitExceededError,
    PasswordNeededError,
    Resolution,
)
from loomfolio.sheets.limits import check_page_px, check_pages, no_such_page
from loomfolio.sheets.pdf_probe import MEMORY_BYTES, SECONDS_A_PAGE, pages_too_heavy
from loomfolio.sheets.pixels import grey_if_grey
from loomfolio.sheets.records import PageInfo, Pixels

PDF_DPI = 300
POINTS_PER_INCH = 72.0

_FILE_ID = re.compile(rb"/ID\[<[0-9A-F]{32}><[0-9A-F]{32}>\]")
_ONE_AT_A_TIME = threading.Lock()


def is_pdf(data: bytes) -> bool:
    """Does the file claim to be a PDF? Some programs put a few bytes before the mark."""
    return b"%PDF-" in data[:1024]


def pdf_pages(path: Path, data: bytes, password: str | None) -> tuple[PageInfo, ...]:
    """Return what each page is at `PDF_DPI`; only the page tree is read, nothing is drawn."""
    with opened_pdf(path, data, password) as document:
        return tuple(_page_info(path, document, index) for index in range(len(document)))


def pdf_page_pixels(
    path: Path, data: bytes, page: int, dpi: float, password: str | None
) -> tuple[Pixels, Resolution]:
    """Draw one page on white, with the notes that are pinned to it; the size is checked before."""
    check_weight(path, data, page, password)
    with opened_pdf(path, data, password) as document:
        if not 1 <= page <= len(document):
            raise no_such_page(path, page, len(document))
        check_page_px(path, page, *page_size_px(path, document, page - 1, dpi))
        bitmap = document[page - 1].render(scale=dpi / POINTS_PER_INCH, rev_byteorder=True)
        drawn: Pixels = np.array(bitmap.to_numpy()[..., :3], np.uint8)
        bitmap.close()
    return grey_if_grey(drawn), Resolution.square(float(dpi))


def check_weight(path: Path, data: bytes, page: int, password: str | None) -> None:
    """Raise `LimitExceededError` for a page that a process with limits could not open (`pdf_probe`)."""
    if pages_too_heavy(data, [page], password):
        raise LimitExceededError(
            path,
            f"page {page} holds more than can be drawn in {SECONDS_A_PAGE:.0f} s"
            f" or in {MEMORY_BYTES / 1024**3:.0f} GB of memory",
            "bring it in as a picture, or print it to a new PDF",
        )


def without_password(path: Path, data: bytes, password: str | None) -> bytes | None:
    """Return a copy of the PDF that opens without a password, or None if it is not protected.

    The same PDF gives the same bytes.
    """
    with opened_pdf(path, data, password) as document:
        if pdfium_raw.FPDF_GetSecurityHandlerRevision(document) < 0:
            return None
        copy = io.BytesIO()
        document.save(copy, flags=pdfium_raw.FPDF_REMOVE_SECURITY)
        return _with_steady_id(copy.getvalue())


def _with_steady_id(data: bytes) -> bytes:
    """Put a digest of the file in place of the file id that PDFium draws by lot."""
    found = list(_FILE_ID.finditer(data))
    if not found:
        return data
    start, end = found[-1].span()
    digest = hashlib.md5(data[:start], usedforsecurity=False).hexdigest().upper().encode()
    return data[:start] + b"/ID[<%b><%b>]" % (digest, digest) + data[end:]


@contextmanager
def opened_pdf(path: Path, data: bytes, password: str | None) -> Iterator[Any]:
    """Open, check the number of pages, and close again; PDFium's errors become ours."""
    with _ONE_AT_A_TIME:
        _forget_last_error()
        try:
            with pypdfium2.PdfDocument(data, password=password) as document:
                check_pages(path, len(document))
                if len(document) == 0:
                    raise _broken(path)
                yield document
        except pypdfium2.PdfiumError as error:
            raise _as_ours(path, error, password) from error


def _forget_last_error() -> None:
    """Have PDFium say "broken" where it would say again what was wrong with an earlier file.

    It sets no error of its own for a file without pages (build 8149); opening no file sets one.
    """
    with suppress(pypdfium2.PdfiumError):
        pypdfium2.PdfDocument(b"").close()


def _as_ours(path: Path, error: Any, password: str | None) -> FileUnreadableError:
    code = error.err_code
    if code == pdfium_raw.FPDF_ERR_PASSWORD:
        if password:
            return PasswordNeededError(path, "this is not its password", "try another one")
        return PasswordNeededError(path, "the PDF is protected", "give its password")
    if code == pdfium_raw.FPDF_ERR_SECURITY:
        return FileUnreadableError(
            path,
            "the PDF is protected in a way that cannot be opened here",
            "print it to a new PDF and use that",
        )
    return _broken(path)


def _broken(path: Path) -> FileUnreadableError:
    return FileUnreadableError(path, "the PDF is broken or cut off", "fetch or export it again")


def _page_info(path: Path, document: Any, index: int) -> PageInfo:
    width_pt, height_pt = _page_size(path, document, index)
    printed = str(document.get_page_label(index) or "").strip()
    return PageInfo(
        number=index + 1,
        width_px=_px(width_pt, PDF_DPI),
        height_px=_px(height_pt, PDF_DPI),
        x_dpi=float(PDF_DPI),
        y_dpi=float(PDF_DPI),
        is_vector=True,
        label=printed or f"page {index + 1}",
    )


def _page_size(path: Path, document: Any, index: int) -> tuple[float, float]:
    width_pt, height_pt = document.get_page_size(index)
    if not (math.isfinite(width_pt) and math.isfinite(height_pt)) or min(width_pt, height_pt) <= 0:
        raise FileUnreadableError(
            path, f"page {index + 1} of the PDF has no size", "fetch or export it again"
        )
    return float(width_pt), float(height_pt)


def page_size_px(path: Path, document: Any, index: int, dpi: float) -> tuple[int, int]:
    """Return width and height in px of an opened document's page, drawn at `dpi`."""
    width_pt, height_pt = _page_size(path, document, index)
    return _px(width_pt, dpi), _px(height_pt, dpi)


def _px(length_pt: float, dpi: float) -> int:
    """How many px PDFium's bindings make of a side: a part of a px counts as one."""
    return math.ceil(length_pt * (dpi / POINTS_PER_INCH))
