"""What each net is at in one position of all relays: held at a pole, live through loads, unknown, or dead.

Walks over the nets, in this order:

1. From each pole over what is closed: nets held at plus, and nets held at minus.
2. The same over what may be closed, from what may drive: nets that may be held.
3. From nets at plus over loads into nets that nothing holds, and that nothing can hold at minus: these
   are live through a load, as the open end of a lamp is.
4. From what may be live over all that may conduct: unknown.
5. What is left is reached by nothing, and dead.

Each walk remembers how it came to a net, so that every answer has a path. A source whose minus is not
on chassis has poles of its own group: both are live, neither is ground.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from loomfolio.retrofit.live.conduction import CHASSIS, Conduction, Feed, InnerEdge, Position


@dataclass(frozen=True, slots=True)
class Arrival:
    """How a walk came to a net: over which edge, from which net; both None where it began."""

    edge: InnerEdge | None = None
    net: int | None = None


Walk = Mapping[int, Arrival]
"""For each net reached, how."""


@dataclass(frozen=True, eq=False)
class Reach:
    """The walks of one position of all relays. `positions` are those of the contacts, by edge."""

    conduction: Conduction
    positions: Mapping[InnerEdge, Position]
    groups: Mapping[tuple[str, str], Walk] = field(default_factory=dict)
    """Nets held at a pole of a group of sources: (group, pole)."""

    def position(self, edge: InnerEdge) -> Position:
        """Return how an edge stands."""
        return self.positions.get(edge, edge.position)

    @cached_property
    def at(self) -> Mapping[int, list[InnerEdge]]:
        """The edges at each net."""
        return self.conduction.at()

    @cached_property
    def held_high(self) -> Walk:
        """Nets held at plus, or at either pole of a source that is not on chassis."""
        return _together(w for (group, pole), w in self.groups.items() if _is_high(group, pole))

    @cached_property
    def held_low(self) -> Walk:
        """Nets held at chassis."""
        return self.groups.get((CHASSIS, "minus"), {})

    @cached_property
    def free_drivers(self) -> frozenset[int]:
        """Nets that something unknown may drive; not those of a supply that is off, which is what feeds them."""
        off = self._walk(self.conduction.off, self._is_closed)
        return frozenset(self.conduction.drivers) - off.keys()

    @cached_property
    def may_be_low(self) -> Walk:
        """Nets that may be held at chassis."""
        low = [feed.net for feed in self.conduction.feeds if not _is_high(feed.group, feed.pole)]
        return self._walk([*low, *self.free_drivers], self._may_hold_low)

    @cached_property
    def may_be_high(self) -> Walk:
        """Nets that may be held at plus."""
        high = [feed.net for feed in self.conduction.feeds if _is_high(feed.group, feed.pole)]
        return self._walk([*high, *self.free_drivers], self._may_hold_high)

    @cached_property
    def live_by_load(self) -> Walk:
        """Nets that nothing holds and that are live through a load for sure."""

        def may_enter(edge: InnerEdge, net: int, to: int) -> bool:
            conducts = edge.relation == "loads" or self.position(edge) == "closed"
            conducts = conducts and _is_forward(edge, net)
            is_held = to in self.held_high or to in self.held_low
            return conducts and not is_held and to not in self.may_be_low

        return self._beyond(self.held_high, may_enter)

    @cached_property
    def low_by_load(self) -> Walk:
        """Nets that nothing holds and that may hang on chassis through a load, or on what may pull down."""

        def may_enter(edge: InnerEdge, net: int, to: int) -> bool:
            conducts = edge.relation == "loads" or self.position(edge) != "open"
            return (
                conducts
                and _is_backward(edge, net)
                and to not in self.held_high
                and to not in self.held_low
            )

        free = [net for net in self.free_drivers if net not in self.held_high]
        return self._beyond({**dict.fromkeys(free, Arrival()), **self.held_low}, may_enter)

    @cached_property
    def unknown(self) -> Walk:
        """Nets that may be live and may be dead."""
        settled = self.held_high.keys() | self.held_low.keys() | self.live_by_load.keys()

        def may_enter(edge: InnerEdge, net: int, to: int) -> bool:
            return self.position(edge) != "open" and _is_forward(edge, net) and to not in settled

        free = [net for net in self.free_drivers if net not in settled]
        starts = {**dict.fromkeys(free, Arrival()), **self.held_high, **self.live_by_load}
        reached = self._beyond(starts, may_enter)
        return {**dict.fromkeys(free, Arrival()), **reached}

    # ------------------------------------------------------------------------------------- walking

    def _is_closed(self, edge: InnerEdge, _: int, __: int) -> bool:
        return edge.relation == "passes" and self.position(edge) == "closed"

    def _may_hold_high(self, edge: InnerEdge, net: int, _: int) -> bool:
        is_closed = edge.relation == "passes" and self.position(edge) != "open"
        return is_closed and _is_forward(edge, net)

    def _may_hold_low(self, edge: InnerEdge, net: int, _: int) -> bool:
        is_closed = edge.relation == "passes" and self.position(edge) != "open"
        return is_closed and _is_backward(edge, net)

    def from_feed(self, feeds: Iterable[Feed], pole: str) -> Walk:
        """Return the nets held at a pole by these feeds."""

        def may_enter(edge: InnerEdge, net: int, to: int) -> bool:
            goes = _is_forward(edge, net) if pole == "plus" else _is_backward(edge, net)
            return goes and self._is_closed(edge, net, to)

        return self._walk([feed.net for feed in feeds], may_enter)

    def _walk(
        self, starts: Iterable[int], may_enter: Callable[[InnerEdge, int, int], bool]
    ) -> Walk:
        begun = dict.fromkeys(starts, Arrival())
        return {**begun, **self._beyond(begun, may_enter)}

    def _beyond(self, starts: Walk, may_enter: Callable[[InnerEdge, int, int], bool]) -> Walk:
        """The nets reached from where the walk begins, those not included."""
        found: dict[int, Arrival] = {}
        rest = deque(starts)
        while rest:
            net = rest.popleft()
            for edge in self.at.get(net, ()):
                to = edge.beyond(net)
                if to not in starts and to not in found and may_enter(edge, net, to):
                    found[to] = Arrival(edge, net)
                    rest.append(to)
        return found


def reach_of(conduction: Conduction, positions: Mapping[InnerEdge, Position]) -> Reach:
    """Return the walks of a state with the contacts of its relays in these positions."""
    bare = Reach(conduction, positions)
    by_pole: dict[tuple[str, str], list[Feed]] = {}
    for feed in conduction.feeds:
        by_pole.setdefault((feed.group, feed.pole), []).append(feed)
    groups = {key: bare.from_feed(feeds, key[1]) for key, feeds in by_pole.items()}
    return Reach(conduction, positions, groups)


def _is_forward(edge: InnerEdge, net: int) -> bool:
    """May current leave a net over an edge? A diode lets it through one way only."""
    return not edge.is_one_way or edge.net_a == net


def _is_backward(edge: InnerEdge, net: int) -> bool:
    return not edge.is_one_way or edge.net_b == net


def _is_high(group: str, pole: str) -> bool:
    return pole == "plus" or group != CHASSIS


def _together(walks: Iterable[Walk]) -> dict[int, Arrival]:
    found: dict[int, Arrival] = {}
    for walk in walks:
        for net, arrival in walk.items():
            # where one source stands at the net itself, the path begins there
            if net not in found or arrival.edge is None:
                found[net] = arrival
    return found
