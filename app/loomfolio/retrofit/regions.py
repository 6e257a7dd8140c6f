"""The nets that differ between a vehicle and the target, and to which net of the target each node belongs.

A region holds all nodes that are joined, on either side, to one at which the two sides differ; all else is
alike and needs no looking at. A splice of the vehicle has no meaning of its own and takes the net of most
of its legs. What the target does not know belongs to nets of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from loomfolio.project import PinKey
from loomfolio.retrofit.blocks import Blocks
from loomfolio.retrofit.nodes import node_order
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.state import FOUND, Bar, Equipment

Label = tuple[bool, Node]
"""A net: whether the target has it, and one node of it."""


def name_in_documents(node: Node) -> Node:
    """Return a node of the vehicle as the documents name it: a splice with other legs has a name of its own."""
    return node.partition(FOUND)[0] if isinstance(node, str) else node


class Region:
    """The part of two sides that differs, or what hangs together with the nodes `around`.

    `nodes` stand in their order; `nets` are the target's.
    """

    def __init__(
        self, target: Equipment, vehicle: Equipment, around: Collection[Node] | None = None
    ) -> None:
        self.target, self.vehicle = target, vehicle
        self.nodes = self._closed(self._seeds() if around is None else set(around))
        self.nets = Blocks(self.nodes)
        for joined in self._joined(target):
            self.nets.merge(joined)
        self._order = {node: rank for rank, node in enumerate(self.nodes)}

    def _seeds(self) -> set[Node]:
        """Where the two sides differ: in a lead, a bar, or a mated pair."""
        seeds: set[Node] = set()
        for ends in self.target.leads.all_ends ^ self.vehicle.leads.all_ends:
            seeds.update(ends)
        for bar in self.target.bars.keys() ^ self.vehicle.bars.keys():
            seeds.update(bar)
        here, there = self.target.mated_at, self.vehicle.mated_at
        seeds.update(pin for pin in {*here, *there} if here.get(pin) != there.get(pin))
        return seeds

    def _closed(self, seeds: set[Node]) -> list[Node]:
        found, rest = set(seeds), list(seeds)
        while rest:
            node = rest.pop()
            for side in (self.target, self.vehicle):
                for other in side.neighbours(node):
                    if other not in found:
                        found.add(other)
                        rest.append(other)
        return sorted(found, key=node_order)

    def leads(self, side: Equipment) -> list[Ends]:
        """Return the leads of a side that lie in the region, each once."""
        return list({ends: None for node in self.nodes for ends in side.leads_at.get(node, ())})

    def bars(self, side: Equipment) -> list[Bar]:
        """Return the bars of a side that lie in the region, each once."""
        return list({bar: None for node in self.nodes for bar in side.bars_at.get(node, ())})

    def mates(self, side: Equipment) -> Iterator[tuple[Node, Node]]:
        """Yield the mated pins of a side that lie in the region."""
        for node in self.nodes:
            if isinstance(node, PinKey):
                yield from ((node, other) for other in side.mated_at.get(node, ()))

    def _joined(self, side: Equipment) -> Iterator[Sequence[Node]]:
        yield from self.leads(side)
        yield from self.bars(side)
        yield from self.mates(side)

    def is_known(self, node: Node) -> bool:
        """Does the target say what this pin or ground point is joined to, be it nothing?"""
        return not self.target.is_splice(node) and self.target.knows(node)

    def labels(self) -> dict[Node, Label]:
        """Say of each pin, and of each splice of the vehicle, which net it belongs to."""
        own = Blocks(self.nodes)
        for joined in self._joined(self.vehicle):
            own.merge([node for node in joined if not self.is_known(node)])
        labels: dict[Node, Label] = {}
        for node in self.nodes:
            if self.is_known(node):
                labels[node] = (True, self.nets.root(node))
            elif not self.vehicle.is_splice(node):
                labels[node] = (False, own.root(node))
        self._label_splices(labels, own)
        return labels

    def _label_splices(self, labels: dict[Node, Label], own: Blocks) -> None:
        """Give each splice of the vehicle the net of most of its legs, from the labelled ones inwards."""
        rest = [n for n in self.nodes if self.vehicle.is_splice(n) and n in self.vehicle.leads_at]
        while rest:
            told: dict[Node, Label] = {}
            for splice in rest:
                legs = [n for n in self.vehicle.neighbours(splice) if n in labels]
                if legs:
                    told[splice] = self._most([labels[leg] for leg in legs], splice)
            if not told:
                labels.update({splice: (False, own.root(splice)) for splice in rest})
                return
            labels.update(told)
            rest = [splice for splice in rest if splice not in told]

    def _most(self, legs: Sequence[Label], splice: Node) -> Label:
        """The net of most legs; of nets with as many, the one that the target has the splice in."""
        counts = Counter(legs)
        home = (True, self.nets.root(name_in_documents(splice)))
        return max(counts, key=lambda n: (counts[n], n == home, n[0], -self._order[n[1]]))

    def wrong_leads(self, labels: Mapping[Node, Label]) -> list[Ends]:
        """Return the leads of the vehicle between two nets."""
        return [ends for ends in self.leads(self.vehicle) if labels[ends[0]] != labels[ends[1]]]

    def wrong_bars(self, labels: Mapping[Node, Label]) -> dict[Bar, tuple[Bar, ...]]:
        """Return the bars of the vehicle over several nets, each as the groups that may stay joined."""
        found: dict[Bar, tuple[Bar, ...]] = {}
        for bar in self.bars(self.vehicle):
            groups: dict[Label, list[PinKey]] = {}
            for pin in bar:
                groups.setdefault(labels[pin], []).append(pin)
            if len(groups) > 1:
                found[bar] = tuple(tuple(pins) for pins in groups.values())
        return found
