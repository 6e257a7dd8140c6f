"""Bring pages into a project, and take the pixels of a sheet out of it again.

A file is read once, and each page wanted is decoded before anything is copied: a broken one changes
nothing, and what is stored is what was checked.
New sheets are laid on the light table to the right of the last row, or into a new row below.
"""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Literal, NamedTuple, Protocol

from loomfolio.basics import (
    MM_PER_INCH,
    FileUnreadableError,
    MmPoint,
    PasswordNeededError,
    Resolution,
)
from loomfolio.project import Project, Sheet, add_sheet
from loomfolio.sheets.drawings import PageDrawing
from loomfolio.sheets.limits import check_page_px, no_such_page
from loomfolio.sheets.pages import load_page, page_of, pages_of, read_bytes
from loomfolio.sheets.pdf_drawing import pdf_page_drawing
from loomfolio.sheets.pdf_files import PDF_DPI, is_pdf, without_password
from loomfolio.sheets.pdf_probe import pages_too_heavy
from loomfolio.sheets.records import PageInfo, Pixels
from loomfolio.sheets.resolution import assumed_resolution, resolution_from_paper

CHECKED_AT_DPI = 36
_TITLE_LENGTH = 200  # what `Sheet.title` takes
TABLE_GAP_MM = 20.0
TABLE_ROW_MM = 1700.0
"""How wide a row of sheets grows: five of A4 across, or eight upright."""


StatedBy = Literal["file", "paper size", "assumed"]


class SheetStore(Protocol):
    """What this room needs of a project's folder."""

    def copy_in(self, source: Path) -> str:
        """Copy a file under `sheets/` and return its path inside the folder."""
        ...

    def sheet_path(self, sheet: Sheet) -> Path:
        """Return where the file of a sheet lies."""
        ...


class _Checked(NamedTuple):
    info: PageInfo
    resolution: Resolution
    source: StatedBy


def bring_in(
    folder: SheetStore,
    project: Project,
    path: Path,
    *,
    pages: Iterable[int] | None = None,
    paper: str | None = None,
    password: str | None = None,
    left_out: Callable[[FileUnreadableError], None] | None = None,
) -> tuple[Project, tuple[str, ...]]:
    """Copy a file into the folder; return the document with its pages, and their sheet ids.

    The document is not committed here. Of a PDF that is protected **a copy without protection is
    stored** if `password` is given, so that the project opens without it; whoever hands the project
    on hands on that copy.

    Parameters
    ----------
    pages
        Which pages, from 1; None for all, none at all brings in nothing; doubles count once.
    paper
        A key of `PAPER_SIZES_MM`: the paper that each page fills, whatever the file says.
    password
        Of a protected PDF.
    left_out
        Hears of each page that cannot be used, and the other pages come in all the same; without it, or
        where no page can be used, such a page is an error.

    Raises
    ------
    FileUnreadableError, LimitExceededError, PasswordNeededError
        As `page_list` and `load_page`; nothing was copied.
    NameNotFoundError
        `paper` is not known; nothing was copied.
    """
    data = read_bytes(path)
    chosen = _chosen(path, pages_of(path, data, password), pages)
    if not chosen:
        return project, ()
    checked = [
        _Checked(info, *_resolution(info, paper))
        for info in _that_open(path, data, chosen, password, left_out)
    ]
    bare = without_password(path, data, password) if password and is_pdf(data) else None
    file, digest = _store(folder, path.name, bare or data)
    ids: list[str] = []
    stem = path.stem[:_TITLE_LENGTH]
    for page in checked:
        title = stem if len(checked) == 1 else f"{stem}, {page.info.label}"[:_TITLE_LENGTH]
        project, sheet_id = _add(project, page, title, file, digest)
        ids.append(sheet_id)
    return project, tuple(ids)


def sheet_pixels(folder: SheetStore, sheet: Sheet) -> Pixels:
    """Return the pixels of a sheet, uint8, (H, W) grey or (H, W, 3) RGB, as large as it states.

    Raises
    ------
    FileUnreadableError
        The file is gone, broken, or no longer the one that was brought in.
    """
    path = folder.sheet_path(sheet)
    image = load_page(path, page=sheet.page, dpi=PDF_DPI)
    height_px, width_px = image.pixels.shape[:2]
    _check_same(path, sheet, image.sha256, (width_px, height_px))
    return image.pixels


def sheet_drawing(folder: SheetStore, sheet: Sheet) -> PageDrawing | None:
    """Return what is drawn on a sheet, px as `sheet_pixels`; None where it is a picture.

    Raises
    ------
    FileUnreadableError
        The file is gone, broken, or no longer the one that was brought in.
    """
    path = folder.sheet_path(sheet)
    data = read_bytes(path)
    if not is_pdf(data):
        return None
    drawing = pdf_page_drawing(path, data, sheet.page, PDF_DPI, None)
    if drawing is not None:
        size_px = (drawing.width_px, drawing.height_px)
        _check_same(path, sheet, hashlib.sha256(data).hexdigest(), size_px)
    return drawing


def _check_same(path: Path, sheet: Sheet, sha256: str, size_px: tuple[int, int]) -> None:
    if sha256 != sheet.sha256 or size_px != (sheet.width_px, sheet.height_px):
        raise FileUnreadableError(
            path,
            "this is no longer the file that was brought in",
            "put the earlier file back or bring this one in as a new sheet",
        )


def _chosen(
    path: Path, infos: tuple[PageInfo, ...], pages: Iterable[int] | None
) -> tuple[PageInfo, ...]:
    if pages is None:
        return infos
    wanted = dict.fromkeys(pages)
    for number in wanted:
        if not 1 <= number <= len(infos):
            raise no_such_page(path, number, len(infos))
    return tuple(infos[number - 1] for number in wanted)


def _resolution(info: PageInfo, paper: str | None) -> tuple[Resolution, StatedBy]:
    if paper is not None:
        return resolution_from_paper(info.width_px, info.height_px, paper), "paper size"
    if info.x_dpi is not None and info.y_dpi is not None:
        return Resolution(info.x_dpi, info.y_dpi), "file"
    return assumed_resolution(info.width_px, info.height_px), "assumed"


def _that_open(
    path: Path,
    data: bytes,
    infos: tuple[PageInfo, ...],
    password: str | None,
    left_out: Callable[[FileUnreadableError], None] | None,
) -> list[PageInfo]:
    """The pages that can be used; `left_out` hears of the others."""
    if is_pdf(data):  # all in one child, before each is asked about
        pages_too_heavy(data, [info.number for info in infos], password)
    good: list[PageInfo] = []
    faults: list[FileUnreadableError] = []
    for info in infos:
        try:
            _check_opens(path, data, info, password)
        except PasswordNeededError:
            raise
        except FileUnreadableError as fault:
            faults.append(fault)
        else:
            good.append(info)
    for told in faults:
        if left_out is None or not good:
            raise told
        left_out(told)
    return good


def _check_opens(path: Path, data: bytes, info: PageInfo, password: str | None) -> None:
    """Decode a picture, or draw a PDF page small: what is stored is known to open."""
    check_page_px(path, info.number, info.width_px, info.height_px)
    dpi = CHECKED_AT_DPI if info.is_vector else PDF_DPI
    page_of(path, data, page=info.number, dpi=dpi, password=password)


def _store(folder: SheetStore, name: str, data: bytes) -> tuple[str, str]:
    """Copy the checked bytes in, by way of a file that is gone later; return path and digest."""
    with tempfile.TemporaryDirectory() as room:
        checked = Path(room) / name
        checked.write_bytes(data)
        return folder.copy_in(checked), hashlib.sha256(data).hexdigest()


def _add(
    project: Project, page: _Checked, title: str, file: str, digest: str
) -> tuple[Project, str]:
    added = add_sheet(
        project,
        title=title,
        file=file,
        sha256=digest,
        page=page.info.number,
        width_px=page.info.width_px,
        height_px=page.info.height_px,
        x_dpi=page.resolution.x_dpi,
        y_dpi=page.resolution.y_dpi,
        resolution_from=page.source,
        table_at=next_place(
            project.sheets, page.info.width_px * MM_PER_INCH / page.resolution.x_dpi
        ),
    )
    return added.project, added.id


def next_place(sheets: tuple[Sheet, ...], width_mm: float) -> MmPoint:
    """Return where the next sheet lies on the table: right of the lowest row, or in a row below.

    It never lies on another sheet, wherever those were moved to; the first one lies at the corner.
    """
    if not sheets:
        return MmPoint(0.0, 0.0)
    top = max(sheet.table_at.y for sheet in sheets)
    beside = [sheet for sheet in sheets if _bottom_mm(sheet) + TABLE_GAP_MM > top]
    right = max(_right_mm(sheet) for sheet in beside) + TABLE_GAP_MM
    left = min(sheet.table_at.x for sheet in sheets)
    if right + width_mm - left <= TABLE_ROW_MM:
        return MmPoint(right, top)
    return MmPoint(left, max(_bottom_mm(sheet) for sheet in sheets) + TABLE_GAP_MM)


def _right_mm(sheet: Sheet) -> float:
    return sheet.table_at.x + sheet.width_px * MM_PER_INCH / sheet.x_dpi


def _bottom_mm(sheet: Sheet) -> float:
    return sheet.table_at.y + sheet.height_px * MM_PER_INCH / sheet.y_dpi
