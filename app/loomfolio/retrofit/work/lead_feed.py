"""What stands before a lead: the supply that feeds it and the fuse that protects it, and what is open about both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loomfolio.basics import NameNotFoundError
from loomfolio.electrics import Fuse, Load, find_fuse, fuse_for_load
from loomfolio.project import LoadNote, SupplyNote
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.work.feeds import Carried, Feeds
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.situation import Situation


@dataclass(frozen=True, slots=True)
class FeedOfLead:
    """What stands before a lead: its supply, its fuse where a band is known, and what is open about both."""

    supply: SupplyNote | None
    fuse: Fuse | None
    fuse_text: str
    doubts: tuple[str, ...]


class LeadFeeds:
    """Finds what stands before the leads of a plan."""

    def __init__(self, situation: Situation, feeds: Feeds) -> None:
        self._situation, self._feeds = situation, feeds
        self._tables = situation.tables

    def own_fuse(self, rating_a: float, fed: FeedOfLead) -> FeedOfLead:
        """Return the same with a fuse of the lead's own instead of the feeder's."""
        text = f"its own, {rating_a:g} A"
        try:
            fuse = find_fuse(self._tables, "C", rating_a)
        except NameNotFoundError as error:
            return FeedOfLead(fed.supply, None, text, (str(error),))
        return FeedOfLead(fed.supply, fuse, text, ())

    def before(self, lead: Ends, carried: Sequence[Carried]) -> FeedOfLead:
        """Return what stands before a lead of the target that carries some loads."""
        out = [one.note for one in carried if not one.is_return]
        if carried and not out:
            return FeedOfLead(self._supply_of(carried[0].note.pin), None, "", ())
        starts: list[Node] = [self._situation.target.node(note.pin) for note in out] or list(lead)
        for start in starts:
            part = self._feeds.fuse_before(start, lead)
            if part is not None:
                return self._fused(part, start, out)
        supply = self._supply_of(starts[0])
        doubts = ("Nothing is noted that protects it: say what the module does",) if out else ()
        if supply is not None and supply.fuse_a is not None:
            text = f"{supply.fuse_a:g} A inside the supply"
            return FeedOfLead(supply, None, text, ("What protects it has no time band here",))
        return FeedOfLead(supply, None, "", doubts)

    def _supply_of(self, node: Node) -> SupplyNote | None:
        return self._feeds.supply_of(
            self._situation.target.node(node) if not isinstance(node, str) else node
        )

    def _fused(self, part: str, start: Node, out: Sequence[LoadNote]) -> FeedOfLead:
        name, note = self._situation.part_name(part), self._feeds.fuses.get(part)
        supply = self._supply_of(start)
        if note is None:
            choice = self.fuse_choice(out)
            if choice is None or choice.rating_a is None:
                return FeedOfLead(supply, None, name, (f"The rating of {name} is not noted",))
            said = f"The rating of {name} is not noted: {choice.rating_a:g} A by its loads"
            return FeedOfLead(supply, choice, f"{name}, {choice.rating_a:g} A", (said,))
        text = f"{name}, {note.rating_a:g} A"
        if note.fuse_kind == "other":
            said = f"{name} is of a kind without a time band here: hold the lead against its sheet"
            return FeedOfLead(supply, None, text, (said,))
        try:
            return FeedOfLead(
                supply, find_fuse(self._tables, note.fuse_kind, note.rating_a), text, ()
            )
        except NameNotFoundError as error:
            return FeedOfLead(supply, None, text, (str(error),))

    def fuse_choice(self, loads: Sequence[LoadNote]) -> Fuse | None:
        """Return the regular blade fuse for some loads together; None without loads or where none serves."""
        if not loads:
            return None
        load = Load(
            continuous_a=sum(one.current_a for one in loads),
            inrush_a=sum(one.inrush_a or one.current_a for one in loads),
            inrush_s=max(one.inrush_s or 0.0 for one in loads),
        )
        ambient_c = practice("ambient where none is noted").value
        return fuse_for_load(load, "C", self._tables, ambient_c=ambient_c).fuse
