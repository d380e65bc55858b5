"""What comes back: repeats counted, rates held apart, failures against age, lives of parts.

Everything here is pure. The marks on a day's list need `repeat_rule` alone, so the rest is loaded
when one of its names is first asked for, and NumPy and SciPy when a function needs them.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from desk.trade.recurrence.repeat_rule import (
    LONGEST_WINDOW_DAYS,
    Call,
    Job,
    LeftOut,
    Outcome,
    find_repeats,
)
from desk.trade.recurrence.wilson import RepeatRate, repeat_rate

if TYPE_CHECKING:
    from desk.trade.recurrence.ageing import Ageing, ageing_of
    from desk.trade.recurrence.cumulative import MeanCumulative, mean_cumulative
    from desk.trade.recurrence.histories import Fleet, History
    from desk.trade.recurrence.kaplan_meier import PartLives, part_life
    from desk.trade.recurrence.laplace import (
        LaplaceTrend,
        Mtbf,
        fleet_mtbf,
        mtbf_limits,
        pooled_laplace_trend,
    )
    from desk.trade.recurrence.power import (
        PowerLaw,
        corrected_power_law,
        pooled_power_law,
        power_law,
    )
    from desk.trade.recurrence.rate_comparison import (
        AgainstTheRest,
        RateDifference,
        against_the_rest,
        rate_difference,
    )
    from desk.trade.recurrence.weibull import WeibullFit, fit_weibull

__all__ = [
    "LONGEST_WINDOW_DAYS",
    "AgainstTheRest",
    "Ageing",
    "Call",
    "Fleet",
    "History",
    "Job",
    "LaplaceTrend",
    "LeftOut",
    "MeanCumulative",
    "Mtbf",
    "Outcome",
    "PartLives",
    "PowerLaw",
    "RateDifference",
    "RepeatRate",
    "WeibullFit",
    "against_the_rest",
    "ageing_of",
    "corrected_power_law",
    "find_repeats",
    "fit_weibull",
    "fleet_mtbf",
    "mean_cumulative",
    "mtbf_limits",
    "part_life",
    "pooled_laplace_trend",
    "pooled_power_law",
    "power_law",
    "rate_difference",
    "repeat_rate",
]

_LATER = {
    "Ageing": "ageing",
    "ageing_of": "ageing",
    "AgainstTheRest": "rate_comparison",
    "RateDifference": "rate_comparison",
    "against_the_rest": "rate_comparison",
    "rate_difference": "rate_comparison",
    "MeanCumulative": "cumulative",
    "mean_cumulative": "cumulative",
    "Fleet": "histories",
    "History": "histories",
    "PartLives": "kaplan_meier",
    "part_life": "kaplan_meier",
    "PowerLaw": "power",
    "corrected_power_law": "power",
    "pooled_power_law": "power",
    "power_law": "power",
    "LaplaceTrend": "laplace",
    "Mtbf": "laplace",
    "fleet_mtbf": "laplace",
    "mtbf_limits": "laplace",
    "pooled_laplace_trend": "laplace",
    "WeibullFit": "weibull",
    "fit_weibull": "weibull",
}


def __getattr__(name: str) -> object:
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_LATER[name]}"), name)
