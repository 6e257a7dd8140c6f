"""A document for somebody else: without what tells whose vehicle it is, or as the start of the next one.

Both are pure functions of the document. What stands in a picture is not looked at: photos have to be
looked through by a person before they are shared.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection

from pydantic import JsonValue

from loomfolio.project.facts import Known, Vehicle
from loomfolio.project.models import Confirmation, Mate, Project
from loomfolio.project.specimens import Specimen

LEFT_OUT = "(left out)"
"""Stands where a plate, an owner or a vehicle's number stood in a text."""
SHORTEST_NAME = 3
"""A shorter text would be found in the middle of other words."""


def redacted(project: Project) -> Project:
    """Return the document without owner, plate and vehicle number, wherever they stand, also within texts.

    Ids, file names and keys stay as they are, or the document would fall apart.
    """
    names = _identifying(project)
    job = project.job.model_copy(update={"vehicle": _anonymous(project.job.vehicle)})
    specimens = tuple(
        one.model_copy(update={"vehicle": _anonymous(one.vehicle)}) for one in project.specimens
    )
    plain = project.model_copy(update={"job": job, "specimens": specimens})
    if not names:
        return plain
    pattern = re.compile(
        "|".join(map(re.escape, sorted(names, key=len, reverse=True))), re.IGNORECASE
    )
    data = plain.model_dump(mode="json", by_alias=True)
    return Project.model_validate_json(json.dumps(_without(data, pattern)))


def _identifying(project: Project) -> set[str]:
    vehicles = (project.job.vehicle, *(one.vehicle for one in project.specimens))
    found = {text.strip() for one in vehicles for text in (one.owner, one.plate, one.vin)}
    return {text for text in found if len(text) >= SHORTEST_NAME}


def _anonymous(vehicle: Vehicle) -> Vehicle:
    return vehicle.model_copy(update={"owner": "", "plate": "", "vin": ""})


_KEPT = frozenset({"id", "file", "sha256", "schema", "kind", "subject", "test", "hold", "gap"})


def _without(value: JsonValue, pattern: re.Pattern[str]) -> JsonValue:
    match value:
        case str():
            return pattern.sub(LEFT_OUT, value)
        case list():
            return [_without(one, pattern) for one in value]
        case dict():
            return {
                key: one if key in _KEPT else _without(one, pattern) for key, one in value.items()
            }
        case _:
            return value


def next_vehicle(project: Project) -> Project:
    """Return the start of the same job on another vehicle of the kind: plan and documents stay, the rest is emptied.

    Survey, baselines, closed gaps, ticks, readings and signatures go, and with them what was known only by
    looking at the vehicle of the old job. What the paper says, and its confirmations, stay.
    """
    own = [one for one in project.specimens if one.kind == "this vehicle"]
    sources = {word for one in own for word in (one.id, one.name)}
    fresh = _anonymous(project.job.vehicle).model_copy(update={"note": ""})
    return project.model_copy(
        update={
            "job": project.job.model_copy(update={"vehicle": fresh}),
            "specimens": tuple(_emptied(one, fresh) for one in project.specimens),
            "survey": tuple(e for e in project.survey if e.specimen not in {o.id for o in own}),
            "baselines": (),
            "closures": (),
            "doings": (),
            "meter_readings": (),
            "signatures": (),
            "confirmations": _not_seen_there(project.confirmations, sources),
            "leads": tuple(one for one in project.leads if not _seen_in(one.known, sources)),
            "mates": tuple(_doubted(one, sources) for one in project.mates),
        }
    )


def _emptied(specimen: Specimen, vehicle: Vehicle) -> Specimen:
    if specimen.kind != "this vehicle":
        return specimen
    return specimen.model_copy(
        update={"vehicle": vehicle, "photos": (), "on": None, "note": "", "name": "This vehicle"}
    )


def _seen_in(known: Known, sources: Collection[str]) -> bool:
    return known.how in {"seen", "measured"} and (not known.source or known.source in sources)


def _not_seen_there(
    confirmations: tuple[Confirmation, ...], sources: Collection[str]
) -> tuple[Confirmation, ...]:
    return tuple(one for one in confirmations if not _seen_in(one.known, sources))


def _doubted(mate: Mate, sources: Collection[str]) -> Mate:
    if not _seen_in(mate.known, sources):
        return mate
    return mate.model_copy(update={"known": Known(how="inferred", source=mate.known.source)})
