"""The words on the sheets of a project: from the folder's cache, or recognised now and kept there.

Recognising takes longer than reading lines, so it has a cache of its own: a body that the person draws
makes the lines be read again, but not the words.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Callable
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from loomfolio.project import Sheet
from loomfolio.reading.page_route import DRAWING_VERSION, with_recognised_words
from loomfolio.reading.read import never
from loomfolio.reading.records import Reading, Text
from loomfolio.reading.sheet_readings import ReadingStore
from loomfolio.sheets import sheet_pixels

WORDS_VERSION = "1"
"""Part of every cache key: words recognised by another version are recognised again."""
_TEXTS = TypeAdapter(tuple[Text, ...])


def cached_words(folder: ReadingStore, sheet: Sheet) -> tuple[Text, ...] | None:
    """Return the words of a sheet from the cache; None where they have not been recognised yet."""
    try:
        return _TEXTS.validate_json(_cache_file(folder, sheet).read_bytes())
    except (OSError, ValidationError):
        return None


def read_sheet_words(
    folder: ReadingStore,
    sheet: Sheet,
    reading: Reading,
    *,
    cancelled: Callable[[], bool] = never,
) -> tuple[Text, ...]:
    """Return the words of a sheet, px of its page: from the cache, or recognised now and kept there.

    `reading` is that of the sheet: its outlines are no letters, and words that the file itself writes
    are told as they stand there.

    Raises
    ------
    WorkCancelledError
        `cancelled` answered yes.
    FileUnreadableError
        The sheet's file is gone or is not the one that was brought in.
    """
    known = cached_words(folder, sheet)
    if known is not None:
        return known
    told = with_recognised_words(reading, lambda: sheet_pixels(folder, sheet), cancelled=cancelled)
    _keep(_cache_file(folder, sheet), told.texts)
    return told.texts


def _cache_file(folder: ReadingStore, sheet: Sheet) -> Path:
    key = json.dumps([WORDS_VERSION, DRAWING_VERSION, sheet.sha256, sheet.page, sheet.x_dpi])
    return folder.cache_path / "words" / f"{hashlib.sha256(key.encode()).hexdigest()[:32]}.json"


def _keep(file: Path, texts: tuple[Text, ...]) -> None:
    """Write beside, then swap. A folder that cannot be written (read-only) keeps nothing and loses nothing."""
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_name(f"{file.name}.{os.getpid()}.part")
        beside.write_bytes(_TEXTS.dump_json(texts))
        beside.replace(file)
