"""Properties of whole cases, over random answers drawn from the pack's own vocabulary."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import ClashingEvidence
from advisor.intake.case_file import case_from
from advisor.model.pack import Pack
from advisor.pipeline import assess, rank
from advisor.report.as_json import render_json
from advisor.rulebook.load import load_folder
from advisor.yaml_marks import Document

PACK: Pack = load_folder(Path(__file__).resolve().parents[2] / "rules").pack
ASKED = sorted(
    s.id for s in PACK.symptoms.values() if s.key in PACK.keys and not s.placed and not s.exclusive
)
TYPES = sorted(PACK.vehicles)
SLOW = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)

answers = st.dictionaries(st.sampled_from(ASKED), st.sampled_from(["yes", "no"]), max_size=7)
vehicles = st.sampled_from(TYPES)


def case(vehicle: str, said: dict[str, str], **more: object):
    data = {"case": "random", "vehicle": {"type": vehicle}, "symptoms": said or None, **more}
    return case_from(Document("random.yaml", data, {}), PACK)


def causes(vehicle: str, said: dict[str, str], **more: object) -> dict[str, float]:
    try:
        return dict(assess(case(vehicle, said, **more), PACK).now.cause)
    except ClashingEvidence:
        return {}


@SLOW
@given(vehicles, answers)
def test_probabilities_are_probabilities(vehicle, said):
    assert all(0.0 <= p <= 1.0 for p in causes(vehicle, said).values())


@SLOW
@given(vehicles, answers, st.sampled_from(ASKED))
def test_an_unknown_symptom_changes_nothing(vehicle, said, symptom):
    rest = {k: v for k, v in said.items() if k != symptom}
    assert causes(vehicle, rest) == causes(vehicle, {**rest, symptom: "unknown"})


@SLOW
@given(vehicles, answers)
def test_order_of_answers_changes_nothing(vehicle, said):
    backwards = dict(reversed(list(said.items())))
    assert causes(vehicle, said) == causes(vehicle, backwards)


@SLOW
@given(st.floats(5, 70), st.floats(1, 40))
def test_units_of_speed_change_nothing(low_mph, width_mph):
    high_mph = low_mph + width_mph
    kmh = {"low_kmh": str(low_mph * 1.609344), "high_kmh": str(high_mph * 1.609344)}
    mph = {"low_mph": str(low_mph), "high_mph": str(high_mph)}
    a, b = causes("coach", {"speed": mph}), causes("coach", {"speed": kmh})  # type: ignore[dict-item]
    assert a == pytest.approx(b, abs=1e-9)


@SLOW
@given(st.floats(0.005, 0.3))
def test_units_of_runout_change_nothing(tir_in):
    def done(key: str, value: float) -> dict[str, float]:
        item = {"id": "tread-runout", "place": "steer_left", "result": {key: str(value)}}
        return causes("coach", {}, inspections=[item])

    assert done("tir_in", tir_in) == pytest.approx(done("tir_mm", tir_in * 25.4), abs=1e-9)


@SLOW
@given(st.sampled_from(range(len(PACK.rules))))
def test_more_evidence_for_a_cause_never_lowers_it_by_its_own_rule(index):
    """The rule alone; the cause it names most often must not fall when the symptom shows."""
    rule = PACK.rules[index]
    if rule.symptom not in ASKED or rule.given.duty or rule.given.wheel:
        return
    strongest = max(rule.shows, key=lambda word: PACK.info.scale[word])
    alone = PACK.model_copy(update={"rules": (rule,)})
    vehicle = rule.given.vehicle[0] if rule.given.vehicle else "linehaul_tractor"
    quiet = assess(case(vehicle, {}), alone).now.cause
    shown = assess(case(vehicle, {rule.symptom: "yes"}), alone).now.cause
    if PACK.info.scale[strongest] <= PACK.info.scale[PACK.symptoms[rule.symptom].background]:
        return
    named = [c for n in rule.shows[strongest] for c in PACK.causes_named(n) if c in shown]
    # with equal links the likelier cause explains more; at least one of them rises
    assert not named or any(shown[c] >= quiet[c] - 1e-9 for c in named), rule.id


def test_the_same_input_gives_the_same_bytes():
    said = {"sensation.hop": "yes", "felt_at.seat": "yes", "condition.braking": "no"}
    one = case("linehaul_tractor", said)
    assert render_json(rank(one, PACK)) == render_json(rank(replace(one), PACK))
