"""A page opened and drawn small by a process of its own, before this one opens it.

A PDF can hold more work than any machine can do: forms that draw forms that draw forms, streams that unfold
to gigabytes. PDFium does it all before it answers, and nothing in the same process can stop it. So each
page is first opened by a child with limits on time and memory; what is too much for the child is not opened
at all. The child gets the file by its standard input, says the number of each page that it has done, and is
run from this very file, which imports PDFium alone, so that it starts in a tenth of a second.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path

SECONDS_A_PAGE = 20.0
"""A page of 10⁶ operators takes PDFium about 3 s on a small machine."""
MEMORY_BYTES = 3 * 1024**3
LONGEST_SIDE_PX = 600
_START_SECONDS = 10.0
_KNOWN: dict[tuple[str, int], bool] = {}
"""By digest of the file and page: is it too heavy? The same bytes are asked about once."""


def pages_too_heavy(
    data: bytes,
    pages: Sequence[int],
    password: str | None,
    *,
    seconds_a_page: float = SECONDS_A_PAGE,
    memory_bytes: int = MEMORY_BYTES,
) -> frozenset[int]:
    """Return the pages, from 1, that a child could not open and draw within the limits.

    A page that is merely broken is not among them: opening it is harmless, and says what is wrong.
    """
    digest = hashlib.sha256(data).hexdigest()
    left = [page for page in pages if (digest, page) not in _KNOWN]
    while left:
        done = _opened_by_child(data, left, password, (seconds_a_page, memory_bytes))
        for page in done:
            _KNOWN[digest, page] = False
        left = left[len(done) :]
        if left:
            _KNOWN[digest, left.pop(0)] = True
    return frozenset(page for page in pages if _KNOWN[digest, page])


def _opened_by_child(
    data: bytes, pages: Sequence[int], password: str | None, limits: tuple[float, int]
) -> list[int]:
    """The pages that a child has done, in order, until it was done or came to its end."""
    seconds, memory_bytes = limits
    order = {"pages": list(pages), "password": password, "seconds": seconds, "memory": memory_bytes}
    try:
        child = subprocess.run(
            [sys.executable, "-I", str(Path(__file__).resolve())],
            input=json.dumps(order).encode() + b"\n" + data,
            capture_output=True,
            timeout=_START_SECONDS + seconds * len(pages),
            check=False,
        )
        said = child.stdout
    except subprocess.TimeoutExpired as late:
        said = late.stdout or b""
    return [int(word) for word in said.split()]


def _limit_memory(most_bytes: int) -> None:
    """Let the child end where it asks for more; where a system has no such limit, time alone holds."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))


def _open_pages() -> None:
    """Do the child's work."""
    import pypdfium2
    import pypdfium2.raw as pdfium_raw

    order = json.loads(sys.stdin.buffer.readline())
    data = sys.stdin.buffer.read()
    _limit_memory(order["memory"])
    for number in order["pages"]:
        # PDFium lets other threads run while it works, so a timer can end the process.
        timer = threading.Timer(order["seconds"], os._exit, (1,))
        timer.daemon = True
        timer.start()
        with (
            contextlib.suppress(pypdfium2.PdfiumError, IndexError, ValueError),
            pypdfium2.PdfDocument(data, password=order["password"]) as document,
        ):
            page = document[number - 1]
            longest_pt = max(*page.get_size(), 1.0)
            page.render(scale=min(LONGEST_SIDE_PX / longest_pt, 1.0)).close()
            text_page = pdfium_raw.FPDFText_LoadPage(page)
            if text_page:
                pdfium_raw.FPDFText_ClosePage(text_page)
        timer.cancel()
        sys.stdout.write(f"{number}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    _open_pages()
