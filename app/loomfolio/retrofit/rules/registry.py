"""All rules, found by themselves: every rule of every module in `subjects/`, in the order of their ids."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from loomfolio.retrofit.rules import subjects
from loomfolio.retrofit.rules.records import Rule


@cache
def all_rules() -> tuple[Rule, ...]:
    """Return the rules. A new one is a function in a module of `subjects/`, and nothing else.

    Raises
    ------
    ValueError
        Two rules share an id.
    """
    found: dict[str, Rule] = {}
    for module in pkgutil.iter_modules(subjects.__path__, f"{subjects.__name__}."):
        for value in vars(importlib.import_module(module.name)).values():
            if isinstance(value, Rule) and found.setdefault(value.id, value) is not value:
                raise ValueError(f"two rules are called {value.id}")
    return tuple(found[id_] for id_ in sorted(found))
