"""The core and its shell command, in a process in which Qt cannot be imported."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from PIL import Image, ImageDraw

from support.sources import ROOT, modules, room_of

KEEP_QT_OUT = """\
import importlib, runpy, sys

class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6"}:
            raise ImportError(f"{name} is kept out of this process")

sys.meta_path.insert(0, NoQt())
"""
RUN_LOOMFOLIO = "runpy.run_module('loomfolio', run_name='__main__', alter_sys=True)"


def run_without_qt(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run Python code with Qt kept out, warnings being errors."""
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", KEEP_QT_OUT + code, *arguments],
        env={**os.environ, "PYTHONPATH": str(ROOT / "app")},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def page_of_one_line(tmp_path):
    """A page of about 76 mm x 51 mm at 300 dpi with one line 0.25 mm wide across it."""
    page = Image.new("L", (900, 600), 255)
    ImageDraw.Draw(page).line([(150, 300), (750, 300)], fill=0, width=3)
    path = tmp_path / "page.png"
    page.save(path, dpi=(300, 300))
    return path


def test_qt_is_really_kept_out():
    assert "kept out of this process" in run_without_qt("import PySide6.QtCore").stderr


def test_every_module_outside_the_desk_can_be_imported():
    names = [name for name in modules() if room_of(name) != "desk" and "__main__" not in name]

    done = run_without_qt("for name in sys.argv[1:]: importlib.import_module(name)", *names)

    assert (done.returncode, done.stderr) == (0, "")


def test_the_shell_command_gives_help():
    done = run_without_qt(RUN_LOOMFOLIO, "--help")

    assert (done.returncode, done.stderr) == (0, "")
    assert "conductors" in done.stdout


def test_the_shell_command_reads_a_page(page_of_one_line):
    done = run_without_qt(RUN_LOOMFOLIO, "conductors", str(page_of_one_line), "--json", "-")

    assert (done.returncode, done.stderr) == (0, "")
    reading = json.loads(done.stdout)
    assert reading["schema"] == "loomfolio.conductors/1"
    assert reading["page"] == {"width_px": 900, "height_px": 600, "dpi": 300}
    assert len(reading["conductors"]) == 1
