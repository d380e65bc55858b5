"""What the visit sheet hands in about photographs, and how it comes by their bytes."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.pictures import small_picture
from desk.base.texts import message
from desk.records.actions.visit import row_command, visit_command
from desk.records.office.protocol import QueryKind
from desk.records.visits import photographs


def _small(session: Session, hashes: Sequence[str], side: int) -> dict[str, bytes]:
    """Return each as a JPEG by its SHA-256; nothing for one that cannot be read any more."""
    small = dict.fromkeys(hashes, b"")
    for sha256 in small:
        try:
            small[sha256] = small_picture(photographs.picture_of(session, sha256), side)
        except InputError:
            continue
    return small


AddPhotographs = visit_command(message("Photographs added"), photographs.add_photographs)
DescribePhotograph = row_command(message("Photograph described"), photographs.describe_photograph)
MovePhotograph = row_command(message("Photograph moved"), photographs.move_photograph)
TakePhotographOut = row_command(message("Photograph taken out"), photographs.withdraw_photograph)
SeePictures = QueryKind(photographs.pictures_of)
SeeSmall = QueryKind(_small)
