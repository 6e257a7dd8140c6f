"""What must not be: joints in high-voltage leads, taps on circuits that stand none, unfused pick-ups.

A ban says why, and what makes it allowed where anything does: a treatment that the person states in
writing. The rules are those of the cautions: orange cable gets no joint; nothing joins an interlock loop; air
bag and brake leads are cut only by the maker's method; a sensor's ground is no ground for others; a screen
goes on over a joint; a pick-up has its fuse near it; traction minus never goes to chassis.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomfolio.project import CircuitClass, OperationKind
from loomfolio.retrofit.records import Ends, Node
from loomfolio.retrofit.work.feeds import Feeds
from loomfolio.retrofit.work.practice import practice
from loomfolio.retrofit.work.situation import Situation

OPENS_METAL: frozenset[OperationKind] = frozenset(
    {"tap", "butt splice", "break in", "cap off", "solder to board"}
)
"""What cuts a lead, opens its insulation, or solders to what it leads to."""
BRANCHES: frozenset[OperationKind] = frozenset({"tap", "adaptor loom", "bridge"})
"""What joins something new to a net that is there."""
MADE_BY_HAND: frozenset[OperationKind] = OPENS_METAL | frozenset(
    {"lead into cavity", "fit terminal", "move terminal", "bridge", "adaptor loom", "donor lead"}
)


@dataclass(frozen=True, slots=True)
class Ban:
    """Why something must not be, and the treatment that makes it allowed; empty where nothing does."""

    why: str
    treatment: str = ""


_MAKERS_METHOD = "The maker's own method for this joint, in writing, and followed"


@dataclass(frozen=True, slots=True)
class _Rule:
    """Of which circuits, for which kinds of work, and why; what makes it allowed."""

    circuit: CircuitClass
    kinds: frozenset[OperationKind]
    why: str
    treatment: str = ""


_RULES = (
    _Rule(
        "high voltage",
        MADE_BY_HAND,
        "high voltage: no joint, tap, terminal or lead is made by hand in it; the maker's assembly is"
        " fitted whole",
    ),
    _Rule(
        "interlock",
        BRANCHES | {"solder to board"},
        "an interlock loop: nothing is joined to it, and nothing bridges it",
    ),
    _Rule(
        "interlock",
        frozenset({"butt splice", "break in", "cap off"}),
        "an interlock loop: it is not cut",
        "The loop is measured closed after it, and open with each of its connectors apart",
    ),
    _Rule(
        "restraint",
        OPENS_METAL,
        "a restraint circuit: it is not cut, tapped or spliced",
        _MAKERS_METHOD,
    ),
    _Rule(
        "safety",
        OPENS_METAL,
        "a safety circuit (brakes, steering, battery monitoring): it is not cut, tapped or spliced",
        _MAKERS_METHOD,
    ),
    _Rule(
        "screened",
        OPENS_METAL,
        "in a screen, which a joint opens",
        "The screen is carried on over the joint with a lead of equal size, earthed at the same end only",
    ),
    _Rule(
        "sensor ground",
        BRANCHES,
        "the ground of sensors: what else returns over it shifts their readings",
        "Only a sensor of the same module, with its own lead to the module's plug",
    ),
    _Rule(
        "bus",
        BRANCHES,
        "a bus, of which a branch is a stub",
        "Both leads of the pair branch off together, stay twisted up to the joint, and the stub is short",
    ),
)


def bans(situation: Situation, kind: OperationKind, touched: tuple[Node, ...]) -> tuple[Ban, ...]:
    """Return why a kind of work must not be done at some nodes; none where it may."""
    return tuple(dict.fromkeys(_bans(situation, kind, touched)))


def _bans(situation: Situation, kind: OperationKind, touched: tuple[Node, ...]) -> Iterator[Ban]:
    for rule in _RULES:
        if kind in rule.kinds:
            names = [situation.text(n) for n in touched if rule.circuit in situation.classes(n)]
            if names:
                yield Ban(f"{', '.join(names)}: {rule.why}", rule.treatment)


def ban_of_lead(situation: Situation, lead: Ends) -> Ban | None:
    """Return why a lead must not be, whoever makes it and however: traction minus to chassis."""
    for one, other in (lead, lead[::-1]):
        if "traction minus" in situation.classes(one) and situation.is_chassis(other):
            return Ban(
                f"{situation.text(one)} is traction minus: it never goes to chassis"
                f" ({situation.text(other)}), or the supervision of the insulation is blind"
            )
    return None


ORANGE = frozenset({"og", "or", "ora"})
"""How orange is written in the usual code sets."""
LEAST_ORANGE_MM2 = 10.0
"""From here an orange lead is taken for high voltage (R100 has it orange) until its circuit is noted."""


def ban_of_orange(situation: Situation, lead: Ends) -> Ban | None:
    """Return why a thick orange lead of which no class is noted is not made by hand; None for any other."""
    drawn = situation.target.leads.find(lead)
    if drawn is None or drawn.colour is None or drawn.area_mm2 is None:
        return None
    is_orange = (drawn.colour.base or drawn.colour.text).casefold() in ORANGE
    if not is_orange or drawn.area_mm2 < LEAST_ORANGE_MM2 or situation.classes(*lead):
        return None
    return Ban(
        f"{situation.lead_text(lead)} is orange and {drawn.area_mm2:g} mm² thick: taken for high voltage"
        " until the document says of which class its circuit is"
    )


def ban_of_pick_up(situation: Situation, feeds: Feeds, node: Node) -> Ban | None:
    """Return why a net must not be picked up without a fuse; None where a fuse stands before it or nothing feeds it."""
    if not feeds.is_fed(node) or feeds.fuse_before(node) is not None:
        return None
    near = practice("greatest distance from a pick-up to its fuse")
    return Ban(
        f"{situation.text(node)} is fed without a fuse: no unfused pick-up",
        f"A fuse of its own, at most {near.value:g} mm from the pick-up",
    )
