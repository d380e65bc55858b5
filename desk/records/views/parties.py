"""The shop, people, premises and appliances as paper and windows show them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar, Literal

UnitSystem = Literal["us", "si"]


PaperSize = Literal["letter", "a4"]


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The shop as its paper shows it; the logo is PNG bytes, none without one."""

    __pydantic_config__: ClassVar[dict[str, str]] = {
        "ser_json_bytes": "base64",
        "val_json_bytes": "base64",
    }

    name: str
    address: tuple[str, ...]
    phone: str
    email: str
    licence: str
    zone: str
    system: UnitSystem
    paper: PaperSize
    language: str
    logo: bytes = b""


@dataclass(frozen=True, slots=True)
class PersonLine:
    """A technician or other member of the shop, with the licence held."""

    name: str
    licence_class: str
    licence_number: str


@dataclass(frozen=True, slots=True)
class CustomerLine:
    """Whom the report is made out to."""

    name: str
    address: tuple[str, ...]
    phones: tuple[str, ...]
    emails: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PremisesLine:
    """Where the work was done; hardness and altitude as typed, the altitude in m beside it."""

    address: tuple[str, ...]
    access_note: str
    supply_area: str
    water_source: str
    fuel: str
    hardness_typed: str = ""
    altitude_typed: str = ""
    altitude_m: float | None = None
    water_treatment: str = ""
    recirculation: str = ""


@dataclass(frozen=True, slots=True)
class ApplianceLine:
    """The appliance as its record stood; flows in m3/s, powers in W."""

    number: str
    kind: str
    sensing_kind: str
    maker: str
    model: str
    serial: str
    installed: date | None
    warranty_until: date | None
    rated_input_w: float | None
    smallest_input_w: float | None
    activation_flow_m3_per_s: float | None
    activation_flow_typed: str
    gas_kind: str
    vent: str
    rented_from: str


@dataclass(frozen=True, slots=True)
class ApplianceLabel:
    """What a label on an appliance says: its number, what it is, and whom to call."""

    number: str
    name: str
    serial: str
    shop: str
    phone: str
