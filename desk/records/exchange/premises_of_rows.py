"""Where the appliances of a file stand: premises of the office, or ones to be entered."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.exchange_kit.intake import ImportRow, write_rows
from desk.records.fields.address_fields import Address
from desk.records.fields.field import names_of
from desk.records.journal.journal import unit_of_work
from desk.records.search.matching_keys import street_key
from desk.records.tables import Customer, Premises, PremisesLink

ADDRESS = names_of(Address)


@dataclass(slots=True, eq=False)
class ImportedSite:
    """Premises, with whose they are.

    Attributes:
        address: by column.
        customers: tied to them.
        key: None until they are written.
        tie_to: a customer whom they get with the row.
    """

    address: Mapping[str, str]
    customers: set[uuid.UUID] = field(default_factory=set)
    key: uuid.UUID | None = None
    tie_to: uuid.UUID | None = None


def customers_by_premises(session: Session) -> dict[uuid.UUID, set[uuid.UUID]]:
    """Return whom premises are tied to now."""
    ties: dict[uuid.UUID, set[uuid.UUID]] = {}
    for premises_id, customer_id in session.execute(
        sa.select(PremisesLink.premises_id, PremisesLink.customer_id).where(
            PremisesLink.withdrawn_at.is_(None), PremisesLink.until.is_(None)
        )
    ):
        ties.setdefault(premises_id, set()).add(customer_id)
    return ties


class Sites:
    """The premises of an office by street, and its customers by name."""

    def __init__(self, session: Session) -> None:
        ties = customers_by_premises(session)
        self.by_key: dict[uuid.UUID, ImportedSite] = {}
        self._by_street: dict[str, list[ImportedSite]] = {}
        self._of_customer: dict[uuid.UUID, list[ImportedSite]] = {}
        for key, *parts in session.execute(
            sa.select(Premises.id, *(getattr(Premises, name) for name in ADDRESS))
            .where(Premises.withdrawn_at.is_(None))
            .order_by(Premises.id)
        ):
            address = dict(zip(ADDRESS, parts, strict=True))
            self.by_key[key] = ImportedSite(address, ties.get(key, set()), key)
            self._add(self.by_key[key])
        self._customers: dict[str, list[tuple[uuid.UUID, dict[str, str]]]] = {}
        for key, folded, *parts in session.execute(
            sa.select(Customer.id, Customer.folded, *(getattr(Customer, n) for n in ADDRESS))
            .where(Customer.withdrawn_at.is_(None))
            .order_by(Customer.id)
        ):
            own = dict(zip(ADDRESS, parts, strict=True))
            self._customers.setdefault(folded, []).append((key, own))

    def _add(self, site: ImportedSite) -> None:
        self._by_street.setdefault(street_key(site.address["street"]), []).append(site)
        for customer_id in site.customers:
            self._of_customer.setdefault(customer_id, []).append(site)

    def of(self, entry: ImportRow) -> ImportedSite:
        """Return where the appliance of a row stands.

        Raises:
            InputError: no customer of the office has the name, or it cannot be told which
                premises are meant.
        """
        name = entry.text("customer")
        named = self._customers.get(fold(name), []) if name else []
        if name and not named:
            raise InputError(
                message("there is no customer {name} here; take in the customers first", name=name)
            )
        address = {part: entry.text(part) for part in ADDRESS}
        return self._at(address, named) if address["street"] else self._only(name, named)

    def _at(
        self, address: Mapping[str, str], named: Sequence[tuple[uuid.UUID, dict[str, str]]]
    ) -> ImportedSite:
        """Return the premises at an address; of several, those of the customer.

        Where a customer is named, premises of somebody else with the same address are others:
        there may be several homes in one house.
        """
        keys = {key for key, _own in named}
        found = [
            site
            for site in self._by_street.get(street_key(address["street"]), ())
            if _fits(site.address, address)
        ]
        theirs = [site for site in found if site.customers & keys]
        meant = theirs or [site for site in found if not (named and site.customers)]
        if len(meant) > 1:
            raise InputError(message("several premises are written so; give city and ZIP"))
        if meant:
            if named and not meant[0].customers:
                self._tie(meant[0], named)
            return meant[0]
        site = ImportedSite(dict(address))
        if named:
            self._tie(site, named)
        self._add(site)
        return site

    def _tie(self, site: ImportedSite, named: Sequence[tuple[uuid.UUID, dict[str, str]]]) -> None:
        """Have premises belong to a customer, of several with one name to the one who lives there.

        Raises:
            InputError: it cannot be told which of them is meant.
        """
        living = [
            key
            for key, own in named
            if street_key(own["street"]) == street_key(site.address["street"])
        ]
        meant = living if len(living) == 1 else [key for key, _own in named]
        if len(meant) > 1:
            raise InputError(message("several customers have this name, and none this street"))
        site.tie_to = meant[0]
        site.customers = {*site.customers, meant[0]}

    def _only(self, name: str, named: Sequence[tuple[uuid.UUID, dict[str, str]]]) -> ImportedSite:
        """Return the only premises of a customer, or those at the customer's own address.

        Raises:
            InputError: there are several, or no street is known.
        """
        if not named:
            raise InputError(message("it says neither street nor customer"))
        if len(named) > 1:
            raise InputError(
                message("several customers are called {name}; give the street", name=name)
            )
        key, own = named[0]
        theirs = self._of_customer.get(key, [])
        if len(theirs) > 1:
            raise InputError(message("{name} has several premises; give the street", name=name))
        if theirs:
            return theirs[0]
        if not own["street"]:
            raise InputError(message("it has no street, and neither has {name}", name=name))
        return self._at(own, named)


def _fits(one: Mapping[str, str], other: Mapping[str, str]) -> bool:
    """Return whether two addresses with one street may be the same: nothing in them differs."""
    return all(
        fold(one[part]) == fold(other[part])
        for part in ("locality", "region", "postcode")
        if one[part] and other[part]
    )


def write_sites(session: Session, sites: Sequence[ImportedSite]) -> None:
    """Write the premises that are new, and the ties of those that have none.

    Args:
        session: of a unit of work, flushed.
        sites: as :class:`Sites` gave them; each may stand here several times.
    """
    work = unit_of_work(session)
    once = list(dict.fromkeys(sites))
    new = [site for site in once if site.key is None]
    for site in new:
        site.key = work.new_key()
    write_rows(session, Premises, [{"id": site.key, **site.address} for site in new])
    ties = [
        {"premises_id": site.key, "customer_id": site.tie_to, "role": "owner"}
        for site in once
        if site.tie_to is not None
    ]
    write_rows(session, PremisesLink, ties)
