"""No way of saying that a wheel is loose, hot or coming apart may be missed."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
import yaml

from tests.intake.write_up_scores import reader

FRAMES = (
    "{0} {1}",
    "{0} were {1}",
    "found {0} {1} on RF",
    "the {0} on the left rear wheel are {1}",
    "{0} {1} and it shakes at 55",
    "LR {0} are {1}, no vibration",
    "NO VIBRATION {0} {1}",
    "not sure if the {0} are {1}",
    "{1} {0}",
    "tires balanced no change {0} {1}",
)
FASTENERS = ("lug nuts", "lugs", "lug nut", "wheel nuts", "nuts", "studs", "lug bolts", "lug nutz")
LOOSE = (
    "loose", "lose", "missing", "gone", "backed off", "backing off", "broken", "sheared off",
    "came loose", "not tight", "finger tight", "snapped", "worked loose", "never torqued", "lost",
)  # fmt: skip
WHEELS = ("wheel", "left front wheel", "the outer dual", "wheels", "trailer wheel")
OFF = (
    "came off", "fell off", "is loose", "is coming off", "almost came off", "wobbling loose",
    "came loose", "was lose", "flew off", "about to come off", "detached", "broke off", "lost",
)  # fmt: skip
TREADS = ("tread", "tire", "belt", "recap", "steer tire", "the tread on the LR")
PARTING = (
    "separating", "separated", "is seperating", "coming apart", "delaminating", "peeling off",
    "coming off", "came apart", "started to separate",
)  # fmt: skip
SWELLINGS = ("bulge", "bubble", "knot", "egg", "goose egg", "lump", "blister", "hump", "buldge")
ENDS = ("hub", "wheel", "drum", "LR hub", "wheel bearing", "hubcap", "wheel end")
HOT = (
    "hot", "smoking", "smokin", "is hot", "was red hot", "overheating", "burning", "seized",
    "too hot to touch", "got hot and smoked", "burned up",
)  # fmt: skip
NUTS, SEPARATION = "danger.loose_or_missing_nuts", "wear.bulge_or_separation"
HEAT, CORD = "danger.hub_hot_or_smoke", "danger.exposed_cord"


def sentences() -> list[tuple[str, str]]:
    """(what must be flagged, sentence) over the grid, each in small letters and in capitals."""
    made = [(NUTS, frame.format(a, b)) for frame, a, b in product(FRAMES, FASTENERS, LOOSE)]
    made += [(NUTS, f"{a} {b}") for a, b in product(WHEELS, OFF)]
    made += [(NUTS, f"vibration got bad and then {a} {b} at 55") for a, b in product(WHEELS, OFF)]
    made += [(SEPARATION, f"{a} {b}") for a, b in product(TREADS, PARTING)]
    made += [(SEPARATION, f"vibration at 60, {a} {b}") for a, b in product(TREADS, PARTING)]
    for frame in ("{} in the tire", "tire has a {}", "there is a {} on the right steer tire"):
        made += [(SEPARATION, frame.format(a)) for a in SWELLINGS]
    made += [(HEAT, f"{a} {b}") for a, b in product(ENDS, HOT)]
    made += [(HEAT, f"shakes at 60 and the {a} {b}") for a, b in product(ENDS, HOT)]
    for smoke in ("smoke", "smoking", "smokin", "burning smell", "something burning", "on fire"):
        made += [(HEAT, f"{smoke} at the left rear wheel"), (HEAT, f"no pull. {smoke} RR")]
    for cord in ("cords showing", "steel showing", "belts exposed", "wires sticking out"):
        made += [(CORD, cord), (CORD, f"LF steer worn, {cord}"), (CORD, f"{cord} on RF no shake")]
    return made + [(flag, sentence.upper()) for flag, sentence in made]


def test_nothing_is_missed_over_the_grid() -> None:
    grid = sentences()
    assert len(grid) > 2500
    missed = [text for flag, text in grid if flag not in reader().read(text).safety]
    assert missed == []


@pytest.mark.parametrize(
    "text",
    [
        "one nut fell off somewhere",
        "short one lug nut",
        "only 7 of 10 nuts left on the wheel",
        "no lug nuts on the outer wheel",
        "lug nuts were not loose but two were missing",
        "rust streaks at lugs",
        "8 of 10 studs sheared",
        "wheel bearing came apart and the wheel left",
        "the wheel wobbles like it is loose",
        "crack in the RF wheel between hand holes",
        "stud holes egged out",
        "lost control and went into the median",
        "wheel seal leaking, oil on the rim",
        "smelled hot brakes, then smoke rolling off the left rear",
        "wheel came off going down the road",
        "the tire and wheel came off in the street for no reason",
        "tread came off",
        "tire came apart",
        "THE TIRES ON MY MOTOR HOME HAVE SEPARATED THREE TIMES",
        "At 62 the left rear came apart with no warning",
        "The LR inner blew and took the outer with it",
        "inside dual let go on the grade",
        "Nobody had retightened the lugs. I found most of them a half turn loose.",
        "checked the wheel nuts. Two of them missing.",
        "The tread on the left rear was hanging by a thread",
        "found 2 ft of tread gone",
        "the front wheels were never torqued after the brake job",
        "the nuts on the left rear were all finger loose",
        "drum smoking on axle 2 curb side",
        "wheel bearing was so hot it was glowing",
        "fist sized bulge on the inside of the left steer",
        "rubber is coming off the right rear inside in strips",
        "are the lug nuts loose?",
        "could my lug nuts be loose?",
        "I think the wheel is loose",
        "the driver could not hold the wheel",
        "wheel nuts were not even hand tight",
        "the lugs weren't really tight on the RR",
        "nuts on the tag axle were hanging by the last thread",
        "rust colored streaks below four of the studs",
        "operator was not able to hold control of the bus",
        "he was unable to regain control",
        "the trailer swayed until it flipped over",
        "tag bearing heats up on long grades",
        "every hub was cold, only the left rear is really hot",
        "right front runs warm and it stinks",
        "I could not hold my hand on the drum",
        "drive hub coated with grease",
        "gear oil slung all over the inside of the rim",
        "grease was thrown on the back of the right front wheel",
        "long crack between tread and cap",
        "a belt letting go in the left inner",
        "lump the size of a walnut on the inner sidewall of the left steer",
        "there were pieces of the left rear tire all over the road",
        "we heard a tire blowing on the drive axle",
        "thought the wheel was loose, and sure enough it was",
        "the wheel nuts were loose, which can cause a wheel to come off",
        "no heat in the cab, RF hub hot",
        "checked for loose nuts, three were loose",
        "looked for loose lugs and found two",
        "a wheel rolled past me and it was ours",
    ],
)
def test_other_ways_of_saying_it(text: str) -> None:
    assert reader().read(text).safety != ()


@pytest.mark.parametrize(
    "text",
    [
        "lug nuts tight",
        "all lugs checked tight",
        "no loose or missing lug nuts",
        "hub not hot",
        "no smoke, hubs are cool",
        "no bulges or bubbles in the tires",
        "no cords showing",
        "felt like the wheel was coming off",
        "thought the wheel was about to fall off",
        "steering wheel trim coming off",
        "steering wheel cover loose and rattling",
        "wheel cover came off",
        "black exhaust smoke on the hill",
        "tire came off the old wheel",
        "the tire came off the old rim hard, had to use the bead breaker",
        "tire came off the rim rack",
        "wheel came off for brakes",
        "the wheel came off to look at the drum",
        "would a loose wheel bearing cause a shimmy?",
        "hit a chunk of retread in the road",
        "two lug covers missing, nuts themselves are tight",
        "horn button rattles, wheel creaks when turning, column loose",
        "tire balance: LF was off 2.25 oz",
        "gets worse when the brakes are hot",
        "the brakes locked up and flat spotted a tire",
        "thought for a moment that a wheel was loose",
        "figured I had thrown a tread, found a rag in the fender",
        "a hum that sounded like a tire coming apart, it was the exhaust",
        "it shook as if the wheels were about to fall off",
        "a loose wheel can cause a shimmy",
        "a worn bearing may result in a wheel coming off",
        "if the link were to separate the driver could lose control",
        "at no time did it go out of control",
        "two nuts for the hub cover are missing",
        "there is a bulge in the wall behind the bunk",
        "it pulses more when the drums are hot",
        "wheel flew off a trailer ahead of us and went into the field",
        "the tire shop lost my receipt",
        "have the tires checked for separation before anything else",
        "if a wheel bearing gets hot enough it will seize",
        "we loosened the lugs and jacked it up",
        "drive tire is egg shaped by 0.2 in",
    ],
)
def test_denials_likenesses_and_trim_are_not_flagged(text: str) -> None:
    assert reader().read(text).safety == ()


def test_a_denied_danger_is_kept_as_denied() -> None:
    assert NUTS in reader().read("shakes at 60, lug nuts are tight").denied
    assert HEAT in reader().read("shakes at 60 but hubs not hot").denied
    assert NUTS in reader().read("went round with a wrench, not one nut was loose").denied


def test_nuts_that_are_not_tight_are_not_denied() -> None:
    for text in ("lugs were not even finger tight", "nuts not fully tight", "studs barely tight"):
        read = reader().read(text)
        assert NUTS in read.safety
        assert NUTS not in read.denied


def test_what_bursts_flies_or_spills_is_told_in_many_ways() -> None:
    told = {
        "the outer tire on the left side of bus 12 exploded on the ramp": SEPARATION,
        "one of the recaps is loosing its tread": SEPARATION,
        "saw our own wheel bouncing along the shoulder": NUTS,
        "I lost the left rear off the trailer near the exit": NUTS,
        "oil splashed out from under the hub cap, drive axle": "danger.oil_leak_at_hub",
    }
    for text, danger in told.items():
        assert danger in reader().read(text).safety, text
    assert not reader().read("water splashed under the hub cap, the line exploded").safety


def test_cold_in_the_cab_says_nothing_of_the_hubs() -> None:
    read = reader().read("Shakes in the cab at 60. No heat in the cab either.")
    assert HEAT not in read.denied
    assert "felt_at.cab" not in read.denied
    assert "felt_at.cab" in {a.symptom for a in read.answers if a.state == "yes"}


def test_dangers_and_their_look_alikes_as_people_say_them() -> None:
    """700 sentences. A danger is flagged when in doubt: of what only sounds like one, one in twenty
    may be flagged too; of dangers one in fifty may be missed."""
    path = Path(__file__).parent / "danger_phrases.yaml"
    told = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    assert len(told) >= 700
    flagged = [set(reader().read(one["text"]).safety) for one in told]
    wanted = [set(one["safety"]) for one in told]
    pairs = list(zip(wanted, flagged, strict=True))
    dangers = [bool(got) for want, got in pairs if want]
    others = [bool(got) for want, got in pairs if not want]
    assert sum(dangers) >= 0.98 * len(dangers)
    assert sum(others) <= 0.05 * len(others)
    right = sum(len(want & got) for want, got in pairs)
    assert right >= 0.96 * sum(len(want) for want in wanted)
    assert right >= 0.94 * sum(len(got) for got in flagged)
