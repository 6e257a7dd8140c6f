"""Two fits over each other: lead by lead the same, only in one, or going elsewhere, and where each is drawn; no Qt.

::

    document, readings ─ fit a ─> nets, map ┐
                       ─ fit b ─> nets, map ┴─ compare_fits ─> leads ─ follow ─> drawn runs with their sign

A piece of line that both fits have is drawn as the same, whichever leads run over it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from loomfolio.basics import MmPoint
from loomfolio.desk.derived import Derived
from loomfolio.desk.table.signs import Sign, SignedRun
from loomfolio.desk.workbench import Workbench
from loomfolio.nets import MapRow, Memory, Netlist, connector_map, derive, follow
from loomfolio.project import Fit, Project
from loomfolio.reading import Reading
from loomfolio.retrofit import FitComparison, compare_fits


@dataclass(frozen=True, eq=False)
class TwoFits:
    """Two fits lead by lead, and what of it is drawn."""

    a: Fit
    b: Fit
    leads: FitComparison
    runs: tuple[SignedRun, ...]

    @property
    def counts(self) -> Mapping[Sign, int]:
        """How many leads have each sign."""
        return {
            "same": len(self.leads.same),
            "only a": len(self.leads.only_a),
            "only b": len(self.leads.only_b),
            "elsewhere": len(self.leads.elsewhere),
        }

    @property
    def legend(self) -> tuple[tuple[Sign, str], ...]:
        """What each sign means, and how many leads have it."""
        words: dict[Sign, str] = {
            "same": "the same in both",
            "only a": f"only in {self.a.name}",
            "only b": f"only in {self.b.name}",
            "elsewhere": "goes elsewhere",
        }
        return tuple((sign, f"{self.counts[sign]}  {text}") for sign, text in words.items())


@dataclass
class FitMemory:
    """What earlier comparisons worked out, side by side."""

    a: Memory = field(default_factory=Memory)
    b: Memory = field(default_factory=Memory)


def two_fits(
    project: Project,
    readings: Mapping[str, Reading],
    a: Fit,
    b: Fit,
    memory: FitMemory | None = None,
) -> TwoFits:
    """Return how two fits of a document differ, and where."""
    kept = memory or FitMemory()
    net_a = derive(project, readings, fit=a, memory=kept.a)
    net_b = derive(project, readings, fit=b, memory=kept.b)
    rows_a, rows_b = connector_map(net_a), connector_map(net_b)
    leads = compare_fits(rows_a, rows_b)
    in_a, in_b = _Drawn(net_a, rows_a), _Drawn(net_b, rows_b)
    same = [*in_b.runs((row for _, row in leads.same), "same")]
    shared = {piece for run in same for piece in _pieces(run)}
    others = (
        *in_a.runs(leads.only_a, "only a"),
        *in_b.runs(leads.only_b, "only b"),
        *in_a.runs((lead.a for lead in leads.elsewhere), "elsewhere"),
        *in_b.runs((lead.b for lead in leads.elsewhere), "elsewhere"),
    )
    own = [part for run in others for part in _without(run, shared)]
    return TwoFits(a, b, leads, (*same, *dict.fromkeys(own)))


@dataclass(frozen=True)
class _Drawn:
    """One fit, and where its leads are drawn."""

    netlist: Netlist
    rows: tuple[MapRow, ...]

    def runs(self, leads: Iterable[MapRow], sign: Sign) -> Iterator[SignedRun]:
        """Yield the drawn runs of leads: of the shortest way between the two ends of each."""
        for lead in leads:
            if lead.b is None:
                continue
            ways = follow(self.netlist, lead.a, to=lead.b, rows=self.rows)
            way = min(ways, key=lambda one: len(one.steps), default=None)
            for step in way.steps if way is not None else ():
                for sheet, points in step.lines:
                    yield SignedRun(sheet, points, sign)


_Piece = tuple[str, MmPoint, MmPoint]


def _pieces(run: SignedRun) -> Iterator[_Piece]:
    for start, end in pairwise(run.points):
        yield (run.sheet, *sorted((start, end)))  # type: ignore[misc]  # two points stay two


def _without(run: SignedRun, shared: set[_Piece]) -> Iterator[SignedRun]:
    """What of a run is not drawn for both fits."""
    points: list[MmPoint] = []
    for piece, (start, end) in zip(_pieces(run), pairwise(run.points), strict=True):
        if piece in shared:
            if len(points) > 1:
                yield SignedRun(run.sheet, tuple(points), run.sign)
            points = []
            continue
        points = [*points, end] if points else [start, end]
    if len(points) > 1:
        yield SignedRun(run.sheet, tuple(points), run.sign)


class Comparing:
    """Keeps two fits over each other while the document changes."""

    def __init__(self, workbench: Workbench, show: Callable[[TwoFits | None], None]) -> None:
        self._workbench, self._show = workbench, show
        self._ids: tuple[str, str] | None = None
        self._memory = FitMemory()
        workbench.subscribe(self._on_change)

    @property
    def is_on(self) -> bool:
        """Do two fits lie over each other?"""
        return self._ids is not None

    def lay_over(self, a: Fit, b: Fit) -> None:
        """Lay fit b over fit a."""
        self._ids, self._memory = (a.id, b.id), FitMemory()
        self._workbench.look_at_fit(None)

    def stop(self) -> None:
        """Take them apart again."""
        self._ids = None
        self._show(None)

    def _on_change(self, before: Derived, after: Derived) -> None:
        del before
        if self._ids is None:
            return
        fits = {fit.id: fit for fit in after.project.fits}
        a, b = (fits.get(one) for one in self._ids)
        if a is None or b is None:
            self.stop()
            return
        self._show(two_fits(after.project, after.readings, a, b, self._memory))
