"""Gaps in leads: missing ones, branches, cables, moves, extra ones, and those that look other than drawn."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from loomfolio.project import CableGroup
from loomfolio.retrofit.difference import Difference, Move
from loomfolio.retrofit.evidence import Grounds, Sides
from loomfolio.retrofit.gap_writer import About, GapWriter, ends_key, once
from loomfolio.retrofit.records import Ends, EquippedLead, Gap, GapKind, Mend, Node
from loomfolio.retrofit.state import is_other_colour


class LeadGaps(GapWriter):
    """Finds which leads are to be made, moved, taken out or looked at again.

    With `around` only leads at these nodes are looked at for their colour and area.
    """

    def __init__(
        self,
        sides: Sides,
        steps: Difference,
        scope: Collection[Node] | None,
        around: Collection[Node] | None = None,
    ) -> None:
        super().__init__(sides, steps, scope)
        self._around = around

    def gaps(self) -> Iterator[Gap]:
        """Yield every gap once."""
        yield from self._missing_leads()
        yield from (self._move(move) for move in self.steps.moves)
        yield from (self._extra(ends) for ends in self.steps.cut)
        yield from self._other_looks()

    def _missing_leads(self) -> Iterator[Gap]:
        rest = dict.fromkeys(self.steps.joined)
        for group in self.target.groups:
            leads = tuple(
                dict.fromkeys(e for pair in group.pins for e in self.target.leads_between(*pair))
            )
            if len(leads) > 1 and all(ends in rest for ends in leads):
                rest = {ends: None for ends in rest if ends not in leads}
                yield self._cable(group, leads)
        yield from (self._lead(ends, is_branch=ends in self.steps.branches) for ends in rest)

    def _cable(self, group: CableGroup, leads: tuple[Ends, ...]) -> Gap:
        each = [self.sides.of_missing_lead(ends) for ends in leads]
        what = {
            "pair": "pair",
            "twist": "twisted pair",
            "screen": "screened cable",
            "cable": "cable",
        }
        words = "; ".join(self._ends_text(ends, " to ") for ends in leads)
        screen = ", ".join(self.sides.text(pin) for pin in group.screen_ends)
        sentence = f"The {what[group.kind]} {group.name} is missing: {words}" + (
            f"; its screen goes to {screen}" if screen else ""
        )
        grounds = Grounds(
            once(line for one in each for line in one.evidence),
            once(line for one in each for line in one.decides),
            each[0].place,
        )
        nodes = tuple(dict.fromkeys(node for ends in leads for node in ends))
        about = About("cable group missing", group.id, nodes)
        return self.gap(about, sentence, grounds, self._joining(leads))

    def _joining(self, leads: tuple[Ends, ...]) -> Mend:
        """What making leads changes, the joints included that they need in leads that are there."""
        taps = self.steps.taps
        tapped = {node: taps[node] for ends in leads for node in ends if node in taps}
        return Mend(joined=leads, tapped=tuple(tapped.items()))

    def _ends_text(self, ends: Ends, between: str) -> str:
        return between.join(self.sides.text(node) for node in ends)

    def _lead(self, ends: Ends, *, is_branch: bool) -> Gap:
        kind: GapKind = "branch missing" if is_branch else "lead missing"
        what = "branch" if is_branch else "lead"
        sentence = f"The {what} from {self._ends_text(ends, ' to ')} is missing"
        grounds = self.sides.of_missing_lead(ends)
        return self.gap(
            About(kind, ends_key(ends), ends), sentence, grounds, self._joining((ends,))
        )

    def _move(self, move: Move) -> Gap:
        stays, leaves, goes_to = map(self.sides.text, (move.stays, move.leaves, move.goes_to))
        sentence = f"The lead from {stays} to {leaves} has to go to {goes_to} instead"
        there = self.sides.of_present_lead(move.cut)
        wanted = self.sides.of_missing_lead(move.joined)
        grounds = Grounds(
            once((*there.evidence, *wanted.evidence)),
            once((*there.decides, *self.sides.open_in_target(move.joined))),
            there.place or wanted.place,
        )
        nodes = tuple(dict.fromkeys((*move.joined, *move.cut)))
        mend = replace(self._joining((move.joined,)), cut=(move.cut,))
        about = About("lead goes elsewhere", ends_key(move.joined), nodes)
        return self.gap(about, sentence, grounds, mend)

    def _extra(self, ends: Ends) -> Gap:
        sentence = f"The lead from {self._ends_text(ends, ' to ')} is too much: the target keeps them apart"
        grounds = self.sides.of_present_lead(ends)
        return self.gap(
            About("extra lead", ends_key(ends), ends), sentence, grounds, Mend(cut=(ends,))
        )

    def _other_looks(self) -> Iterator[Gap]:
        for ends, drawn, found in self._leads_of_both():
            grounds = None
            if is_other_colour(drawn.colour, found.colour):
                grounds = self.sides.of_other_look(ends)
                is_ = found.colour.text if found.colour is not None else ""
                was = drawn.colour.text if drawn.colour is not None else ""
                yield self._look("other colour", ends, grounds, f"is {is_}, drawn as {was}")
            if is_other_area(drawn, found):
                grounds = grounds or self.sides.of_other_look(ends)
                words = f"has {found.area_mm2:g} mm², drawn with {drawn.area_mm2:g} mm²"
                yield self._look("other area", ends, grounds, words)

    def _leads_of_both(self) -> Iterator[tuple[Ends, EquippedLead, EquippedLead]]:
        """The leads that both sides have, but for those that are the very same."""
        target, find = self.target.leads, self.vehicle.leads.find
        leads = target.items()
        if self._around is not None:
            near = {ends for node in self._around for ends in target.at.get(node, ())}
            leads = {ends: target[ends] for ends in near}.items()
        for ends, drawn in leads:
            found = find(ends)
            if found is not None and found is not drawn:
                yield ends, drawn, found

    def _look(self, kind: GapKind, ends: Ends, grounds: Grounds, words: str) -> Gap:
        sentence = f"The lead from {self._ends_text(ends, ' to ')} {words}"
        about = About(kind, ends_key(ends), ends)
        return self.gap(about, sentence, grounds, Mend(looks=(ends,)))


def is_other_area(drawn: EquippedLead, found: EquippedLead) -> bool:
    """Are both areas known, and not the same?"""
    return None not in {drawn.area_mm2, found.area_mm2} and drawn.area_mm2 != found.area_mm2
