"""Looking for what stands typed somewhere and is not handed in yet."""

from __future__ import annotations

from desk.records.journal import drafts
from desk.records.office.protocol import QueryKind

SeeHalfTyped = QueryKind(drafts.typed_at)
SeeDrafts = QueryKind(drafts.drafts_of)
