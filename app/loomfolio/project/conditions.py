"""Conditions: boolean expressions over option names, such as `towing & !(airsusp | "low roof")`.

The grammar, loosest first::

    either = both {"|" both}
    both   = plain {"&" plain}
    plain  = "!" plain | "(" either ")" | name
    name   = a bare word (letters, digits, `_ . + / -`) | "anything in quotes"

An empty condition means always. A fit says of some options that they are built in and of some that
they are not; what it does not say is undetermined, and the value of an expression is then worked out in
Kleene's three-valued logic: true or false only where the undetermined options make no difference to
the operators on the way.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from loomfolio.basics import EditError
from loomfolio.project.models import Fit

_DEEPEST = 40
"""Nested brackets and signs; no option note of a diagram comes near, and the parser stays off the stack's end."""

_TOKEN = re.compile(r'\s*(?:(?P<sign>[&|!()])|(?P<word>[\w.+/\-]+)|"(?P<quoted>[^"]*)")')


@dataclass(frozen=True, slots=True)
class Option:
    """The name of an option."""

    name: str


@dataclass(frozen=True, slots=True)
class Not:
    """The opposite."""

    inner: Expression


@dataclass(frozen=True, slots=True)
class Both:
    """All of them."""

    parts: tuple[Expression, ...]


@dataclass(frozen=True, slots=True)
class Either:
    """At least one of them. Of nothing it is false, as `Both` of nothing is true."""

    parts: tuple[Expression, ...]


Expression: TypeAlias = Option | Not | Both | Either

ALWAYS: Expression = Both(())


@lru_cache(maxsize=4096)
def parse(text: str) -> Expression:
    """Return the expression that `text` writes; an empty text is `ALWAYS`.

    Raises
    ------
    EditError
        One plain sentence that says where the text goes wrong.
    """
    if not text.strip():
        return ALWAYS
    reader = _Reader(text)
    expression = reader.either(depth=0)
    if reader.token is not None:
        raise reader.wrong(f"{reader.token.text!r} cannot follow here; put & or | between")
    return expression


def option_names(expression: Expression) -> frozenset[str]:
    """Return the options that an expression speaks of, as written."""
    match expression:
        case Option(name):
            return frozenset({name})
        case Not(inner):
            return option_names(inner)
    return frozenset[str]().union(*(option_names(part) for part in expression.parts))


def evaluate(text: str, fit: Fit | None) -> bool | None:
    """Say whether a condition holds for a fit: `True`, `False`, or `None` where the fit leaves it open.

    An option that the fit lists nowhere, or on both sides, is undetermined; without a fit every option is.
    Option names are compared without regard to capitals.
    """
    built_in = frozenset(name.casefold() for name in fit.options_with) if fit else frozenset()
    left_out = frozenset(name.casefold() for name in fit.options_without) if fit else frozenset()

    def state(name: str) -> bool | None:
        is_in, is_out = name.casefold() in built_in, name.casefold() in left_out
        return None if is_in == is_out else is_in

    return _value(parse(text), state)


def _value(expression: Expression, state: Callable[[str], bool | None]) -> bool | None:
    match expression:
        case Option(name):
            return state(name)
        case Not(inner):
            value = _value(inner, state)
            return None if value is None else not value
    values = [_value(part, state) for part in expression.parts]
    return _decided(values, by=isinstance(expression, Either))


def _decided(values: list[bool | None], *, by: bool) -> bool | None:
    """One deciding value decides; else one open value leaves it open; else it is the other."""
    if by in values:
        return by
    return None if None in values else not by


@dataclass(frozen=True, slots=True)
class _Token:
    text: str
    start: int
    is_name: bool
    name: str = ""


class _Reader:
    """Walks over the tokens of one condition; `token` is the next one, or None at the end."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._tokens = self._split()
        self.token = next(self._tokens, None)

    def _split(self) -> Iterator[_Token]:
        at = 0
        while self._text[at:].strip():
            found = _TOKEN.match(self._text, at)
            if found is None:
                rest = self._text[at:].lstrip()
                hint = (
                    "close the quotes" if rest[0] == '"' else "put names with such signs in quotes"
                )
                raise self.wrong(f"{rest[0]!r} is no part of a condition; {hint}")
            name = found["word"] if found["quoted"] is None else found["quoted"].strip()
            if found["quoted"] is not None and not name:
                raise self.wrong("there is no name between the quotes; write one")
            yield _Token(found[0].strip(), found.start(), found["sign"] is None, name or "")
            at = found.end()

    def wrong(self, what: str) -> EditError:
        return EditError(f"The condition {self._text.strip()!r} cannot be read: {what}.")

    def either(self, depth: int) -> Expression:
        parts = [self._both(depth)]
        while self._take("|"):
            parts.append(self._both(depth))
        return parts[0] if len(parts) == 1 else Either(tuple(parts))

    def _both(self, depth: int) -> Expression:
        parts = [self._plain(depth)]
        while self._take("&"):
            parts.append(self._plain(depth))
        return parts[0] if len(parts) == 1 else Both(tuple(parts))

    def _plain(self, depth: int) -> Expression:
        if depth > _DEEPEST:
            raise self.wrong("it is nested too deeply; write it in a simpler way")
        if self._take("!"):
            return Not(self._plain(depth + 1))
        if self._take("("):
            inside = self.either(depth + 1)
            if not self._take(")"):
                raise self.wrong("a bracket is not closed; add )")
            return inside
        token = self.token
        if token is None:
            raise self.wrong("it ends where the name of an option is missing; add one")
        if not token.is_name:
            raise self.wrong(f"{token.text!r} stands where the name of an option is missing")
        self.token = next(self._tokens, None)
        return Option(token.name)

    def _take(self, sign: str) -> bool:
        if self.token is None or self.token.is_name or self.token.text != sign:
            return False
        self.token = next(self._tokens, None)
        return True
