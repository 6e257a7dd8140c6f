"""Which parts, connectors and halves the document knows, for completing what is typed of a body."""

from __future__ import annotations

from collections.abc import Iterable

from loomfolio.project import BodyMark, Part, PartKind, Project


class PartBook:
    """Look-ups by the names that a person types; a name that is not there gives empty answers."""

    def __init__(self, project: Project) -> None:
        self._project = project
        self._parts = {part.name: part for part in project.parts}

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all parts, sorted."""
        return tuple(sorted(self._parts))

    def kind_of(self, name: str) -> PartKind | None:
        """Return the kind of a part; None where the name is a new one."""
        part = self._parts.get(name)
        return part.kind if part else None

    def name_of(self, part_id: str) -> str:
        """Return the name of a part by its id; empty where it is gone."""
        return next((part.name for part in self._parts.values() if part.id == part_id), "")

    def connectors_of(self, name: str) -> tuple[str, ...]:
        """Return the connectors of a part that the document names anywhere."""
        part = self._parts.get(name)
        if part is None:
            return ()
        listed = (connector.name for connector in part.connectors)
        return _named((*listed, *(body.connector for body in self._bodies(part))))

    def halves_of(self, name: str, connector: str) -> tuple[str, ...]:
        """Return the halves of a connector that the document names anywhere."""
        part = self._parts.get(name)
        if part is None:
            return ()
        listed = (h.name for c in part.connectors if c.name == connector for h in c.halves)
        seen = (body.half for body in self._bodies(part) if body.connector == connector)
        return _named((*listed, *seen))

    def _bodies(self, part: Part) -> Iterable[BodyMark]:
        return (m for m in self._project.marks if isinstance(m, BodyMark) and m.part == part.id)


def _named(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({name for name in names if name}))
