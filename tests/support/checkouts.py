"""A small checkout with our own start-up files and a lock of wheels made on the spot."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

from support.sources import ROOT

# What the small program does: print its arguments, and end with the status of the locked package.
SMALL_PROGRAM = "import sys, tinyloom\nprint(sys.argv[1:])\nsys.exit(tinyloom.STATUS)\n"


@dataclass(frozen=True)
class Checkout:
    """A folder as `git clone` leaves it, with one package in its lock and no network."""

    root: Path

    @property
    def venv(self) -> Path:
        """Where the set-up goes."""
        return self.root / ".venv"

    @property
    def lock(self) -> Path:
        """The lock, with the parts `program` and `tests`."""
        return self.root / "requirements.lock"

    @property
    def command(self) -> list[str]:
        """How the checkout is started."""
        return [sys.executable, str(self.root / "app")]

    @property
    def environment(self) -> dict[str, str]:
        """The environment in which pip sees the wheels made here and nothing else."""
        kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT") if name in os.environ}
        return {
            **kept,
            "PIP_CONFIG_FILE": os.devnull,
            "PIP_NO_INDEX": "1",
            "PIP_FIND_LINKS": (self.root / "wheels").as_uri(),
        }

    def start(self, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        """Run `python3 app ARGUMENTS` to its end."""
        return subprocess.run(
            [*self.command, *arguments],
            env={**self.environment, **environment},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )

    def copied_to(self, folder: Path) -> Checkout:
        """Return the same checkout in another folder, with its `.venv` as it is."""
        return Checkout(Path(shutil.copytree(self.root, folder, symlinks=True)))

    def lock_version(self, version: str, *, status: int, digest: str | None = None) -> None:
        """Put this version of the package into the lock; `digest` instead of its true hash."""
        wheel = make_wheel(self.root / "wheels", version, f"STATUS = {status}\n")
        digest = digest or hashlib.sha256(wheel.read_bytes()).hexdigest()
        requirement = f"tinyloom=={version} \\\n    --hash=sha256:{digest}\n"
        self.lock.write_text(f"# A lock.\n\n# --- program ---\n{requirement}\n# --- tests ---\n")


def make_checkout(root: Path) -> Checkout:
    """Make a checkout of the small program at `root`, with version 1 of its package locked."""
    (root / "app" / "loomfolio").mkdir(parents=True)
    (root / "wheels").mkdir()
    for name in ("__main__.py", "bootstrap.py", "system_packages.py"):
        shutil.copy(ROOT / "app" / name, root / "app" / name)
    (root / "app" / "loomfolio" / "__init__.py").touch()
    (root / "app" / "loomfolio" / "__main__.py").write_text(SMALL_PROGRAM)
    checkout = Checkout(root)
    checkout.lock_version("1.0", status=0)
    return checkout


def make_wheel(folder: Path, version: str, source: str) -> Path:
    """Write a wheel that holds one module, `tinyloom`, after the wheel format 1.0 (PEP 427)."""
    info = f"tinyloom-{version}.dist-info"
    members = {
        "tinyloom.py": source,
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: tinyloom\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        f"{info}/RECORD": f"tinyloom.py,,\n{info}/METADATA,,\n{info}/WHEEL,,\n{info}/RECORD,,\n",
    }
    path = folder / f"tinyloom-{version}-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as wheel:
        for name, text in members.items():
            wheel.writestr(name, text)
    return path
