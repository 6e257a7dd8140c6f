"""The table: pages by seed, read, scored, added up; and pictures of the worst of them."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import cv2

from accuracy.causes import cause_of
from accuracy.drawn_pages import VECTOR, read_written, words_of
from accuracy.pages import draw_page
from accuracy.scans import Scan, scan_page
from accuracy.score import Score, score_reading
from accuracy.worst import draw_faults
from loomfolio.basics import PxBox
from loomfolio.reading import Reading, read_page

PROCESSES = 2  # and one thread in each: what a small machine has
HEADINGS = (
    "damage", "pages", "nets", "pair F1", "nets right", "silent per 1,000", "doubts per 100",
    "right after answers", "s per page",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Job:
    """One page to be read under one damage."""

    seed: int
    damage: str
    with_boxes: bool
    picture: Path | None = None  # where to draw it if anything went wrong


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a job."""

    job: Job
    score: Score
    seconds: float
    faults: tuple[str, ...]
    causes: tuple[str, ...]  # of each wrong net, what is drawn where it went wrong
    words: tuple[int, int] = (0, 0)  # written in the file, and read exactly at their place


@dataclass(slots=True)
class Total:
    """The sums of one row."""

    pages: int = 0
    true_pairs: int = 0
    read_pairs: int = 0
    common_pairs: int = 0
    nets: int = 0
    wrong: int = 0
    silent: int = 0
    doubts: int = 0
    places: int = 0
    seconds: float = 0.0
    words: int = 0
    words_right: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    causes: dict[str, list[int]] = field(default_factory=dict)  # with the seed of each case

    def add(self, outcome: Outcome) -> None:
        """Add one page."""
        score = outcome.score
        self.pages += 1
        self.true_pairs += score.true_pairs
        self.read_pairs += score.read_pairs
        self.common_pairs += score.common_pairs
        self.nets += score.nets
        self.wrong += len(score.wrong)
        self.silent += score.silent
        self.doubts += score.doubts
        self.places += score.places
        self.seconds += outcome.seconds
        self.words += outcome.words[0]
        self.words_right += outcome.words[1]
        self.faults.update(outcome.faults)
        for cause in outcome.causes:
            self.causes.setdefault(cause, []).append(outcome.job.seed)

    @property
    def pair_f1(self) -> float:
        """Twice the common pairs over all pairs, true and read."""
        both = self.true_pairs + self.read_pairs
        return 2 * self.common_pairs / both if both else 1.0

    def cause_lines(self, most: int = 25) -> list[str]:
        """The commonest causes, each with how often and some seeds."""
        ranked = sorted(self.causes.items(), key=lambda item: (-len(item[1]), item[0]))
        return [
            f"  {len(seeds):4d}  {cause}  (seeds {', '.join(map(str, sorted(set(seeds))[:6]))})"
            for cause, seeds in ranked[:most]
        ]

    def cells(self, damage: str) -> list[str]:
        """The row of the table."""
        nets, pages = max(self.nets, 1), max(self.pages, 1)
        return [
            damage,
            f"{self.pages}",
            f"{self.nets:,}",
            f"{self.pair_f1:.4f}",
            f"{100 * (1 - self.wrong / nets):.2f} %",
            f"{1000 * self.silent / nets:.2f} ({self.silent})",
            f"{100 * self.doubts / max(self.places, 1):.2f}",
            f"{100 * (1 - self.silent / nets):.2f} %",
            f"{self.seconds / pages:.2f}",
        ]


def seeds_of(kind: str, count: int) -> list[int]:
    """Return the seeds of a kind: even ones are for tuning, odd ones are held back."""
    return list(range({"tune": 0, "held": 1}[kind], 2 * count, 2))


def read_scan(scan: Scan) -> Reading:
    """Read a scan with its boxes given."""
    return read_page(scan.pixels, dpi=scan.dpi, bodies=[PxBox(*box) for box in scan.boxes])


def run_job(job: Job) -> Outcome:
    """Draw, spoil, read and score one page."""
    page = draw_page(job.seed)
    vector = job.damage == VECTOR
    scan = scan_page(page, "clean" if vector else job.damage, with_boxes=job.with_boxes)
    start = time.perf_counter()
    reading = read_written(page, scan) if vector else read_scan(scan)
    seconds = time.perf_counter() - start
    score = score_reading(scan, reading)
    if job.picture is not None and (score.wrong or score.loose):
        draw_faults(scan, reading, score, job.picture)
    faults = [f"{w.fault}{' in silence' if w.silent else ''}" for w in score.wrong]
    causes = tuple(f"{w.fault} at {cause_of(scan, reading, w)}" for w in score.wrong)
    faults += ["conductor not in one piece"] * len(score.loose)
    words = words_of(page, scan, reading) if vector else (0, 0)
    return Outcome(job, score, seconds, tuple(faults), causes, words)


def _prepare_worker() -> None:
    cv2.setNumThreads(1)


def run_jobs(jobs: list[Job], *, processes: int = PROCESSES) -> Iterator[Outcome]:
    """Run jobs in order over a few processes."""
    if processes < 2 or len(jobs) < 2:
        yield from map(run_job, jobs)
        return
    with ProcessPoolExecutor(processes, initializer=_prepare_worker) as pool:
        yield from pool.map(run_job, jobs, chunksize=2)


def table(rows: Iterable[list[str]]) -> str:
    """Return rows as a table with headings."""
    cells = [list(HEADINGS), *rows]
    widths = [max(len(row[k]) for row in cells) for k in range(len(HEADINGS))]
    lines = [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) + " |"
        for row in cells
    ]
    lines.insert(1, "|" + "|".join("-" * (width + 2) for width in widths) + "|")
    return "\n".join(lines)


def say(text: str) -> None:
    """Write a line for the person and show it at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()
