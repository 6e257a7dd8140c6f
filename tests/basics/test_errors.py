"""The errors: one tree, one sentence each, made from the data that they carry."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

from loomfolio import basics
from loomfolio.basics import (
    DocumentError,
    FileUnreadableError,
    LimitExceededError,
    LoomfolioError,
    NameNotFoundError,
    PasswordNeededError,
    ProjectBusyError,
    WorkCancelledError,
    errors,
)

_INDENT = 4


def drawn_tree(docstring: str) -> dict[str, str | None]:
    """Return the tree that a docstring draws: the name of each class with that of its parent."""
    parents: dict[str, str | None] = {}
    path: list[str] = []
    for line in docstring.splitlines():
        entry = re.fullmatch(r"    ([│├└─ ]*)(\w+Error)", line)
        if entry:
            depth = len(entry[1]) // _INDENT
            path = [*path[:depth], entry[2]]
            parents[entry[2]] = path[depth - 1] if depth else None
    return parents


def real_tree() -> dict[str, str | None]:
    """Return the classes of the module, each with the class that it is derived from."""
    classes = [kind for _, kind in inspect.getmembers(errors, inspect.isclass)]
    return {
        kind.__name__: None if kind is LoomfolioError else kind.__bases__[0].__name__
        for kind in classes
        if issubclass(kind, LoomfolioError)
    }


def test_the_tree_in_the_docstring_is_the_tree_of_the_classes():
    assert drawn_tree(errors.__doc__ or "") == real_tree()


def test_a_drawn_tree_is_read_branch_by_branch():
    drawing = "    AError\n    ├── BError\n    │   └── CError\n    └── DError"

    assert drawn_tree(drawing) == {
        "AError": None,
        "BError": "AError",
        "CError": "BError",
        "DError": "AError",
    }


def test_every_error_is_in_the_contract_of_the_room():
    assert set(real_tree()) <= set(basics.__all__)


@pytest.mark.parametrize("kind", [FileUnreadableError, LimitExceededError, PasswordNeededError])
def test_a_file_error_names_the_file_what_is_wrong_and_what_to_do(kind):
    error = kind(Path("scans/page 3.png"), "the file is cut off", "scan the page again")

    assert str(error) == "page 3.png: the file is cut off; scan the page again."
    assert (error.path, error.what) == (Path("scans/page 3.png"), "the file is cut off")


@pytest.mark.parametrize("kind", [DocumentError, ProjectBusyError])
def test_a_document_error_names_the_whole_path(kind):
    error = kind(Path("jobs/van"), "the folder holds no project", "choose another folder")

    assert str(error) == f"{Path('jobs/van')}: the folder holds no project; choose another folder."


def test_a_misspelt_name_is_answered_with_the_nearest():
    error = NameNotFoundError("part", "trailor socket", ["tail lamp", "trailer socket", "fuse box"])

    assert error.nearest[0] == "trailer socket"
    assert "no part called 'trailor socket'; did you mean trailer socket" in str(error)


def test_a_name_like_no_other_is_answered_without_an_offer():
    error = NameNotFoundError("connector", "trailer", ["X12"])

    assert error.nearest == ()
    assert str(error) == "There is no connector called 'trailer'; check the spelling."


def test_a_name_is_missed_among_none():
    assert NameNotFoundError("part", "K1", []).nearest == ()


def test_the_offer_does_not_depend_on_the_order_of_the_known_names():
    known = ["K12", "K21", "K1", "K2"]

    assert (
        NameNotFoundError("part", "K", known).nearest
        == NameNotFoundError("part", "K", reversed(known)).nearest
    )


def test_called_off_work_says_that_nothing_changed():
    assert "nothing was changed" in str(WorkCancelledError())
