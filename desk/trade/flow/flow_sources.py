"""How a measured flow says that it came about: its formula and its sources."""

from __future__ import annotations

from desk.base.texts import Message, message
from desk.trade.flow.unsteadiness import Unsteadiness

_SOURCES = (
    message("JCGM 100:2008 (GUM), 4.3.7, 5.1.2 and G.4.1: uncertainty and its expansion to 95 %"),
    message("half-width of timing by hand: common practice, no source"),
)
_VERDICT_SOURCES = (
    message("JCGM 106:2012, 7.3: probability that the activation flow is reached"),
    message("activation flow: the maker's figure, or common practice, no source"),
)
_TAKEN_AS_EXACT = message("the activation flow was taken as exact; no accuracy was given")


def formula_of(*, weighed: bool, unsteady: bool) -> str:
    """Return how a flow and its uncertainty come about, for people who check."""
    mean = "Q = sum(m) / (rho(T) sum(t))" if weighed else "Q = V / mean(t)"
    vessel = "m" if weighed else "V"
    own = " + s^2/n" if unsteady else ""
    prior = "; s^2 = (nu0 s0^2 + (n - 1) s_n^2) / (nu0 + n - 1)" if unsteady else ""
    return (
        f"{mean}; u(Q) = Q sqrt((u({vessel})/{vessel})^2 + (u(t)/t)^2{own});"
        f" u({vessel}) = a/sqrt(3){prior}; U = k u(Q)"
    )


def sources_of(*, weighed: bool, unsteadiness: Unsteadiness | None) -> tuple[Message, ...]:
    """Return what a flow rests on: publications, and what is common practice."""
    return (
        *_SOURCES,
        *(() if unsteadiness is None else (_of_unsteadiness(unsteadiness),)),
        *((message("Kell 1975: density of water"),) if weighed else ()),
    )


def verdict_sources(*, exact: bool) -> tuple[Message, ...]:
    """Return what a verdict rests on; ``exact`` where the activation flow was taken as exact."""
    return (*_VERDICT_SOURCES, *((_TAKEN_AS_EXACT,) if exact else ()))


def _of_unsteadiness(unsteadiness: Unsteadiness) -> Message:
    return message(
        "unsteadiness of the flow, one to three fills: {share:.2g} % with {freedom:g} degrees of"
        " freedom, common practice, no source; Student's t after JCGM 101:2008, 6.4.9",
        share=100 * unsteadiness.share,
        freedom=unsteadiness.degrees_of_freedom,
    )
