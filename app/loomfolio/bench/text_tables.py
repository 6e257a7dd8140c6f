"""Tables as plain text: CSV for scripts, columns for a terminal.

CSV is UTF-8 without a byte order mark, comma, CRLF (RFC 4180), a point in numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from loomfolio.bench.tables import Cell


def csv_bytes(columns: Sequence[str], rows: Sequence[Sequence[Cell]]) -> bytes:
    """Return a header and rows as CSV."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(columns)
    writer.writerows(rows)
    return text.getvalue().encode()


def columns_text(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Return a header and rows as lines with columns under each other; without rows the header alone."""
    table = [tuple(columns), *(tuple(row) for row in rows)]
    widths = [max(len(row[column]) for row in table) for column in range(len(columns))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in table
    ]
