"""Screens: at ground where they are drawn, and only there."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.retrofit.loops import screen_checks
from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, rule

_SCREENS = "Join screens by a lead of equal size, earthed at the same end as before (practice)"


@rule(
    key="screen: end",
    title="A screen has a stated end",
    reason="A screen that nobody put to ground screens nothing.",
    source=_SCREENS,
    severity="look",
)
def without_end(judged: Judged) -> Iterator[Found]:
    """A screen with leads in it and no stated end."""
    for check in screen_checks(judged.netlist):
        if check.group.pins and not check.ends:
            pins = tuple(pin for pair in check.group.pins for pin in pair)
            yield Found(
                f"Where is the screen of {check.group.name} put to ground?", check.group.id, pins
            )


@rule(
    key="screen: ground",
    title="Each stated end of a screen is at ground",
    reason="A screen in the air is an aerial.",
    source=_SCREENS,
)
def in_the_air(judged: Judged) -> Iterator[Found]:
    """A stated end of a screen on a net without a ground point, where no other end is at ground either."""
    for check in screen_checks(judged.netlist):
        if check.ends and not check.grounded:
            pins = tuple(end.pin for end in check.ends)
            names = ", ".join(judged.pin(pin) for pin in pins)
            yield Found(
                f"The screen of {check.group.name} ends at {names}, which is at no ground",
                check.group.id,
                pins,
            )


@rule(
    key="screen: two grounds",
    title="A screen stands on one ground",
    reason="Between two grounds the screen carries current, and brings in what it should keep out.",
    source=_SCREENS,
)
def at_two_grounds(judged: Judged) -> Iterator[Found]:
    """A screen whose ends are at different ground points."""
    for check in screen_checks(judged.netlist):
        grounds = sorted({name for end in check.ends for name in end.grounds})
        if len({end.grounds for end in check.grounded}) > 1:
            yield Found(
                f"The screen of {check.group.name} is at {' and at '.join(grounds)}",
                check.group.id,
                tuple(end.pin for end in check.ends),
            )
