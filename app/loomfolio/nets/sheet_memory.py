"""What was worked out of single sheets, for all fits that are looked at: most sheets are the same in each.

Of each sheet the last few states are kept, those used last first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from loomfolio.nets.records import MapRow
from loomfolio.nets.sheet_graph import LinkEnd, build_sheet_graph
from loomfolio.nets.sheet_nets import SheetNets, sheet_nets
from loomfolio.project import Mark, Sheet
from loomfolio.reading import Reading

MOST_STATES = 6
"""Two fits with and without what they leave open, and the states before and after an edit of one of them."""


@dataclass(frozen=True, slots=True)
class _State:
    sheet: Sheet
    reading: Reading
    marks: tuple[Mark, ...]
    link_ends: tuple[LinkEnd, ...]
    own: SheetNets

    def is_of(
        self, sheet: Sheet, reading: Reading, marks: tuple[Mark, ...], ends: tuple[LinkEnd, ...]
    ) -> bool:
        """Was it made of these very records?"""
        return (
            self.sheet is sheet
            and self.reading is reading
            and self.link_ends == ends
            and len(self.marks) == len(marks)
            and all(old is new for old, new in zip(self.marks, marks, strict=True))
        )


@dataclass(frozen=True, slots=True)
class KeptRows:
    """Rows of the map, the sheets that they rest on, all else that they rest on as a token, and their nets.

    `keys` sort the rows, one each.
    """

    sheets: tuple[SheetNets, ...]
    token: tuple[object, ...]
    numbers: tuple[int, ...]
    rows: tuple[MapRow, ...]
    keys: tuple[tuple[object, ...], ...]

    def is_of(self, sheets: tuple[SheetNets, ...], token: tuple[object, ...]) -> bool:
        """Do they rest on the same, but for the numbers of nets?"""
        return (
            len(self.sheets) == len(sheets)
            and all(old is new for old, new in zip(self.sheets, sheets, strict=True))
            and self.token == token
        )


RowsKey = str | tuple[tuple[str, int], ...]
"""A sheet, or the conductors of a run over links as their sheets count them."""


@dataclass
class SheetMemory:
    """Sheets and rows that were worked out already."""

    states: dict[str, list[_State]] = field(default_factory=dict)
    rows: dict[RowsKey, list[KeptRows]] = field(default_factory=dict)

    def sheet_nets(
        self, sheet: Sheet, reading: Reading, marks: tuple[Mark, ...], ends: tuple[LinkEnd, ...]
    ) -> SheetNets:
        """Return what a sheet joins, built anew only where something of it changed."""
        kept = self.states.setdefault(sheet.id, [])
        for place, state in enumerate(kept):
            if state.is_of(sheet, reading, marks, ends):
                kept.insert(0, kept.pop(place))
                return state.own
        own = sheet_nets(build_sheet_graph(sheet, reading, marks, ends))
        kept.insert(0, _State(sheet, reading, marks, ends, own))
        del kept[MOST_STATES:]
        return own

    def unread(self, sheet: Sheet) -> Reading:
        """Return the reading of a sheet that is not read: the same one each time, so that it is recognised."""
        for state in self.states.get(sheet.id, ()):
            if not state.reading.conductors and state.sheet is sheet:
                return state.reading
        return Reading.blank(sheet.width_px, sheet.height_px, sheet.x_dpi)

    def found_rows(
        self,
        key: RowsKey,
        sheets: tuple[SheetNets, ...],
        token: tuple[object, ...],
        numbers: tuple[int, ...],
    ) -> KeptRows | None:
        """Return rows that rest on the same: with the same numbers of nets if there are such."""
        kept = self.rows.get(key, [])
        fitting = [place for place, one in enumerate(kept) if one.is_of(sheets, token)]
        if not fitting:
            return None
        best = next((place for place in fitting if kept[place].numbers == numbers), fitting[0])
        kept.insert(0, kept.pop(best))
        return kept[0]

    def keep_rows(self, key: RowsKey, rows: KeptRows) -> None:
        """Keep rows for the next call."""
        kept = self.rows.setdefault(key, [])
        kept.insert(0, rows)
        del kept[MOST_STATES:]

    def forget_rows_but(self, used: set[RowsKey]) -> None:
        """Forget rows of runs that are long gone, once they are many more than those in use."""
        if len(self.rows) > 3 * len(used) + 1000:
            self.rows = {key: rows for key, rows in self.rows.items() if key in used}
