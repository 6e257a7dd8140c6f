"""Where the data lies: beside the sources in a checkout, inside the package once installed."""

from __future__ import annotations

import importlib.util
import shutil
from pathlib import Path

import pytest

import loomfolio
from loomfolio.basics import asset_path, assets, demo_projects_path

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def installed_assets(tmp_path):
    """The module as it stands in an installed wheel: with `_data` in the package."""
    package = tmp_path / "site-packages" / "loomfolio"
    (package / "basics").mkdir(parents=True)
    (package / "_data" / "assets").mkdir(parents=True)
    copy = Path(shutil.copy(assets.__file__, package / "basics" / "assets.py"))
    spec = importlib.util.spec_from_file_location("installed_assets", copy)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_in_a_checkout_assets_lie_at_the_top():
    assert Path(loomfolio.__file__).is_relative_to(ROOT / "app")
    assert asset_path() == ROOT / "assets"
    assert asset_path("symbols", "fuse.svg") == ROOT / "assets" / "symbols" / "fuse.svg"


def test_in_a_checkout_demo_projects_lie_at_the_top():
    assert demo_projects_path() == ROOT / "demo_projects"


def test_both_folders_are_there():
    assert asset_path().is_dir()
    assert demo_projects_path().is_dir()


def test_installed_the_data_lies_in_the_package(installed_assets, tmp_path):
    data = tmp_path / "site-packages" / "loomfolio" / "_data"

    assert installed_assets.asset_path("a.csv") == data / "assets" / "a.csv"
    assert installed_assets.demo_projects_path() == data / "demo_projects"
