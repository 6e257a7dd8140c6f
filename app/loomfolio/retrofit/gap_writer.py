"""Gaps as records: what each is about, its key, its scope, its sentence and its grounds."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cached_property

from loomfolio.project import HalfKey, PinKey
from loomfolio.retrofit.difference import Difference
from loomfolio.retrofit.evidence import Grounds, Sides
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Ends, Gap, GapKind, Mend, Node


@dataclass(frozen=True)
class About:
    """What a gap is about, for its key and its scope."""

    kind: GapKind
    subject: str
    nodes: tuple[Node, ...] = ()
    part: str | None = None


class GapWriter:
    """Makes gaps out of the steps between two sides. `scope` None takes everything in."""

    def __init__(self, sides: Sides, steps: Difference, scope: Collection[Node] | None) -> None:
        self.sides, self.steps, self.scope = sides, steps, scope
        self.target, self.vehicle, self.seen = sides.target, sides.vehicle, sides.seen

    def gap(self, about: About, sentence: str, grounds: Grounds, mend: Mend) -> Gap:
        """Return a gap. It is sure where nothing has to be looked at or settled first."""
        pins = tuple(node for node in about.nodes if isinstance(node, PinKey))
        hub = next((node for node in about.nodes if isinstance(node, str)), None)
        return Gap(
            kind=about.kind,
            key=f"{_KEY_WORD.get(about.kind, about.kind)}: {about.subject}",
            sentence=sentence,
            pins=pins,
            part=about.part or next((pin.part for pin in pins), None) or hub,
            place=grounds.place,
            evidence=grounds.evidence,
            sureness="to be looked at" if grounds.decides else "sure",
            decides=grounds.decides,
            mend=mend,
            in_scope=self._is_in_scope(about),
        )

    def _is_in_scope(self, about: About) -> bool:
        if self.scope is None:
            return True
        if about.nodes:
            return any(node in self.scope for node in about.nodes)
        return about.part in self._scope_parts

    @cached_property
    def _scope_parts(self) -> set[str]:
        return {node if isinstance(node, str) else node.part for node in self.scope or ()}

    def pins_of(self, half: HalfKey) -> tuple[Node, ...]:
        """Return the pins of a half that the target uses, in order."""
        own = (half.connector, half.half)
        pins = [p for p in self._pins_by_part.get(half.part, ()) if (p.connector, p.half) == own]
        return tuple(sorted(pins, key=node_order))

    @cached_property
    def _pins_by_part(self) -> dict[str, list[PinKey]]:
        found: dict[str, list[PinKey]] = {}
        for pin in self.target.pins:
            found.setdefault(pin.part, []).append(pin)
        return found


# ------------------------------------------------------------------------------------------- keys

_KEY_WORD: dict[GapKind, str] = {
    "lead missing": "lead",
    "branch missing": "lead",
    "lead goes elsewhere": "lead",
}
"""However a wanted lead is lacking, its gap keeps its key: a closure holds when more is found out."""


def node_key(node: Node) -> str:
    """Return a pin, splice or ground point as the keys of gaps name it."""
    if isinstance(node, str):
        return node
    return f"{node.part}/{node.connector}/{node.half}/{node.pin}"


def ends_key(ends: Ends) -> str:
    """Return the ends of a lead as the keys of gaps name them."""
    return " ".join(map(node_key, ends))


def half_key_text(half: HalfKey) -> str:
    """Return a half as the keys of gaps name it."""
    return f"{half.part}/{half.connector}/{half.half}"


def once(lines: Iterable[str]) -> tuple[str, ...]:
    """Return lines in their order, each once."""
    return tuple(dict.fromkeys(lines))
