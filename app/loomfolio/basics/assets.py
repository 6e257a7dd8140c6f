"""Where the tables, templates, fonts and demo projects lie: in a checkout or in an installed wheel."""

from __future__ import annotations

from functools import cache
from pathlib import Path


@cache
def _data_root() -> Path:
    """The folder that holds `assets/` and `demo_projects/`."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "_data"
    return installed if installed.is_dir() else package.parents[1]


def asset_path(*parts: str) -> Path:
    """Return the path of a file under `assets/`, such as `asset_path("colours.json")`."""
    return _data_root().joinpath("assets", *parts)


def demo_projects_path() -> Path:
    """Return the folder of the demo projects."""
    return _data_root() / "demo_projects"
