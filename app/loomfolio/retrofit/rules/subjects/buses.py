"""Buses: two ends, pairs that stay pairs, short stubs, and nothing else on the leads."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, about, rule

_ISO = "ISO 11898-2"


@rule(
    key="bus: ends",
    title="A bus pair reads 60 ohm between its leads",
    reason="A bus with one end, or three, works on the bench and fails in the rain.",
    source=_ISO,
)
def wrong_ends(judged: Judged) -> Iterator[Found]:
    """A pair whose noted terminations in parallel are not those of two ends."""
    for pair in judged.pairs:
        if pair.resistance is not None and pair.state != "healthy" and not pair.unsized:
            yield Found(
                f"{pair.name} reads {pair.resistance.value:.3g} ohm between its leads: {pair.state}",
                about(pair.pins[0]),
                pair.pins,
            )


@rule(
    key="bus: ends not known",
    title="The terminations of a bus are known",
    reason="Nobody can say what a good reading is while an end is not known.",
    source=_ISO,
    severity="look",
)
def unknown_ends(judged: Judged) -> Iterator[Found]:
    """A pair without a noted termination, or with one of which nobody noted the resistance."""
    for pair in judged.pairs:
        if pair.unsized:
            what = f"nobody noted the resistance of {', '.join(pair.unsized)}"
            yield Found(f"{pair.name}: {what}", about(pair.pins[0]), pair.pins)
        elif pair.resistance is None:
            what = "no termination is noted; measure it with the power off"
            yield Found(f"{pair.name}: {what}", about(pair.pins[0]), pair.pins)


@rule(
    key="bus: pair",
    title="The leads of a bus stay together over joints and plugs",
    reason="Where one lead goes alone the pair hears what it should not.",
    source=f"{_ISO}; joints of a pair by workshop manuals",
)
def parted(judged: Judged) -> Iterator[Found]:
    """A pair of which one lead goes where the other does not."""
    for pair in judged.pairs:
        for text in pair.partings:
            yield Found(f"{pair.name}: {text}", f"{about(pair.pins[0])} {text}", pair.pins)


@rule(
    key="bus: twisted",
    title="A bus has a stated pair",
    reason="Leads that nobody stated as a pair are laid apart.",
    source=_ISO,
    severity="look",
)
def no_pair(judged: Judged) -> Iterator[Found]:
    """A net of a bus that is in no pair, twist or screen."""
    paired = {net for pair in judged.pairs for net in pair.nets}
    for net in judged.nets_of_class("bus"):
        if net not in paired and judged.netlist.nets[net].pins:
            pins = judged.netlist.nets[net].pins[:1]
            yield Found(f"{judged.net(net)} is a bus and in no stated pair", about(pins[0]), pins)


@rule(
    key="bus: stub",
    title="The stubs of a bus are short",
    reason="A long stub throws the signal back at the bus.",
    source=f"{_ISO}; planning limit at 500 kbit/s by practice",
    severity="look",
)
def long_stub(judged: Judged) -> Iterator[Found]:
    """A stub whose length is known and beyond the limit of the bit rate."""
    for pair in judged.pairs:
        for stub in pair.stubs:
            if stub.bound is not None and not stub.bound.is_met:
                yield Found(
                    f"{pair.name}: {stub.text}: {stub.bound}",
                    about(*stub.ends),
                    pair.pins,
                    bound=stub.bound,
                )


@rule(
    key="bus: joined",
    title="A bus holds no supply, no ground, and not its own partner",
    reason="The whole bus is down, or its modules are.",
    source=_ISO,
)
def joined(judged: Judged) -> Iterator[Found]:
    """A net of a bus with a supply or a ground point in it, and a pair whose two leads are one net."""
    for net in judged.nets_of_class("bus"):
        for pin in judged.feeds.supplies:
            if judged.netlist.net_by_pin[pin] == net:
                yield Found(
                    f"{judged.pin(pin)} lies on the bus {judged.net(net)}", about(pin), (pin,)
                )
        for ground in judged.grounds.get(net, ()):
            pins = tuple(p for p in judged.netlist.nets[net].pins if p.part == ground.id)
            yield Found(f"{ground.name} lies on the bus {judged.net(net)}", ground.id, pins)
    for pair in judged.pairs:
        if pair.nets[0] == pair.nets[1]:
            yield Found(f"The two leads of {pair.name} are joined", pair.name, pair.pins)
