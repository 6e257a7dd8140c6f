"""The document as one fit sees it: records whose condition is false in the fit are left out.

A condition that the fit leaves undetermined keeps its record: what may be there is shown, not hidden. To
learn what hangs on it, the same document can be looked at without these records.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, Protocol, TypeVar

from loomfolio.project import (
    BodyMark,
    CableGroup,
    Connector,
    Fit,
    HalfKey,
    Link,
    Mark,
    Part,
    PinKey,
    Project,
    evaluate,
)


class _Conditional(Protocol):
    @property
    def when(self) -> str: ...


_C = TypeVar("_C", bound=_Conditional)


Undetermined = Literal["kept", "left out"]
"""What to do with records whose condition the fit leaves open."""


def in_fit(project: Project, fit: Fit | None, undetermined: Undetermined = "kept") -> Project:
    """Return the document without what is not there in `fit`; the document itself for no fit."""
    if fit is None:
        return project
    return _Fitting(project, fit, undetermined).document()


def leaves_open(project: Project, fit: Fit | None) -> bool:
    """Does the fit leave the condition of any record open? Without a fit there is nothing to leave open."""
    if fit is None:
        return False
    conditions = {record.when for record in conditional_records(project)} - {""}
    return any(evaluate(condition, fit) is None for condition in conditions)


def conditional_records(project: Project) -> Iterator[_Conditional]:
    """Yield every record that may stand under a condition."""
    yield from (*project.sheets, *project.parts, *project.marks, *project.links, *project.leads)
    for part in project.parts:
        yield from part.ways
        for connector in part.connectors:
            yield connector
            for half in connector.halves:
                yield from half.cavities


class _Fitting:
    """One document seen in one fit: which parts, connectors, cavities and sheets are not there."""

    def __init__(self, project: Project, fit: Fit, undetermined: Undetermined) -> None:
        self._project, self._fit = project, fit
        self._open_is_there = undetermined == "kept"
        self._is_there_by_condition: dict[str, bool] = {"": True}
        self._sheets = {sheet.id for sheet in self._kept(project.sheets)}
        self._parts = {part.id for part in self._kept(project.parts)}
        self._gone_connectors: set[tuple[str, str]] = set()
        self._gone_pins: set[PinKey] = set()
        for part in project.parts:
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
        return project.model_copy(
            update={
                "sheets": self._kept(project.sheets),
                "parts": tuple(self._part(part) for part in self._kept(project.parts)),
                "marks": tuple(
                    self._mark(mark)
                    for mark in self._kept(project.marks)
                    if mark.sheet in self._sheets
                    and not (isinstance(mark, BodyMark) and not self._has_half(mark.half_key))
                ),
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

    def _has_half(self, half: HalfKey) -> bool:
        is_gone = (half.part, half.connector) in self._gone_connectors
        return half.part in self._parts and not is_gone

    def _has(self, pin: PinKey) -> bool:
        return self._has_half(pin.half_key) and pin not in self._gone_pins

    def _has_link(self, link: Link) -> bool:
        return link.a.sheet in self._sheets and (link.b is None or link.b.sheet in self._sheets)

    def _part(self, part: Part) -> Part:
        """The part without connectors and cavities that are not there; itself where it has them all."""
        connectors = tuple(self._connector(c) for c in self._kept(part.connectors))
        ways = tuple(
            way
            for way in self._kept(part.ways)
            if all(self._has(PinKey(part=part.id, **pin.model_dump())) for pin in way.pins)
        )
        if connectors == part.connectors and ways == part.ways:
            return part
        return part.model_copy(update={"connectors": connectors, "ways": ways})

    def _connector(self, connector: Connector) -> Connector:
        halves = tuple(
            half.model_copy(update={"cavities": self._kept(half.cavities)})
            for half in connector.halves
        )
        return connector.model_copy(update={"halves": halves})

    def _mark(self, mark: Mark) -> Mark:
        """A body without the pins that are not there; every other mark, and a whole body, as it is."""
        if not isinstance(mark, BodyMark) or all(self._has(mark.key(pin)) for pin in mark.pins):
            return mark
        pins = tuple(pin for pin in mark.pins if self._has(mark.key(pin)))
        return mark.model_copy(update={"pins": pins})

    def _group(self, group: CableGroup) -> CableGroup:
        """The group without the leads and screen ends at pins that are not there."""
        return group.model_copy(
            update={
                "pins": tuple(pair for pair in group.pins if all(map(self._has, pair))),
                "screen_ends": tuple(filter(self._has, group.screen_ends)),
            }
        )
