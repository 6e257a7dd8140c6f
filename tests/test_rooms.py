"""The rules of the house, read from the sources: who may import whom, what a room owes its readers.

The order of the rooms is that of DEVELOPERS.md; imports inside functions and for type checking
count, too.
"""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from pathlib import Path

import networkx as nx
import pytest

from support.sources import (
    PACKAGE,
    ROOT,
    Definition,
    Import,
    code_lines,
    definitions,
    imports_of,
    modules,
    names_bound,
    names_promised,
    room_of,
)

# From the bottom up. Each room may import those before it, but for `electrics`, which knows no
# project; the files beside the rooms stand on top.
ROOMS_UPWARD = [
    *("basics", "project", "sheets", "reading", "nets", "electrics", "retrofit", "bench", "desk")
]
ORDER = [*ROOMS_UPWARD, "cli", "__main__"]
ONLY_BASICS = {"electrics"}
QT = {"PySide6", "shiboken6"}
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "common", "misc"}

# The figures that the design sets for our code.
MAX_FILE_LINES = 600
MAX_FUNCTION_LINES = 50
MAX_CLASS_LINES = 300
MAX_METHODS = 25

SOURCES = modules()
IMPORTS = [one for module in SOURCES.values() for one in imports_of(module, SOURCES)]
OFFERED_MODULES = {f"{PACKAGE}.project.edits"}
"""Modules that are a room's contract as a whole: `edits.put_name(…)` reads better than forty names."""

OWN_IMPORTS = [one for one in IMPORTS if one.imported.startswith(f"{PACKAGE}.")]
ROOMS = [room for room in ROOMS_UPWARD if f"{PACKAGE}.{room}" in SOURCES]


def is_downward(one: Import) -> bool:
    """May the room of the importer import the room of the imported?"""
    above, below = room_of(one.importer), room_of(one.imported)
    if above == below:
        return True
    if above in ONLY_BASICS:
        return below == "basics"
    return above in ORDER and below in ORDER and ORDER.index(below) < ORDER.index(above)


# ------------------------------------------------------------------------------------ the imports


def test_there_are_sources_to_read():
    assert {f"{PACKAGE}.basics", f"{PACKAGE}.__main__"} <= set(SOURCES)
    assert f"{PACKAGE}.basics.errors" in {one.imported for one in OWN_IMPORTS}


def test_every_module_stands_in_a_known_room():
    assert {module.room for module in SOURCES.values()} <= {PACKAGE, *ORDER}


def test_the_package_itself_imports_no_room():
    assert [one for one in OWN_IMPORTS if one.importer == PACKAGE] == []


def test_rooms_import_downward_only():
    upward = [str(one) for one in OWN_IMPORTS if one.importer != PACKAGE and not is_downward(one)]

    assert upward == []


@pytest.mark.parametrize(
    ("importer", "imported", "allowed"),
    [
        pytest.param("nets.follow", "project", True, id="down"),
        pytest.param("nets.follow", "nets.records", True, id="within the room"),
        pytest.param("nets.follow", "bench", False, id="up"),
        pytest.param("electrics.fuses", "basics", True, id="electrics on basics"),
        pytest.param("electrics.fuses", "project", False, id="electrics on the project"),
        pytest.param("basics.errors", "cli", False, id="bottom on top"),
        pytest.param("nets.follow", "attic", False, id="an unknown room"),
    ],
)
def test_the_rule_of_downward_imports(importer, imported, allowed):
    assert is_downward(Import(f"{PACKAGE}.{importer}", f"{PACKAGE}.{imported}", 1)) is allowed


def test_no_module_is_imported_in_a_ring():
    graph = nx.DiGraph((one.importer, one.imported) for one in OWN_IMPORTS)
    rings = [sorted(ring) for ring in nx.strongly_connected_components(graph) if len(ring) > 1]

    assert rings == []
    assert list(nx.selfloop_edges(graph)) == []


def test_another_room_is_entered_by_its_contract():
    """A room's `__init__` says what it offers; its other modules are its own affair."""
    past_the_door = [
        str(one)
        for one in OWN_IMPORTS
        if room_of(one.importer) != room_of(one.imported)
        and one.imported.count(".") > 1
        and one.imported not in OFFERED_MODULES
    ]

    assert past_the_door == []


def test_qt_is_imported_in_the_desk_only():
    outside = [
        str(one)
        for one in IMPORTS
        if one.imported.split(".")[0] in QT and room_of(one.importer) != "desk"
    ]

    assert outside == []


def test_the_desk_is_imported_inside_functions_only():
    """So that the shell commands start without Qt, and work where it is not installed."""
    at_once = [
        module.name
        for module in SOURCES.values()
        if module.room != "desk"
        for node in module.tree.body
        if isinstance(node, ast.Import | ast.ImportFrom) and f"{PACKAGE}.desk" in ast.unparse(node)
    ]

    assert at_once == []


def test_every_import_is_of_a_declared_dependency():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    distributions = {re.split(r"[^\w-]", entry)[0].lower() for entry in project["dependencies"]}
    imported_as = {
        "opencv-python-headless": "cv2",
        "pillow": "PIL",
        "pyside6-essentials": "PySide6",
    }
    declared = {imported_as.get(name, name) for name in distributions}
    declared.add("pydantic_core")  # pydantic's other half: its manual takes error types from there

    foreign = {one.imported.split(".")[0] for one in IMPORTS} - {PACKAGE, *sys.stdlib_module_names}
    assert foreign <= declared


# ---------------------------------------------------------------------------- what a room offers


@pytest.mark.parametrize("room", ROOMS)
def test_the_contract_of_a_room_names_all_that_is_public_in_it(room):
    tree = SOURCES[f"{PACKAGE}.{room}"].tree
    public = {name for name in names_bound(tree) if not name.startswith("_")}

    assert public == set(names_promised(tree) or [])


@pytest.mark.parametrize("room", ROOMS)
def test_the_contract_names_nothing_twice(room):
    promised = names_promised(SOURCES[f"{PACKAGE}.{room}"].tree) or []

    assert len(promised) == len(set(promised))


def test_no_module_has_a_name_that_says_nothing():
    vague = [name for name in SOURCES if VAGUE_NAMES & set(name.split("."))]

    assert vague == []


def test_every_module_says_what_it_is_for():
    silent = [module.name for module in SOURCES.values() if not ast.get_docstring(module.tree)]

    assert silent == []


def test_everything_public_has_a_docstring():
    """But for what Qt calls (`paintEvent`), which Qt describes, and what has an underscore."""
    undescribed = [
        f"{module.name}.{name}"
        for module in SOURCES.values()
        if not module.is_private
        for name, node in definitions(module.tree)
        if not any(step.startswith("_") for step in name.split("."))
        and not (module.room == "desk" and re.fullmatch(r"[a-z]+[A-Z]\w*", node.name))
        and not is_second_half(node)
        and not ast.get_docstring(node)
    ]

    assert undescribed == []


def is_second_half(node: Definition) -> bool:
    """Is the definition the setter of a property, or one of several signatures?"""
    names = [ast.unparse(decorator) for decorator in node.decorator_list]
    return any(name.endswith((".setter", "overload")) for name in names)


# ------------------------------------------------------------------------------------- the figures


def test_no_file_is_longer_than_one_reads_at_once():
    lengths = {name: len(source(module.path).splitlines()) for name, module in SOURCES.items()}

    assert {name: n for name, n in lengths.items() if n > MAX_FILE_LINES} == {}


def test_a_function_fits_on_a_screen():
    lengths = {
        f"{module.name}.{name}": code_lines(node, source(module.path))
        for module in SOURCES.values()
        for name, node in definitions(module.tree)
        if not isinstance(node, ast.ClassDef)
    }

    assert {name: n for name, n in lengths.items() if n > MAX_FUNCTION_LINES} == {}


def test_a_class_has_one_purpose():
    classes = {
        f"{module.name}.{name}": node
        for module in SOURCES.values()
        for name, node in definitions(module.tree)
        if isinstance(node, ast.ClassDef)
    }
    lengths = {name: node.end_lineno - node.lineno + 1 for name, node in classes.items()}
    methods = {
        name: sum(isinstance(inner, ast.FunctionDef) for inner in node.body)
        for name, node in classes.items()
    }

    assert {name: n for name, n in lengths.items() if n > MAX_CLASS_LINES} == {}
    assert {name: n for name, n in methods.items() if n > MAX_METHODS} == {}


def source(path: Path) -> str:
    """Return the text of a source file."""
    return path.read_text(encoding="utf-8")


def test_no_test_waits_for_time_to_pass():
    """A test waits for a signal or a condition: a wait is too long here and too short there."""
    waits = {"sleep", "qSleep", "qWait", "qtbot.wait"}
    found = [
        f"{path.relative_to(ROOT)}, line {node.lineno}: {called}"
        for path in sorted((ROOT / "tests").rglob("*.py"))
        for node in ast.walk(ast.parse(source(path)))
        if isinstance(node, ast.Call)
        for called in [ast.unparse(node.func)]
        if called in waits or called.rpartition(".")[2] in waits
    ]

    assert found == []


# -------------------------------------------------------------------------------- this test itself


@pytest.fixture
def small_house(tmp_path):
    """A package with two rooms, of which `nets` promises a function of the same name as a module."""
    rooms = tmp_path / PACKAGE
    for folder in (rooms, rooms / "nets", rooms / "desk"):
        folder.mkdir()
        (folder / "__init__.py").touch()
    (rooms / "nets" / "records.py").touch()
    (rooms / "nets" / "follow.py").touch()
    (rooms / "nets" / "__init__.py").write_text("__all__ = ['follow']\n")
    (rooms / "desk" / "strip.py").write_text(
        "from loomfolio.nets import follow, records\n"
        "if TYPE_CHECKING:\n    import loomfolio.bench\n"
        "def show():\n    from loomfolio.desk import window\n"
    )
    return modules(tmp_path)


def test_imports_are_found_wherever_they_stand(small_house):
    found = [one.imported for one in imports_of(small_house[f"{PACKAGE}.desk.strip"], small_house)]

    assert sorted(found) == [
        "loomfolio.bench",
        "loomfolio.desk",
        "loomfolio.nets",
        "loomfolio.nets.records",
    ]


def test_code_lines_leave_out_docstring_comment_and_blank_line():
    text = 'def f():\n    """Say\n    much."""\n\n    # why\n    return 1\n'

    assert code_lines(ast.parse(text).body[0], text) == 2
