"""`python3 app [ARGUMENTS]`: set up what is missing, then run loomfolio with these arguments.

`python3 app` alone opens the desk; `python3 app --help` lists the shell commands.
"""

from __future__ import annotations

import os
import sys

from bootstrap import at_the_edge, hand_over, prepared_python
from system_packages import require_qt


def _main(arguments: list[str]) -> int:
    python = prepared_python("program")
    has_screen = any(map(os.environ.get, ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")))
    if arguments[:1] in (["desk"], ["screenshot"]) or (not arguments and has_screen):
        require_qt()
    return hand_over(python, ["-m", "loomfolio", *arguments])


if __name__ == "__main__":
    sys.exit(at_the_edge(_main, sys.argv[1:]))
