"""Bytes that are kept by their hash, each once."""

from __future__ import annotations

from sqlalchemy.orm import Session

from desk.base.pictures import sha256_of
from desk.records.tables import AttachmentBytes


def keep_bytes(session: Session, content: bytes) -> str:
    """Keep bytes once under their SHA-256, and return it in hex."""
    sha256 = sha256_of(content)
    if session.get(AttachmentBytes, sha256) is None:
        session.add(AttachmentBytes(sha256=sha256, content=content))
    return sha256
