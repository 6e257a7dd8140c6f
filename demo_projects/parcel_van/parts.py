"""What the things in the van are: kinds, how they conduct inside, references, mates, cable groups, conditions.

K41, F31 and A27 are themselves only there with towing, but their leads are in every van (note 1 on sheet
1); the conditions therefore stand at the pins whose leads are missing, and at the parts that are new as a
whole.
"""

from __future__ import annotations

from drawing.things import Thing, fuse, sensor, way
from drawing.wiring import Joining

TOWING = "towing"
WITH, EXCEPT = TOWING, f"!{TOWING}"


def _lamps(name: str, note: str, labels: tuple[str, str, str, str]) -> Thing:
    ways = (way("loads", str(n), "5", label=label) for n, label in enumerate(labels, start=1))
    return Thing(name, "lamp", note, tuple(ways))


CHASSIS, SENSOR_GROUND = "Chassis", "Sensor ground"

THINGS: tuple[Thing, ...] = (
    Thing("G1", "battery", "Battery 12 V 60 Ah"),
    fuse("F1", "150 A"),
    Thing("U1", "module", "DC/DC converter"),
    fuse("F12", "10 A, rear fuse and relay box P2"),
    fuse("F18", "5 A, rear fuse and relay box P2"),
    fuse("F27", "15 A, rear fuse and relay box P2"),
    fuse("F31", "20 A, rear fuse and relay box P2; the fuse itself with towing only"),
    Thing(
        "K41",
        "relay",
        "Trailer supply relay, rear fuse and relay box P2; the relay itself with towing only",
        (
            way("loads", "85", "86", label="coil"),
            way("passes", "30", "87", at_rest="open", label="contact"),
        ),
    ),
    Thing("KL15", "supply", "Hot in run and start"),
    Thing(
        "A1",
        "module",
        "Body controller",
        conditions=(("C2", "", "17", WITH),),
    ),
    Thing(
        "A27",
        "module",
        "Trailer module; the module itself with towing only, the plug C1 in every van",
        conditions=(
            ("C1", "", "8", WITH),
            ("C1", "", "15", WITH),
            ("C1", "", "16", WITH),
            *(("C2", "", str(pin), WITH) for pin in range(1, 8)),
        ),
        connector_conditions=(("C2", WITH),),
    ),
    Thing("A31", "module", "Park assist", conditions=(("C1", "", "4", EXCEPT),)),
    Thing(
        "X14",
        "in-line connector",
        "Front and rear loom; cavity n of A faces 15 - n of B",
        conditions=(("", "A", "9", WITH),),
    ),
    Thing(
        "X70",
        "joint connector",
        "Rear left; bar 1 joins 1 to 6, bar 2 (with towing only) 7 to 12",
        (
            way("joined", "1", "2", "3", "4", "5", "6", label="bar 1"),
            way("joined", "8", "9", "10", "12", label="bar 2", when=WITH),
        ),
        conditions=tuple(("", "", pin, WITH) for pin in ("8", "9", "10")),
    ),
    Thing("X90", "socket", "Trailer socket, 13-pin, ISO 11446-1", when=WITH),
    Thing("S21", "splice", "Rear loom, 180 mm from X14"),
    _lamps("E11", "Rear lamp, left", ("indicator", "tail", "stop", "fog")),
    _lamps("E12", "Rear lamp, right", ("indicator", "tail", "stop", "reverse")),
    Thing("E20", "lamp", "Number plate lamp", (way("loads", "1", "2"),)),
    Thing("S3", "switch", "Stop lamp switch", (way("passes", "1", "2", at_rest="open"),)),
    sensor("B6", "Load space temperature"),
    sensor("B8", "Axle load"),
    sensor("B14", "Drawbar force", WITH),
    Thing("GND1", "ground point", "Rear left", reference=CHASSIS),
    Thing("GND2", "ground point", "Rear right", reference=CHASSIS),
    Thing("GND3", "ground point", "At the battery", reference=CHASSIS),
    Thing(
        "SG1",
        "ground point",
        "Star point of the sensors, not chassis",
        reference=SENSOR_GROUND,
        conditions=(("", "", "3", WITH),),
    ),
)

X14_PAIRS: tuple[tuple[str, str], ...] = tuple((str(n), str(15 - n)) for n in range(1, 11))
"""Cavities of X14 that face each other: half A, half B."""

JOINING = Joining(
    inside=(
        frozenset(f"X70:{n}" for n in range(1, 7)),
        frozenset(f"X70:{n}" for n in (8, 9, 10, 12)),
    ),
    parts_throughout=frozenset({"S21", "GND1", "GND2", "GND3", "SG1"}),
    mated=tuple((f"X14.A:{a}", f"X14.B:{b}") for a, b in X14_PAIRS),
)

NET_NAMES: dict[str, str] = {
    "G1:+": "BATTERY +",
    "F1:2": "SUPPLY 30",
    "F12:2": "SUPPLY 30, F12",
    "F27:2": "SUPPLY 30, F27",
    "F31:2": "SUPPLY 30, F31",
    "K41:87": "TRAILER SWITCHED 12 V",
    "KL15:1": "SUPPLY 15",
    "F18:2": "SUPPLY 15, F18",
    "GND3:1": "GROUND AT BATTERY",
    "A1 C1:3": "L IND",
    "A1 C1:4": "R IND",
    "A1 C1:5": "L TAIL",
    "A1 C1:6": "R TAIL",
    "A1 C1:7": "STOP",
    "A1 C1:8": "REAR FOG",
    "A1 C1:9": "REVERSE",
    "A1 C2:5": "CAN H",
    "A1 C2:6": "CAN L",
    "A1 C2:8": "STOP SWITCH",
    "A1 C2:17": "TRAILER RELAY DRIVE",
    "A1 C2:21": "LOAD SPACE TEMPERATURE",
    "A1 C2:22": "SENSOR GROUND",
    "A1 C2:23": "AXLE LOAD",
    "A27 C1:15": "DRAWBAR FORCE +",
    "A27 C1:16": "DRAWBAR FORCE -",
    "X70:6": "GROUND REAR LEFT",
    "X70:12": "GROUND REAR RIGHT",
    "X90:1": "TRAILER L IND",
    "X90:2": "TRAILER FOG",
    "X90:4": "TRAILER R IND",
    "X90:5": "TRAILER R TAIL",
    "X90:6": "TRAILER STOP",
    "X90:7": "TRAILER L TAIL",
    "X90:8": "TRAILER REVERSE",
}
"""One name for each net, given at one of its pins."""

PAIRS = {
    "CAN": ("twist", (("A1 C2:5", "A27 C1:10"), ("A1 C2:6", "A27 C1:11")), ()),
    "Drawbar force, screened": (
        "screen",
        (("A27 C1:15", "B14:1"), ("A27 C1:16", "B14:2")),
        ("SG1:3",),
    ),
}
"""Leads that belong together: name, kind, pins at the two ends of each, ends of the screen."""
