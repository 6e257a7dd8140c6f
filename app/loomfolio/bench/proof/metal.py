"""The metal of the finished vehicle: nodes, the pieces between them, and the nets that the work touches.

A node is a pin, or a splice or ground point as a whole (`retrofit.Node`). A piece is a lead, a pair of
mated contacts, or a bar. A net is what hangs together by pieces; the walk stops at ground points, for the
chassis joins what no plan of the work should. A piece is *touched* where the work makes it, or where a
joint or splice at one of its ends is opened or made.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from loomfolio.project import LeadColour, PartKind
from loomfolio.retrofit import Ends, Node

PieceOf = Literal["lead", "mate", "bar"]


def node_key(node: Node) -> str:
    """Return a node by its ids: the part's id, or that with connector, half and pin."""
    if isinstance(node, str):
        return node
    return f"{node.part}/{node.connector}/{node.half}/{node.pin}"


@dataclass(frozen=True, slots=True)
class MetalPiece:
    """One piece of metal between two nodes; length and area are None where nobody knows them."""

    kind: PieceOf
    ends: Ends
    is_touched: bool = False
    length_m: float | None = None
    area_mm2: float | None = None
    colour: LeadColour | None = None

    @property
    def is_lead(self) -> bool:
        """Is it a lead, not a contact or a bar?"""
        return self.kind == "lead"

    @property
    def key(self) -> str:
        """The piece by the ids of its ends."""
        return f"{self.kind} {node_key(self.ends[0])} {node_key(self.ends[1])}"

    def other(self, node: Node) -> Node:
        """Return the other end."""
        return self.ends[1] if node == self.ends[0] else self.ends[0]


@dataclass(frozen=True, slots=True)
class MetalNet:
    """What hangs together: its nodes and pieces, and what kind of circuit it is."""

    key: str
    name: str
    nodes: tuple[Node, ...]
    pieces: tuple[MetalPiece, ...]
    classes: frozenset[str] = frozenset()

    @property
    def is_touched(self) -> bool:
        """Does the work make or open a piece of it?"""
        return any(piece.is_touched for piece in self.pieces)

    @property
    def touched_nodes(self) -> tuple[Node, ...]:
        """The ends of what the work touches."""
        touched = {node for piece in self.pieces if piece.is_touched for node in piece.ends}
        return tuple(node for node in self.nodes if node in touched)

    def way(self, a: Node, b: Node) -> tuple[MetalPiece, ...]:
        """Return the pieces of a shortest way from a to b; none where there is no way, or no distance."""
        at: dict[Node, list[MetalPiece]] = {}
        for piece in self.pieces:
            for node in piece.ends:
                at.setdefault(node, []).append(piece)
        came: dict[Node, MetalPiece | None] = {a: None}
        rest = deque([a])
        while rest and b not in came:
            node = rest.popleft()
            for piece in at.get(node, ()):
                if piece.other(node) not in came:
                    came[piece.other(node)] = piece
                    rest.append(piece.other(node))
        way: list[MetalPiece] = []
        node = b
        while (last := came.get(node)) is not None:
            way.append(last)
            node = last.other(node)
        return tuple(reversed(way))

    def pieces_left(self) -> list[frozenset[Node]]:
        """Return what stays joined when all that the work touches is taken away, singles included."""
        left = [piece for piece in self.pieces if not piece.is_touched]
        return components(self.nodes, left)


def components(nodes: Iterable[Node], pieces: Sequence[MetalPiece]) -> list[frozenset[Node]]:
    """Return what hangs together by pieces, in the order of its first node."""
    group: dict[Node, list[Node]] = {node: [node] for node in nodes}
    for piece in pieces:
        a, b = (group[node] for node in piece.ends)
        if a is not b:
            for node in b:
                group[node] = a
            a.extend(b)
    found = {id(own): frozenset(own) for own in group.values()}
    return list(found.values())


@dataclass(frozen=True, eq=False)
class Metal:
    """All metal of the finished vehicle, and what the bench has to know of parts and pins."""

    pieces: tuple[MetalPiece, ...]
    kinds: Mapping[str, PartKind]
    names: Mapping[str, str]
    signals: Mapping[Node, str] = field(default_factory=dict)
    classes: Mapping[Node, Collection[str]] = field(default_factory=dict)

    @cached_property
    def at(self) -> Mapping[Node, tuple[MetalPiece, ...]]:
        """The pieces that end at each node."""
        found: dict[Node, list[MetalPiece]] = {}
        for piece in self.pieces:
            for node in piece.ends:
                found.setdefault(node, []).append(piece)
        return {node: tuple(pieces) for node, pieces in found.items()}

    def kind(self, node: Node) -> PartKind:
        """Return the kind of the part that a node belongs to; a drawn joint is a splice."""
        part = node if isinstance(node, str) else node.part
        return self.kinds.get(part, "splice" if isinstance(node, str) else "device")

    def stops(self, node: Node) -> bool:
        """Does a net end here? At a ground point, where the chassis takes over."""
        return self.kind(node) == "ground point"

    @cached_property
    def nets(self) -> tuple[MetalNet, ...]:
        """All nets, in the order of their first piece. A ground point belongs to each net that ends at it."""
        seen: set[int] = set()
        numbers = range(len(self.pieces))
        return tuple(self._net(number, seen) for number in numbers if number not in seen)

    def _net(self, first: int, seen: set[int]) -> MetalNet:
        number_of = self._numbers
        rest, own = [first], dict.fromkeys([first])
        nodes: dict[Node, None] = {}
        while rest:
            piece = self.pieces[rest.pop()]
            for node in piece.ends:
                nodes.setdefault(node)
                if self.stops(node):
                    continue
                for other in self.at[node]:
                    number = number_of[id(other)]
                    if number not in own:
                        own[number] = None
                        rest.append(number)
        seen.update(own)
        in_order = tuple(nodes)
        return MetalNet(
            key=min(map(node_key, (n for n in in_order if not self.stops(n))), default=""),
            name=next((self.signals[n] for n in in_order if self.signals.get(n)), ""),
            nodes=in_order,
            pieces=tuple(self.pieces[number] for number in sorted(own)),
            classes=frozenset(c for node in in_order for c in self.classes.get(node, ())),
        )

    @cached_property
    def _numbers(self) -> dict[int, int]:
        return {id(piece): number for number, piece in enumerate(self.pieces)}

    def nets_at(self, part: str) -> Iterator[MetalNet]:
        """Yield the nets with a node of a part."""
        for net in self.nets:
            if any(part == (n if isinstance(n, str) else n.part) for n in net.nodes):
                yield net
