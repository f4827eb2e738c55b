"""How far a ranking hangs on the words of single rules: one step of the scale each way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from advisor.assessment import Assessment
from advisor.inference.posterior import first_cause, infer
from advisor.model.network import Finding

WORDS = ("never", "rarely", "seldom", "sometimes", "often", "usually")
DRAWS = 200
SEED = 1
QUICK = 1e-6


@dataclass(frozen=True)
class Hinge:
    """A rule whose word, moved one step, changes the first cause."""

    rule: str
    finding: str
    step: str
    first: str


@dataclass(frozen=True)
class Sensitivity:
    """hinges: single words that decide; share: of Monte Carlo draws, in which every word used may
    move one step either way, how many keep the first cause, and who is first otherwise."""

    first: str
    hinges: tuple[Hinge, ...]
    share: float
    rivals: Mapping[str, float]
    rules_used: int


def sensitivity(assessed: Assessment, draws: int = DRAWS) -> Sensitivity:
    """One step each way for every rule in use, then all words at once, seeded."""
    first = first_cause(assessed.now)
    scale = [float(assessed.pack.info.scale[word]) for word in WORDS]  # type: ignore[index]
    used = sorted({rule for f in assessed.findings for rule in f.rules.values()})
    hinges = []
    for rule in used:
        for step, name in ((1, "one step up"), (-1, "one step down")):
            moved = _moved(assessed, {rule: step}, scale)
            now = first_cause(_infer(assessed, moved))
            if now != first:
                says = next(f.says for f in assessed.findings if rule in f.rules.values())
                hinges.append(Hinge(rule, says, name, now))
    rng = np.random.default_rng(SEED)
    firsts: dict[str, int] = {}
    for _ in range(draws):
        steps = dict(zip(used, rng.integers(-1, 2, len(used)).tolist(), strict=True))
        now = first_cause(_infer(assessed, _moved(assessed, steps, scale)))
        firsts[now] = firsts.get(now, 0) + 1
    shares = {c: n / max(draws, 1) for c, n in sorted(firsts.items(), key=lambda i: -i[1])}
    kept = shares.pop(first, 0.0) if draws else 1.0
    return Sensitivity(first, tuple(hinges), kept, shares, len(used))


def _infer(assessed: Assessment, findings: Sequence[Finding]):  # type: ignore[no-untyped-def]
    return infer(assessed.network, findings, assessed.grouping, assessed.bound, QUICK)


def _moved(assessed: Assessment, steps: Mapping[str, int], scale: Sequence[float]) -> list[Finding]:
    """The findings with the words of some rules moved by whole steps of the scale."""
    return [
        _move(f, assessed.network.state_node, steps, scale)
        if any(steps.get(rule) for rule in f.rules.values())
        else f
        for f in assessed.findings
    ]


def _move(
    finding: Finding, state_node: np.ndarray, steps: Mapping[str, int], scale: Sequence[float]
) -> Finding:
    link = finding.link.copy()
    for node, rule in finding.rules.items():
        step = steps.get(rule, 0)
        if not step:
            continue
        here = state_node == node
        link[here] = [_step(p, step, scale) for p in link[here]]
    return replace(finding, link=link)


def _step(p: float, step: int, scale: Sequence[float]) -> float:
    """A link moved to a neighboring word; a link out of reach (0 by place) stays 0.

    Links that were thinned for an unplaced cause keep their share of the word.
    """
    if p == 0.0:
        return 0.0
    near = min(range(len(scale)), key=lambda i: abs(scale[i] - p))
    to = min(max(near + step, 0), len(scale) - 1)
    return p * scale[to] / scale[near] if scale[near] else p
