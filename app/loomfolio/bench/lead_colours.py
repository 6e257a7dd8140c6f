"""What a lead looks like, from the colour in the maker's own letters: for the little drawn wires.

The letters are looked up in `assets/wire_colours.csv` (each row with its source), the colour names in
`assets/colours.json`. One set calls grey what another calls green, so letters without a code set are
only taken where all sets agree; otherwise the wire is drawn as unknown. The text always stands beside.
"""

from __future__ import annotations

import csv
import json
import re
from dataclasses import dataclass
from functools import cache

from loomfolio.basics import asset_path
from loomfolio.project import LeadColour

_BETWEEN_CODES = re.compile(r"[/\-+_]")
_TWO_AND_TWO = 4


@dataclass(frozen=True, slots=True)
class LeadLook:
    """Base and stripe of a lead as `#RRGGBB`; None where not known, or where there is no stripe."""

    base: str | None = None
    stripe: str | None = None


def lead_look(colour: LeadColour | None) -> LeadLook:
    """Return how a lead of this colour looks.

    A stripe is only told where the base is known too. Of a text such as `GN/YE` the first code is
    the base, as in all the sets of the table; `GNYE` is read so where `GNYE` itself is no code.

    Examples
    --------
    >>> lead_look(LeadColour(text="GN/WH"))
    LeadLook(base='#2E9E45', stripe='#FFFFFF')
    >>> lead_look(LeadColour(text="GR"))
    LeadLook(base=None, stripe=None)
    """
    if colour is None:
        return LeadLook()
    base_code, stripe_code = _codes(colour)
    base = _hex_of(base_code, colour.code_set)
    if base is None:
        return LeadLook()
    stripe = _hex_of(stripe_code, colour.code_set) if stripe_code else None
    return LeadLook(base, stripe)


def _codes(colour: LeadColour) -> tuple[str, str]:
    if colour.base:
        return colour.base, colour.stripe
    codes = [code.strip() for code in _BETWEEN_CODES.split(colour.text)]
    if len(codes) == 1 and len(codes[0]) == _TWO_AND_TWO and not _names(codes[0], colour.code_set):
        codes = [codes[0][:2], codes[0][2:]]
    return (codes[0], codes[1] if len(codes) == 2 else "") if len(codes) <= 2 else ("", "")


def _hex_of(code: str, code_set: str) -> str | None:
    names = _names(code, code_set)
    return _paint().get(next(iter(names))) if len(names) == 1 else None


def _names(code: str, code_set: str) -> frozenset[str]:
    """The colours that a code, or a colour's name, may mean."""
    name = code.strip().casefold().replace("gray", "grey")
    if name in _paint():
        return frozenset((name,))
    rows = [row for row in _table() if row[1] == code.strip()]
    own = [row for row in rows if row[0] == code_set]
    return frozenset(meaning for _, _, meaning in (own or rows))


@cache
def _table() -> tuple[tuple[str, str, str], ...]:
    """Code set, code, colour."""
    with asset_path("wire_colours.csv").open(encoding="utf-8", newline="") as file:
        return tuple((row["code_set"], row["code"], row["colour"]) for row in csv.DictReader(file))


@cache
def _paint() -> dict[str, str]:
    table = json.loads(asset_path("colours.json").read_text(encoding="utf-8"))
    return {str(name): str(paint) for name, paint in table["leads"].items()}


def colour_name(colour: LeadColour | None) -> str:
    """Return the one name of a lead's base colour, such as `orange`; empty where it is not known, or not one.

    Examples
    --------
    >>> colour_name(LeadColour(text="OG"))
    'orange'
    """
    if colour is None:
        return ""
    names = _names(_codes(colour)[0], colour.code_set)
    return next(iter(names)) if len(names) == 1 else ""
