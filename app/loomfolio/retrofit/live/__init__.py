"""What is live in a state of the vehicle, by reachability; and volts where every datum has a source."""

from loomfolio.retrofit.live.paths import path_text
from loomfolio.retrofit.live.records import (
    LiveFault,
    Liveness,
    LiveStep,
    LiveTable,
    PinLiveness,
    RelayAtRest,
    WayCurrent,
)
from loomfolio.retrofit.live.reporting import LiveRecord, live_record, live_text
from loomfolio.retrofit.live.table import live_table

__all__ = [
    "LiveFault",
    "LiveRecord",
    "LiveStep",
    "LiveTable",
    "Liveness",
    "PinLiveness",
    "RelayAtRest",
    "WayCurrent",
    "live_record",
    "live_table",
    "live_text",
    "path_text",
]
