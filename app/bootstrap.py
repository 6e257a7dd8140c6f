"""Make `.venv`, fill it from the lock, and hand over to it: how both commands of a checkout start.

Standard library only, since nothing else is there yet. The lock has two parts, `program` and
`tests`; `.venv/PART.installed` is written last and tells what was installed. While anything is
being changed, `.venv/setup.pending` stands there. So a start that finds its parts equal to the
lock has nothing to do, and a set-up that broke off at any moment is seen by the next start and made
anew.

All that is said here goes to standard error: standard output belongs to the program.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from system_packages import SetUpError, require_packages

OLDEST_PYTHON = (3, 11)
ROOT = Path(__file__).resolve().parents[1]
LOCK = ROOT / "requirements.lock"
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
PENDING = VENV / "setup.pending"
LOG = VENV / "setup.log"

# No compiler is needed, and nothing but what the lock names is ever installed.
_PIP_INSTALL = [
    *("-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--no-deps"),
    *("--require-hashes", "--only-binary", ":all:", "--retries", "3", "--requirement"),
]

# What pip writes when it fails, and what that means for a person. The first that fits is taken.
_PIP_FAILURES = {
    "DO NOT MATCH THE HASHES": "a package is not the one that the lock names; do not trust it",
    "CERTIFICATE_VERIFY_FAILED": (
        "the certificate of the package index is not trusted here; install the certificates of"
        " the system (on Debian: apt-get install -y ca-certificates) and start again"
    ),
    "No space left on device": "the disk is full; make 1 GB of room and start again",
    "connection broken by": (
        "the packages cannot be fetched, for the network does not answer; connect this machine"
        " and start again"
    ),
    "No matching distribution found": (
        f"one of the packages is not to be had for Python {sys.version_info[0]}."
        f"{sys.version_info[1]} on this machine; the lock serves Python 3.11 to 3.14 on Windows,"
        " macOS and Linux of 2022 or newer"
    ),
}


def at_the_edge(run: Callable[[list[str]], int], arguments: list[str]) -> int:
    """Run `run`, and turn what stops a set-up into one sentence and an exit status."""
    try:
        return run(arguments)
    except SetUpError as error:
        _say(f"{error}.")
    except OSError as error:
        _say(f"{error.filename or ROOT}: {error.strerror}; mend that and start again.")
    except KeyboardInterrupt:
        _say("called off; the next start sets up what is missing.")
        return 130
    return 2


def prepared_python(*parts: str) -> Path:
    """Return the interpreter of `.venv` once `parts` of the lock are installed in it.

    Raises
    ------
    SetUpError
        With the sentence for the person; a later start begins anew.
    """
    if sys.version_info < OLDEST_PYTHON:
        needed = ".".join(map(str, OLDEST_PYTHON))
        here = sys.version.split()[0]
        raise SetUpError(f"Python {here} is too old; start with {needed} (python{needed} app)")
    lock = _lock_parts()
    if not _are_installed(parts, lock):
        with _alone():
            if not _are_installed(parts, lock):  # else the start that was waited for has done it
                _set_up(parts, lock)
    return PYTHON


def hand_over(python: Path, arguments: Sequence[str]) -> int:
    """Replace this process by `python` with `arguments`; on Windows, wait for it instead."""
    command = [str(python), *arguments]
    if os.name != "nt":
        os.execv(command[0], command)  # does not come back
    return subprocess.call(command)


def _say(sentence: str) -> None:
    sys.stderr.write(f"loomfolio: {sentence}\n")
    sys.stderr.flush()


def _lock_parts() -> dict[str, str]:
    """The requirements of each part of the lock, by the part's name."""
    _, *pieces = LOCK.read_text(encoding="utf-8").split("# --- ")
    named = (piece.partition(" ---\n") for piece in pieces)
    return {name: requirements for name, _, requirements in named}


def _stamp(requirements: str) -> str:
    """What `PART.installed` holds; with the Python below `.venv`, which the system may exchange."""
    return f"# for {os.path.realpath(PYTHON)}\n{requirements}"


def _are_installed(parts: Sequence[str], lock: dict[str, str]) -> bool:
    stamps = {part: VENV / f"{part}.installed" for part in parts}
    return PYTHON.exists() and all(
        stamp.exists() and stamp.read_text(encoding="utf-8") == _stamp(lock.get(part, ""))
        for part, stamp in stamps.items()
    )


@contextmanager
def _alone() -> Iterator[None]:
    """Keep a second start waiting while the first sets up; the system lets go if that one dies.

    Its children hold on, too (`close_fds=False` below): a pip that outlives a killed start never
    writes into the `.venv` of the next.
    """
    with LOCK.open("rb") as held:
        os.set_inheritable(held.fileno(), True)  # noqa: FBT003 - takes no keyword
        if sys.platform == "win32":
            import msvcrt

            held.seek(1 << 30)  # beyond the end: others may go on reading
            msvcrt.locking(held.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl

            fcntl.flock(held, fcntl.LOCK_EX)
        yield


def _set_up(parts: Sequence[str], lock: dict[str, str]) -> None:
    """Add what is missing; in a new `.venv` unless all that the present one holds is whole."""
    held = [stamp.stem for stamp in VENV.glob("*.installed")]
    if not held or PENDING.exists() or not _are_installed(held, lock):
        _make_venv()
    PENDING.touch()
    for part in parts:
        if not _are_installed([part], lock):
            _install(part, lock[part])
    PENDING.unlink()


def _make_venv() -> None:
    """Make an empty `.venv`, in place of one that was made here before."""
    stamps = list(VENV.glob("*.installed"))
    if VENV.exists() and not (stamps or PENDING.exists() or not any(VENV.iterdir())):
        raise SetUpError(f"{VENV} was made by something else; move it away and start again")
    if not all(map(importlib.util.find_spec, ("venv", "ensurepip"))):
        package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
        require_packages([package], "this Python comes without its module venv")
    VENV.mkdir(exist_ok=True)
    PENDING.touch()
    for stamp in stamps:  # before anything that they vouch for
        stamp.unlink()
    for folder in filter(Path.is_dir, VENV.iterdir()):
        folder.unlink() if folder.is_symlink() else shutil.rmtree(folder)
    python = getattr(sys, "_base_executable", sys.executable)  # not the one that was just removed
    command = [python, "-m", "venv", str(VENV)]
    made = subprocess.run(command, capture_output=True, text=True, check=False, close_fds=False)
    if made.returncode:
        LOG.write_text(made.stdout + made.stderr, encoding="utf-8")
        raise SetUpError(f"Python cannot make {VENV}; see what it says in {LOG}")
    _put_on_path()


def _put_on_path() -> None:
    """Let the Python of `.venv` find `app/`, by a relative path: the whole folder may be moved."""
    ask = [str(PYTHON), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"]
    answer = subprocess.run(ask, capture_output=True, text=True, check=True)
    site_packages = Path(answer.stdout.strip())
    relative = os.path.relpath(ROOT / "app", site_packages)
    (site_packages / "loomfolio.pth").write_text(f"{relative}\n", encoding="utf-8")


def _install(part: str, requirements: str) -> None:
    """Install one part of the lock, and write down last that it is whole."""
    count = requirements.count("==")
    _say(f"setting up the {part}, once: {count} packages, to be fetched in a minute or two ...")
    stamp = VENV / f"{part}.requirements"
    stamp.write_text(_stamp(requirements), encoding="utf-8")
    with LOG.open("w", encoding="utf-8") as log:
        status = subprocess.call(
            [str(PYTHON), *_PIP_INSTALL, str(stamp)],
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=subprocess.STDOUT,
            close_fds=False,
        )
    if status:
        raise SetUpError(_why_pip_failed(LOG.read_text(encoding="utf-8", errors="replace")))
    stamp.replace(stamp.with_suffix(".installed"))


def _why_pip_failed(said: str) -> str:
    for sign, meaning in _PIP_FAILURES.items():
        if sign in said:
            return f"{meaning} (what pip says is in {LOG})"
    return f"the packages cannot be installed; see what pip says in {LOG}"
