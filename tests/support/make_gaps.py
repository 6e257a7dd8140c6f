"""Gaps made by hand, for the sheets and files that show them: the van of `make_bench` lacks a trailer socket."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.basics import MmPoint
from loomfolio.project import Anchor, PinKey, Project
from loomfolio.retrofit import Closing, Gap, GapKind, Mend
from support.make_bench import JOB, MapMaker

GAP_JOB = JOB.model_copy(update={"target_fit": "with towing", "vehicle_fit": "base"})


class GapMaker:
    """Collects gaps by the names that a person writes."""

    def __init__(self, names: MapMaker | None = None) -> None:
        self.names = names or MapMaker(job=GAP_JOB)
        self.gaps: list[Gap] = []

    def gap(
        self,
        kind: GapKind,
        sentence: str,
        *pins: str,
        part: str | None = None,
        at: tuple[str, float, float] | None = None,
        evidence: Sequence[str] = (),
        look: Sequence[str] = (),
        in_scope: bool = True,
        closed: Closing | None = None,
    ) -> Gap:
        """Add a gap; it is sure where nothing is to be looked at."""
        keys = tuple(self.names.pin(pin) for pin in pins)
        gap = Gap(
            kind=kind,
            key=f"{kind}: {' '.join(pins) or part}",
            sentence=sentence,
            pins=keys,
            part=self._part(part, keys),
            place=Anchor(sheet=at[0], at=MmPoint(at[1], at[2])) if at else None,
            evidence=tuple(evidence),
            sureness="to be looked at" if look else "sure",
            decides=tuple(look),
            mend=Mend(),
            in_scope=in_scope,
            closed_by=closed,
        )
        self.gaps.append(gap)
        return gap

    def _part(self, part: str | None, keys: tuple[PinKey, ...]) -> str | None:
        if part is not None:
            return self.names.pin(f"{part}:1").part
        return keys[0].part if keys else None

    @property
    def project(self) -> Project:
        """The document that the gaps speak of."""
        return self.names.project


def make_van_gaps() -> GapMaker:
    """Return the gaps of the van: sure ones, one to be looked at, a closed one, one beyond the job."""
    maker = GapMaker()
    for part, kind in (("TCU", "module"), ("K7", "relay"), ("X80", "socket"), ("BCM", "module")):
        maker.names.kind(part, kind)
    drawn = "Fit with towing: lead TCU C1:1 to X80:1 YE 1.5 mm², sheet Lighting at 56, 42 mm"
    maker.gap(
        "lead missing",
        "The lead from TCU C1:1 to X80:1 is missing",
        "TCU C1:1",
        "X80:1",
        at=("sheet-2", 56.04, 42),
        evidence=(drawn, "Survey of this van, 2026-08-01: TCU C1:1 is empty"),
    )
    maker.gap(
        "lead missing",
        "The lead from TCU C1:2 to X80:4 is missing",
        "TCU C1:2",
        "X80:4",
        at=("sheet-2", 56, 57),
        look=("Nobody has looked at X80:4 yet", "On sheet Lighting lines cross at 192, 72 mm"),
    )
    maker.gap("terminal missing", "TCU C1:1 is empty: it needs a terminal", "TCU C1:1")
    maker.gap(
        "connector missing",
        "The connector TCU C2 is missing",
        *(f"TCU C2:{pin}" for pin in range(1, 8)),
        look=("Nobody has looked whether TCU C2 is there",),
    )
    maker.gap("device missing", "The relay K7 is missing", part="K7", at=("sheet-1", 10, 20))
    maker.gap("needs coding", "The module has to be coded for BCM C2:19", "BCM C2:19")
    maker.gap(
        "other colour",
        "The lead from BCM C2:7 to X80:6 is GY, drawn as GY/RD",
        "BCM C2:7",
        "X80:6",
        closed=Closing("reason", "Rung out: the same lead"),
    )
    maker.gap(
        "extra lead", "The lead from G4:1 to X80:12 is too much", "G4:1", "X80:12", in_scope=False
    )
    return maker
