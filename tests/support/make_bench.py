"""Short ways to a job and its connector map for the bench room: an invented parcel van gets a trailer socket."""

from __future__ import annotations

from collections.abc import Sequence

from loomfolio.basics import MmPoint
from loomfolio.nets import MapRow, Piece
from loomfolio.project import (
    Anchor,
    Job,
    Known,
    LeadColour,
    Part,
    PartKind,
    PinKey,
    Project,
    Sheet,
    Vehicle,
)

JOB = Job(
    title="Trailer socket, 13 pins",
    option="towing",
    vehicle=Vehicle(make="Parcelle", model="E3", year=2021, market="DE", vin="XPA00000000000017"),
    cautions=("High voltage runs along the left sill: orange cable under the floor.",),
)
PRINTED = Known(how="printed", source="sheet-1")
OPEN_JOIN = "On sheet Lighting lines are joined at 120, 40 mm, taken as joined (in doubt)"


class MapMaker:
    """Collects parts and leads by the names that a person writes, and makes rows of them."""

    def __init__(
        self, sheets: Sequence[str] = ("Power supply", "Lighting"), job: Job = JOB
    ) -> None:
        self.job = job
        self.rows: list[MapRow] = []
        self._titles = tuple(sheets)
        self._kinds: dict[str, PartKind] = {}
        self._nets: dict[str, int] = {}

    def kind(self, part: str, kind: PartKind) -> None:
        """Say of which kind a part is."""
        self._kinds[part] = kind

    def pin(self, text: str) -> PinKey:
        """Return the key of `TCU C1:12`, `X14.B:3` or `S12:1`."""
        place, pin = text.rsplit(":", 1)
        name, _, half = place.partition(".")
        name, _, connector = name.partition(" ")
        self._kinds.setdefault(name, "device")
        number = list(self._kinds).index(name) + 1
        return PinKey(part=f"part-{number}", connector=connector, half=half, pin=pin)

    def lead(
        self,
        a: str,
        b: str | None,
        colour: str = "",
        area_mm2: float | None = None,
        *,
        net: str = "",
        is_branch: bool = False,
        opens: Sequence[str] = (),
        known: Known = PRINTED,
        sheets: Sequence[str] = ("sheet-1",),
    ) -> None:
        """Add a lead; it is released where it has two ends and nothing is open."""
        base, _, stripe = colour.partition("/")
        self.rows.append(
            MapRow(
                net=self._nets.setdefault(net or f"{a} {b}", len(self._nets)),
                net_name=net,
                a=self.pin(a),
                b=self.pin(b) if b else None,
                colour=LeadColour(text=colour, base=base, stripe=stripe) if colour else None,
                area_mm2=area_mm2,
                is_branch=is_branch,
                places=(Anchor(sheet="sheet-1", at=MmPoint(10, 10)),),
                sheets=tuple(sheets),
                pieces=tuple(Piece("join", text, is_confirmed=False) for text in opens),
                known=known,
            )
        )

    @property
    def project(self) -> Project:
        """The document that the leads speak of."""
        sheets = (
            Sheet(
                id=f"sheet-{number}",
                title=title,
                file=f"sheets/{number}.png",
                sha256="0" * 64,
                width_px=3508,
                height_px=2480,
                x_dpi=300,
                y_dpi=300,
            )
            for number, title in enumerate(self._titles, 1)
        )
        parts = (
            Part(id=f"part-{number}", name=name, kind=kind)
            for number, (name, kind) in enumerate(self._kinds.items(), 1)
        )
        return Project(serial=412, job=self.job, sheets=tuple(sheets), parts=tuple(parts))


SEEN = Known(how="seen", source="this van")


def make_van_map() -> MapMaker:
    """Return the map of the van's trailer socket: splice, branch, open end, held-back leads."""
    maker = MapMaker()
    for part, kind in (
        ("TCU", "module"),
        ("X80", "socket"),
        ("S12", "splice"),
        ("X14", "in-line connector"),
        ("F31", "fuse"),
        ("K7", "relay"),
        ("G4", "ground point"),
        ("BCM", "module"),
    ):
        maker.kind(part, kind)
    maker.lead("BCM C2:7", "S12:1", "GY/RD", 0.75, net="STOP LAMPS", known=SEEN)
    maker.lead("S12:2", "X14.B:3", "GY/RD", 0.75, net="STOP LAMPS", known=SEEN)
    maker.lead("S12:3", "X80:6", "GY/RD", 1.5, net="STOP LAMPS", sheets=("sheet-1", "sheet-2"))
    maker.lead("S12:4", "TCU C1:12", "GY/RD", 0.5, net="STOP LAMPS", opens=(OPEN_JOIN,))
    maker.lead("TCU C1:1", "X80:1", "YE", 1.5, net="LEFT TURN")
    maker.lead("TCU C1:2", "X80:4", "GN/WH", 1.5, net="RIGHT TURN")
    maker.lead("TCU C1:3", "X80:5", "BN", 1.5, net="TAIL RIGHT")
    maker.lead("TCU C1:4", "X80:7", "BK/BU", 1.5, net="TAIL LEFT", opens=(OPEN_JOIN,))
    maker.lead("TCU C2:1", "X80:2", "BU", 1.5, net="REAR FOG")
    maker.lead("TCU C2:2", "K7:86", "WH/GN", 0.5)
    maker.lead("F31:2", "K7:30", "RD", 4.0, net="TRAILER SUPPLY", is_branch=True)
    maker.lead("F31:2", "X80:9", "RD", 2.5, net="TRAILER SUPPLY", is_branch=True)
    maker.lead("F31:2", "TCU C2:12", "RD", 2.5, net="TRAILER SUPPLY", is_branch=True)
    maker.lead("K7:87", "X80:10", "RD/BU", 2.5, net="TRAILER CHARGE")
    maker.lead("K7:85", "G4:1", "BN", 0.5)
    maker.lead("X80:3", "G4:1", "WH", 2.5, net="GROUND")
    maker.lead("X80:11", "G4:1", "WH/BN", 2.5, net="GROUND")
    maker.lead("TCU C2:8", None, "VT/YE", 0.35, net="TRAILER DETECT")
    maker.lead(
        "TCU C2:9",
        "BCM C2:19",
        "",
        None,
        net="COMFORT BUS H",
        opens=(
            OPEN_JOIN,
            "The mate X14.A to X14.B is not confirmed for 3 to 3",
        ),
    )
    return maker
