"""Who calls by chance, and about what."""

from __future__ import annotations

from datetime import date

from sample_db.kit.chance import happens
from sample_db.town.estate import Unit
from sample_db.town.makers import Model
from sample_db.town.town import Area
from sample_db.visits.scene import Scene
from sample_db.visits.troubles import Trouble

_NEWCOMER_SHARE = 0.32
_SERVICE_SHARE = 0.13


def by_chance(scene: Scene, day: date) -> tuple[Unit, Trouble]:
    """Return somebody who calls on a day, known or new, with the trouble called about."""
    unit = None
    if not happens(scene.rng, _NEWCOMER_SHARE):
        unit = scene.estate.quiet_one()
    unit = unit or newcomer(scene, day)
    if happens(scene.rng, _SERVICE_SHARE):
        return unit, scene.troubles.service()
    return unit, scene.troubles.draw(unit, scene.stories.cause_on(unit, day))


def of_model(scene: Scene, day: date, model: Model) -> Unit:
    """Return a quiet appliance of a model, a new customer's where the shop knows none."""
    for unit in scene.estate:
        if unit.model is model and not unit.open_jobs:
            return unit
    return newcomer(scene, day, model)


def newcomer(
    scene: Scene,
    day: date,
    model: Model | None = None,
    area: Area | None = None,
    street: str = "",
) -> Unit:
    """Add a household that calls for the first time; return its first appliance."""
    units = scene.newcomers.arrive(day, model=model, area=area, street=street)
    for unit in units:
        scene.estate.add(unit)
    return units[0]
