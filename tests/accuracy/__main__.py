"""`python3 tests/accuracy`: how surely the reader reads pages that it was never tuned to.

Even seeds are for tuning, odd seeds are held back: look at the pictures of even ones only.

    --pages N         how many pages a row (default 20)
    --damage NAME     one row only; may be given several times; `vector` writes the pages as PDF
    --seeds WHICH     tune or held (default held)
    --seed N          these seeds instead; may be given several times
    --no-boxes        the reader has to find the bodies itself
    --worst DIR       draw every page on which something went wrong
    --faults          list each page with what went wrong on it
    --causes          list what is drawn where nets went wrong, the commonest first
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[0:1] = [str(ROOT / "app"), str(ROOT / "tests")]


def _options(arguments: Sequence[str], damages: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python3 tests/accuracy",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--pages", type=int, default=20)
    parser.add_argument("--damage", action="append", choices=damages)
    parser.add_argument("--seeds", choices=("tune", "held"), default="held")
    parser.add_argument("--seed", type=int, action="append")
    parser.add_argument("--no-boxes", action="store_true")
    parser.add_argument("--worst", type=Path)
    parser.add_argument("--faults", action="store_true")
    parser.add_argument("--causes", action="store_true")
    return parser.parse_args(arguments)


def _report(arguments: Sequence[str]) -> int:
    from accuracy.damage import DAMAGES
    from accuracy.drawn_pages import VECTOR
    from accuracy.report import Job, Total, run_jobs, say, seeds_of, table

    rows_known = [*DAMAGES, VECTOR]
    options = _options(arguments, rows_known)
    seeds = options.seed or seeds_of(options.seeds, options.pages)
    rows = []
    for damage in options.damage or rows_known:
        total = Total()
        jobs = [Job(seed, damage, not options.no_boxes, options.worst) for seed in seeds]
        for outcome in run_jobs(jobs):
            total.add(outcome)
            if options.faults and outcome.faults:
                counted = Counter(outcome.faults).most_common()
                listed = ", ".join(f"{n} {fault}" for fault, n in counted)
                say(f"{damage} {outcome.job.seed}: {listed}")
        rows.append(total.cells(damage))
        faults = ", ".join(f"{n} {fault}" for fault, n in total.faults.most_common())
        say(f"{damage}: {faults or 'no net wrong'}")
        if total.words:
            say(f"{damage}: {total.words_right} of {total.words} written words read exactly")
        if options.causes:
            say("\n".join(total.cause_lines()))
    say("")
    say(table(rows))
    return 0


def _main(arguments: list[str]) -> int:
    from bootstrap import hand_over, prepared_python

    python = prepared_python("program", "tests")
    return hand_over(python, [str(ROOT / "tests" / "accuracy"), *arguments])


if __name__ == "__main__":
    if Path(sys.prefix).resolve() == (ROOT / ".venv").resolve():
        sys.exit(_report(sys.argv[1:]))
    from bootstrap import at_the_edge

    sys.exit(at_the_edge(_main, sys.argv[1:]))
