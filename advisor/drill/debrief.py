"""After a drill: the score, the weight of each finding, the ranking over time, and one picture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, replace

import numpy as np

from advisor.compose_notes import diagram
from advisor.drill.course import course, course_sections
from advisor.drill.game import Drill
from advisor.drill.rate import rate
from advisor.drill.results import DRAWN, checks_table
from advisor.drill.score import Score
from advisor.model.case import Case, ConfirmedCause
from advisor.model.diagnosis import Picture
from advisor.model.pack import Pack
from advisor.pipeline import assess, weights_of
from advisor.report import words
from advisor.report.page import Page, Section, Table

LEAST_DECIBANS = 0.5


def debrief(drill: Drill, score: Score) -> Page:
    """The page an apprentice reads at the end."""
    right = list(dict.fromkeys(c.id for c in drill.world.causes))
    moments = course(drill.stages, drill.world)
    sections = [
        Section("Score", items=tuple(score_lines(score))),
        answer_section(drill.case, drill.pack),
        _checks_done(drill),
        *course_sections(moments, right, drill.pack),
        picture_section(drill.walk.case, right, drill.pack),
    ]
    return Page(
        f"Debrief: {drill.case.id}",
        (verdict(score), *_said(drill)),
        tuple(sections),
        {"case": drill.case.id, "passed": score.passed, "score": asdict(score)},
        (words.DEFER,),
    )


def verdict(score: Score) -> str:
    """Passed or not, and why not."""
    if score.passed:
        return "Passed."
    why = [] if score.right else [f"the {'place' if score.cause_right else 'cause'} is wrong"]
    why += ["safety checks were left out"] if score.safety_skipped else []
    why += ["it went on the road too early"] if score.on_the_road_early else []
    return f"Not passed: {words.listing(why)}."


def _said(drill: Drill) -> list[str]:
    """What the apprentice named."""
    if drill.named is None:
        return []
    named = drill.named
    return [
        f"You said: {drill.pack.causes[named.cause].name}, {words.place(named.place)}, "
        f"{100 * named.confidence:.0f} percent sure."
    ]


def score_lines(score: Score) -> list[str]:
    """The score in words; what fails the drill for safety comes first."""
    lines = []
    if score.safety_skipped:
        skipped: dict[str, list[str]] = {}
        for said in score.safety_skipped:
            check, _, place = said.rpartition(", ")
            skipped.setdefault(check, []).append(place)
        each = "; ".join(f"{check} ({', '.join(places)})" for check, places in skipped.items())
        lines.append(f"SAFETY CHECKS LEFT OUT, which fails the drill: {each}")
    if score.on_the_road_early:
        lines.append(
            "ON THE ROAD before every safety check was done and clear, which fails the drill"
        )
    place = f", place {_verdict(score.place_right)}" if score.cause_right else ""
    return [
        *lines,
        f"cause {_verdict(score.cause_right)}{place}",
        f"{words.minutes(score.minutes)} spent; planner {_minutes(score.planner_minutes)}; "
        f"fixed checklist {_minutes(score.checklist_minutes)}",
        f"wheels pulled for nothing: {score.wheels_for_nothing} (planner {score.planner_wheels}, "
        f"fixed checklist {score.checklist_wheels})",
        f"Brier score of your confidence: {score.brier:.2f} (0 is best, 0.50 is even odds, 2 is "
        "sure and wrong; Brier 1950)",
    ]


def _verdict(right: bool) -> str:
    return "right" if right else "wrong"


def _minutes(value: float | None) -> str:
    return "confirms nothing" if value is None else words.minutes(value)


def answer_section(case: Case, pack: Pack) -> Section:
    """What it was, how it was known, what fixed it, what the case teaches."""
    assert case.confirmed is not None
    found = "; ".join(cause_words(c, pack) for c in case.confirmed.causes)
    rated = rate(case, pack)
    lines = [f"It was: {found}.", f"Known by: {words.sentence(case.confirmed.by)}"]
    lines += [f"Fixed by: {words.sentence(case.fixed_by)}"] if case.fixed_by else []
    lines += [case.teaches] if case.teaches else []
    lines.append(
        f"Difficulty: {rated.level}; with the driver's answers and before any inspection the right "
        f"cause ranks number {rated.rank} (a surprise of {rated.bits:.1f} bits)."
    )
    return Section("The answer", text=tuple(lines))


def cause_words(cause: ConfirmedCause, pack: Pack) -> str:
    """'bent wheel or rim, right steer'."""
    name = pack.causes[cause.id].name
    return f"{name}, {cause.place.words}" if cause.place else name


def _checks_done(drill: Drill) -> Section:
    """Every check of the apprentice."""
    heading = "Your checks"
    if not drill.taken:
        return Section(heading, text=("You did none.",))
    return Section(heading, text=(DRAWN,), table=checks_table(drill.taken, drill.pack))


def weight_section(case: Case, pack: Pack) -> Section:
    """How far each finding spoke for or against the right causes, in decibans."""
    right = [c.id for c in case.confirmed.causes] if case.confirmed else []
    heading = "What each finding weighed for the right cause"
    rows = []
    assessed = assess(replace(case, confirmed=None), pack)
    right = [c for c in right if c in assessed.now.cause]
    for weighed in weights_of(assessed):
        gains = [weighed.decibans[c] for c in right]
        if gains and max(map(abs, gains)) >= LEAST_DECIBANS:
            cells = tuple(f"{g:+.1f}" for g in gains)
            rows.append((weighed.finding.says, *cells))
    rows.sort(key=lambda row: -abs(float(row[1])))
    names = tuple(pack.causes[c].name for c in right)
    note = "In decibans: 10 is ten to one; plus speaks for it, minus against it (Good 1950)."
    if not rows:
        return Section(heading, text=("Nothing that was known spoke for it or against it.",))
    return Section(heading, text=(note,), table=Table(("finding", *names), tuple(rows)))


def picture_section(case: Case, right: Iterable[str], pack: Pack) -> Section:
    """The interference diagram of this vehicle, and what the right causes do in it."""
    # the picture shows the vehicle and the speeds, not the ranking: the least precision will do
    assessed = assess(replace(case, confirmed=None), pack, precision=np.inf)
    made = diagram(assessed).model_dump(mode="json")
    text = [f"{(c := pack.causes[id_]).name}: {c.orders_say or c.what}" for id_ in right]
    title = "Orders of rotation against road speed, with the vehicle's own frequencies"
    picture = Picture(kind="interference", title=title, data=made)
    return Section("The physics in one picture", text=tuple(text), pictures=(picture,))
