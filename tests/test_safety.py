"""Safety first: what triggers a stop, what a stop forbids, what lifts a hint, and legal figures."""

from __future__ import annotations

import re

import pytest

from advisor.model.diagnosis import Diagnosis
from advisor.pipeline import rank
from advisor.report.as_json import render_json
from advisor.report.markdown import render_markdown
from advisor.report.terminal import render_text
from tests.intake.reading import read

NUTS, TREAD, HUBS = "wheel-nut-check", "tread-full-turn", "hub-heat"
SAFETY_CHECKS = {NUTS, TREAD, HUBS}


RANKED: dict[str, Diagnosis] = {}


def diagnose(pack, symptoms: str = "", more: str = "") -> Diagnosis:
    """Ranked once; many tests look at the same few cases."""
    body = (f"symptoms: {{{symptoms}}}\n" if symptoms else "") + more
    if body not in RANKED:
        RANKED[body] = rank(read(pack, body), pack)
    return RANKED[body]


# trigger -> least level, checks that must be among those it asks for
TRIGGERS = {
    "onset: sudden": ("soon", SAFETY_CHECKS),
    "growth: within_days": ("stop", SAFETY_CHECKS),
    "speed: {low_mph: 25}": ("soon", SAFETY_CHECKS),
    "speed: {low_mph: 20}, onset: sudden": ("stop", SAFETY_CHECKS),
    "danger: {loose_or_missing_nuts: drive_left}": ("stop", {NUTS}),
    "danger: {hub_hot_or_smoke: steer_right}": ("stop", {HUBS}),
    "wear: {drive_left_inner: bulge_or_separation}": ("stop", {TREAD}),
    "danger: {exposed_cord: steer_left}": ("stop", {TREAD}),
    "danger: {cracked_wheel: drive_left}": ("stop", {NUTS}),
    "danger: {oil_leak_at_hub: steer_left}": ("soon", {HUBS}),
    "trigger: bump_until_slowed": ("stop", SAFETY_CHECKS),
    "danger.loss_of_control: yes": ("stop", SAFETY_CHECKS),
    "onset: [sudden, after_tire_work]": ("stop", {NUTS}),
    "onset: after_tire_work": ("soon", {NUTS}),
}


@pytest.mark.parametrize("said", TRIGGERS)
def test_what_must_not_wait(pack, said):
    level, checks = TRIGGERS[said]
    safety = diagnose(pack, said).safety
    assert safety.level == level
    worst = [f for f in safety.findings if f.level == level]
    assert worst
    assert checks <= {check for finding in worst for check in finding.checks}
    for finding in safety.findings:
        assert finding.triggered_by and finding.cautions and finding.do_now and finding.because
        assert finding.source in pack.sources


@pytest.mark.parametrize("said", ["sensation: hop", "speed: {low_mph: 55}", "wear: {steer: none}"])
def test_ordinary_complaints_do_not_cry_wolf(pack, said):
    assert diagnose(pack, said).safety.level == "none"


@pytest.mark.parametrize("said", TRIGGERS)
def test_saying_no_to_a_danger_triggers_nothing(pack, said):
    denied = {
        "danger: {loose_or_missing_nuts: drive_left}": "danger.loose_or_missing_nuts: no",
        "growth: within_days": "growth: {within_days: no}",
        "trigger: bump_until_slowed": "trigger: {bump_until_slowed: no}",
        "onset: sudden": "onset: {sudden: no}",
    }.get(said)
    if denied is None:
        denied = "danger.loss_of_control: no"
    assert diagnose(pack, denied).safety.level == "none"


@pytest.mark.parametrize("said", [s for s, (level, _) in TRIGGERS.items() if level == "stop"])
def test_a_stop_finding_forbids_every_check_on_the_road(pack, said):
    diagnosis = diagnose(pack, said + ", sensation: vibration")
    road = [i.id for i in diagnosis.inspections if i.access == "road"]
    assert diagnosis.inspections
    assert road == []
    spoken = " ".join(diagnosis.safety.findings[0].cautions)
    assert "no-roll" in spoken or "no-road-test" in spoken


def test_road_checks_are_planned_when_nothing_forbids_them(diagnoses):
    """So that the test above can fail: some ordinary complaint does lead onto the road."""
    on_the_road = {
        diagnosis.safety.level
        for diagnosis in diagnoses.values()
        if any(i.access == "road" for i in diagnosis.inspections)
    }
    assert on_the_road
    assert "stop" not in on_the_road


@pytest.mark.parametrize("said", ["", "sensation: hop", *TRIGGERS])
def test_safety_inspections_come_before_everything_cheaper_or_likelier(pack, said):
    plan = diagnose(pack, said).inspections
    safety = [i.safety for i in plan]
    assert {i.id for i in plan if i.safety} == SAFETY_CHECKS
    assert safety == sorted(safety, reverse=True)


def test_safety_inspections_stay_until_they_are_done_at_every_axle(pack):
    def left(places: list[str]) -> list[str]:
        lines = "".join(f"  - {{id: {NUTS}, place: {p}, result: clear}}\n" for p in places)
        plan = diagnose(pack, "", "inspections:\n" + lines).inspections
        return [i.place for i in plan if i.id == NUTS]

    assert left(["steer"]) == ["drive, trailer"]
    assert left(["steer", "drive_left"]) == ["drive, trailer"]
    assert left(["steer", "drive_left", "drive_right", "trailer"]) == []


def clear_everywhere(pack, checks) -> str:
    lines = []
    for check in sorted(checks):
        place = "" if pack.inspections[check].at == "vehicle" else "place: all, "
        lines.append(f"  - {{id: {check}, {place}result: clear}}\n")
    return "inspections:\n" + "".join(lines)


HINTS = {
    "onset: sudden": ("soon", "none"),
    "speed: {low_mph: 25}": ("soon", "none"),
    "growth: within_days": ("stop", "soon"),
    "onset: [sudden, after_tire_work]": ("stop", "soon"),
}


@pytest.mark.parametrize("said", HINTS)
@pytest.mark.parametrize(
    "head", ["{type: linehaul_tractor}", "{type: linehaul_tractor, trailer: no}"]
)
def test_a_hint_is_lifted_one_level_when_its_checks_are_clear_everywhere(pack, said, head):
    before, after = HINTS[said]
    start = f"case: t\nvehicle: {head}\n"
    body = f"symptoms: {{{said}}}\n"
    first = rank(read(pack, body, start), pack).safety
    assert first.level == before
    needed = {check for f in first.findings for check in f.checks}
    done = clear_everywhere(pack, needed)
    assert rank(read(pack, body + done, start), pack).safety.level == after
    partly = done.replace("place: all", "place: steer")
    assert rank(read(pack, body + partly, start), pack).safety.level == before


SIGHTINGS = [s for s in TRIGGERS if s.startswith(("danger", "wear", "trigger"))]


@pytest.mark.parametrize("said", SIGHTINGS)
def test_what_was_seen_is_not_lifted_by_other_checks_being_clear(pack, said):
    level, _ = TRIGGERS[said]
    first = diagnose(pack, said).safety
    needed = {check for f in first.findings for check in f.checks} | SAFETY_CHECKS
    after = diagnose(pack, said, clear_everywhere(pack, needed)).safety
    assert after.level == level


@pytest.mark.parametrize("check", sorted(SAFETY_CHECKS))
def test_a_safety_check_that_found_something_is_a_stop(pack, check):
    body = f"inspections:\n  - {{id: {check}, place: drive, result: found}}\n"
    assert diagnose(pack, "", body).safety.level == "stop"


def test_a_dangerous_cause_that_is_likely_is_a_stop_even_if_nobody_named_a_danger(pack):
    """The weighing alone: a bearing found loose, with a growl."""
    body = "inspections:\n  - {id: bearing-play, place: steer_left, result: found}\n"
    diagnosis = diagnose(pack, "noise: {growl: yes}, condition: {turning: yes}", body)
    likely = max(
        c.probability
        for c in diagnosis.causes
        if c.id in ("wheel_bearing", "loose_fastening", "tire_separation")
    )
    level = "stop" if likely >= 0.5 else "soon"
    assert likely >= 0.2
    assert diagnosis.safety.level == level


FORBIDDEN = re.compile(
    r"\bsafe to (drive|run|operate)|\b(may|can) be driven|\b(ok|okay|fine) to (drive|run)"
    r"|\b(keep|carry on|continue) driving|\bdrive on\b|\bno danger\b|\bit is safe\b",
    re.IGNORECASE,
)
ALLOWED = ("does not show that it is safe", "as soon as it is safe", "once it is safe")


def said_safe(text: str) -> list[str]:
    plain = re.sub(r"\s+", " ", text)
    for words in ALLOWED:
        plain = plain.replace(words, "")
    return [plain[max(0, m.start() - 60) : m.end() + 20] for m in FORBIDDEN.finditer(plain)]


@pytest.mark.parametrize("said", ["", "sensation: hop", *TRIGGERS])
def test_no_report_ever_says_that_it_is_safe_to_drive(pack, said):
    diagnosis = diagnose(pack, said)
    for render in (render_text, render_json, render_markdown):
        assert said_safe(render(diagnosis)) == []
    assert said_safe(render_text(diagnosis, full=True)) == []


def test_no_worked_case_says_so_either(diagnoses):
    for name, diagnosis in diagnoses.items():
        without_the_driver = diagnosis.model_copy(update={"write_up": ""})
        assert said_safe(render_json(without_the_driver)) == [], name


def test_the_search_for_such_words_finds_them():
    assert said_safe("Everything was clear, so it is safe to drive home.")
    assert said_safe("You can keep driving.")


def test_every_caution_that_is_named_is_printed_with_its_source(pack):
    diagnosis = diagnose(pack, "danger: {loose_or_missing_nuts: drive_left}")
    printed = {c.id for c in diagnosis.cautions}
    named = {c for f in diagnosis.safety.findings for c in f.cautions}
    named |= {c for step in diagnosis.inspections for c in step.cautions}
    assert named <= printed
    text = render_json(diagnosis)
    assert pack.cautions["local-codes-and-maker"].text[:40] in text


def test_the_usual_cautions_exist(pack):
    """Chocks, stands, deflation, restraint, re-torque, spinning wheel, no road test, deference."""
    wanted = {
        "chock-and-stands": "chock",
        "deflate-before-demount": "air",
        "restrain-and-stand-clear-inflating": "restrain",
        "retorque-after-interval": "torque",
        "stand-clear-spinning-wheel": "in line with",
        "no-road-test-with-stop-finding": "road test",
        "local-codes-and-maker": "maker",
        "licensed-practice": "licens",
    }
    for id_, word in wanted.items():
        caution = pack.cautions[id_]
        assert word in caution.text.lower(), id_
        assert caution.source in pack.sources


def test_us_rules_are_marked_as_us_rules(pack):
    for rule in pack.safety:
        if rule.source.startswith(("cfr-49-393", "cfr-49-396", "cfr-49-570", "cfr-29")):
            assert re.search(r"\d+ CFR", rule.us_rule), rule.id
    for limit in pack.limits.values():
        if limit.source.startswith("cfr-"):
            assert re.search(r"\bUS (rule|legal)", limit.note), limit.id


@pytest.mark.parametrize("id_", ["no-road-test-with-stop-finding", "chock-and-stands"])
def test_checks_on_the_road_and_under_a_raised_axle_carry_their_caution(pack, id_):
    state = "road" if "road" in id_ else "raised"
    assert id_ in pack.access[state].cautions


# Figures of US rules: the section is named; the regulation text itself was read unless said

REGULATION = [
    ("tread-depth-steer", 4, "49 CFR 393.75(b): 4/32 in on front wheels"),
    ("tread-depth-other", 2, "49 CFR 393.75(c): 2/32 in on all other tires"),
    ("tire-damage", 0, "49 CFR 393.75(a)(1)-(4): no exposed ply, separation, leak or deep cut"),
    ("wheel-defects", 0, "49 CFR 570.63(a): no crack, elongated hole or weld repair"),
    ("wheel-nuts-loose", 0, "49 CFR 570.63(c): all nuts in place and tight"),
    ("light-vehicle-rim-runout", 0.125, "49 CFR 570.10(b): 1/8 in, 10,000 lb or less only"),
    ("steering-lash-16-manual", 2.0, "49 CFR 393.209(b)(1)"),
    ("steering-lash-16-power", 4.25, "49 CFR 393.209(b)(1); an annual-inspection table has 4 1/2"),
    ("steering-lash-18-manual", 2.25, "49 CFR 393.209(b)(1); 570.60(a) has 2 1/4"),
    ("steering-lash-18-power", 4.75, "49 CFR 393.209(b)(1)"),
    ("steering-lash-19-manual", 2.375, "49 CFR 393.209(b)(1)"),
    ("steering-lash-19-power", 5.0, "49 CFR 393.209(b)(1)"),
    ("steering-lash-20-manual", 2.5, "49 CFR 393.209(b)(1); 570.60(a) has 2 1/2"),
    ("steering-lash-20-power", 5.25, "49 CFR 393.209(b)(1)"),
    ("steering-lash-21-manual", 2.625, "49 CFR 393.209(b)(1)"),
    ("steering-lash-21-power", 5.5, "49 CFR 393.209(b)(1)"),
    ("steering-lash-22-manual", 2.75, "49 CFR 393.209(b)(1); 570.60(a) has 2 3/4"),
    ("steering-lash-22-power", 5.75, "49 CFR 393.209(b)(1)"),
    ("steering-lash-angle-manual", 14, "49 CFR 393.209(b)(2)"),
    ("steering-lash-angle-power", 30, "49 CFR 393.209(b)(2)"),
    ("steering-linkage-play-16", 0.25, "49 CFR 570.60(b) Table 3: 16 in or less"),
    ("steering-linkage-play-16-18", 0.375, "49 CFR 570.60(b) Table 3: 16.01 to 18 in"),
    ("steering-linkage-play-18-up", 0.5, "49 CFR 570.60(b) Table 3: 18.01 in or more"),
    ("toe-multiple", 1.5, "49 CFR 570.60(d): 1.5 times the specification"),
    ("suspension-defects", 0, "49 CFR 570.61(a)-(b)"),
    ("run-low-pressure", 80, "29 CFR 1910.177(f): 80 percent of recommended pressure"),
]


@pytest.mark.parametrize(("id_", "value", "section"), REGULATION, ids=[r[0] for r in REGULATION])
def test_figures_of_regulations(pack, id_, value, section):
    limit = pack.limits[id_]
    assert limit.value == value, section
    cited = pack.sources[limit.source]
    assert section.split(":")[0].split("(")[0] in cited.title, section
    assert limit.seen == "published"
    paragraph = re.search(r"\(\w\)", section)
    assert paragraph is None or paragraph.group() in limit.section


def test_heavy_wheels_have_no_legal_runout_limit(pack):
    """49 CFR 570.63, read whole: there is none. The 1/8 in of 570.10(b) is for light vehicles."""
    for limit in pack.limits.values():
        if "runout" in limit.id and limit.source.startswith("cfr-"):
            assert limit.id == "light-vehicle-rim-runout"
            assert "10,000 lb" in limit.applies_to
            assert not set(limit.vehicles) - {"heavy_pickup_or_van", "car"}


@pytest.mark.parametrize("said", [s for s, (level, _) in TRIGGERS.items() if level == "stop"])
def test_under_a_stop_finding_nobody_is_asked_to_try_something_on_the_road(pack, said):
    asked = [q.symptom for q in diagnose(pack, said + ", sensation: vibration").questions]
    assert asked
    assert not [symptom for symptom in asked if symptom.startswith("drive_test.")]


def test_otherwise_drive_tests_are_asked_for(diagnoses):
    """So that the test above can fail."""
    asked = {q.symptom for d in diagnoses.values() for q in d.questions}
    assert any(symptom.startswith("drive_test.") for symptom in asked)
