"""Which bars and leads of the target join what the vehicle has apart.

A lead of the target is missing where it joins two blocks; one between pins that are joined by another way is
no gap. A splice of the target that lies between two pins of one block is that block's, since the
joint can be made in the leads that are there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence

from loomfolio.retrofit.blocks import Blocks, on_paths_between
from loomfolio.retrofit.nodes import ends_order, node_order
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.regions import Label, Region, name_in_documents
from loomfolio.retrofit.state import Bar


class Joiner:
    """The blocks of a vehicle after the cuts, while they are joined as the target has them."""

    def __init__(
        self,
        region: Region,
        labels: Mapping[Node, Label],
        cut: Collection[Ends],
        parted: Mapping[Bar, tuple[Bar, ...]],
        preferred: Collection[Node] | None,
    ) -> None:
        self._region, self._labels, self._preferred = region, labels, preferred
        self._blocks = Blocks(region.nodes)
        gone = set(cut)
        vehicle = region.vehicle
        for bar in region.bars(vehicle):
            for group in parted.get(bar, (bar,)):
                self._blocks.merge(group)
        for pair in region.mates(vehicle):
            self._blocks.merge(pair)
        for ends in region.leads(vehicle):
            if ends not in gone:
                self._blocks.merge(ends)
        self.taps: dict[Node, Node] = {}
        self.bars, self.leads, self.branches = self._missing()

    def in_target(self, node: Node) -> tuple[Node, ...]:
        """Return the nodes of the target that a node of the vehicle may be: of a splice, those put into its leads."""
        return (node, *self._put_in.get(node, ()))

    def _missing(self) -> tuple[list[Bar], list[Ends], set[Ends]]:
        """Which bars and leads are to be made, and which of the leads meet leads that are there."""
        target = self._region.target
        bars = [bar for bar in sorted_bars(self._region.bars(target)) if self._blocks.merge(bar)]
        self._absorb_splices()
        self._put_in = self._splices_put_in()
        live = self._live()
        held = {n for n in self._region.nodes if target.is_splice(n) and self._blocks.size(n) > 1}
        leads = sorted(self._region.leads(target), key=self._rank)
        joined = [ends for ends in leads if self._blocks.merge(ends)]
        joined = self._without_dangling(joined, held)
        branches = {ends for ends in joined if any(n in live and target.is_splice(n) for n in ends)}
        return bars, sorted(joined, key=ends_order), branches

    def _rank(self, ends: Ends) -> tuple[object, ...]:
        in_scope = self._preferred is None or all(node in self._preferred for node in ends)
        is_open = self._region.target.leads[ends].is_undetermined
        return (not in_scope, is_open, ends_order(ends))

    def _splices_put_in(self) -> dict[Node, tuple[Node, ...]]:
        """For each splice of the vehicle the target's splices that were taken into its block."""
        by_root: dict[Node, list[Node]] = {}
        for splice in self.taps:
            by_root.setdefault(self._blocks.root(splice), []).append(splice)
        return {
            node: tuple(by_root.get(self._blocks.root(node), ()))
            for node in self._region.nodes
            if self._region.vehicle.is_splice(node)
        }

    def _live(self) -> set[Node]:
        """The nodes of blocks that join two pins or more: a lead that meets one of them is a branch."""
        known = (node for node in self._region.nodes if self._region.is_known(node))
        counts = Counter(self._blocks.root(node) for node in known)
        return {node for node in self._region.nodes if counts[self._blocks.root(node)] > 1}

    def _absorb_splices(self) -> None:
        """Put the target's splices into the leads that are there, where one can tell in which."""
        target, pins = self._region.target, dict[Node, list[Node]]()
        for splice in self._region.nodes:
            name = name_in_documents(splice)
            if splice != name and self._labels[splice] == (True, self._region.nets.root(name)):
                self._tap(name, splice)
        for node in self._region.nodes:
            if self._region.is_known(node):
                pins.setdefault(self._blocks.root(node), []).append(node)
        for block in sorted(pins.values(), key=lambda b: (-len(b), node_order(b[0]))):
            for node in on_paths_between(block, target.neighbours) if len(block) > 1 else ():
                if target.is_splice(node):
                    self._tap(node, block[0])

    def _tap(self, splice: Node, at: Node) -> None:
        """Take a splice of the target on which nothing hangs yet into the block of `at`."""
        if self._blocks.size(splice) == 1:
            self._blocks.merge((splice, at))
            self.taps[splice] = at

    def _without_dangling(self, joined: Sequence[Ends], held: Collection[Node]) -> list[Ends]:
        """Leave out leads to a new splice from which nothing goes on in the end."""
        kept = list(joined)
        while True:
            legs = Counter(node for ends in kept for node in ends)
            loose = {
                node
                for node, count in legs.items()
                if count == 1 and self._region.target.is_splice(node) and node not in held
            }
            if not loose:
                return kept
            kept = [ends for ends in kept if not loose & set(ends)]


def sorted_bars(bars: Iterable[Bar]) -> list[Bar]:
    """Return bars in the order of their pins."""
    return sorted(bars, key=lambda bar: [pin.sort_key for pin in bar])
