"""The safety gate: what must be dealt with before anything else. Never outranked."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from advisor.model.diagnosis import Safety, SafetyFinding
from advisor.model.network import Finding
from advisor.model.pack import Level, Pack, SafetyRule

AS_GOOD_AS_SEEN = 0.8  # a measured finding this likely counts as seen
ORDER: Sequence[Level] = ("stop", "soon", "none")
VERDICTS: Mapping[Level, str] = {
    "stop": "Do not drive it until the checks below are done and what they find is put right.",
    "soon": "Check this first, before any road test and before it goes back to work.",
    "none": "No warning sign was reported. That does not show that it is safe: do the wheel-nut, "
    "tread and hub-heat checks first.",
}


def safety_gate(
    pack: Pack,
    findings: Sequence[Finding],
    causes: Mapping[str, float],
    cleared: Collection[str] = (),
) -> Safety:
    """Every safety rule that holds, worst first.

    cleared: inspections that came out clear at every axle; they lift what was only hinted at.
    """
    return gate_of(pack, {f.symptom: f.says for f in findings if _is_seen(f)}, causes, cleared)


def gate_of(
    pack: Pack,
    seen: Mapping[str, str],
    causes: Mapping[str, float],
    cleared: Collection[str] = (),
) -> Safety:
    """The safety rules that hold for symptoms seen (id -> words), without a ranking."""
    held = []
    for rule in pack.safety:
        reasons = _reasons(rule, seen, causes, pack)
        level = _level(rule, cleared)
        if reasons and level != "none":
            held.append(_finding(rule, level, reasons))
    held.sort(key=lambda f: (ORDER.index(f.level), f.id))
    worst: Level = held[0].level if held else "none"
    return Safety(level=worst, verdict=VERDICTS[worst], findings=held)


def _level(rule: SafetyRule, cleared: Collection[str]) -> Level:
    """The rule's level, one lower when its checks came out clear and it was only a hint."""
    lifted = rule.lifted_when_checked and all(check in cleared for check in rule.checks)
    return ORDER[ORDER.index(rule.level) + 1] if lifted else rule.level


def _is_seen(finding: Finding) -> bool:
    if finding.kind == "present":
        return True
    return finding.kind == "soft" and finding.lambda1 >= AS_GOOD_AS_SEEN and finding.lambda0 < 0.5


def _reasons(
    rule: SafetyRule, seen: Mapping[str, str], causes: Mapping[str, float], pack: Pack
) -> list[str]:
    """Why a rule holds, in words; empty when it does not."""
    if rule.all_of and not all(symptom in seen for symptom in rule.all_of):
        return []
    reasons = [seen[symptom] for symptom in rule.all_of]
    anyone = [seen[symptom] for symptom in rule.any_of if symptom in seen]
    if rule.any_of and not anyone:
        return []
    reasons += anyone
    if rule.probable and rule.above is not None:
        likely = [c for c in rule.probable if causes.get(c, 0.0) >= rule.above]
        if not likely:
            return []
        reasons += [f"{pack.causes[c].name} is likely" for c in likely]
    return reasons


def _finding(rule: SafetyRule, level: Level, reasons: list[str]) -> SafetyFinding:
    return SafetyFinding(
        id=rule.id,
        level=level,
        says=rule.says,
        do_now=rule.do_now,
        triggered_by=list(dict.fromkeys(reasons)),
        checks=list(rule.checks),
        cautions=list(rule.cautions),
        because=rule.because,
        source=rule.source,
        us_rule=rule.us_rule,
    )
