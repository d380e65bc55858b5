"""What is enclosed: pictures, signatures, the sealed revisions of reports, the shop's logo."""

import uuid
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.base.pictures import LARGEST_ATTACHMENT
from desk.records.database.column_types import Written
from desk.records.tables.base import Base, Changeable, Made, Words, link, table_args


class Attachment(Changeable, Base):
    """A photograph or other picture that belongs to a visit; its bytes are kept once by hash.

    ``place`` tells where it stands among those of its visit; at the same place, the older first.
    """

    __tablename__ = "attachment"

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    check_id: Mapped[Words]
    sha256: Mapped[str] = link("attachment_bytes.sha256", Written)
    kind: Mapped[str]
    caption: Mapped[Words]
    media_type: Mapped[str]
    place: Mapped[int] = mapped_column(server_default=sa.text("0"), default=0)


class AttachmentBytes(Base):
    """The bytes of an attachment under their SHA-256."""

    __tablename__ = "attachment_bytes"
    __table_args__ = table_args(
        sa.CheckConstraint(f"length(content) <= {LARGEST_ATTACHMENT}", name="small_enough")
    )

    sha256: Mapped[str] = mapped_column(primary_key=True)
    content: Mapped[bytes]


class Signature(Changeable, Base):
    """Who signed for the customer, or why nobody did."""

    __tablename__ = "signature"

    visit_id: Mapped[uuid.UUID] = link("visit.id", index=True)
    name: Mapped[Words]
    absent_reason: Mapped[Words]
    sha256: Mapped[str | None] = link("attachment_bytes.sha256", Written)
    signed_at: Mapped[datetime]


class SealedRevision(Made, Base):
    """A sealed report: the canonical bytes it was printed from, and their SHA-256; append-only."""

    __tablename__ = "sealed_revision"
    __table_args__ = table_args(sa.UniqueConstraint("visit_id", "revision"))

    visit_id: Mapped[uuid.UUID] = link("visit.id")
    revision: Mapped[int]
    reason: Mapped[Words]
    snapshot: Mapped[bytes]
    fingerprint: Mapped[str]
    sealed_at: Mapped[datetime]
    sealed_by_id: Mapped[uuid.UUID | None] = link("person.id")


class ShopLogo(Changeable, Base):
    """The picture on the shop's letterhead; the newest that was not withdrawn stands."""

    __tablename__ = "shop_logo"

    sha256: Mapped[str] = link("attachment_bytes.sha256", Written)
