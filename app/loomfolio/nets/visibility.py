"""The document as one fit sees it: records whose condition is false in the fit are left out.

A condition that the fit leaves undetermined keeps its record: what may be there is shown, not hidden.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Protocol, TypeVar

from loomfolio.project import Fit, Project, evaluate


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
        }
    )


@lru_cache(maxsize=4096)
def _is_there(condition: str, fit: Fit) -> bool:
    return not condition or evaluate(condition, fit) is not False
