"""Libraries that the system lacks: told in one sentence, or installed where nobody can be asked."""

from __future__ import annotations

import io
import subprocess
import sys

import pytest

import system_packages
from system_packages import SetUpError, require_packages, require_qt

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="elsewhere nothing of the system is ever missing"
)


class Terminal(io.StringIO):
    def isatty(self):
        return True


@pytest.fixture
def apt(monkeypatch):
    """A system with apt-get, no terminal, and a root who runs it; the commands that were run."""
    commands = []

    def run(command, **options):
        commands.append(" ".join(command).replace("-o DPkg::Lock::Timeout=300 ", ""))
        return subprocess.CompletedProcess(command, 0, "", "")

    monkeypatch.setattr(system_packages.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(system_packages.subprocess, "run", run)
    monkeypatch.setattr(system_packages.os, "geteuid", lambda: 0)
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    return commands


@pytest.fixture
def loader(monkeypatch):
    """The libraries that the loader of this system does not find; a test puts them in."""
    absent = set()
    monkeypatch.setattr(system_packages, "_can_load", lambda library: library not in absent)
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    return absent


def test_a_system_with_all_libraries_is_left_alone(apt, loader):
    require_qt()

    assert apt == []


def test_root_without_a_terminal_installs_what_is_missing(apt, loader, monkeypatch):
    loader |= {"libEGL.so.1", "libGL.so.1"}
    monkeypatch.setattr(
        system_packages, "_run_apt", lambda command, why: (apt.append(command[-1]), loader.clear())
    )

    require_qt()

    assert apt == ["update", "libgl1"]


def test_apt_is_asked_for_exactly_the_packages(apt):
    require_packages(["libegl1", "libgl1"], "Qt needs them")

    assert apt == [
        "apt-get update",
        "apt-get install -y --no-install-recommends libegl1 libgl1",
    ]


def test_a_person_at_a_terminal_is_told_the_command(apt, loader, monkeypatch):
    loader |= {"libEGL.so.1"}
    monkeypatch.setattr(sys, "stdin", Terminal())

    with pytest.raises(SetUpError) as told:
        require_qt()

    assert str(told.value) == (
        "Qt needs libEGL.so.1 from the system;"
        " run `apt-get install -y --no-install-recommends libegl1` and start again"
    )
    assert apt == []


def test_who_is_not_root_is_told_to_ask_for_it(apt, monkeypatch):
    monkeypatch.setattr(system_packages.os, "geteuid", lambda: 1000)

    with pytest.raises(SetUpError, match="run `sudo apt-get install -y"):
        require_packages(["libegl1"], "Qt needs it")

    assert apt == []


def test_on_another_linux_the_packages_are_named(apt, monkeypatch):
    monkeypatch.setattr(system_packages.shutil, "which", lambda name: None)

    with pytest.raises(SetUpError, match=r"package manager \(.* libegl1 on Debian\)"):
        require_packages(["libegl1"], "Qt needs it")


def test_apt_without_a_network_is_one_sentence(apt, monkeypatch):
    answer = subprocess.CompletedProcess([], 100, "", "W: slow\nE: Failed to fetch the list\n")
    monkeypatch.setattr(system_packages.subprocess, "run", lambda *a, **k: answer)

    with pytest.raises(SetUpError, match=r"apt-get update failed \(E: Failed to fetch the list\)"):
        require_packages(["libegl1"], "Qt needs it")


def test_what_apt_could_not_mend_is_said(apt, loader):
    loader |= {"libEGL.so.1"}

    with pytest.raises(SetUpError, match=r"still does not find libEGL\.so\.1"):
        require_qt()


def test_on_a_screen_its_libraries_are_needed_too(apt, loader, monkeypatch):
    loader |= {"libxcb-cursor.so.0", "libwayland-client.so.0"}
    monkeypatch.setattr(sys, "stdin", Terminal())
    require_qt()

    monkeypatch.setenv("DISPLAY", ":0")
    with pytest.raises(SetUpError, match="no-install-recommends libxcb-cursor0"):
        require_qt()


def test_where_one_of_two_screens_can_be_used_nothing_is_missing(apt, loader, monkeypatch):
    loader |= {"libxcb-cursor.so.0"}
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")

    require_qt()

    assert apt == []


def test_a_platform_that_was_chosen_needs_no_screen(apt, loader, monkeypatch):
    loader |= {"libxcb-cursor.so.0"}
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")

    require_qt()

    assert apt == []


def test_the_real_loader_finds_the_c_library_and_no_invention():
    assert system_packages._can_load("libc.so.6")
    assert not system_packages._can_load("libnobody-made-this.so.1")
