"""What a rule is, what it finds, and how a finding is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from loomfolio.electrics import Bound
from loomfolio.project import Anchor, PinKey

if TYPE_CHECKING:
    from loomfolio.retrofit.rules.judged import Judged

Severity = Literal["stop", "look"]


@dataclass(frozen=True, slots=True)
class Found:
    """One thing that a rule found: a sentence, what it is about, and the pins that lead to its place.

    `about` names the subject by ids, so that the finding keeps its key where something is renamed.
    """

    sentence: str
    about: str
    pins: tuple[PinKey, ...] = ()
    place: Anchor | None = None
    bound: Bound | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule: what it asks for, why, by whom, and how grave it is when it is broken.

    `stop`: must not be built so; `look`: a person has to look. `find` yields what breaks it.
    """

    id: str
    title: str
    reason: str
    source: str
    severity: Severity
    find: Callable[[Judged], Iterable[Found]]


@dataclass(frozen=True, slots=True)
class RuleFinding:
    """A finding of a rule. `accepted` is the reason for which it, or its whole rule, was let stand."""

    rule: str
    title: str
    reason: str
    source: str
    severity: Severity
    sentence: str
    key: str
    place: Anchor | None
    pins: tuple[PinKey, ...]
    in_scope: bool
    accepted: str | None
    bound: Bound | None = None

    @property
    def is_open(self) -> bool:
        """Has nobody let it stand?"""
        return self.accepted is None


def about(*nodes: PinKey | str) -> str:
    """Return a text for pins and parts that stays while their ids stay: what a finding's key is made of."""
    return " ".join(
        node if isinstance(node, str) else f"{node.part}/{node.connector}/{node.half}/{node.pin}"
        for node in nodes
    )


def rule(
    *,
    key: str,
    title: str,
    reason: str,
    source: str,
    severity: Severity = "stop",
) -> Callable[[Callable[[Judged], Iterable[Found]]], Rule]:
    """Make a rule of the function below it."""

    def made(find: Callable[[Judged], Iterable[Found]]) -> Rule:
        return Rule(key, title, reason, source, severity, find)

    return made
