"""Short ways to the metal of a vehicle: `TCU C1:1-X80:4 new 1.5mm2 3m` is a lead, `~` a mate, `=` a bar."""

from __future__ import annotations

from collections.abc import Mapping

from loomfolio.bench.proof.building import Points
from loomfolio.bench.proof.metal import Metal, MetalPiece
from loomfolio.project import Connector, Half, Part, PartKind, PinKey, Project
from loomfolio.retrofit import Node

KINDS: Mapping[str, PartKind] = {
    "S": "splice",
    "G": "ground point",
    "F": "fuse",
    "K": "relay",
    "X": "in-line connector",
    "B": "battery",
    "M": "module",
    "L": "lamp",
}
"""The kind of a part by the first letter of its name."""
HUBS = frozenset({"splice", "ground point"})


class MetalMaker:
    """Parts by name and pieces by line; a splice or ground point is one node, written without a pin."""

    def __init__(self, *lines: str, classes: Mapping[str, str] | None = None) -> None:
        self._names: dict[str, str] = {}
        self._pieces: list[MetalPiece] = []
        for line in lines:
            self._add(line)
        self._classes = {self.node(name): {word} for name, word in (classes or {}).items()}

    def _add(self, line: str) -> None:
        ends, *words = line.split()
        sign = next(sign for sign in "~=-" if sign in ends)
        a, b = (self.node(end) for end in ends.split(sign))
        numbers = [w for w in words if w[0].isdigit()]
        self._pieces.append(
            MetalPiece(
                {"~": "mate", "=": "bar", "-": "lead"}[sign],  # type: ignore[arg-type]
                (a, b),
                is_touched="new" in words,
                length_m=next((float(w[:-1]) for w in numbers if not w.endswith("mm2")), None),
                area_mm2=next((float(w[:-3]) for w in numbers if w.endswith("mm2")), None),
            )
        )

    def node(self, text: str) -> Node:
        """Return the node of `M1.C1:4`, `F3:1` or `S2`."""
        place, _, pin = text.partition(":")
        name, _, connector = place.partition(".")
        part = self._names.setdefault(name, f"part-{len(self._names) + 1}")
        if KINDS[name[0]] in HUBS:
            return part
        return PinKey(part=part, connector=connector, pin=pin)

    @property
    def metal(self) -> Metal:
        """The metal of all lines."""
        return Metal(
            pieces=tuple(self._pieces),
            kinds={part: KINDS[name[0]] for name, part in self._names.items()},
            names={part: name for name, part in self._names.items()},
            classes=self._classes,
        )

    @property
    def project(self) -> Project:
        """The parts of it."""
        return Project(
            serial=len(self._names),
            parts=tuple(
                Part(
                    id=part,
                    name=name,
                    kind=KINDS[name[0]],
                    connectors=(Connector(name="", halves=(Half(),)),),
                )
                for name, part in self._names.items()
            ),
        )

    @property
    def points(self) -> Points:
        """Where it can be probed."""
        return Points(self.project, self.metal)
