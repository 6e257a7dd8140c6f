"""The document as one fit sees it: records whose condition is false in the fit are left out.

A condition that the fit leaves undetermined keeps its record: what may be there is shown, not hidden. To
learn what hangs on it, the same document can be looked at without these records. A mark that says "no
conductor" takes away: under a condition it works only where that is known to hold, and without a fit not at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, Protocol, TypeAlias, TypeVar

from loomfolio.project import (
    BodyMark,
    CableGroup,
    Connector,
    Fit,
    HalfKey,
    Link,
    Mark,
    NotConductorMark,
    Part,
    PinKey,
    Project,
    evaluate,
)


class _Conditional(Protocol):
    @property
    def when(self) -> str: ...


_C = TypeVar("_C", bound=_Conditional)
_Partial: TypeAlias = Part | BodyMark
_P = TypeVar("_P", Part, BodyMark)


Undetermined = Literal["kept", "left out"]
"""What to do with records whose condition the fit leaves open."""


@dataclass
class FittedRecords:
    """Records that a fit shows in part, as they came out last: the same record again, so that it is recognised."""

    by_id: dict[str, tuple[_Partial, _Partial]] = field(default_factory=dict)


def in_fit(
    project: Project,
    fit: Fit | None,
    undetermined: Undetermined = "kept",
    *,
    kept: FittedRecords | None = None,
) -> Project:
    """Return the document without what is not there in `fit`; the document itself for no fit.

    Parameters
    ----------
    kept
        What an earlier call for the same fit made of records that are there in part; it is brought up to date.
    """
    if fit is None:
        return _with_all_conductors(project)
    return _Fitting(project, fit, undetermined, kept or FittedRecords()).document()


def _with_all_conductors(project: Project) -> Project:
    """The document without marks that take a conductor away in some fits only."""
    marks = tuple(
        mark for mark in project.marks if not (isinstance(mark, NotConductorMark) and mark.when)
    )
    return (
        project if len(marks) == len(project.marks) else project.model_copy(update={"marks": marks})
    )


def leaves_open(project: Project, fit: Fit | None) -> bool:
    """Does the fit leave the condition of any record open? Without a fit there is nothing to leave open."""
    if fit is None:
        return False
    conditions = {record.when for record in conditional_records(project)} - {""}
    return any(evaluate(condition, fit) is None for condition in conditions)


def conditional_records(project: Project) -> Iterator[_Conditional]:
    """Yield every record that may stand under a condition."""
    yield from (*project.sheets, *project.parts, *project.marks, *project.links, *project.leads)
    yield from project.mates
    yield from project.groups
    yield from project.harnesses
    yield from project.references
    for part in project.parts:
        yield from part.ways
        for connector in part.connectors:
            yield connector
            for half in connector.halves:
                yield from half.cavities


class _Fitting:
    """One document seen in one fit: which parts, connectors, cavities and sheets are not there."""

    def __init__(
        self, project: Project, fit: Fit, undetermined: Undetermined, kept: FittedRecords
    ) -> None:
        self._project, self._fit, self._records = project, fit, kept
        self._open_is_there = undetermined == "kept"
        self._is_there_by_condition: dict[str, bool] = {"": True}
        self._sheets = {sheet.id for sheet in self._kept(project.sheets)}
        self._parts = {part.id for part in self._kept(project.parts)}
        self._gone_connectors: set[tuple[str, str]] = set()
        self._gone_pins: set[PinKey] = set()
        self._touched_parts: set[str] = set()
        for part in project.parts:
            if self._has_conditions(part):
                self._touched_parts.add(part.id)
                self._take_out_of(part)
        self._touched_halves = {(p.part, p.connector, p.half) for p in self._gone_pins}

    def _has_conditions(self, part: Part) -> bool:
        """Is anything inside the part not there?"""
        is_there = self._is_there
        return not all(is_there(way.when) for way in part.ways) or not all(
            is_there(connector.when)
            and all(is_there(c.when) for half in connector.halves for c in half.cavities)
            for connector in part.connectors
        )

    def _take_out_of(self, part: Part) -> None:
        for connector in part.connectors:
            if not self._is_there(connector.when):
                self._gone_connectors.add((part.id, connector.name))
            for half in connector.halves:
                key = HalfKey(part=part.id, connector=connector.name, half=half.name)
                self._gone_pins.update(
                    key.pin(c.pin) for c in half.cavities if not self._is_there(c.when)
                )

    def document(self) -> Project:
        """Return the document without what is not there."""
        project = self._project
        document = project.model_copy(
            update={
                "sheets": self._kept(project.sheets),
                "parts": tuple(self._part(part) for part in self._kept(project.parts)),
                "marks": tuple(self._marks()),
                "links": tuple(link for link in self._kept(project.links) if self._has_link(link)),
                "leads": tuple(
                    lead for lead in self._kept(project.leads) if all(map(self._has, lead.ends))
                ),
                "mates": tuple(
                    mate
                    for mate in self._kept(project.mates)
                    if self._has_half(mate.a) and self._has_half(mate.b)
                ),
                "groups": tuple(self._group(group) for group in self._kept(project.groups)),
                "harnesses": tuple(
                    harness.model_copy(update={"ends": tuple(filter(self._has_half, harness.ends))})
                    for harness in self._kept(project.harnesses)
                ),
                "job": project.job.model_copy(
                    update={"scope": tuple(filter(self._has_half, project.job.scope))}
                ),
            }
        )
        return self._with_same_tuples(document)

    def _marks(self) -> Iterator[Mark]:
        for mark in self._project.marks:
            if mark.sheet in self._sheets and self._works(mark):
                if not isinstance(mark, BodyMark):
                    yield mark
                elif self._has_half_of(mark.part, mark.connector):
                    yield self._body(mark)

    def _works(self, mark: Mark) -> bool:
        """Is the mark there? One that takes a conductor away is only where that is known, or asked for."""
        if isinstance(mark, NotConductorMark) and mark.when:
            value = evaluate(mark.when, self._fit)
            return value is True or (value is None and not self._open_is_there)
        return self._is_there(mark.when)

    def _with_same_tuples(self, document: Project) -> Project:
        """Where nothing of a list is gone, the list itself: what is derived from it knows it again."""
        same = {
            name: old
            for name in ("mates", "links", "leads")
            if len(old := getattr(self._project, name)) == len(getattr(document, name))
        }
        return document.model_copy(update=same) if same else document

    def _kept(self, records: tuple[_C, ...]) -> tuple[_C, ...]:
        return tuple(record for record in records if self._is_there(record.when))

    def _is_there(self, condition: str) -> bool:
        known = self._is_there_by_condition.get(condition)
        if known is None:
            value = evaluate(condition, self._fit)
            known = self._is_there_by_condition[condition] = (
                self._open_is_there if value is None else value
            )
        return known

    def _has_half_of(self, part: str, connector: str) -> bool:
        return part in self._parts and (part, connector) not in self._gone_connectors

    def _has_half(self, half: HalfKey) -> bool:
        return self._has_half_of(half.part, half.connector)

    def _has(self, pin: PinKey) -> bool:
        return self._has_half_of(pin.part, pin.connector) and pin not in self._gone_pins

    def _has_link(self, link: Link) -> bool:
        return link.a.sheet in self._sheets and (link.b is None or link.b.sheet in self._sheets)

    def _part(self, part: Part) -> Part:
        """The part without connectors and cavities that are not there; itself where it has them all."""
        if part.id not in self._touched_parts:
            return part
        connectors = tuple(self._connector(c) for c in self._kept(part.connectors))
        ways = tuple(
            way
            for way in self._kept(part.ways)
            if all(
                self._has(PinKey(part=part.id, connector=pin.connector, half=pin.half, pin=pin.pin))
                for pin in way.pins
            )
        )
        return self._same(part, part.model_copy(update={"connectors": connectors, "ways": ways}))

    def _connector(self, connector: Connector) -> Connector:
        halves = tuple(
            half.model_copy(update={"cavities": self._kept(half.cavities)})
            for half in connector.halves
        )
        return connector.model_copy(update={"halves": halves})

    def _body(self, body: BodyMark) -> BodyMark:
        """A body without the pins that are not there; itself where it has them all."""
        if (body.part, body.connector, body.half) not in self._touched_halves:
            return body
        pins = tuple(pin for pin in body.pins if self._has(body.key(pin)))
        if len(pins) == len(body.pins):
            return body
        return self._same(body, body.model_copy(update={"pins": pins}))

    def _same(self, original: _P, partial: _P) -> _P:
        """The record that was made of the same original before, where it is equal."""
        known = self._records.by_id.get(original.id)
        if known is not None and known[0] is original and known[1] == partial:
            return known[1]
        self._records.by_id[original.id] = (original, partial)
        return partial

    def _group(self, group: CableGroup) -> CableGroup:
        """The group without the leads and screen ends at pins that are not there."""
        return group.model_copy(
            update={
                "pins": tuple(pair for pair in group.pins if all(map(self._has, pair))),
                "screen_ends": tuple(filter(self._has, group.screen_ends)),
            }
        )
