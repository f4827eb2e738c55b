"""Reading never invents, never fails, and takes time in proportion to the text."""

from __future__ import annotations

import string
import time
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.model.read import ReadWriteUp
from tests.intake.write_up_scores import files, labeled, reader

TEXTS = [case["text"] for name in files() for case in labeled(name)]
UNKNOWN = st.lists(
    st.text(alphabet=string.ascii_lowercase, min_size=1, max_size=12).filter(
        lambda word: not reader().knows(word)
    ),
    min_size=1,
    max_size=4,
)


def told(read: ReadWriteUp) -> tuple[Any, ...]:
    """What was understood, without where it stands."""
    speed = read.speed
    return (
        read.is_vibration,
        [(a.symptom, a.state, a.place) for a in read.answers],
        (speed.low_mph, speed.high_mph, speed.peak_mph) if speed else None,
        [(w.what, w.result, w.place) for w in read.work_done],
        read.denied,
        read.safety,
        read.notes,
    )


@settings(max_examples=150, deadline=None)
@given(words=UNKNOWN, text=st.sampled_from(TEXTS), data=st.data())
def test_words_outside_the_vocabulary_change_nothing(
    words: list[str], text: str, data: Any
) -> None:
    extra = " ".join(words)
    places = [0, *(i + 2 for i in range(len(text) - 1) if text[i : i + 2] == ". "), len(text)]
    at = data.draw(st.sampled_from(places))
    before, after = text[:at].rstrip(), text[at:]
    stop = "" if not before or before[-1] in ".!?" else "."
    changed = f"{before}{stop} {extra}. {after}"
    assert told(reader().read(changed)) == told(reader().read(text))


@settings(max_examples=60, deadline=None)
@given(words=UNKNOWN)
def test_words_outside_the_vocabulary_mean_nothing(words: list[str]) -> None:
    assert told(reader().read(" ".join(words))) == told(reader().read(""))


@settings(max_examples=150, deadline=None)
@given(text=st.text(max_size=300))
def test_any_text_can_be_read(text: str) -> None:
    read = reader().read(text)
    for mark in read.marks:
        assert text[mark.span.start : mark.span.end] == mark.span.text


@settings(max_examples=100, deadline=None)
@given(words=st.lists(st.sampled_from(sorted(reader().lexicon.words)), max_size=40))
def test_any_words_of_the_vocabulary_can_be_read(words: list[str]) -> None:
    text = " ".join(words)
    for mark in reader().read(text).marks:
        assert text[mark.span.start : mark.span.end] == mark.span.text


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "\n\n\n",
        "\x00\x07\x1b[31m",
        "🚚💥 shakes at 60 🚚",
        "İİİ shakes at 60 mph İ",
        "60",
        "no",
    ],
)
def test_odd_texts(text: str) -> None:
    for mark in reader().read(text).marks:
        assert text[mark.span.start : mark.span.end] == mark.span.text


def test_case_and_quotes_make_no_difference() -> None:
    text = "It doesn't shake until 60 mph. It’s worst at 65, the lug nuts aren’t loose."
    assert told(reader().read(text)) == told(reader().read(text.upper()))
    assert told(reader().read(text)) == told(reader().read(text.replace("’", "'")))


@pytest.mark.parametrize(
    "piece",
    [
        "vibration at 60 mph ",
        "no shake, ",
        "lug nuts loose ",
        "the front shakes at 55, smooth at 50. had tires balanced no change. ",
        "v",
        "555-",
        "a.b-c@",
        "60 to ",
    ],
)
def test_time_grows_with_the_text_only(piece: str) -> None:
    def seconds(size: int) -> float:
        text = (piece * (size // len(piece) + 1))[:size]
        start = time.process_time()
        reader().read(text)
        return time.process_time() - start

    seconds(1000)
    short, long = (min(seconds(size) for _ in range(2)) for size in (15_000, 60_000))
    assert long <= 12 * short + 0.05  # four times the text


def test_a_megabyte_is_read() -> None:
    text = "Shakes at 60 mph in the seat. " + "lorem ipsum " * 83_000 + "Lug nuts loose."
    read = reader().read(text)
    assert read.is_vibration
    assert read.safety == ("danger.loose_or_missing_nuts",)


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("slight vibraton in stearing wheel", "sensation.vibration"),
        ("shimmmmy at 60mph", "sensation.shimmy"),
        ("truk shaks at 60 mph", "sensation.shake"),
        ("tread sepration on LF", "wear.bulge_or_separation"),
        ("it shakesat 60 mph", "sensation.shake"),
        ("thumpin in the rear at 20 mph", "sensation.thump"),
    ],
)
def test_slips_of_spelling(slip: str, meant: str) -> None:
    assert meant in {a.symptom for a in reader().read(slip).answers if a.state == "yes"}


def test_words_of_their_own_are_not_misspellings() -> None:
    for word in ("share", "trade", "wonderful", "brown", "plastic", "stakes", "numb"):
        assert reader().read(f"the {word} and the {word}").answers == ()
