"""What is kept of an appliance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from desk.base.texts import Message, message
from desk.records.fields.field import (
    WITH_UNIT,
    CsvHeading,
    FieldQuantity,
    choice,
    day,
    line,
    quantity,
    text,
)
from desk.trade.quantities.quantity_kinds import QuantityKind
from desk.trade.reference.covers import COVERS, DOES_NOT_SEAL, SEALS
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS

APPLIANCE_WORDS: Mapping[str, Message] = {
    "combination_boiler": message("Combination boiler"),
    "instantaneous_heater": message("Instantaneous water heater"),
    "storage_heater": message("Storage water heater"),
    "indirect_tank": message("Indirect tank"),
    "other": message("Other appliance"),
}
APPLIANCE_KINDS = tuple(APPLIANCE_WORDS)

SENSING_WORDS: Mapping[str, Message] = {
    "reed_float": message("reed switch and magnetic float"),
    "turbine_hall": message("turbine with Hall sensor"),
    "pressure_difference": message("pressure-difference switch"),
    "tank_thermostat": message("tank thermostat or sensor"),
    "vortex_ultrasonic": message("vortex or ultrasonic meter"),
    "mechanical_valve": message("mechanical water valve"),
    NOT_KNOWN: message("not known"),
}

COVER_WORDS: Mapping[str, Message] = {
    "": message("not known"),
    SEALS: message("it seals the combustion chamber"),
    DOES_NOT_SEAL: message("it does not seal it, or there is no burner behind it"),
}


@dataclass(frozen=True, slots=True)
class ApplianceDetails:
    """An appliance as its nameplate and the office know it; quantities as typed.

    A line here with its column in :mod:`desk.records.tables.appliances` is all that a field needs.
    """

    kind: str = field(
        metadata=choice(
            message("Kind"),
            APPLIANCE_WORDS,
            of_model=True,
            csv=CsvHeading(
                "Kind", message("One of: {ids}.", ids=", ".join(APPLIANCE_KINDS)), ("type",)
            ),
        )
    )
    sensing_kind: str = field(
        default=NOT_KNOWN,
        metadata=choice(
            message("Notices a draw by"),
            SENSING_WORDS,
            after="serial",
            of_model=True,
            csv=CsvHeading(
                "Sensing kind",
                message(
                    "How it notices that water is drawn, one of: {ids}.",
                    ids=", ".join(SENSING_KINDS),
                ),
                ("sensing",),
            ),
        ),
    )
    maker: str = field(
        default="",
        metadata=line(
            message("Maker"),
            csv=CsvHeading("Maker", message("Who made it."), ("make", "manufacturer", "brand")),
        ),
    )
    model: str = field(
        default="",
        metadata=line(
            message("Model"),
            csv=CsvHeading("Model", message("As on its nameplate."), ("modelnumber", "modelno")),
        ),
    )
    serial: str = field(
        default="",
        metadata=line(
            message("Serial number"),
            csv=CsvHeading("Serial", message("As on its nameplate."), ("serialnumber", "serialno")),
        ),
    )
    installed: date | None = field(
        default=None,
        metadata=day(
            message("Installed"),
            hint=message("such as 3 dec 2021"),
            csv=CsvHeading("Installed", message("A day such as 2019-04-30."), ("installdate",)),
        ),
    )
    warranty_until: date | None = field(
        default=None,
        metadata=day(
            message("Warranty until"),
            ahead_years=30,
            csv=CsvHeading(
                "Warranty until",
                message("A day such as 2029-04-30."),
                ("warranty", "warrantyend"),
            ),
        ),
    )
    rated_input: str = field(
        default="",
        metadata=quantity(
            message("Rated input"),
            FieldQuantity(QuantityKind.POWER, "rated_input_w"),
            hint=message("such as 120000 BTU/h"),
            of_model=True,
            in_sentence=message("rated input"),
            csv=CsvHeading("Rated input", WITH_UNIT, ("input",)),
        ),
    )
    smallest_input: str = field(
        default="",
        metadata=quantity(
            message("Smallest input"),
            FieldQuantity(QuantityKind.POWER, "smallest_input_w"),
            of_model=True,
            in_sentence=message("smallest input"),
            csv=CsvHeading("Smallest input", WITH_UNIT),
        ),
    )
    activation: str = field(
        default="",
        metadata=quantity(
            message("Activation flow"),
            FieldQuantity(QuantityKind.VOLUME_RATE, "activation_m3_per_s"),
            hint=message("such as 0.5 gpm"),
            after="warranty_until",
            of_model=True,
            in_sentence=message("activation flow"),
            csv=CsvHeading("Activation flow", WITH_UNIT, ("activation",)),
        ),
    )
    activation_accuracy: str = field(
        default="",
        metadata=quantity(
            message("Activation accuracy"),
            FieldQuantity(QuantityKind.VOLUME_RATE, "activation_accuracy_m3_per_s"),
            in_form="never",
            after="activation",
            of_model=True,
            in_sentence=message("its accuracy"),
            csv=CsvHeading("Activation accuracy", WITH_UNIT),
        ),
    )
    gas_kind: str = field(
        default="",
        metadata=line(
            message("Gas kind"),
            csv=CsvHeading("Gas", message("Which gas it burns."), ("gaskind", "fuel")),
        ),
    )
    vent: str = field(
        default="",
        metadata=line(
            message("Vent material and length"),
            csv=CsvHeading("Vent", message("How it is vented."), ("venting", "flue")),
        ),
    )
    cover_seals: str = field(
        default="",
        metadata=choice(
            message("Its cover"),
            COVER_WORDS,
            csv=CsvHeading(
                "Cover",
                message(
                    "Whether it seals the combustion chamber, one of: {ids}; "
                    "empty where nobody knows.",
                    ids=", ".join(COVERS[1:]),
                ),
            ),
        ),
    )
    rented_from: str = field(
        default="",
        metadata=line(
            message("Rented from"),
            hint=message("leave empty where it is owned"),
            csv=CsvHeading("Rented from", message("Whose it is, where it is rented.")),
        ),
    )
    note: str = field(
        default="",
        metadata=text(
            message("Note about it"),
            csv=CsvHeading("Note", message("For the office."), ("notes", "remarks", "comments")),
        ),
    )
