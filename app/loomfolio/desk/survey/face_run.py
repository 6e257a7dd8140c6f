"""One run over the face of a connector: where the cursor stands, and what was entered; no Qt in here.

What is entered belongs to the *places* as the person sees them; which cavity a place is follows from the
side. So a side that turns out to be the other one mends every entry at once, and nothing has to be typed
again. Nothing can be entered before the side is said.
"""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.desk.survey.letters import CAVITY_LETTERS, OTHER_COLOUR, key_of, letter_of
from loomfolio.project import CavityEntry, CavityState, Face, FaceSide, LeadColour
from loomfolio.retrofit import SeenPlace, face_places

Place = tuple[int, int]
"""Row and column as the person sees them, from the top left."""


class FaceRun:
    """The state of one run."""

    def __init__(self, face: Face, asked: Iterable[str], viewed_from: FaceSide = "unknown") -> None:
        self.face = face
        self.asked = frozenset(asked)
        self.side: FaceSide = viewed_from
        self.seen: dict[Place, SeenPlace] = {}
        self.cursor: Place = self._first()

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The cavities as they lie from the chosen side; as they are drawn while none is chosen."""
        if self.side == "unknown":
            return self.face.rows
        return face_places(self.face, self.side)

    @property
    def is_ready(self) -> bool:
        """Is it said from which side one looks?"""
        return self.side != "unknown"

    def pin_at(self, place: Place) -> str:
        """Return the cavity at a place; empty where there is none."""
        row, column = place
        rows = self.rows
        inside = 0 <= row < len(rows) and 0 <= column < len(rows[row])
        return rows[row][column] if inside else ""

    def places(self) -> list[Place]:
        """Return all places with a cavity, a row at a time."""
        return [
            (row, column)
            for row, pins in enumerate(self.rows)
            for column, pin in enumerate(pins)
            if pin
        ]

    @property
    def left(self) -> int:
        """How many of the asked cavities have not been entered."""
        return sum(
            1
            for place in self.places()
            if self.pin_at(place) in self.asked and place not in self.seen
        )

    def entries(self) -> tuple[SeenPlace, ...]:
        """Return what was entered, a row at a time."""
        return tuple(self.seen[place] for place in sorted(self.seen))

    def letter_at(self, place: Place) -> str:
        """Return the letter that stands at a place."""
        found = self.seen.get(place)
        return key_of(CAVITY_LETTERS, found.state) if found else ""

    # ------------------------------------------------------------------------------------- side

    def look_from(self, side: FaceSide) -> None:
        """Say from which side one looks; entries stay at the places where they were seen."""
        self.side = side
        if not self.pin_at(self.cursor) or not self.seen:
            self.cursor = self._first()

    def recall(self, entries: Iterable[CavityEntry]) -> None:
        """Take what was recorded before to where it lies from this side."""
        by_pin = {entry.pin.pin: entry for entry in entries}
        for place in self.places():
            entry = by_pin.get(self.pin_at(place))
            if entry is not None:
                self.seen[place] = SeenPlace(
                    *place, entry.state, entry.colour, entry.area_mm2, entry.note
                )
        self._to_next_open()

    # ----------------------------------------------------------------------------------- cursor

    def _first(self) -> Place:
        asked = [place for place in self.places() if self.pin_at(place) in self.asked]
        return next(iter(asked or self.places()), (0, 0))

    def move(self, rows: int, columns: int) -> None:
        """Go one place on in a direction, over places without a cavity; stay at the edge."""
        row, column = self.cursor
        height = len(self.rows)
        width = max((len(pins) for pins in self.rows), default=0)
        while True:
            row, column = row + rows, column + columns
            if not (0 <= row < height and 0 <= column < width):
                return
            if self.pin_at((row, column)):
                self.cursor = (row, column)
                return

    def stand_at(self, place: Place) -> None:
        """Put the cursor on a cavity."""
        if self.pin_at(place):
            self.cursor = place

    def to_row_end(self, *, is_last: bool) -> None:
        """Go to the first or last cavity of the row."""
        row = [place for place in self.places() if place[0] == self.cursor[0]]
        if row:
            self.cursor = row[-1 if is_last else 0]

    # ---------------------------------------------------------------------------------- entering

    def press(self, key: str, *, is_rest_of_row: bool = False) -> bool:
        """Enter what a letter says and go on; False for a key that says nothing here.

        With `is_rest_of_row` all that follows in the row, and has no entry, gets the same.
        """
        letter = letter_of(CAVITY_LETTERS, key)
        if letter is None or not self.is_ready or not self.pin_at(self.cursor):
            return False
        state: CavityState = letter.state  # type: ignore[assignment]  # held against the document's list
        self._put(self.cursor, state)
        if is_rest_of_row:
            row, column = self.cursor
            for place in self.places():
                if place[0] == row and place[1] > column and place not in self.seen:
                    self._put(place, state)
        self._step_on()
        return True

    def press_colour(self, text: str) -> bool:
        """Enter a lead of this colour under the cursor and go on."""
        if not self.is_ready or not text.strip() or not self.pin_at(self.cursor):
            return False
        self._put(self.cursor, "filled", colour_of(text))
        self._step_on()
        return True

    def clear(self) -> None:
        """Take back what stands under the cursor; with nothing there, go back one place and clear that."""
        if self.cursor not in self.seen:
            before = [place for place in self.places() if place < self.cursor]
            if before:
                self.cursor = before[-1]
        self.seen.pop(self.cursor, None)

    def _put(self, place: Place, state: CavityState, colour: LeadColour | None = None) -> None:
        row, column = place
        self.seen[place] = SeenPlace(row, column, state, colour)

    def _step_on(self) -> None:
        """Go to the next asked cavity of this row, else of the rows below; stay at the last one."""
        later = [place for place in self.places() if place > self.cursor]
        asked = [place for place in later if self.pin_at(place) in self.asked]
        self.cursor = next(iter(asked), self.cursor)

    def _to_next_open(self) -> None:
        open_places = [
            place
            for place in self.places()
            if self.pin_at(place) in self.asked and place not in self.seen
        ]
        self.cursor = next(iter(open_places), self.cursor)


def colour_of(text: str) -> LeadColour:
    """Return a lead's colour from the letters that were typed.

    >>> colour_of("rd/wh").text
    'RD/WH'
    """
    return LeadColour(text=text.strip().upper())


__all__ = ["OTHER_COLOUR", "FaceRun", "Place", "colour_of"]
