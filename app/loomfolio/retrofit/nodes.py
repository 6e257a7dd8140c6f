"""Nodes and leads in a fixed order, so that nothing depends on the order of records."""

from __future__ import annotations

from loomfolio.retrofit.records import Ends, Node


def node_order(node: Node) -> tuple[object, ...]:
    """Return a sort key for pins, splices and ground points together."""
    return (node, "", "", ()) if isinstance(node, str) else node.sort_key


def ends_of(a: Node, b: Node) -> Ends:
    """Return two nodes as the ends of a lead, in their fixed order."""
    return (a, b) if node_order(a) <= node_order(b) else (b, a)


def ends_order(ends: Ends) -> tuple[object, ...]:
    """Return a sort key for leads by their ends."""
    return (node_order(ends[0]), node_order(ends[1]))
