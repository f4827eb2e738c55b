"""Reading write-ups: how often it is right, and that every statement shows where it stands."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from advisor.intake.write_up import Reader, compile_wording
from advisor.model.case import WORK_RESULTS
from advisor.model.pack import Pack
from advisor.model.read import ONE_VALUE, PLACED
from advisor.model.wording import Entry, Wording, WordingFile
from advisor.rulebook.wording import load_wording
from tests.intake.write_up_scores import (
    RULES,
    Score,
    expected,
    files,
    found,
    labeled,
    reader,
    scores,
)

# precision and recall that the reader keeps over all write-ups; what came of work is hardest
FLOORS = {
    "vibration": (0.96, 0.97),
    "sensation": (0.95, 0.97),
    "felt_at": (0.94, 0.94),
    "speed": (0.98, 0.97),
    "denied": (0.95, 0.96),
    "work": (0.97, 0.95),
    "result": (0.91, 0.89),
}
ALL = [case for name in files() for case in labeled(name)]


def test_there_are_enough_write_ups_of_both_sorts() -> None:
    complaints = sum(case["vibration"] == "yes" for case in ALL)
    assert len(ALL) >= 200
    assert len(labeled("holdout")) >= 60
    assert len({case["text"] for case in ALL}) == len(ALL)
    assert 0.35 <= complaints / len(ALL) <= 0.65


@pytest.fixture(scope="module")
def measured() -> dict[str, Score]:
    return scores(files())


@pytest.mark.parametrize("kind", FLOORS)
def test_precision_and_recall_over_all(kind: str, measured: dict[str, Score]) -> None:
    precision, recall = FLOORS[kind]
    assert measured[kind].precision >= precision
    assert measured[kind].recall >= recall


@pytest.fixture(scope="module")
def awake() -> Reader:
    """A reader with every phrase spelled out."""
    made = compile_wording(load_wording(RULES))
    made.lexicon.wake_all()
    return made


def test_a_lexicon_that_wakes_as_it_reads_reads_like_one_that_is_all_awake(awake: Reader) -> None:
    asleep = compile_wording(load_wording(RULES))
    full = [awake.read(case["text"]) for case in ALL]
    assert [asleep.read(case["text"]) for case in ALL] == full
    for at in range(0, len(ALL), 20):  # each alone, with a lexicon that has read nothing
        asleep.lexicon.sleep()
        assert asleep.read(ALL[at]["text"]) == full[at]
    some, every = (sum(1 for _ in _phrases(r.lexicon.root)) for r in (asleep, awake))
    assert 0 < some < every / 2


def test_a_phrase_of_several_entries_means_the_same_in_any_order_of_waking(awake: Reader) -> None:
    for word in sorted(reader().lexicon.words):
        reader().lexicon.scan([word])
    assert dict(_phrases(awake.lexicon.root)) == dict(_phrases(reader().lexicon.root))


def _phrases(nodes: dict[str, Any], before: tuple[str, ...] = ()) -> Iterator[tuple[Any, Any]]:
    for word, (after, here, *_) in nodes.items():
        if here:
            yield (*before, word), here
        yield from _phrases(after, (*before, word))


def test_a_phrase_that_is_not_well_formed_is_found_when_compiling() -> None:
    for bad in ("(a|b", "a) b", "[a|b)", "[a]  [b] (", "a|b"):
        entry = Entry(kind="plain", say=["fine", bad])
        file = WordingFile(about="x", layer="x", source="invented", entries=[entry])
        with pytest.raises(ValueError, match="bracket"):
            compile_wording(Wording((file,)))


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


def test_a_name_is_hidden_though_one_part_is_a_word_of_the_wording() -> None:
    def names(text: str) -> list[str]:
        return [span.text for span in reader().read(text).personal]

    assert names("Driver: Bob Venn 555-0142 steers are cupped") == ["Bob Venn", "555-0142"]
    assert names("OPERATOR: T. OSSEL SAYS IT SHAKES") == ["T. OSSEL"]
    assert names("Driver: Steering wheel shakes at 60") == []


def test_tires_of_an_axle_place_their_wear() -> None:
    def places(text: str) -> set[tuple[str, str]]:
        return {(a.symptom, str(a.place)) for a in reader().read(text).answers if a.place}

    assert places("front tires cupped, shimmy at 52") == {("wear.cupping", "steer")}
    assert places("steers are cupped") == {("wear.cupping", "steer")}
    assert places("rear duals scalloped") == {("wear.cupping", "drive")}


def test_mile_markers_and_exits_are_no_speeds() -> None:
    for text in ("shakes between mile 40 and 58", "vibration between exit 41 and exit 52"):
        assert reader().read(text).speed is None


@pytest.mark.parametrize(
    ("text", "results"),
    [
        ("Shakes at 60. Had them balanced, still at it.", {"balanced": "no_change"}),
        ("Shakes at 60. Balanced the tires. That fixed it.", {"balanced": "cured"}),
        ("Shakes at 60. Balanced. It did seem to improve but is not gone.", {"balanced": "better"}),
        ("Shook. Rotated the tires to see. It did change. For the worse.", {"rotated": "worse"}),
        ("Still shakes, the tires were balanced last week.", {"balanced": "no_change"}),
        (
            "Hops at 55. Balanced twice. New shocks in May. The hop remains.",
            {"balanced": "no_change", "shocks_replaced": "no_change"},
        ),
        (
            "Hops at 55. Shocks didn't fix it. New drive tires, and now it is sweet.",
            {"shocks_replaced": "no_change", "tires_replaced": "cured"},
        ),
        ("Shimmy. Replaced the damper. It lasted until June.", {"damper_replaced": "came_back"}),
        ("Shimmy. Found the drag link worn, put a new one in, steady now.",
         {"steering_parts_replaced": "cured"}),
    ],
)  # fmt: skip
def test_what_came_of_the_work(text: str, results: dict[str, str]) -> None:
    assert {work.what: work.result for work in reader().read(text).work_done} == results


def test_notes() -> None:
    both = "Brake shake from 50 mph. Also shimmies at 62 mph without the brakes."
    assert "two_complaints" in reader().read(both).notes
    likeness = reader().read("It felt like the wheel was coming off, shakes at 60 mph")
    assert likeness.safety == ()
    assert "wheel_coming_off_said_as_a_likeness" in likeness.notes
    blamed = "The dealer said it was the shocks. It turned out to be a drum. Shook at 60 mph."
    assert {"verdict_of_somebody_else", "verdict_overturned"} <= set(reader().read(blamed).notes)


def test_words_that_a_narrow_field_cut_in_two() -> None:
    read = reader().read("CUST STS VEH HAS VIBRA TION AT 60-70MPH IN STEE RING WHEEL")
    assert read.is_vibration
    assert {"sensation.vibration", "felt_at.steering_wheel"} <= {a.symptom for a in read.answers}
    spans = [mark.span.text for mark in read.marks]
    assert "VIBRA TION" in spans


def test_a_stop_alone_is_no_trigger() -> None:
    def told(text: str) -> set[str]:
        return {answer.symptom for answer in reader().read(text).answers}

    trigger = "trigger.bump_until_slowed"
    assert trigger not in told("IT SHOOK BAD, HAD TO STOP")
    assert trigger in told("Shakes after a dip and I have to almost stop before it quits.")


def test_nothing_has_cured_it_is_no_cure() -> None:
    for text in (
        "Hops at 60. Balanced twice. Nothing has cured the hop.",
        "Shimmy at 40. Had it balanced, and nothing we did has stopped the shimmy",
        "shakes, balanced, nothing so far has fixed the shake",
    ):
        assert [(w.what, w.result) for w in reader().read(text).work_done] == [
            ("balanced", "no_change")
        ], text
