"""Photos of real things: turned upright as the camera noted, then copied into the project's folder.

A picture that lies upright already is copied as it is; one that the camera turned by a note in the file is
written anew without it, so that arrows laid over it stay where they were drawn, whatever shows it.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Protocol

from PIL import ExifTags, Image

from loomfolio.basics import FileUnreadableError
from loomfolio.sheets.pages import load_page

_UPRIGHT = 1
_QUALITY = 92
"""JPEG quality of a turned photo: no loss that one sees, about the size that the camera wrote."""


class PhotoStore(Protocol):
    """The part of a project's folder that keeps photos."""

    def copy_in_photo(self, source: Path) -> str:
        """Copy a photo in and return its path in the folder."""


def bring_in_photo(folder: PhotoStore, path: Path) -> str:
    """Copy a photo into a project's folder, upright, and return its path there.

    Raises
    ------
    FileUnreadableError
        The file is missing, broken, or no picture; nothing was copied.
    """
    page = load_page(path)
    if page.source_kind == "PDF":
        raise FileUnreadableError(
            path, "a PDF file is no photo", "bring it in as a sheet, or save it as a picture"
        )
    if _is_upright(path):
        return folder.copy_in_photo(path)
    with tempfile.TemporaryDirectory() as room:
        upright = Path(room) / f"{path.stem}.jpg"
        Image.fromarray(page.pixels).save(upright, quality=_QUALITY)
        return folder.copy_in_photo(upright)


def _is_upright(path: Path) -> bool:
    """Is there no note in the file by which it would have to be turned? It was decoded without fault before."""
    with Image.open(path) as image:
        return bool(image.getexif().get(ExifTags.Base.Orientation, _UPRIGHT) == _UPRIGHT)
