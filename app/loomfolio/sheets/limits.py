"""How large a file may be before it is refused: stated limits, checked before it is decoded.

A picture file of a few kB can unfold into gigabytes. The libraries that decode have limits too, but
not ours, and they speak to programmers; theirs are switched off where these are checked.
"""

from __future__ import annotations

from pathlib import Path

from loomfolio.basics import FileUnreadableError, LimitExceededError

MAX_FILE_BYTES = 300_000_000
"""A bundle of 25 colour scans of A3 at 300 dpi as PNG stays below it."""
MAX_PAGE_PX = 150_000_000
"""A0 at 300 dpi (139 million px), or A3 at 800 dpi (124 million)."""
MAX_SIDE_PX = 60_000
"""A strip of 5 m at 300 dpi."""
MAX_PAGES = 1000
"""A whole workshop manual; a job has 5 to 25 sheets."""


def check_file_bytes(path: Path, size_bytes: int) -> None:
    """Raise `LimitExceededError` if a file of `size_bytes` is not to be read at all."""
    if size_bytes > MAX_FILE_BYTES:
        raise LimitExceededError(
            path,
            f"the file has {size_bytes / 1e6:.0f} MB, the limit is {MAX_FILE_BYTES / 1e6:.0f} MB",
            "split it, or save it with fewer dots per inch",
        )


def check_pages(path: Path, pages: int) -> None:
    """Raise `LimitExceededError` if a file has more than `MAX_PAGES` pages."""
    if pages > MAX_PAGES:
        raise LimitExceededError(
            path,
            f"the file has more than {MAX_PAGES} pages",
            "cut out the pages that the job needs",
        )


def check_page_px(path: Path, page: int, width_px: int, height_px: int) -> None:
    """Raise `LimitExceededError` if a page has too many pixels or too long a side to be decoded."""
    if width_px * height_px > MAX_PAGE_PX or max(width_px, height_px) > MAX_SIDE_PX:
        raise LimitExceededError(
            path,
            f"page {page} is {width_px} × {height_px} px and the limit is"
            f" {MAX_PAGE_PX / 1e6:.0f} million px with no side above {MAX_SIDE_PX} px",
            "save it with fewer dots per inch",
        )


def no_such_page(path: Path, page: int, pages: int) -> FileUnreadableError:
    """Return the error for a page that the file does not have."""
    return FileUnreadableError(
        path, f"there is no page {page}, the file has {pages}", "choose another page"
    )
