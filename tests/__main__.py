"""`python3 tests [PYTEST ARGUMENTS]`: set up what is missing, then test without a screen."""

from __future__ import annotations

import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "app"))

from bootstrap import at_the_edge, hand_over, prepared_python  # noqa: E402 - found by the line above
from system_packages import require_qt  # noqa: E402 - likewise


def _main(arguments: list[str]) -> int:
    python = prepared_python("program", "tests")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    require_qt()
    os.chdir(ROOT)
    return hand_over(python, ["-m", "pytest", *arguments])


if __name__ == "__main__":
    sys.exit(at_the_edge(_main, sys.argv[1:]))
