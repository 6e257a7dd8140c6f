"""The leads of one side with what is needed to find them: by node and by part. A changed table shares the rest."""

from __future__ import annotations

from collections.abc import Collection, ItemsView, Iterable, Iterator, Mapping
from functools import cached_property

from loomfolio.retrofit.records import Ends, EquippedLead, Node


class LeadTable(Mapping[Ends, EquippedLead]):
    """Leads by their ends. Never changed: `changed` returns another table."""

    def __init__(self, leads: Mapping[Ends, EquippedLead] | None = None) -> None:
        self._leads: dict[Ends, EquippedLead] = dict(leads or {})

    def __getitem__(self, ends: Ends) -> EquippedLead:
        return self._leads[ends]

    def __iter__(self) -> Iterator[Ends]:
        return iter(self._leads)

    def __len__(self) -> int:
        return len(self._leads)

    def find(self, ends: Ends) -> EquippedLead | None:
        """Return the lead with these ends, or None."""
        return self._leads.get(ends)

    def items(self) -> ItemsView[Ends, EquippedLead]:
        """Return all leads with their ends."""
        return self._leads.items()

    @cached_property
    def all_ends(self) -> frozenset[Ends]:
        """The ends of all leads, as a set."""
        return frozenset(self._leads)

    @cached_property
    def at(self) -> Mapping[Node, tuple[Ends, ...]]:
        """The leads that end at each node, in the order of the table."""
        found: dict[Node, list[Ends]] = {}
        for ends in self._leads:
            found.setdefault(ends[0], []).append(ends)
            found.setdefault(ends[1], []).append(ends)
        return {node: tuple(leads) for node, leads in found.items()}

    def at_parts(self, parts: Collection[str]) -> dict[str, tuple[Ends, ...]]:
        """Return the leads that end at each of some parts, in the order of the table."""
        found: dict[str, dict[Ends, None]] = {part: {} for part in parts}
        for ends in self._leads if parts else ():
            for node in ends:
                part = node if isinstance(node, str) else node.part
                if part in found:
                    found[part][ends] = None
        return {part: tuple(leads) for part, leads in found.items()}

    def changed(self, *, gone: Iterable[Ends], new: Mapping[Ends, EquippedLead]) -> LeadTable:
        """Return the table without some leads and with others, or with others in the place of its own."""
        lost = [ends for ends in gone if ends in self._leads and ends not in new]
        if not lost and not new:
            return self
        table = LeadTable(self._leads)
        added = [ends for ends in new if ends not in self._leads]
        for ends in lost:
            del table._leads[ends]
        table._leads.update(new)
        if "at" in self.__dict__ and (lost or added):
            table.__dict__["at"] = _indexed_anew(self.at, lost, added)
        elif "at" in self.__dict__:
            table.__dict__["at"] = self.at
        return table


def _indexed_anew(
    before: Mapping[Node, tuple[Ends, ...]], lost: Iterable[Ends], added: Iterable[Ends]
) -> Mapping[Node, tuple[Ends, ...]]:
    index = dict(before)
    for ends in lost:
        for node in ends:
            rest = tuple(other for other in index[node] if other != ends)
            if rest:
                index[node] = rest
            else:
                del index[node]
    for ends in added:
        for node in ends:
            index[node] = (*index.get(node, ()), ends)
    return index
