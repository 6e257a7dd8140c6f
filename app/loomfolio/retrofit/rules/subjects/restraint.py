"""Air bags, belt tensioners, brakes, steering: no joint of ours, and nothing branches off."""

from __future__ import annotations

from collections.abc import Iterator

from loomfolio.retrofit.rules.judged import Judged
from loomfolio.retrofit.rules.records import Found, about, rule


@rule(
    key="restraint: new joint",
    title="No joint in a restraint or safety circuit",
    reason="A joint adds resistance that an air bag's igniter or a brake's sensor is measured by.",
    source="Cautions, 23 (practice)",
)
def new_joint(judged: Judged) -> Iterator[Found]:
    """A new lead of such a circuit that ends at a splice or a drawn joint."""
    for lead in judged.new_leads:
        is_joint = any(judged.equipment.is_splice(node) for node in lead.ends)
        if is_joint and judged.is_of_class(lead.net, "restraint", "safety"):
            yield Found(
                f"The new lead {judged.lead_text(lead)} makes a joint in a restraint or safety circuit",
                about(*lead.ends),
                lead.pins,
            )


@rule(
    key="restraint: supply",
    title="A restraint circuit holds no supply and no chassis",
    reason="A supply or chassis on an igniter's lead can fire it.",
    source="Cautions, 23 (practice)",
)
def joined_to_supply(judged: Judged) -> Iterator[Found]:
    """A restraint net with a supply that is noted, or a ground point, in it."""
    for net in judged.nets_of_class("restraint"):
        pins = [pin for pin in judged.feeds.supplies if judged.netlist.net_by_pin[pin] == net]
        pins += [judged.feeds.chassis[net]] if net in judged.feeds.chassis else []
        for pin in pins:
            yield Found(f"{judged.pin(pin)} lies on a restraint circuit", about(pin), (pin,))
