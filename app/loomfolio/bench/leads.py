"""The leads of a job as the bench speaks of them: numbered, with their ends in words.

A lead's number is its place in the connector map, from 1. It stands on the map, on the splice sheet
and in the files alike, and holds for the version that is printed on all of them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from loomfolio.nets import MapRow
from loomfolio.project import Known, PinKey, Project, half_text

SEEN_HOWS = frozenset({"seen", "measured"})


@dataclass(frozen=True, slots=True)
class BenchLead:
    """One numbered lead; `length_m` is None where nobody knows it.

    `is_seen` says that it was seen or measured in the vehicle of the job, not merely documented.
    """

    number: int
    row: MapRow
    in_scope: bool
    length_m: float | None
    is_seen: bool

    @property
    def pins(self) -> tuple[PinKey, ...]:
        """Both ends, or the one end of a lead that goes nowhere."""
        return (self.row.a,) if self.row.b is None else (self.row.a, self.row.b)

    def other(self, pin: PinKey) -> PinKey | None:
        """Return the end that is not `pin`; None where the lead goes nowhere."""
        return self.row.b if pin == self.row.a else self.row.a

    @property
    def open_sentences(self) -> tuple[str, ...]:
        """What keeps the lead from being released, each thing once, in plain words."""
        nowhere = ("Its other end is not known",) if self.row.b is None else ()
        return tuple(dict.fromkeys((*nowhere, *(p.sentence for p in self.row.open_pieces))))


def bench_leads(
    project: Project, rows: Sequence[MapRow], scope: Collection[int] | None = None
) -> tuple[BenchLead, ...]:
    """Return the rows of a connector map as numbered leads, in the order given.

    `scope` holds the numbers of the nets that the job is about; None means all of them.
    """
    lengths = {frozenset(lead.ends): lead.length_m for lead in project.leads}
    own = {
        word
        for specimen in project.specimens
        if specimen.kind == "this vehicle"
        for word in (specimen.id, specimen.name)
    }
    return tuple(
        BenchLead(
            number=number,
            row=row,
            in_scope=scope is None or row.net in scope,
            length_m=None if row.b is None else lengths.get(frozenset((row.a, row.b))),
            is_seen=any(_is_seen(known, own) for known in _grounds(project, row)),
        )
        for number, row in enumerate(rows, 1)
    )


def _grounds(project: Project, row: MapRow) -> Iterator[Known]:
    """How a lead is known: by its row, and by each record of a lead with the same ends."""
    yield row.known
    ends = {row.a, row.b}
    yield from (lead.known for lead in project.leads if set(lead.ends) == ends)


def _is_seen(known: Known, own: Collection[str]) -> bool:
    """Seen in the vehicle of the job; a reference vehicle or a donor loom does not count."""
    return known.how in SEEN_HOWS and known.source in own


@dataclass(frozen=True, slots=True)
class PinWords:
    """A pin in words: the connector half, such as `X14.B`, and the pin in it."""

    place: str
    pin: str


def pin_words(project: Project, pin: PinKey) -> PinWords:
    """Return a pin in words."""
    return PinWords(half_text(project, pin.half_key), pin.pin)
