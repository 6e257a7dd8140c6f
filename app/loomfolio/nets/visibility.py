"""The document as one fit sees it: records whose condition is false in the fit are left out.

A condition that the fit leaves undetermined keeps its record: what may be there is shown, not hidden.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Protocol, TypeVar

from loomfolio.project import CableGroup, Fit, Project, evaluate


class _Conditional(Protocol):
    @property
    def when(self) -> str: ...


_C = TypeVar("_C", bound=_Conditional)


def in_fit(project: Project, fit: Fit | None) -> Project:
    """Return the document without what is not there in `fit`; the document itself for no fit."""
    if fit is None:
        return project

    def kept(records: tuple[_C, ...]) -> tuple[_C, ...]:
        return tuple(record for record in records if _is_there(record.when, fit))

    parts = tuple(
        part.model_copy(update={"connectors": kept(part.connectors)})
        for part in kept(project.parts)
    )
    gone = {part.id for part in project.parts} - {part.id for part in parts}
    sheets = kept(project.sheets)
    left = {sheet.id for sheet in sheets}
    return project.model_copy(
        update={
            "sheets": sheets,
            "parts": parts,
            "marks": tuple(
                mark
                for mark in kept(project.marks)
                if mark.sheet in left and getattr(mark, "part", None) not in gone
            ),
            "links": tuple(link for link in kept(project.links) if link.a.sheet in left),
            "leads": tuple(
                lead
                for lead in kept(project.leads)
                if not {lead.ends[0].part, lead.ends[1].part} & gone
            ),
            "mates": tuple(m for m in project.mates if not {m.a.part, m.b.part} & gone),
            "groups": tuple(_without_parts(group, gone) for group in project.groups),
            "harnesses": tuple(
                harness.model_copy(
                    update={"ends": tuple(end for end in harness.ends if end.part not in gone)}
                )
                for harness in project.harnesses
            ),
            "job": project.job.model_copy(
                update={"scope": tuple(h for h in project.job.scope if h.part not in gone)}
            ),
        }
    )


def _without_parts(group: CableGroup, gone: set[str]) -> CableGroup:
    """The group without the leads and screen ends at parts that are not there."""
    return group.model_copy(
        update={
            "pins": tuple(pair for pair in group.pins if not {pin.part for pin in pair} & gone),
            "screen_ends": tuple(pin for pin in group.screen_ends if pin.part not in gone),
        }
    )


@lru_cache(maxsize=4096)
def _is_there(condition: str, fit: Fit) -> bool:
    return not condition or evaluate(condition, fit) is not False
