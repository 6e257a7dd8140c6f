"""What a column of a ledger is: how a record becomes a cell; no Qt in here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from loomfolio.bench import lead_look
from loomfolio.desk.colours import Role
from loomfolio.project import LeadColour, natural_order

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Mark:
    """A small icon before a cell's text, in the colour of a role: a form first, a colour second."""

    icon: str
    role: Role = "second text"


@dataclass(frozen=True, slots=True)
class Wire:
    """A lead to be drawn as it looks: `#RRGGBB` of base and stripe, and its printed letters."""

    base: str | None
    stripe: str | None
    letters: str

    @staticmethod
    def of(colour: LeadColour | None) -> Wire | None:
        """Return the picture of a lead's colour; None where it is not known."""
        if colour is None:
            return None
        look = lead_look(colour)
        return Wire(look.base, look.stripe, colour.text)


@dataclass(frozen=True, slots=True)
class Column(Generic[R]):
    """One column: its title, the text of a record's cell, and how the cell looks and sorts."""

    id: str
    title: str
    text: Callable[[R], str]
    width_px: int = 96
    sort_key: Callable[[R], Any] | None = None
    mark: Callable[[R], Mark | None] | None = None
    wire: Callable[[R], Wire | None] | None = None
    tip: Callable[[R], str] | None = None
    is_mono: bool = False
    is_number: bool = False
    is_wrapped: bool = False
    """A sentence: shown on two lines, which makes the rows of its ledger higher."""
    is_faint: Callable[[R], bool] | None = None
    edit: Callable[[R, str], None] | None = None
    choices: tuple[str, ...] = ()
    """Where the cell is edited by choosing: what there is to choose."""

    def order(self, record: R) -> Any:
        """Return the sort key of a cell: by count where nothing else is said, empty ones last."""
        if self.sort_key is not None:
            return self.sort_key(record)
        text = self.text(record)
        return (not text, natural_order(text.casefold()))
