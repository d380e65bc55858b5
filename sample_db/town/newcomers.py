"""Households as they call for the first time: customer, premises and appliances."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import date, timedelta

from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.tables import (
    Appliance,
    Customer,
    CustomerEmail,
    CustomerPhone,
    Premises,
    PremisesLink,
)
from desk.trade.quantities.typed_quantity import QuantityKind
from desk.trade.reference.sensing_kinds import NOT_KNOWN
from sample_db.kit.chance import happens
from sample_db.kit.diary import Diary, DiaryEntry
from sample_db.kit.quantities import typed
from sample_db.kit.store import Row
from sample_db.town import makers, people, town
from sample_db.town.estate import Household, Unit
from sample_db.town.founding import Colleague, Landlord, address
from sample_db.town.makers import Model
from sample_db.town.town import Area

_FIRST_CUSTOMER_LINE = 60
_RENTED_SHARE = 0.12
_SECOND_APPLIANCE_SHARE = 0.08
_SENSING_UNKNOWN_SHARE = 0.2
_PROPANE_SHARE = 0.25
_WARRANTY_YEARS = 5
_DAYS_A_YEAR = 365


class Newcomers:
    """Adds households; ``appliances_made`` is the device's counter."""

    def __init__(
        self,
        diary: Diary,
        rng: random.Random,
        as_of: date,
        by: Colleague,
        landlords: Sequence[Landlord],
    ) -> None:
        self._diary = diary
        self._rng = rng
        self._as_of = as_of
        self._by = by
        self._landlords = landlords
        self.customers = len(landlords)
        self.premises = 0
        self.appliances_made = 0

    def arrive(
        self, day: date, *, model: Model | None = None, area: Area | None = None, street: str = ""
    ) -> list[Unit]:
        """Add a household with its appliances on the day of its first call.

        Args:
            day: the day, by which its appliances are installed.
            model: of the first appliance; drawn unless given.
            area: supply area; drawn unless given.
            street: drawn unless given.
        """
        rng = self._rng
        area = area or rng.choices(town.AREAS, [each.share for each in town.AREAS])[0]
        household = self._household(day, area, street or rng.choice(area.streets))
        entry = self._diary.entry(message("Appliance added"), self._by.key)
        first = model or rng.choices(makers.MODELS, makers.SHARES)[0]
        # An appliance of a story is known from the start and its age fits the model.
        units = [self.install(entry, household, first, day, known=model is not None)]
        if model is None and happens(rng, _SECOND_APPLIANCE_SHARE):
            second = rng.choices(makers.MODELS, makers.SHARES)[0]
            units.append(self.install(entry, household, second, day))
        return units

    def _household(self, day: date, area: Area, street: str) -> Household:
        rng = self._rng
        entry = self._diary.entry(message("Customer added"), self._by.key)
        name = people.customer_name(rng, self.customers)
        line = f"{rng.randrange(1, 240)} {street}"
        customer = entry.keep(Customer, name=name, folded=fold(name), **address(line))
        number, e164 = people.phone(_FIRST_CUSTOMER_LINE + self.customers)
        entry.keep(
            CustomerPhone,
            customer_id=customer["id"],
            typed=number,
            e164=e164,
            label=rng.choice(("", "home", "mobile")),
        )
        if happens(rng, 0.6):
            entry.keep(
                CustomerEmail,
                customer_id=customer["id"],
                address=f"customer{self.customers + 1}@quillhaven.example",
            )
        self.customers += 1
        hardness = f"{rng.randint(*area.hardness_gpg)} gpg"
        premises = self._premises(entry, area, line, hardness)
        self._link(entry, premises["id"], customer["id"], day)
        self.premises += 1
        return Household(
            premises["id"], customer["id"], name, number, area, street, hardness, premises["fuel"]
        )

    def _premises(self, entry: DiaryEntry, area: Area, line: str, hardness: str) -> Row:
        rng = self._rng
        well = area.source == "well"
        access_note = rng.choice(town.ACCESS_NOTES)
        fuel = "propane" if well or happens(rng, _PROPANE_SHARE) else "natural gas"
        altitude_m = rng.choice((15, 40, 180))
        return entry.keep(
            Premises,
            **address(line),
            access_note=access_note,
            supply_area=area.name,
            water_source=area.source,
            water_treatment="softener" if well else "",
            fuel=fuel,
            hardness_typed=hardness,
            hardness_kg_per_m3=typed(hardness, QuantityKind.HARDNESS).si,
            altitude_typed=f"{altitude_m} m",
            altitude_m=float(altitude_m),
        )

    def _link(self, entry: DiaryEntry, premises: object, customer: object, day: date) -> None:
        rng = self._rng
        since = day - timedelta(days=rng.randint(200, 4000))
        rented = happens(rng, _RENTED_SHARE)
        pairs = [(customer, "occupant" if rented else "owner")]
        if rented:
            pairs.append((rng.choice(self._landlords).key, "owner"))
        for who, role in pairs:
            entry.keep(PremisesLink, premises_id=premises, customer_id=who, role=role, since=since)

    def install(
        self,
        entry: DiaryEntry,
        household: Household,
        model: Model,
        day: date,
        *,
        known: bool = False,
        new: bool = False,
    ) -> Unit:
        """Add an appliance to a household.

        Args:
            entry: that adds it.
            household: where it stands.
            model: what it is.
            day: today.
            known: the office knows its sensing kind.
            new: it is installed today.
        """
        rng = self._rng
        latest = day if new else day - timedelta(days=rng.randint(20, 200))
        sold_until = self._as_of - timedelta(days=model.sold[1] * _DAYS_A_YEAR)
        sold_from = self._as_of - timedelta(days=model.sold[0] * _DAYS_A_YEAR)
        span = max(0, (min(latest, sold_until) - sold_from).days)
        installed = day if new else min(latest, sold_from + timedelta(days=rng.randint(0, span)))
        sensing = model.sensing_kind
        if not (known or new) and happens(rng, _SENSING_UNKNOWN_SHARE):
            sensing = NOT_KNOWN
        self.appliances_made += 1
        number = f"A-H{self.appliances_made:04d}"
        row = entry.keep(
            Appliance,
            premises_id=household.premises_id,
            number=number,
            kind=model.kind,
            sensing_kind=sensing,
            maker=model.maker,
            model=model.name,
            serial=makers.serial(rng, model),
            installed=installed,
            warranty_until=_years_after(installed, _WARRANTY_YEARS),
            gas_kind=household.fuel if model.gas else "",
            vent=rng.choice(makers.VENTS) if model.gas else "",
            **_plate(model),
        )
        return Unit(row["id"], number, model, household, sensing, installed)


def _plate(model: Model) -> dict[str, object]:
    """Return what the nameplate says, as typed and in SI."""
    values: dict[str, object] = {}
    for name, text, kind, si in (
        ("rated_input", model.rated_input, QuantityKind.POWER, "w"),
        ("smallest_input", model.smallest_input, QuantityKind.POWER, "w"),
        ("activation", model.activation, QuantityKind.VOLUME_RATE, "m3_per_s"),
    ):
        values[f"{name}_typed"] = text
        values[f"{name}_{si}"] = typed(text, kind).si if text else None
    return values


def _years_after(day: date, years: int) -> date:
    return date(day.year + years, day.month, min(day.day, 28))
