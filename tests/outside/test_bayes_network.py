"""The posterior against pyAgrum, an independent library for Bayesian networks, on every list.

The network of a list has one node for the cause and one for each check, which hangs from the cause
alone. Published networks with several hidden nodes, which such a list can only say by its joint
states, are in ``test_ranking.py``; here the library is first held to one of them itself.
"""

from __future__ import annotations

import random
import warnings
from collections.abc import Mapping

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.information_gain import LIKELIHOOD_FLOOR
from desk.trade.diagnosis.posterior import posterior
from desk.trade.diagnosis.sensing_evidence import kind_answer, kind_check
from desk.trade.reference.sensing_kinds import NOT_KNOWN, SENSING_KINDS
from tests.every_day import every_day, share_of_examples
from tests.outside.published import cases

with warnings.catch_warnings():  # the library's own imports warn
    warnings.simplefilter("ignore")
    import pyagrum as gum

LISTS = load_content().checklists
ANSWER_SETS = share_of_examples(0.5)


def network_of(made: Checklist) -> gum.BayesNet:
    """Return the network that a list stands for."""
    net = gum.BayesNet(made.id)
    causes = list(made.causes)
    weights = made.cause_weights
    net.add(gum.LabelizedVariable("cause", "", causes))
    total = sum(weights.values())
    net.cpt("cause").fillWith([weights[cause] / total for cause in causes])
    for check in made.checks.values():
        if not check.likelihood:
            continue
        labels = [answer.id for answer in check.answers]
        # A variable has at least two states; a check with one answer gets one that never comes.
        padded = labels if len(labels) > 1 else [*labels, "never"]
        net.add(gum.LabelizedVariable(check.id, "", padded))
        net.addArc("cause", check.id)
        for cause in causes:
            row = [max(share, LIKELIHOOD_FLOOR) for share in check.chances(cause)]
            row += [0.0] * (len(padded) - len(row))
            net.cpt(check.id)[{"cause": cause}] = row
    return net


def by_network(net: gum.BayesNet, evidence: Mapping[str, str]) -> dict[str, float]:
    """Return the probability of every cause after the evidence, by the library."""
    inference = gum.LazyPropagation(net)
    inference.setEvidence(dict(evidence))
    inference.makeInference()
    found = inference.posterior("cause")
    labels = net.variable("cause").labels()
    return dict(zip(labels, found.tolist(), strict=True))


def drawn(made: Checklist, chance: random.Random) -> dict[str, str]:
    """Return answers to some of the checks that say something, whatever they are."""
    telling = [check for check in made.checks.values() if check.likelihood]
    asked = chance.sample(telling, chance.randint(1, 12))
    return {check.id: chance.choice(check.answers).id for check in asked}


@pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
def test_every_list_ranks_as_the_library_does(made: Checklist) -> None:
    net, chance = network_of(made), random.Random(1764)
    for _ in range(ANSWER_SETS):
        answers = drawn(made, chance)
        ours = {one.id: one.probability for one in posterior(made, answers)}
        assert ours == pytest.approx(by_network(net, answers), abs=1e-9)


@pytest.mark.parametrize("made", every_day([*LISTS.values()], [*LISTS.values()][:1]))
def test_a_known_kind_of_sensing_is_the_answer_that_finds_it(made: Checklist) -> None:
    net, chance = network_of(made), random.Random(1763)
    asked = kind_check(made)
    assert asked is not None
    for kind in (one for one in SENSING_KINDS if one != NOT_KNOWN):
        answer = kind_answer(made, kind)
        assert answer is not None
        answers = {key: said for key, said in drawn(made, chance).items() if key != asked.id}
        ours = {one.id: one.probability for one in posterior(made, answers, sensing_kind=kind)}
        theirs = by_network(net, answers | {asked.id: answer.id})
        assert ours == pytest.approx(theirs, abs=1e-6), "the floor under a row, which is not ours"


def test_the_library_itself_agrees_with_the_published_alarm() -> None:
    case = cases("troubleshooting")["10-01"]
    inputs = case.inputs
    net = gum.fastBN("B->A<-E;A->J;A->M")
    net.cpt("B").fillWith([1 - inputs["burglary"], inputs["burglary"]])
    net.cpt("E").fillWith([1 - inputs["earthquake"], inputs["earthquake"]])
    parents = [(1, 1), (1, 0), (0, 1), (0, 0)]
    for (b, e), share in zip(parents, inputs["alarm"], strict=True):
        net.cpt("A")[{"B": b, "E": e}] = [1 - share, share]
    for name, key in (("J", "john"), ("M", "mary")):
        for state, share in zip((1, 0), inputs[key], strict=True):
            net.cpt(name)[{"A": state}] = [1 - share, share]
    inference = gum.LazyPropagation(net)
    inference.setEvidence({"J": 1, "M": 1})
    inference.makeInference()
    assert inference.posterior("B").tolist()[1] == pytest.approx(case.expected, abs=case.tolerance)
