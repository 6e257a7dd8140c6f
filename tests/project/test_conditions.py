"""Conditions against Python's own booleans, and the sentences for those that cannot be read."""

from __future__ import annotations

import itertools
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loomfolio.basics import EditError
from loomfolio.project import ALWAYS, Fit, Option, evaluate, option_names, parse

NAMES = ("towing", "airsusp", "low_roof", "x4")
FIT = Fit(id="fit-1", name="with towing", options_with=("towing",), options_without=("airsusp",))

# The same expression twice: as a condition, and as Python.
leaves = st.sampled_from(NAMES).map(lambda name: (name, name))


def combined(children):
    both = st.tuples(children, children)
    return st.one_of(
        both.map(lambda ab: (f"({ab[0][0]} & {ab[1][0]})", f"({ab[0][1]} and {ab[1][1]})")),
        both.map(lambda ab: (f"({ab[0][0]}|{ab[1][0]})", f"({ab[0][1]} or {ab[1][1]})")),
        children.map(lambda a: (f"!{a[0]}", f"(not {a[1]})")),
        children.map(lambda a: (f"( {a[0]} )", a[1])),
    )


expressions = st.recursive(leaves, combined, max_leaves=12)


def fit_of(state: dict[str, bool | None]) -> Fit:
    return Fit(
        id="fit-1",
        name="drawn",
        options_with=tuple(name for name, value in state.items() if value is True),
        options_without=tuple(name for name, value in state.items() if value is False),
    )


states = st.fixed_dictionaries({name: st.booleans() for name in NAMES})
open_states = st.fixed_dictionaries({name: st.sampled_from([True, False, None]) for name in NAMES})


@given(expressions, states)
def test_where_every_option_is_known_a_condition_is_what_python_says(expression, state):
    condition, python = expression
    assume(len(condition) <= 500)
    assert evaluate(condition, fit_of(state)) is eval(python, {}, dict(state))


@given(expressions, open_states)
def test_a_value_that_is_found_holds_however_the_open_options_turn_out(expression, state):
    condition, python = expression
    value = evaluate(condition, fit_of(state))
    open_names = [name for name, known in state.items() if known is None]
    if value is not None:
        for turn in itertools.product([True, False], repeat=len(open_names)):
            full = {**state, **dict(zip(open_names, turn, strict=True))}
            assert eval(python, {}, full) is value


@given(expressions, open_states)
def test_knowing_more_never_changes_a_value_that_was_found(expression, state):
    value = evaluate(expression[0], fit_of(state))
    for name, known in state.items():
        if known is None and value is not None:
            for turn in (True, False):
                assert evaluate(expression[0], fit_of({**state, name: turn})) is value


@given(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4), open_states)
def test_and_binds_tighter_than_or_as_in_python(names, state):
    a, b, c = (names * 3)[:3]
    flat, bracketed = f"{a} | {b} & !{c}", f"{a} | ({b} & (!{c}))"
    assert evaluate(flat, fit_of(state)) is evaluate(bracketed, fit_of(state))


@given(st.text(max_size=30))
def test_any_text_is_either_read_or_refused_in_one_sentence(text: str):
    sentence = ""
    try:
        parse(text)
    except EditError as error:
        sentence = str(error)
    assert re.fullmatch(r"(The condition .* cannot be read: .*\.)?", sentence, re.DOTALL)


@given(expressions)
def test_the_options_of_a_condition_are_those_that_stand_in_it(expression):
    condition, _ = expression
    assert option_names(parse(condition)) == {name for name in NAMES if name in condition}


@pytest.mark.parametrize(
    ("condition", "value"),
    [
        ("", True),
        ("  ", True),
        ("towing", True),
        ("TOWING", True),
        ("!towing", False),
        ("airsusp", False),
        ("winch", None),
        ("!winch", None),
        ("towing & winch", None),
        ("airsusp & winch", False),
        ("towing | winch", True),
        ("airsusp | winch", None),
        ("towing & !airsusp", True),
        ("!(towing & !airsusp)", False),
        ('"towing" & !"low roof"', None),
        ("winch | !winch", None),
    ],
)
def test_conditions_under_a_fit_that_leaves_some_open(condition: str, value: bool | None):
    assert evaluate(condition, FIT) is value


def test_without_a_fit_only_what_always_holds_is_known():
    assert evaluate("", None) is True
    assert evaluate("towing", None) is None


def test_an_option_on_both_lists_of_a_fit_is_undetermined():
    torn = Fit(id="fit-1", name="torn", options_with=("towing",), options_without=("Towing",))
    assert evaluate("towing", torn) is None


def test_quoted_names_may_hold_any_sign_and_are_trimmed():
    assert parse('" low roof (H1) & co "') == Option("low roof (H1) & co")
    assert parse("4x4/R-17.b+") == Option("4x4/R-17.b+")
    assert parse("Anhängerkupplung") == Option("Anhängerkupplung")


def test_nothing_always_holds():
    assert parse("") is ALWAYS
    assert option_names(ALWAYS) == frozenset()


@pytest.mark.parametrize(
    ("condition", "what"),
    [
        ("towing airsusp", "'airsusp' cannot follow here; put & or | between"),
        ("towing)", "')' cannot follow here; put & or | between"),
        ("towing &", "it ends where the name of an option is missing; add one"),
        ("!", "it ends where the name of an option is missing; add one"),
        ("& towing", "'&' stands where the name of an option is missing"),
        ("()", "')' stands where the name of an option is missing"),
        ("(towing", "a bracket is not closed; add )"),
        ("towing, airsusp", "',' is no part of a condition; put names with such signs in quotes"),
        ('"towing', "'\"' is no part of a condition; close the quotes"),
        ('""', "there is no name between the quotes; write one"),
        ('towing & "  "', "there is no name between the quotes; write one"),
        ("(" * 60 + "a" + ")" * 60, "it is nested too deeply; write it in a simpler way"),
        ("!" * 400 + "a", "it is nested too deeply; write it in a simpler way"),
    ],
)
def test_a_condition_that_cannot_be_read_says_where(condition: str, what: str):
    with pytest.raises(EditError) as caught:
        parse(condition)
    assert str(caught.value) == f"The condition {condition!r} cannot be read: {what}."


def test_forty_brackets_are_still_read():
    assert parse("(" * 40 + "a" + ")" * 40) == Option("a")
