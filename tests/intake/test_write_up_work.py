"""Work told in few words, and what came of it: each way of telling once."""

from __future__ import annotations

import pytest

from tests.intake.write_up_scores import reader


def results(text: str) -> dict[str, str]:
    """What was done, and what came of it."""
    return {work.what: work.result for work in reader().read(text).work_done}


@pytest.mark.parametrize(
    ("text", "work"),
    [
        ("Corr: hub bearings LF, new seal", {"hub_bearings_adjusted"}),
        ("Correction: shocks all round, spring pins both sides",
         {"shocks_replaced", "suspension_repaired"}),
        ("April alignment, Sept steer tires, Nov balance. Shakes at 62.",
         {"aligned", "tires_replaced", "balanced"}),
        ("Fourth hanger bearing since spring. Buzz at 52.", {"joint_replaced"}),
        ("Drive tires scalloped. Hung four new.", {"tires_replaced"}),
        ("Shocks dead. Fresh set on.", {"shocks_replaced"}),
        ("Carrier bearing done last week", {"joint_replaced"}),
        ("They put overloads in", {"suspension_repaired"}),
        ("Rotors were put on the lathe", {"drum_replaced"}),
        ("Damper, then kingpins, then idler arm, each one renewed",
         {"steering_parts_replaced", "damper_replaced"}),
        ("Garage have change the rear discs", {"drum_replaced"}),
        ("Ran the outers on the balancer, weights added", {"balanced"}),
        ("Spun the steers on the truck, set 3 oz", {"balanced_on_vehicle"}),
        ("Balanced the drives right on the truck", {"balanced_on_vehicle"}),
        ("Dealer said alignment, so we had both done", {"aligned"}),
        ("Pulled the left outer dual off, brushed the face, hung it back on", {"wheel_remounted"}),
        ("Wheel off center. Remounted it square.", {"wheel_remounted"}),
        ("Shop raised the duals to 95 pounds", {"pressure_set"}),
        ("Outers at 60 psi, set to 95", {"pressure_set"}),
        ("Broke the tire down and soaped the beads", {"tire_reseated"}),
        ("Cab mount bolts slack. Bolts retorqued.", {"loose_part_secured"}),
        ("Heat shield buzzed, tied it up", {"loose_part_secured"}),
        ("Tightened the spindle nut a flat", {"hub_bearings_adjusted"}),
        ("Drained the sealant out of both steers", {"media_removed"}),
        ("R&R FRONT ROTORS", {"drum_replaced"}),
    ],
)  # fmt: skip
def test_work_in_few_words(text: str, work: set[str]) -> None:
    assert set(results(text)) == work


@pytest.mark.parametrize(
    "text",
    [
        "Ran the outers on the balancer, all true",
        "Pulled the left wheel off to check the shoes, hung it back on",
        "Correction: bearings checked, tight",
        "Air bags set at 40 psi",
        "What tire pressure to run at 65 psi cold?",
        "Tire pressure dropped to 60 psi on the LR",
        "Talk of new drums, nobody has touched them. Pedal pulses.",
        "The brakes kept coming on by themselves",
        "She threw a recap at mile 40",
        "put a dial on the front hubs",
    ],
)
def test_what_was_looked_at_or_talked_of_is_no_work(text: str) -> None:
    assert results(text) == {}


SHOCKS = "Hops at 55. New shocks. "
TOLD = {
    "cured": (
        "Hop left.", "Hopping is over.", "It quit hopping.", "Gone.", "Hop could not be provoked.",
        "Rides like velvet.", "Now holds its lane.", "Coach drives calm.", "No complaint since.",
        "Hop never showed up again.", "Repair confirmed.",
    ),
    "no_change": (
        "Same.", "Hop unchanged.", "It carries right on hopping.", "Keeps bouncing.",
        "They did zip.", "Hop is where it was.", "Hop is not gone.", "It has not.",
        "The hop could not care less.",
    ),
    "better": (
        "Hop is down by half.", "Hop is bearable, not gone.", "Hop nearly gone.",
        "The hop shrank some.", "Bouncing is milder.",
    ),
    "came_back": (
        "Hop quit for two days.", "For three months it was fine, then it hopped again.",
        "Good 2 days then back.",
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("result", "said"), [(r, said) for r, all_ in TOLD.items() for said in all_]
)
def test_what_a_sentence_after_the_work_says_came_of_it(result: str, said: str) -> None:
    assert results(SHOCKS + said) == {"shocks_replaced": result}


def test_a_lull_at_some_speed_is_no_result() -> None:
    for said in ("Slow to 50 and it quits.", "Drop to 48 and the hop stops."):
        assert results(SHOCKS + said) == {"shocks_replaced": "unknown"}, said


def test_a_result_between_two_works_belongs_to_the_first() -> None:
    told = "Wanders. Set the toe, wander as it was. Then renewed the drag link and the wander left."
    assert results(told) == {"aligned": "no_change", "steering_parts_replaced": "cured"}


def test_work_of_a_correction_shares_its_result_over_sentences() -> None:
    told = "Thumps at 40. Correction: broke the beads, lubed. Rebalanced. Thump no longer felt."
    assert results(told) == {"tire_reseated": "cured", "balanced": "cured"}


def test_what_came_before_the_cure_is_not_the_cure() -> None:
    told = "Shakes. Nuts slack after the tire change, snugged all ten nuts. That fixed it."
    assert results(told) == {"tires_replaced": "unknown", "nuts_torqued": "cured"}


@pytest.mark.parametrize(
    "text",
    [
        "New drives on Friday and by Sunday it shakes at 60.",
        "Aligned it. On the way back the seat started to shake.",
        "Rotated the tires. There is a hop at 50 that had not existed before.",
        "Hums at 48. Lug tires installed in May, hum since then.",
    ],
)
def test_what_began_after_the_work_is_worse(text: str) -> None:
    assert set(results(text).values()) == {"worse"}


def test_a_first_name_that_is_also_a_word_of_work_stays_hidden() -> None:
    for name in ("Drew Halvane", "Chip Orrin"):
        assert [span.text for span in reader().read(f"Driver: {name}, hops").personal] == [name]
