"""Pin and connection lists from a file: they become parts, cavities, names and leads, known by "list".

Columns are mapped once: what a list's headings mean is proposed from `assets/list_headings.csv` or from a list
with the same headings before, settled by the person, and remembered in the document. A row that
cannot be understood is told with its number and changes nothing; no row is dropped silently.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from loomfolio.basics import EditError, NameNotFoundError, asset_path
from loomfolio.project import (
    Cavity,
    ColumnMeaning,
    Connector,
    Half,
    HalfKey,
    Known,
    Lead,
    LeadColour,
    ListColumn,
    ListLayout,
    Part,
    PinKey,
    Project,
    edits,
    find_pin,
    parse,
)
from loomfolio.retrofit.list_files import ListFile

_PIN_TEXT = re.compile(
    r"^(?P<part>[^\s:]+?)(?:\s+(?P<connector>[^\s:.]+))?(?:\.(?P<half>[^\s:.]+))?[:\s]\s*(?P<pin>[^\s:]+)$"
)
"""How an unknown pin is taken apart: `TCU C1:12`, `X14.B:3`."""
Row = Mapping[ColumnMeaning, str]


@dataclass(frozen=True, slots=True)
class RowFault:
    """A row that was left out: its number in the file, and why."""

    row: int
    sentence: str


@dataclass(frozen=True, slots=True)
class ListResult:
    """The document with a list brought in, and what of it is new."""

    project: Project
    parts: int
    cavities: int
    names: int
    leads: int
    faults: tuple[RowFault, ...]


def proposed_layout(
    list_file: ListFile, remembered: Sequence[ListLayout] = ()
) -> tuple[ListColumn, ...]:
    """Return what the columns of a list probably mean, for the person to settle.

    A remembered layout whose headings the list all has counts first; then the table of usual headings, where
    each meaning is given once, to the first column that it fits.
    """
    headings = set(list_file.headings)
    fitting = [layout for layout in remembered if {c.heading for c in layout.columns} <= headings]
    if fitting:
        return max(fitting, key=lambda layout: len(layout.columns)).columns
    found: dict[ColumnMeaning, str] = {}
    for heading in list_file.headings:
        meaning = _usual_meanings().get(_plain(heading))
        if meaning is not None:
            found.setdefault(meaning, heading)
    return tuple(ListColumn(heading=heading, means=meaning) for meaning, heading in found.items())


@cache
def _usual_meanings() -> Mapping[str, ColumnMeaning]:
    with asset_path("list_headings.csv").open(encoding="utf-8", newline="") as stream:
        rows = [
            ListColumn.model_validate({"heading": _plain(row["heading"]), "means": row["means"]})
            for row in csv.DictReader(stream)
        ]
    return {row.heading: row.means for row in rows}


def _plain(heading: str) -> str:
    return " ".join(re.sub(r"[^\w²]+", " ", heading).casefold().split())


def bring_in_list(
    project: Project, list_file: ListFile, columns: Sequence[ListColumn], *, source: str = ""
) -> ListResult:
    """Return the document with what a list says, and with the meaning of its columns remembered.

    Parameters
    ----------
    source
        What the list is known as; its file's name where nothing is said.

    Raises
    ------
    EditError
        The columns do not tell a pin.
    """
    means = {column.means: column.heading for column in columns}
    if not ({"pin text"} & means.keys() or {"part", "pin"} <= means.keys()):
        raise EditError(
            "No column tells the pin: say which one holds part and pin, or the pin in one text."
        )
    place = {heading: number for number, heading in enumerate(list_file.headings)}
    missing = [heading for heading in means.values() if heading not in place]
    if missing:
        raise EditError(f"The list has no column {missing[0]!r}; map its columns anew.")
    worker = _BringingIn(project, Known(how="list", source=source or list_file.name))
    for number, cells in enumerate(list_file.rows, list_file.first_row):
        if any(cells):
            row = {meaning: cells[place[heading]] for meaning, heading in means.items()}
            worker.take(row, number)
    return worker.result(columns)


@dataclass
class _Part:
    """A part while the list is brought in: its record, and the names of its cavities by half and pin."""

    record: Part
    cavities: dict[tuple[str, str], dict[str, Cavity]] = field(default_factory=dict)

    @staticmethod
    def of(part: Part) -> _Part:
        return _Part(
            part,
            {
                (connector.name, half.name): {cavity.pin: cavity for cavity in half.cavities}
                for connector in part.connectors
                for half in connector.halves
            },
        )


class _BringingIn:
    """The document while a list is worked in. Parts and leads are put in at the end, each once."""

    def __init__(self, project: Project, known: Known) -> None:
        self._before, self._known = project, known
        self._project = project
        self._parts: dict[str, _Part] = {}
        self._ids = {part.name.casefold(): part.id for part in project.parts}
        self._leads = {frozenset(lead.ends): lead for lead in project.leads}
        self._new_leads: list[tuple[PinKey, PinKey]] = []
        self._counts = {"parts": 0, "cavities": 0, "names": 0, "leads": 0}
        self._faults: list[RowFault] = []

    def take(self, row: Row, number: int) -> None:
        """Take one row in, or note why it cannot be taken."""
        try:
            condition = row.get("when", "")
            parse(condition)
            pin = self._pin(row, "")
            other = self._pin(row, "other ") if self._has_other(row) else None
            if other == pin:
                raise EditError("Both ends of the lead are the same pin")
            self._name(pin, row.get("name", ""), condition)
            if other is not None:
                self._lead(pin, other, row, condition)
        except (EditError, NameNotFoundError) as error:
            self._faults.append(RowFault(number, str(error)))

    @staticmethod
    def _has_other(row: Row) -> bool:
        return bool(row.get("other pin text") or row.get("other pin"))

    def _pin(self, row: Row, side: str) -> PinKey:
        """The pin of a row; parts and cavities that the document does not have yet are made."""
        told: Mapping[str, str] = {str(meaning): value for meaning, value in row.items()}
        text = told.get(f"{side}pin text", "")
        if text:
            return self._pin_of_text(text)
        part, pin = told.get(f"{side}part", ""), told.get(f"{side}pin", "")
        if not part or not pin:
            raise EditError("The row names no pin" if not part else "The row names no cavity")
        key = HalfKey(
            part=self._part_id(part),
            connector=told.get(f"{side}connector", ""),
            half=told.get(f"{side}half", ""),
        )
        return self._with_cavity(key.pin(pin))

    def _pin_of_text(self, text: str) -> PinKey:
        try:
            return find_pin(self._before, text)
        except NameNotFoundError as error:
            found = _PIN_TEXT.match(text.strip())
            if found is None:
                raise EditError(f"{text!r} is no pin: write part, connector and pin") from error
        key = HalfKey(
            part=self._part_id(found["part"]),
            connector=found["connector"] or "",
            half=found["half"] or "",
        )
        return self._with_cavity(key.pin(found["pin"]))

    def _part_id(self, name: str) -> str:
        part_id = self._ids.get(name.casefold())
        if part_id is None:
            self._project, part_id = edits.add_part(self._project, name=name, known=self._known)
            self._ids[name.casefold()] = part_id
            self._counts["parts"] += 1
        return part_id

    def _open_part(self, part_id: str) -> _Part:
        if part_id not in self._parts:
            self._parts[part_id] = _Part.of(self._project.part(part_id))
        return self._parts[part_id]

    def _with_cavity(self, pin: PinKey) -> PinKey:
        half = self._open_part(pin.part).cavities.setdefault((pin.connector, pin.half), {})
        if pin.pin not in half:
            half[pin.pin] = Cavity(pin=pin.pin, known=self._known)
            self._counts["cavities"] += 1
        return pin

    def _name(self, pin: PinKey, name: str, condition: str) -> None:
        """Give a cavity its name, unless it has one: two names of one pin are for the person to settle."""
        if not name:
            return
        half = self._open_part(pin.part).cavities.setdefault((pin.connector, pin.half), {})
        cavity = half.get(pin.pin) or Cavity(pin=pin.pin, known=self._known)
        if cavity.name and cavity.name != name:
            raise EditError(f"The pin is called {cavity.name} already, the list says {name}")
        if not cavity.name:
            update = {"name": name, "known": self._known, "when": cavity.when or condition}
            half[pin.pin] = cavity.model_copy(update=update)
            self._counts["names"] += 1

    def _lead(self, a: PinKey, b: PinKey, row: Row, condition: str) -> None:
        ends = frozenset((a, b))
        if ends in self._leads:
            return
        colour = LeadColour(text=row["colour"]) if row.get("colour") else None
        self._project, lead_id = edits.add_lead(
            self._project,
            ends=(a, b),
            name=row.get("name", ""),
            colour=colour,
            area_mm2=_number(row.get("area_mm2", ""), "area"),
            length_m=_number(row.get("length_m", ""), "length"),
            when=condition,
            known=self._known,
        )
        self._leads[ends] = Lead(id=lead_id, ends=(a, b))
        self._counts["leads"] += 1

    def result(self, columns: Sequence[ListColumn]) -> ListResult:
        """Return the document with parts and cavities put in, and the layout remembered."""
        project = self._project
        for part_id, opened in self._parts.items():
            project = edits.change_part(project, _with_cavities(project.part(part_id), opened))
        project = edits.remember_layout(project, columns).project
        return ListResult(project, **self._counts, faults=tuple(self._faults))


def _number(text: str, what: str) -> float | None:
    if not text:
        return None
    try:
        value = float(text.replace(",", ".").split()[0])
    except ValueError as error:
        raise EditError(f"{text!r} is no {what}") from error
    if value <= 0:
        raise EditError(f"{text} cannot be the {what} of a lead")
    return value


def _with_cavities(part: Part, opened: _Part) -> Part:
    """The part with the cavities of the list beside its own; halves and their faces stay as they are."""
    faces = {(c.name, h.name): h for c in part.connectors for h in c.halves}
    names = list(
        dict.fromkeys([*(c.name for c in part.connectors), *(c for c, _ in opened.cavities)])
    )
    whens = {connector.name: connector.when for connector in part.connectors}
    connectors = tuple(
        Connector(
            name=name,
            when=whens.get(name, ""),
            halves=tuple(
                faces.get((name, half), Half(name=half)).model_copy(
                    update={"cavities": tuple(cavities.values())}
                )
                for (connector, half), cavities in opened.cavities.items()
                if connector == name
            ),
        )
        for name in names
    )
    return part.model_copy(update={"connectors": connectors})
