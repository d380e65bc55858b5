"""Customary measures in SI units, all exact by definition.

Source: NIST SP 811, appendix B; the imperial gallon is 4.546 09 L there too.
"""

from __future__ import annotations

INCH_M = 0.0254
GALLON_M3 = 231 * INCH_M**3
"""The US gallon, 231 cubic inches."""
IMPERIAL_GALLON_M3 = 4.54609e-3
GRAIN_KG = 64.79891e-6
