"""The first start and the later ones, on a small checkout whose packages are made on the spot."""

from __future__ import annotations

import os
import re
import subprocess
import tomllib

import pytest

import bootstrap
from support.checkouts import make_checkout
from support.sources import ROOT
from system_packages import SetUpError


@pytest.fixture(scope="module")
def first_start(tmp_path_factory):
    """A checkout that was started once, with two arguments; and that start."""
    checkout = make_checkout(tmp_path_factory.mktemp("clone") / "loomfolio")
    return checkout, checkout.start("sheet", "two words")


@pytest.fixture
def checkout(first_start, tmp_path):
    """A checkout that was set up, and then moved to another place."""
    return first_start[0].copied_to(tmp_path / "moved here")


def stamp_age(checkout):
    return (checkout.venv / "program.installed").stat().st_mtime_ns


def test_the_first_start_sets_up_and_passes_the_arguments_on(first_start):
    _, start = first_start

    assert start.returncode == 0
    assert start.stdout == "['sheet', 'two words']\n"
    assert "setting up the program" in start.stderr


def test_a_later_start_has_nothing_to_do_even_in_another_place(checkout):
    age = stamp_age(checkout)

    start = checkout.start("--help")

    assert (start.stdout, start.stderr) == ("['--help']\n", "")
    assert stamp_age(checkout) == age


def test_a_changed_lock_is_set_up_anew_and_the_status_is_that_of_the_program(checkout):
    checkout.lock_version("2.0", status=7)

    start = checkout.start()

    assert (start.returncode, start.stdout) == (7, "[]\n")
    assert not list(checkout.venv.rglob("tinyloom-1.0*"))


@pytest.mark.skipif(os.name == "nt", reason="Windows removes no program that runs")
def test_the_python_of_the_venv_may_renew_it(checkout):
    checkout.lock_version("2.0", status=7)
    python = checkout.venv / "bin" / "python"

    start = subprocess.run([python, checkout.root / "app"], env=checkout.environment, check=False)

    assert start.returncode == 7


def test_a_set_up_that_was_killed_is_made_anew(checkout):
    checkout.lock_version("2.0", status=3)
    killed = subprocess.Popen(
        checkout.command, env=checkout.environment, stderr=subprocess.PIPE, text=True
    )
    with killed:
        assert "setting up" in killed.stderr.readline()  # the new .venv stands, and is empty
        killed.kill()

    assert checkout.start().returncode == 3


def test_a_venv_of_another_python_is_made_anew(checkout):
    stamp = checkout.venv / "program.installed"
    stamp.write_text(re.sub(r"^# for .*", "# for /usr/bin/python3.9", stamp.read_text()))

    start = checkout.start()

    assert "setting up" in start.stderr
    assert start.stdout == "[]\n"


def test_of_two_starts_at_once_one_sets_up_and_the_other_waits(checkout):
    checkout.lock_version("2.0", status=0)
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}

    both = [subprocess.Popen(checkout.command, env=checkout.environment, **pipes) for _ in "12"]
    answers = [process.communicate() for process in both]

    assert [out for out, _ in answers] == ["[]\n", "[]\n"]
    assert sorted(err.count("setting up") for _, err in answers) == [0, 1]


def test_a_package_with_another_hash_is_refused_and_never_run(checkout):
    checkout.lock_version("2.0", status=0, digest="0" * 64)

    first, second = checkout.start(), checkout.start()

    for start in (first, second):
        assert (start.returncode, start.stdout) == (2, "")
        assert "not the one that the lock names" in start.stderr
        assert "Traceback" not in start.stderr


def test_without_a_network_one_sentence_says_so(checkout):
    checkout.lock_version("2.0", status=0)
    nobody = "http://127.0.0.1:9/simple"  # the port of the discard service, where nothing listens

    start = checkout.start(PIP_NO_INDEX="0", PIP_FIND_LINKS="", PIP_INDEX_URL=nobody)

    assert (start.returncode, start.stdout) == (2, "")
    assert "the network does not answer; connect this machine" in start.stderr
    assert "Traceback" not in start.stderr


def test_a_venv_made_by_something_else_is_left_alone(tmp_path):
    checkout = make_checkout(tmp_path / "loomfolio")
    precious = checkout.venv / "lib" / "precious.txt"
    precious.parent.mkdir(parents=True)
    precious.write_text("mine")

    start = checkout.start()

    assert start.returncode == 2
    assert "was made by something else; move it away" in start.stderr
    assert precious.read_text() == "mine"


def test_a_python_without_venv_is_told_the_package(monkeypatch, tmp_path):
    asked = []
    monkeypatch.setattr(bootstrap, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(bootstrap, "require_packages", lambda *what: refuse(asked, what))

    with pytest.raises(SetUpError):
        bootstrap._make_venv()

    assert re.fullmatch(r"python3\.\d+-venv", asked[0][0][0])
    assert not (tmp_path / ".venv").exists()


def refuse(asked, what):
    asked.append(what)
    raise SetUpError("no")


def test_an_old_python_is_told_which_one_to_take(monkeypatch):
    monkeypatch.setattr(bootstrap, "OLDEST_PYTHON", (99, 1))

    with pytest.raises(SetUpError, match=r"too old; start with 99\.1 \(python99\.1 app\)"):
        bootstrap.prepared_python("program")


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        pytest.param(SetUpError("Qt is away"), 2, "Qt is away.", id="set-up"),
        pytest.param(PermissionError(13, "Permission denied", "x"), 2, "x: Permission", id="disk"),
        pytest.param(KeyboardInterrupt(), 130, "called off", id="Ctrl-C"),
    ],
)
def test_what_stops_a_set_up_is_one_sentence(capsys, error, status, said):
    def stop(arguments):
        raise error

    assert bootstrap.at_the_edge(stop, []) == status
    assert capsys.readouterr().err.startswith(f"loomfolio: {said}")


# ----------------------------------------------------------------------------------- our own lock

NAME = r"[A-Za-z0-9._-]+"


def normal(name: str) -> str:
    """The name of a package as the index writes it (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def declared(requirements: list[str]) -> set[str]:
    return {normal(re.match(NAME, requirement)[0]) for requirement in requirements}


def locked(part: str) -> set[str]:
    text = bootstrap._lock_parts()[part]
    return {normal(name) for name in re.findall(rf"^({NAME})==", text, re.MULTILINE)}


@pytest.fixture
def project():
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_the_lock_holds_what_the_project_declares(project):
    assert declared(project["dependencies"]) <= locked("program")
    assert declared(project["optional-dependencies"]["test"]) <= locked("program") | locked("tests")


def test_no_package_is_in_both_parts():
    assert locked("program") & locked("tests") == set()


def test_every_locked_package_has_one_version_and_a_hash():
    for text in bootstrap._lock_parts().values():
        for entry in re.split(r"\n(?=\S)", text.strip()):
            assert re.match(rf"{NAME}==[\w.]+( ; .*)? \\\n    --hash=sha256:[0-9a-f]{{64}}", entry)


def test_the_lock_names_no_address():
    assert "//" not in (ROOT / "requirements.lock").read_text(encoding="utf-8")
