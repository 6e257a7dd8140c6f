"""Lines as XLSX workbooks: one real table per sheet, with filters and a header that stays in view.

Everything is written as text or number, never as a formula or a link, whatever a name looks like.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from loomfolio.bench.tables import Cell

LONGEST_TEXT = 32_767
"""Characters that a cell of the format takes; a longer text is cut there with an ellipsis."""
NARROWEST, WIDEST = 6, 48
"""Widths of a column, in characters."""
UNDATED = date(1980, 1, 1)
"""The first day that the zip format knows: a workbook that is asked for without a day has no other."""
_FILTER_BUTTON = 3
_ROWS_FOR_WIDTH = 500


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet of a workbook: its name, its columns, and the rows below them."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def workbook_bytes(tables: Sequence[Table], *, title: str, today: date) -> bytes:
    """Return a workbook of one table per sheet; without rows a table has its header and a blank row.

    The same tables, title and day give the same bytes.
    """
    room = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(room, options) as book:
        made = datetime.combine(today, time())
        book.set_properties({"title": title, "created": made})
        header = book.add_format({"bold": True, "valign": "top", "bottom": 1})
        body = book.add_format({"valign": "top", "text_wrap": True})
        for table in tables:
            _write_table(book.add_worksheet(table.name), table, header, body)
    return room.getvalue()


def _write_table(sheet: Worksheet, table: Table, header: Format, body: Format) -> None:
    last_row, last_column = max(len(table.rows), 1), len(table.columns) - 1
    for column in range(len(table.columns)):
        sheet.set_column(column, column, _width(table, column), body)
    sheet.add_table(
        0,
        0,
        last_row,
        last_column,
        {
            "name": table.name.replace(" ", "_"),
            "style": "Table Style Light 1",
            "columns": [{"header": name, "header_format": header} for name in table.columns],
        },
    )
    for number, row in enumerate(table.rows, 1):
        for column, value in enumerate(row):
            if isinstance(value, str):
                sheet.write_string(number, column, _cut(value), body)
            else:
                sheet.write_number(number, column, value, body)
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _width(table: Table, column: int) -> int:
    texts = [str(row[column]) for row in table.rows[:_ROWS_FOR_WIDTH]]
    longest = max((len(text) for text in texts), default=0)
    return min(max(longest + 1, len(table.columns[column]) + _FILTER_BUTTON, NARROWEST), WIDEST)


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 1] + "…"
