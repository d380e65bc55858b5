"""Keys of visits as columns of numbers."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from desk.trade.job_columns.visit_columns import key_codes


@given(st.lists(st.integers(0, 3), max_size=30), st.lists(st.integers(0, 3), max_size=30))
def test_keys_get_the_same_code_only_where_they_are_the_same(
    high: list[int], low: list[int]
) -> None:
    pairs = list(zip(high, low, strict=False))
    # These two differ and mix to the same number, which must not make them one.
    odd = 0x9E37_79B9_7F4A_7C15
    pairs += [(1, odd), (0, 0)]
    keys = np.frombuffer(b"".join(h.to_bytes(8) + w.to_bytes(8) for h, w in pairs), "V16")
    codes, known = key_codes(keys)
    assert [known[code].tobytes() for code in codes] == [key.tobytes() for key in keys]
    assert len({known[code].tobytes() for code in codes}) == len(set(pairs)) == len(known)
