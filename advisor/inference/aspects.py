"""Answers that restate each other must not count as independent proof.

Within one aspect at one place the most telling finding counts in full, two more count weakly, the
rest not at all. The n-th further one that was seen can change odds by at most 1 / (1 - b^n), so
with b = 1/2 by 2 and 4/3: all restatements together by at most 8/3 (4.3 decibans), however many
there are. The n-th further one not seen counts with exponent b^n. b is `restatement_bound` of the
pack.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import log10

from advisor.model.network import Finding

RESTATEMENTS = 2  # further findings of one aspect that still count
# Each finding that was seen doubles the work; beyond this many the least telling are left out (and
# the report says so), else one long case would take minutes.
MOST_SEEN = 16


def bound(b: float) -> float:
    """Largest factor by which restatements can change the odds: 1 / prod(1 - b^n)."""
    product = 1.0
    for n in range(1, RESTATEMENTS + 1):
        product *= 1 - b**n
    return 1 / product


def strength(finding: Finding) -> float:
    """How far a finding alone can move a cause, in log10 of a likelihood ratio."""
    top = finding.strongest
    if finding.kind == "absent":
        return -log10(max(1e-9, 1 - top))
    shown = 1 - (1 - finding.leak) * (1 - top)
    rise = finding.lambda1 - finding.lambda0
    with_cause, without = (finding.lambda0 + rise * p for p in (shown, finding.leak))
    return abs(log10(max(with_cause, 1e-9) / max(without, 1e-9)))


def aspect_of(finding: Finding) -> tuple[str, str]:
    """What findings that restate each other share: an aspect (else the symptom) at a place."""
    return finding.aspect or finding.symptom, str(finding.place)


def temper(findings: Iterable[Finding], b: float) -> list[Finding]:
    """The findings with restatements weakened; their order does not matter."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault(aspect_of(finding), []).append(finding)
    tempered = [f for group in groups.values() for f in restated(group, b)]
    return sorted(_most_telling(tempered), key=_order)


def restated(group: Sequence[Finding], b: float) -> list[Finding]:
    """Findings of one aspect at one place, as far as they still count; the most telling first."""
    if len(group) < 2:
        return list(group)
    ranked = sorted(group, key=lambda f: (f.implied, -round(strength(f), 9), _order(f)))
    further = enumerate(ranked[1 : RESTATEMENTS + 1], 1)
    return [ranked[0], *(_weaken(finding, b**n) for n, finding in further)]


def _most_telling(findings: list[Finding]) -> list[Finding]:
    """At most MOST_SEEN findings that are seen; the least telling beyond are left out."""
    seen = [f for f in findings if f.kind != "absent"]
    if len(seen) <= MOST_SEEN:
        return findings
    seen.sort(key=lambda f: (-round(strength(f), 9), _order(f)))
    kept = {id(f) for f in seen[:MOST_SEEN]}
    return [f for f in findings if f.kind == "absent" or id(f) in kept]


def _order(finding: Finding) -> tuple[str, float, str]:
    """An order of its own, whatever order the findings came in."""
    return finding.key, finding.lambda1, finding.says


def _weaken(finding: Finding, share: float) -> Finding:
    if finding.kind == "absent":
        return replace(finding, power=finding.power * share)
    floor = 1 - share
    return replace(
        finding,
        kind="soft",
        lambda1=floor + share * finding.lambda1,
        lambda0=floor + share * finding.lambda0,
    )
