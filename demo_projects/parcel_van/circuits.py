"""What is known of the van's circuits. All values are invented; lamps draw what 21 W and 5 W draw at 12 V."""

from __future__ import annotations

from drawing.circuits import Circuits, State

from loomfolio.project import Drive

_INDICATOR_A, _TAIL_A = 1.75, 0.42
_OUTPUTS = ("A1 C1:3", "A1 C1:4", "A1 C1:5", "A1 C1:6", "A1 C1:7", "A1 C1:8", "A1 C1:9")
_TRAILER_OUTPUTS = tuple(f"A27 C2:{n}" for n in range(1, 8))
_ALL_OFF: dict[str, Drive] = dict.fromkeys((*_OUTPUTS, *_TRAILER_OUTPUTS, "A1 C2:17"), "off")
_IGNITION: dict[str, Drive] = {**_ALL_OFF, "A1 C1:5": "plus", "A1 C1:6": "plus"}

CIRCUITS = Circuits(
    classes=(("A1 C2:5", "bus", None, 500), ("A1 C2:6", "bus", None, 500)),
    supplies=(("G1:+", "G1:-", 12.6), ("KL15:1", "", 12.6)),
    loads=(
        ("A1 C1:1", "A1 C2:1", 1.5, None),
        ("A31 C1:1", "A31 C1:2", 0.5, None),
        ("A27 C1:1", "A27 C1:12", 10.0, 15.0),
        ("A27 C1:2", "A27 C1:12", 0.1, None),
        *((f"A27 C1:{n}", "A27 C1:12", 0.01, None) for n in range(3, 10)),
        *(
            (f"X90:{pin}", "X90:3", ampere, None)
            for pin, ampere in (
                ("1", _INDICATOR_A),
                ("2", _INDICATOR_A),
                ("4", _INDICATOR_A),
                ("5", _TAIL_A),
                ("6", 2 * _INDICATOR_A),
                ("7", _TAIL_A),
                ("8", _INDICATOR_A),
            )
        ),
        ("X90:9", "X90:13", 12.0, None),
        ("X90:10", "X90:11", 12.0, None),
        *(
            (f"{lamp}:{pin}", f"{lamp}:5", ampere, None)
            for lamp in ("E11", "E12")
            for pin, ampere in (
                ("1", _INDICATOR_A),
                ("2", _TAIL_A),
                ("3", _INDICATOR_A),
                ("4", _INDICATOR_A),
            )
        ),
        ("E20:1", "E20:2", _TAIL_A, None),
    ),
    fuses={
        "F1": (150, "other", 32),
        "F12": (10, "C", 32),
        "F18": (5, "C", 32),
        "F27": (15, "C", 32),
        "F31": (20, "C", 32),
    },
    ohms=(
        ("K41:85", "K41:86", 85),
        ("A1 C2:5", "A1 C2:6", 120),
        ("A27 C1:10", "A27 C1:11", 120),
    ),
    relays={"K41": "resistor"},
    states=(
        State("parked", ("G1:+",), _ALL_OFF, note="Locked, all asleep."),
        State("ignition on", ("G1:+", "KL15:1"), _IGNITION, note="Tail lamps on, no trailer."),
        State(
            "towing",
            ("G1:+", "KL15:1"),
            {**_IGNITION, "A1 C2:17": "minus", "A27 C2:4": "plus", "A27 C2:5": "plus"},
            note="Tail lamps on, A1 holds the trailer supply relay.",
        ),
    ),
)
