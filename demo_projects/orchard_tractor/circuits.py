"""What is known of the tractor's circuits. All values are invented."""

from __future__ import annotations

from drawing.circuits import Circuits, State

from loomfolio.project import Drive

_TRACTION_V = 350
_INLET = ("X95:DC+", "X95:DC-", "X95:CP", "X95:PP")
_ASLEEP: dict[str, Drive] = dict.fromkeys(
    (*_INLET, "A50 C1:11", "A50 C2:9", "A40 C1:6", "A40 C1:7", "A40 C2:4", "A40 C2:5"), "off"
)
_KEY_ON: dict[str, Drive] = {**_ASLEEP, "A50 C1:11": "plus"}
_CHARGING: dict[str, Drive] = {
    "A50 C1:11": "plus",
    "A50 C2:9": "plus",
    "A40 C1:6": "plus",
    "A40 C1:7": "plus",
    "A40 C2:4": "off",
    "A40 C2:5": "off",
}

CIRCUITS = Circuits(
    classes=(
        ("G2:+", "high voltage", _TRACTION_V, None),
        ("G2:-", "traction minus", _TRACTION_V, None),
        ("X95:DC+", "high voltage", _TRACTION_V, None),
        ("X95:DC-", "high voltage", _TRACTION_V, None),
        ("A50 C1:11", "interlock", None, None),
        ("A50 C1:12", "interlock", None, None),
        ("A50 C2:1", "bus", None, 500),
        ("A50 C2:2", "bus", None, 500),
        ("A50 C2:3", "bus", None, 500),
        ("A50 C2:4", "bus", None, 500),
    ),
    supplies=(
        ("G2:+", "G2:-", _TRACTION_V),
        ("G1:+", "G1:-", 12.6),
        ("KL15:1", "", 12.6),
    ),
    loads=(
        ("A40 C1:1", "A40 C1:2", 3.0, 5.0),
        ("A50 C1:1", "A50 C1:4", 2.0, None),
        ("M95:1", "M95:2", 1.5, 4.0),
    ),
    fuses={
        "F80": (250, "other", 500),
        "F90": (100, "other", 32),
        "F40": (10, "C", 32),
        "F41": (15, "C", 32),
        "F42": (10, "C", 32),
        "F43": (5, "C", 32),
    },
    ohms=(
        ("K81:A1", "K81:A2", 24),
        ("K82:A1", "K82:A2", 24),
        ("A50 C2:1", "A50 C2:2", 120),
        ("U1 C2:1", "U1 C2:2", 120),
        ("A50 C2:3", "A50 C2:4", 120),
        ("A40 C1:4", "A40 C1:5", 120),
    ),
    relays={"K81": "diode", "K82": "diode"},
    states=(
        State("parked", ("G1:+", "G2:+"), _ASLEEP, note="Key off; G2 is always live."),
        State("key on", ("G1:+", "G2:+", "KL15:1"), _KEY_ON, note="Nothing in the inlet."),
        State("charging", ("G1:+", "G2:+"), _CHARGING, note="DC plug in, contactors held."),
    ),
)
