"""The joints of a job: which leads meet where.

A joint is a part of kind splice, or a drawn branch: three or more pins that meet at a drawn join which
is no named splice. The connector map lists a branch from its first pin to each of the others, so the
rows of one branch are those with the same net and the same first pin.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from loomfolio.bench.leads import BenchLead
from loomfolio.project import LeadColour, PinKey, Project, natural_order, pin_text

JointKind = Literal["splice", "drawn branch"]


@dataclass(frozen=True, slots=True)
class JointEnd:
    """One lead that comes to a joint, by its far end; `pin` is None where that is not known.

    `leads` are the numbers of the map's leads that run over it: one at a splice; at the first pin of
    a drawn branch all of the branch.
    """

    leads: tuple[int, ...]
    pin: PinKey | None
    colour: LeadColour | None
    area_mm2: float | None
    is_released: bool
    is_seen: bool


@dataclass(frozen=True, slots=True)
class Joint:
    """A place where leads meet, with every lead that comes to it, and what is still open there."""

    name: str
    kind: JointKind
    net: str
    sheets: tuple[str, ...]
    ends: tuple[JointEnd, ...]
    open_sentences: tuple[str, ...]

    @property
    def is_released(self) -> bool:
        """May it be made? Only when every lead that meets here is released."""
        return all(end.is_released for end in self.ends)


def joints_of(project: Project, leads: Sequence[BenchLead]) -> tuple[Joint, ...]:
    """Return the joints at which the leads meet: splices by name, then branches by first pin.

    A splice to which no lead comes is no joint; without leads there are none.
    """
    return (*_splices(project, leads), *_branches(project, leads))


def branch_name(project: Project, root: PinKey) -> str:
    """Return what a drawn branch is called: by the first of its pins."""
    return f"Branch {pin_text(project, root)}"


def _splices(project: Project, leads: Sequence[BenchLead]) -> list[Joint]:
    splices = [part for part in project.parts if part.kind == "splice"]
    found: list[Joint] = []
    for part in sorted(splices, key=lambda part: natural_order(part.name)):
        ends = [
            (lead, _end((lead,), lead.other(pin)))
            for lead in leads
            for pin in lead.pins
            if pin.part == part.id
        ]
        if ends:
            found.append(
                _joint(part.name, "splice", [lead for lead, _ in ends], [end for _, end in ends])
            )
    return found


def _branches(project: Project, leads: Sequence[BenchLead]) -> list[Joint]:
    by_root: dict[tuple[int, PinKey], list[BenchLead]] = {}
    for lead in leads:
        if lead.row.is_branch and lead.row.b is not None:
            by_root.setdefault((lead.row.net, lead.row.a), []).append(lead)
    return [
        _joint(
            branch_name(project, root),
            "drawn branch",
            members,
            [_end(members, root), *(_end((lead,), lead.row.b) for lead in members)],
        )
        for (_, root), members in by_root.items()
    ]


def _end(leads: Sequence[BenchLead], pin: PinKey | None) -> JointEnd:
    """One lead at a joint. Where several rows run over it, it has a colour only if they agree."""
    colours = {lead.row.colour for lead in leads}
    areas = {lead.row.area_mm2 for lead in leads}
    return JointEnd(
        leads=tuple(lead.number for lead in leads),
        pin=pin,
        colour=colours.pop() if len(colours) == 1 else None,
        area_mm2=areas.pop() if len(areas) == 1 else None,
        is_released=all(lead.row.is_released for lead in leads),
        is_seen=all(lead.is_seen for lead in leads),
    )


def _joint(
    name: str, kind: JointKind, leads: Sequence[BenchLead], ends: Sequence[JointEnd]
) -> Joint:
    return Joint(
        name=name,
        kind=kind,
        net=next((lead.row.net_name for lead in leads if lead.row.net_name), ""),
        sheets=tuple(dict.fromkeys(sheet for lead in leads for sheet in lead.row.sheets)),
        ends=tuple(ends),
        open_sentences=tuple(dict.fromkeys(s for lead in leads for s in lead.open_sentences)),
    )
