"""Reading write-ups: how often it is right, and that every statement shows where it stands."""

from __future__ import annotations

import json

import pytest

from advisor.model.case import WORK_RESULTS
from advisor.model.pack import Pack
from advisor.model.read import ONE_VALUE, PLACED
from tests.intake.write_up_scores import expected, files, found, labeled, reader, scores

PRECISION, RECALL = 0.90, 0.85
ALL = [case for name in files() for case in labeled(name)]


def test_there_are_enough_write_ups_of_both_sorts() -> None:
    complaints = sum(case["vibration"] == "yes" for case in ALL)
    assert len(ALL) >= 200
    assert len(labeled("holdout")) >= 60
    assert len({case["text"] for case in ALL}) == len(ALL)
    assert 0.35 <= complaints / len(ALL) <= 0.65


@pytest.mark.parametrize("kind", ["vibration", "sensation", "felt_at", "speed", "denied", "work"])
def test_precision_and_recall_over_all(kind: str) -> None:
    score = scores(files())[kind]
    assert score.precision >= PRECISION
    assert score.recall >= RECALL


def test_no_safety_word_is_missed() -> None:
    for case in ALL:
        missed = expected(case)["safety"] - found(reader().read(case["text"]))["safety"]
        assert not missed, case["text"]


def test_spans_are_stretches_of_the_text() -> None:
    for case in ALL:
        text = case["text"]
        read = reader().read(text)
        spans = [mark.span for mark in read.marks] + list(read.personal)
        for span in spans:
            assert text[span.start : span.end] == span.text != ""
        assert all(answer.span is not None for answer in read.answers)
        assert all(work.span is not None for work in read.work_done)


def test_answers_are_symptoms_and_work_of_the_pack(pack: Pack) -> None:
    for case in ALL:
        read = reader().read(case["text"])
        assert {answer.symptom for answer in read.answers} <= set(pack.symptoms)
        assert {work.what for work in read.work_done} <= set(pack.work)
        assert {work.result for work in read.work_done} <= set(WORK_RESULTS)
        states = {(a.symptom, a.state) for a in read.answers}
        assert not [s for s, state in states if state == "yes" and (s, "no") in states]


def test_every_meaning_of_the_wording_is_an_id_of_the_pack(pack: Pack) -> None:
    keys = {
        "sensation": "sensation.",
        "felt": "felt_at.",
        "symptom": "",
        "danger": "",
        "denied": "",
    }
    for file in pack.wording.files:
        for entry in file.entries:
            if entry.kind in keys:
                assert keys[entry.kind] + entry.value in pack.symptoms
            elif entry.kind == "work":
                assert entry.value in pack.work
            elif entry.kind == "result":
                assert entry.value in WORK_RESULTS
        for pair in file.pairs:
            assert pair.finds in (pack.work if pair.as_ == "work" else pack.symptoms)


def test_keys_of_one_value_and_placed_keys_are_those_of_the_pack(pack: Pack) -> None:
    single = {key for key, values in pack.keys.items() if values.exclusive}
    assert set(ONE_VALUE) == single
    assert set(PLACED) == {key for key, values in pack.keys.items() if values.placed}


def test_document_of_read() -> None:
    text = "T-27 hops in the seat 58 to 64, LF tire cupped, RF hub hot. Balanced twice no change."
    document = json.loads(json.dumps(reader().read(text).to_json_dict()))
    assert document["schema"] == 1
    assert document["is_vibration"] is True
    assert document["symptoms"] == {
        "danger": {"steer_right": ["hub_hot_or_smoke"]},
        "felt_at": ["seat"],
        "sensation": ["hop"],
        "speed": {"low_mph": 58.0, "high_mph": 64.0},
        "wear": {"steer_left": ["cupping"]},
    }
    assert document["work_done"] == [{"what": "balanced", "result": "no_change"}]
    assert document["safety"] == ["danger.hub_hot_or_smoke"]
    hop = next(span for span in document["spans"] if span["value"] == "hop")
    assert hop == {"symptom": "sensation", "value": "hop", "start": 5, "end": 9, "text": "hops"}


def test_people_are_found_but_not_repeated_as_anything_else() -> None:
    text = (
        "Driver Orla Venn, call 555-0142 or (555) 555-0170, orla@depot.example: shakes at 60 mph."
    )
    told = [span.text for span in reader().read(text).personal]
    assert "Orla Venn" in told
    assert "555-0142" in told
    assert "(555) 555-0170" in told
    assert "orla@depot.example" in told
    assert reader().read("hops at 58-64, 475 ft-lb, 11R22.5, 2031-04-12").personal == ()


def test_notes() -> None:
    both = "Brake shake from 50 mph. Also shimmies at 62 mph without the brakes."
    assert "two_complaints" in reader().read(both).notes
    likeness = reader().read("It felt like the wheel was coming off, shakes at 60 mph")
    assert likeness.safety == ()
    assert "wheel_coming_off_said_as_a_likeness" in likeness.notes
    blamed = "The dealer said it was the shocks. It turned out to be a drum. Shook at 60 mph."
    assert {"verdict_of_somebody_else", "verdict_overturned"} <= set(reader().read(blamed).notes)
