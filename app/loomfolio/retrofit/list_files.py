"""The one module that opens lists: CSV text and XLSX workbooks -> rows of plain text; its errors become ours."""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import ParseError

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from loomfolio.basics import FileUnreadableError, LimitExceededError

MAX_FILE_BYTES = 30_000_000
MAX_UNPACKED_BYTES = 300_000_000
"""A workbook is packed; unpacked it may be this large, checked before it is opened."""
MAX_ROWS, MAX_COLUMNS = 50_000, 200
"""Five times the pins of a whole vehicle; far more columns than any pin list has."""
_DELIMITERS = ",;\t|"
_DECODER_ERRORS = (
    OSError,
    ValueError,
    KeyError,
    IndexError,
    TypeError,
    AttributeError,
    EOFError,
    ParseError,
    zipfile.BadZipFile,
    InvalidFileException,
)
"""What openpyxl raises on damaged workbooks, documented or not; caught round its calls only."""


@dataclass(frozen=True, slots=True)
class ListFile:
    """A list as plain text: its headings, and the rows below them, each as long as the headings.

    `first_row` is the number of the first row below the headings, as the person counts in the file.
    """

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    first_row: int = 2


def read_list(path: Path, *, sheet: str | None = None) -> ListFile:
    """Return what a CSV or XLSX file holds; the first row that is not blank holds the headings.

    Parameters
    ----------
    sheet
        Which sheet of a workbook; the first one where it is not said.

    Raises
    ------
    FileUnreadableError
        It is missing, damaged, of another kind, or has no headings.
    LimitExceededError
        It is larger than the stated limits.
    """
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= MAX_FILE_BYTES else b""
    except OSError as error:
        reason = error.strerror or "not readable"
        raise FileUnreadableError(
            path, f"it cannot be read ({reason})", "check the path"
        ) from error
    if size > MAX_FILE_BYTES:
        raise _too_large(path, f"the file has {size / 1e6:.0f} MB")
    if data[:4] == b"PK\x03\x04":
        table = _workbook_rows(path, data, sheet)
    elif path.suffix.casefold() in {".xlsx", ".xlsm", ".xls"}:
        raise FileUnreadableError(path, "it is no XLSX workbook", "save it as XLSX or CSV")
    else:
        table = _csv_rows(path, data)
    return _as_list(path, table)


def sheet_names(path: Path) -> tuple[str, ...]:
    """Return the sheets of a workbook; nothing for a CSV file."""
    try:
        data = path.read_bytes() if path.stat().st_size <= MAX_FILE_BYTES else b""
    except OSError as error:
        reason = error.strerror or "not readable"
        raise FileUnreadableError(
            path, f"it cannot be read ({reason})", "check the path"
        ) from error
    return tuple(_opened(path, data).sheetnames) if data[:4] == b"PK\x03\x04" else ()


def _too_large(path: Path, what: str) -> LimitExceededError:
    remedy = (
        f"cut it down to what the job needs ({MAX_ROWS} rows, {MAX_COLUMNS} columns at the most)"
    )
    return LimitExceededError(path, what, remedy)


def _opened(path: Path, data: bytes) -> openpyxl.Workbook:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            unpacked = sum(entry.file_size for entry in packed.infolist())
        if unpacked > MAX_UNPACKED_BYTES:
            raise _too_large(path, f"unpacked it would have {unpacked / 1e6:.0f} MB")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns of formats and extensions that no list needs
            return openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    except _DECODER_ERRORS as error:
        raise FileUnreadableError(
            path, "the workbook is damaged or protected", "save it anew, or as CSV"
        ) from error


def _workbook_rows(path: Path, data: bytes, sheet: str | None) -> list[list[str]]:
    book = _opened(path, data)
    if sheet is not None and sheet not in book.sheetnames:
        names = ", ".join(book.sheetnames)
        raise FileUnreadableError(path, f"it has no sheet {sheet!r}", f"choose one of {names}")
    try:
        page = book[sheet or book.sheetnames[0]]
        return _limited(
            path, ([_cell_text(cell) for cell in row] for row in page.iter_rows(values_only=True))
        )
    except _DECODER_ERRORS as error:
        raise FileUnreadableError(
            path, "the workbook is damaged", "save it anew, or as CSV"
        ) from error
    finally:
        book.close()


def _cell_text(value: object) -> str:
    """A cell as the person sees it: 12, not 12.0."""
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value).strip()


def _csv_rows(path: Path, data: bytes) -> list[list[str]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        raise FileUnreadableError(path, "it is no text", "save the list as CSV or XLSX")
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(_DELIMITERS, key=first.count)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        return _limited(path, ([cell.strip() for cell in row] for row in reader))
    except csv.Error as error:
        raise FileUnreadableError(
            path, "its rows cannot be told apart", "save it anew as CSV or XLSX"
        ) from error


def _limited(path: Path, rows: Iterable[list[str]]) -> list[list[str]]:
    found: list[list[str]] = []
    for row in rows:
        while row and not row[-1]:
            row.pop()
        if len(row) > MAX_COLUMNS:
            raise _too_large(path, f"a row has {len(row)} columns")
        if len(found) > MAX_ROWS:
            raise _too_large(path, f"it has more than {MAX_ROWS} rows")
        found.append(row)
    return found


def _as_list(path: Path, table: list[list[str]]) -> ListFile:
    head = next((number for number, row in enumerate(table) if any(row)), None)
    if head is None:
        raise FileUnreadableError(path, "the list is empty", "choose a list with headings")
    headings = tuple(table[head])
    if len(set(headings)) < len(headings) or "" in headings:
        headings = _told_apart(headings)
    width = len(headings)
    rows = (tuple([*row, *[""] * width][:width]) for row in table[head + 1 :])
    return ListFile(path.name, headings, tuple(rows), first_row=head + 2)


def _told_apart(headings: tuple[str, ...]) -> tuple[str, ...]:
    """Headings that stand twice, or are blank, get the number of their column."""
    return tuple(
        heading if heading and headings.count(heading) == 1 else f"{heading or 'column'} ({number})"
        for number, heading in enumerate(headings, 1)
    )
