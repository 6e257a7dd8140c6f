"""Which pins belong together, and the ways their conductors take over the raster."""

from __future__ import annotations

import math

from accuracy.draft import Draft, Pin
from accuracy.grid import Node
from accuracy.parts import end_pin
from accuracy.wiring import Look, Wiring

_NEAR_MM = 60.0  # pins of one net mostly lie about this far apart
_TRIES = 14  # places of a drawn line that are tried as the place of a T


def connect(draft: Draft) -> None:
    """Draw up nets over the free pins and route them; what finds no way stays open."""
    _bundles(draft)
    for wanted in _wishes(draft):
        free = [pin for pin in wanted if pin.net == 0]
        if len(free) >= 2 and _first(draft, free[0], free[1]):
            for pin in free[2:]:
                _branch(draft, free[0].net, pin)
    _branches_to_drawn(draft)
    _open_ends(draft)


def _free(draft: Draft) -> list[Pin]:
    return [pin for pin in draft.pins if pin.net == 0]


def _bundles(draft: Draft) -> None:
    """Runs of neighbouring pins of one part go to runs of another: parallel lines, many of them."""
    rng = draft.rng
    groups: dict[tuple[int, tuple[float, float]], list[Pin]] = {}
    for pin in _free(draft):
        groups.setdefault((pin.body, pin.outward), []).append(pin)
    lists = list(groups.values())
    rng.shuffle(lists)
    for group in lists:
        size = rng.randint(2, 9)
        mine = [pin for pin in group if pin.net == 0][:size]
        others = [g for g in lists if g[0].body != group[0].body]
        others.sort(key=lambda g: math.dist(g[0].at, mine[0].at) if mine else 0)
        if not mine or not others or rng.random() < 0.25:
            continue
        theirs = [pin for pin in rng.choice(others[:5]) if pin.net == 0][: len(mine)]
        if rng.random() < 0.3:
            theirs.reverse()
        for a, b in zip(mine, theirs, strict=False):
            _first(draft, a, b)


def _wishes(draft: Draft) -> list[list[Pin]]:
    """Sets of free pins to be joined, the short ones first."""
    rng = draft.rng
    left = _free(draft)
    rng.shuffle(left)
    wishes = []
    while len(left) > 1:
        pin = left.pop()
        size = rng.choices([2, 3, 4, 5, 8], [60, 18, 10, 7, 5])[0]
        others = [other for other in left if other.body != pin.body]
        others.sort(key=lambda other: _pull(draft, pin, other))
        chosen = others[: size - 1]
        for other in chosen:
            left.remove(other)
        if chosen:
            wishes.append([pin, *chosen])
    wishes.sort(key=lambda pins: math.dist(pins[0].at, pins[1].at))
    return wishes


def _pull(draft: Draft, pin: Pin, other: Pin) -> float:
    """Lower for pins that lie near and ahead, with chance."""
    ahead = (other.at[0] - pin.at[0]) * pin.outward[0] + (other.at[1] - pin.at[1]) * pin.outward[1]
    distance = math.dist(pin.at, other.at)
    return distance - 0.5 * ahead + draft.rng.expovariate(1 / _NEAR_MM)


def _first(draft: Draft, a: Pin, b: Pin) -> bool:
    """Route the first line of a new net."""
    net = draft.nets + 1
    route = draft.grid.route(a.start, b.start, net)
    if route is None:
        return False
    draft.nets = net
    a.net = b.net = net
    draft.lay(net, route)
    return True


def _branch(draft: Draft, net: int, pin: Pin) -> bool:
    """Lead a pin to a T on the lines its net already has."""
    places = _places_for_a_tee(draft, net)
    places.sort(key=lambda place: abs(place[0][0] - pin.start[0]) + abs(place[0][1] - pin.start[1]))
    step = max(1, len(places) // 60)
    ways = []
    for node, ends in places[: _TRIES * step : step]:
        route = draft.grid.route(pin.start, node, net, ends=ends)
        if route is not None:
            ways.append(route)
    if not ways:
        return False
    best = min(ways, key=lambda way: (way.cost, way.nodes))
    pin.net = net
    draft.lay(net, best)
    return True


def _places_for_a_tee(draft: Draft, net: int) -> list[tuple[Node, str]]:
    """Nodes on the lines of a net where another line may end, and the sense in which it must."""
    grid = draft.grid
    places: list[tuple[Node, str]] = []
    for route in draft.routes[net]:
        for (r0, c0), (r1, c1) in zip(route.nodes, route.nodes[1:], strict=False):
            level = r0 == r1
            for k in range(1, abs(r1 - r0) + abs(c1 - c0)):
                row = r0 + (0 if level else k * (1 if r1 > r0 else -1))
                column = c0 + (k * (1 if c1 > c0 else -1) if level else 0)
                passing = grid.node_down if level else grid.node_right
                if passing[row, column] == 0:
                    places.append(((row, column), "down" if level else "right"))
    return places


def _branches_to_drawn(draft: Draft) -> None:
    """Some pins that are still open join a net that passes near."""
    rng = draft.rng
    nets = list(draft.routes)
    for pin in _free(draft):
        if nets and rng.random() < 0.4:
            _branch(draft, rng.choice(nets), pin)


def _open_ends(draft: Draft) -> None:
    """What is left gets a ground, a supply, a page arrow, an open stub, or nothing."""
    rng = draft.rng
    for pin in _free(draft):
        kind = rng.choices(["ground", "supply", "page arrow", "stub", "none"], [5, 2, 4, 1, 3])[0]
        if kind in ("stub", "none"):
            if kind == "stub":
                pin.net = draft.new_net()
                draft.grid.reserve(pin.start, pin.net)
            continue
        mate = end_pin(draft, pin, kind)
        if mate is not None and not _first(draft, pin, mate):
            draft.grid.whole[mate.start] = -1


def wire_up(draft: Draft, looks: dict[int, Look]) -> Wiring:
    """Turn routes and pins into the graph of conductors."""
    wiring = draft.wiring
    corners: dict[tuple[int, Node], int] = {}

    def vertex(net: int, node: Node) -> int:
        if (net, node) not in corners:
            corners[net, node] = wiring.vertex(draft.at(node))
        return corners[net, node]

    for net, routes in draft.routes.items():
        knots = {end for route in routes for end in (route.nodes[0], route.nodes[-1])}
        for route in routes:
            for a, b in zip(route.nodes, route.nodes[1:], strict=False):
                stops = [a, *_between(a, b, knots), b]
                wiring.run([vertex(net, node) for node in stops], looks[net])
    for pin in draft.pins:
        if pin.net:
            end = wiring.vertex(pin.at, draft.end_of(pin))
            wiring.join(end, vertex(pin.net, pin.start), looks[pin.net])
    wiring.straighten()
    return wiring


def _between(a: Node, b: Node, knots: set[Node]) -> list[Node]:
    """The knots that lie inside a level or upright run, in order from `a`."""
    low, high = (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))
    inside = [
        node
        for node in knots
        if low[0] <= node[0] <= high[0] and low[1] <= node[1] <= high[1] and node not in (a, b)
    ]
    return sorted(inside, key=lambda node: abs(node[0] - a[0]) + abs(node[1] - a[1]))
