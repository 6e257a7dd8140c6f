"""The sources as data: modules, what they import and what they define; for tests of house rules."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = "loomfolio"

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass(frozen=True)
class Import:
    """One name of a module that another module imports, anywhere in its text."""

    importer: str
    imported: str
    line: int

    def __str__(self) -> str:
        return f"{self.importer}, line {self.line}: imports {self.imported}"


@dataclass(frozen=True)
class Module:
    """One source file by its dotted name, with its syntax tree."""

    name: str
    path: Path
    tree: ast.Module

    @property
    def room(self) -> str:
        """The room that the module stands in; the package itself for the files beside the rooms."""
        return room_of(self.name)

    @property
    def is_private(self) -> bool:
        """Does the module's own name, or that of a folder above it, begin with an underscore?"""
        return any(step.startswith("_") and step != "__main__" for step in self.name.split("."))


def room_of(name: str) -> str:
    """Return the room of a dotted name, such as `nets` for `loomfolio.nets.records`."""
    steps = name.split(".")
    return steps[1] if len(steps) > 1 else PACKAGE


@cache
def modules(source_root: Path = ROOT / "app") -> dict[str, Module]:
    """Return every module of the package below `source_root`, by its dotted name."""
    found = {}
    for path in sorted((source_root / PACKAGE).rglob("*.py")):
        steps = path.relative_to(source_root).with_suffix("").parts
        name = ".".join(steps[:-1] if steps[-1] == "__init__" else steps)
        found[name] = Module(name, path, ast.parse(path.read_text(encoding="utf-8"), str(path)))
    return found


def imports_of(module: Module, known: dict[str, Module]) -> Iterator[Import]:
    """Yield what a module imports: in functions and for type checking, too.

    `from a import b` is an import of the module `a.b` where there is one, else of the module `a`;
    of the module `a`, too, where that promises a `b` of its own, such as a function in `a.b`.
    """
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(module.name, alias.name, node.lineno)
        elif isinstance(node, ast.ImportFrom):
            for alias in node.names:
                outer, inner = str(node.module), f"{node.module}.{alias.name}"
                promised = outer in known and alias.name in (
                    names_promised(known[outer].tree) or ()
                )
                name = inner if inner in known and not promised else outer
                yield Import(module.name, name, node.lineno)


def names_bound(tree: ast.Module) -> set[str]:
    """Return the names that a module's top level binds by import, definition or assignment."""
    names: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.Import | ast.ImportFrom):
            if getattr(node, "module", None) != "__future__":
                names |= {alias.asname or alias.name for alias in node.names}
        elif isinstance(node, Definition):
            names.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names |= {target.id for target in targets if isinstance(target, ast.Name)}
    return names


def names_promised(tree: ast.Module) -> list[str] | None:
    """Return the names in a module's `__all__`; None where it has none."""
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return list(ast.literal_eval(node.value))
    return None


def definitions(tree: ast.Module) -> Iterator[tuple[str, Definition]]:
    """Yield functions, classes and methods by their dotted names; none inside a function."""

    def walk(body: list[ast.stmt], prefix: str) -> Iterator[tuple[str, Definition]]:
        for node in body:
            if isinstance(node, Definition):
                yield prefix + node.name, node
                if isinstance(node, ast.ClassDef):
                    yield from walk(node.body, f"{prefix}{node.name}.")

    return walk(tree.body, "")


def code_lines(node: Definition, text: str) -> int:
    """Count the lines of a definition that hold code: no docstring, blank line or comment."""
    described = {
        line
        for inner in ast.walk(node)
        if isinstance(inner, ast.Expr) and isinstance(inner.value, ast.Constant)
        for line in lines_of(inner)
    }
    lines = text.splitlines()
    held = [lines[number - 1].strip() for number in lines_of(node) if number not in described]
    return sum(1 for line in held if line and not line.startswith("#"))


def lines_of(node: ast.stmt) -> range:
    """Return the numbers of the lines that a statement takes."""
    return range(node.lineno, (node.end_lineno or node.lineno) + 1)
