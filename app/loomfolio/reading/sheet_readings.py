"""Readings of the sheets of a project: from the folder's cache, or made anew and kept there.

A reading is a function of the sheet's file, its page, the bodies that the person marked on it, and the
reader; these make its name in the cache. The cache may be deleted at any time, and a damaged file in it
counts as missing.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from pydantic import ValidationError

from loomfolio.basics import PxBox, Resolution
from loomfolio.project import BodyMark, Project, Sheet
from loomfolio.reading.page_route import DRAWING_VERSION, read_any_page
from loomfolio.reading.read import READER_VERSION, ignore, never
from loomfolio.reading.records import Reading
from loomfolio.sheets import SheetStore, sheet_drawing, sheet_pixels


class ReadingStore(SheetStore, Protocol):
    """What this module needs of a project's folder."""

    @property
    def cache_path(self) -> Path:
        """The folder of what was worked out."""
        ...


def bodies_of(project: Project, sheet: Sheet) -> tuple[PxBox, ...]:
    """Return the boxes that the person marked on a sheet, px of its page, in a fixed order."""
    resolution = Resolution(sheet.x_dpi, sheet.y_dpi)
    boxes = {
        resolution.box_to_px(mark.box)
        for mark in project.marks
        if isinstance(mark, BodyMark) and mark.sheet == sheet.id
    }
    return tuple(sorted(boxes))


def cached_reading(folder: ReadingStore, sheet: Sheet, bodies: Sequence[PxBox]) -> Reading | None:
    """Return the reading of a sheet from the cache; None where it has not been made yet."""
    try:
        text = _cache_file(folder, sheet, bodies).read_text(encoding="utf-8")
        reading = Reading.model_validate_json(text)
    except (OSError, ValidationError, UnicodeDecodeError):
        return None
    is_same_page = (reading.page.width_px, reading.page.height_px) == (
        sheet.width_px,
        sheet.height_px,
    )
    return reading if is_same_page else None


def read_sheet(
    folder: ReadingStore,
    sheet: Sheet,
    bodies: Sequence[PxBox],
    *,
    cancelled: Callable[[], bool] = never,
    progress: Callable[[float], None] = ignore,
) -> Reading:
    """Return the reading of a sheet, from the cache or made now and kept there.

    Raises
    ------
    WorkCancelledError
        `cancelled` answered yes.
    FileUnreadableError
        The sheet's file is gone or is not the one that was brought in.
    """
    known = cached_reading(folder, sheet, bodies)
    if known is not None:
        return known
    reading = read_any_page(
        lambda: sheet_pixels(folder, sheet),
        sheet_drawing(folder, sheet),
        dpi=sheet.x_dpi,
        bodies=bodies,
        cancelled=cancelled,
        progress=progress,
    )
    _keep(_cache_file(folder, sheet, bodies), reading)
    return reading


def readings_of(folder: ReadingStore, project: Project) -> dict[str, Reading]:
    """Return the readings of all sheets that are to be read, by sheet id."""
    return {
        sheet.id: read_sheet(folder, sheet, bodies_of(project, sheet))
        for sheet in project.sheets
        if sheet.is_read and sheet.kind == "circuit"
    }


def _cache_file(folder: ReadingStore, sheet: Sheet, bodies: Sequence[PxBox]) -> Path:
    key = json.dumps(
        {
            "reader": READER_VERSION,
            "drawing": DRAWING_VERSION,
            "file": sheet.sha256,
            "page": sheet.page,
            "dpi": sheet.x_dpi,
            "bodies": [[round(edge, 2) for edge in box] for box in sorted(bodies)],
        }
    )
    name = hashlib.sha256(key.encode()).hexdigest()[:32]
    return folder.cache_path / "readings" / f"{name}.json"


def _keep(file: Path, reading: Reading) -> None:
    """Write beside, then swap. A folder that cannot be written (read-only) keeps nothing and loses nothing."""
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_name(f"{file.name}.{os.getpid()}.part")
        beside.write_text(reading.to_json(), encoding="utf-8")
        beside.replace(file)
