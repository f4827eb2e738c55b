"""After a drill: the score, the weight of each finding, the ranking over time, and one picture."""

from __future__ import annotations

from dataclasses import asdict, replace

from advisor.compose_notes import diagram
from advisor.drill.game import Drill
from advisor.drill.rate import rate
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
    sections = [
        Section("Score", items=tuple(score_lines(score))),
        answer_section(drill.case, drill.pack),
        Section("What you did", table=_steps(drill)),
        weight_section(_full(drill), drill.pack),
        Section("How the right cause stood", table=_ranking(drill)),
        picture_section(_full(drill), drill.pack),
    ]
    verdict = "Passed." if score.passed else "Not passed."
    return Page(
        f"Debrief: {drill.case.id}",
        (verdict, "Results marked * were drawn from the rules, where the case holds none."),
        tuple(sections),
        {"case": drill.case.id, "passed": score.passed, "score": asdict(score)},
        (words.DEFER,),
    )


def score_lines(score: Score) -> list[str]:
    """The score in words."""
    lines = [
        f"cause {_verdict(score.cause_right)}, place {_verdict(score.place_right)}",
        f"{words.minutes(score.minutes)} spent; planner {_minutes(score.planner_minutes)}, "
        f"fixed checklist {_minutes(score.checklist_minutes)}",
        f"wheels pulled for nothing: {score.wheels_for_nothing} (planner {score.planner_wheels}, "
        f"fixed checklist {score.checklist_wheels})",
        f"Brier score of your confidence: {score.brier:.2f} (0 is best, 0.50 is even odds, 2 is "
        "sure and wrong; Brier 1950)",
    ]
    if score.safety_skipped:
        skipped = "; ".join(score.safety_skipped)
        lines.append(f"SAFETY CHECKS LEFT OUT, which fails the drill: {skipped}")
    if score.on_the_road_early:
        lines.append("ON THE ROAD before every safety check was done, which fails the drill")
    return lines


def _verdict(right: bool) -> str:
    return "right" if right else "wrong"


def _minutes(value: float | None) -> str:
    return "confirms nothing here" if value is None else words.minutes(value)


def answer_section(case: Case, pack: Pack) -> Section:
    """What it was, how it was known, what fixed it, what the case teaches."""
    assert case.confirmed is not None
    found = "; ".join(cause_words(c, pack) for c in case.confirmed.causes)
    rated = rate(case, pack)
    lines = [f"It was: {found}.", f"Known by: {words.sentence(case.confirmed.by)}"]
    lines += [f"Fixed by: {words.sentence(case.fixed_by)}"] if case.fixed_by else []
    lines += [case.teaches] if case.teaches else []
    lines.append(
        f"Difficulty: {rated.level}; before any inspection the right cause stands at place "
        f"{rated.rank}, with a surprise of {rated.bits:.1f} bits."
    )
    return Section("The answer", text=tuple(lines))


def cause_words(cause: ConfirmedCause, pack: Pack) -> str:
    """'bent wheel or rim, right steer'."""
    name = pack.causes[cause.id].name
    return f"{name}, {cause.place.words}" if cause.place else name


def _full(drill: Drill) -> Case:
    """What was known at the end of the drill."""
    return replace(drill.walk.case, confirmed=drill.case.confirmed)


def _steps(drill: Drill) -> Table:
    rows = []
    for taken in drill.walk.taken:
        info = drill.pack.inspections[taken.id]
        star = "" if taken.shown.from_case else " *"
        rows.append(
            (
                info.name,
                words.place(taken.place),
                words.minutes(taken.minutes),
                f"{result_words(taken.shown.done.outcome, taken.shown.done.values)}{star}",
            )
        )
    return Table(("check", "place", "time", "result"), tuple(rows))


def result_words(outcome: str | None, values: object) -> str:
    """'found, tir in 0.128'."""
    numbers = ", ".join(f"{k.replace('_', ' ')} {v:.4g}" for k, v in dict(values).items())  # type: ignore[call-overload]
    return f"{outcome}, {numbers}" if numbers else str(outcome)


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


def _ranking(drill: Drill) -> Table:
    rows = [
        (moment.after, str(moment.rank), words.chance(moment.probability))
        for moment in drill.moments
    ]
    return Table(("after", "place", "chance"), tuple(rows))


def picture_section(case: Case, pack: Pack) -> Section:
    """The interference diagram of this vehicle, and what the right cause does in it."""
    assessed = assess(replace(case, confirmed=None), pack)
    made = diagram(assessed).model_dump(mode="json")
    text = []
    for cause in case.confirmed.causes if case.confirmed else ():
        info = pack.causes[cause.id]
        text.append(f"{info.name}: {info.orders_say or info.what}")
    title = "Orders of rotation against road speed, with the vehicle's own frequencies"
    picture = Picture(kind="interference", title=title, data=made)
    return Section("The physics in one picture", text=tuple(text), pictures=(picture,))
