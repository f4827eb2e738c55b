"""Scores, comparisons of packs, sensitivity and what was learned, as pages."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from advisor.model.diagnosis import Picture
from advisor.model.pack import Pack
from advisor.report.page import Page, Section, Table, render_page

if TYPE_CHECKING:
    from advisor.trust.compare import Comparison
    from advisor.trust.learn import Learned
    from advisor.trust.score import Figures, Score

HEADINGS = ("", "cases", "first", "in three", "all in three", "1/rank", "log loss", "Brier")


def _row(name: str, f: Figures) -> tuple[str, ...]:
    return (
        name,
        str(f.cases),
        f"{f.first:.0%}",
        f"{f.top_three:.0%}",
        f"{f.all_in_three:.0%}",
        f"{f.reciprocal_rank:.2f}",
        f"{f.log_loss:.4f}",
        f"{f.brier:.4f}",
    )


def render_score(score: Score, pack: Pack, kind: str) -> str:
    """`advisor score` in any format."""
    i = score.intervals
    lead = (
        f"{score.whole.cases} closed cases: a confirmed cause is first in {score.whole.first:.0%} "
        f"(90 % interval {i['first'].low:.0%} to {i['first'].high:.0%}), in the first three in "
        f"{score.whole.top_three:.0%} ({i['top_three'].low:.0%} to {i['top_three'].high:.0%}).",
        "Rules that were tuned on these cases score better than on others; see the changelog.",
    )
    missed = tuple(
        (r.case, ", ".join(r.found), str(r.first), ", ".join(r.ranking[:3]))
        for r in score.outcomes
        if r.first > 1
    )
    sections = _score_sections(score, missed, pack)
    stamp = f"Rule pack {pack.info.version}, {pack.sha256[:12]}."
    sections = [s for s in sections if s.pictures or (s.table and s.table.rows)]
    return render_page(
        Page("Score over closed cases", lead, tuple(sections), _score_data(score, pack), (stamp,)),
        kind,
    )


def _score_sections(score: Score, missed: tuple[tuple[str, ...], ...], pack: Pack) -> list[Section]:
    return [
        Section("All", table=Table(HEADINGS, (_row("all", score.whole),))),
        Section(
            "Without one kind of evidence",
            ("What each kind adds: the more the figures fall without it.",),
            table=Table(HEADINGS, tuple(_row(k, f) for k, f in score.left_out.items())),
        ),
        Section(
            "By vehicle",
            table=Table(HEADINGS, tuple(_row(k, f) for k, f in score.by_vehicle.items())),
        ),
        Section(
            "By family of what was found",
            table=Table(HEADINGS, tuple(_row(k, f) for k, f in score.by_family.items())),
        ),
        _reliability(score),
        _confusion(score, pack),
        Section("Not first", table=Table(("case", "found", "rank", "first three said"), missed)),
    ]


def _reliability(score: Score) -> Section:
    bins = [{"said": b.said, "was": b.was, "count": b.count} for b in score.reliability]
    return Section(
        "Reliability",
        (
            f"Of all causes given a probability, how often it was so. Expected calibration "
            f"error {score.calibration_error:.3f}. Bars are 90 % intervals as if the causes of a "
            "case were independent, which they are not quite.",
        ),
        table=Table(
            ("said", "causes", "mean said", "was so"),
            tuple(
                (f"{b.low:.1f} to {b.high:.1f}", str(b.count), f"{b.said:.2f}", f"{b.was:.2f}")
                for b in score.reliability
            ),
        ),
        pictures=(Picture(kind="reliability", title="Said against was", data={"bins": bins}),),
    )


def _confusion(score: Score, pack: Pack) -> Section:
    """Rows: the family found; columns, by the same numbers: the family of the first cause."""
    met = {family for pair in score.confusion for family in pair}
    order = [family for family in pack.families if family in met]
    rows = tuple(
        (
            f"{n} {pack.families[found].name}",
            *(str(score.confusion.get((found, said), "")) for said in order),
        )
        for n, found in enumerate(order, 1)
    )
    return Section(
        "Families confused",
        (
            "Cases by the family that was found (rows) and the family of the first cause (columns, "
            "by number). Where they agree the count is on the diagonal.",
        ),
        table=Table(("found", *map(str, range(1, len(order) + 1))), rows),
    )


def _score_data(score: Score, pack: Pack) -> dict[str, object]:
    return {
        "schema": 1,
        "pack": {"version": pack.info.version, "sha256": pack.sha256},
        "all": asdict(score.whole),
        "intervals_90": {k: asdict(v) for k, v in score.intervals.items()},
        "without": {k: asdict(v) for k, v in score.left_out.items()},
        "by_vehicle": {k: asdict(v) for k, v in score.by_vehicle.items()},
        "by_family": {k: asdict(v) for k, v in score.by_family.items()},
        "reliability": [asdict(b) for b in score.reliability],
        "expected_calibration_error": score.calibration_error,
        "confusion": [
            {"found": found, "said": said, "cases": n}
            for (found, said), n in sorted(score.confusion.items())
        ],
        "cases": [
            {"case": r.case, "found": list(r.found), "rank": r.first, "first": r.ranking[0]}
            for r in score.outcomes
        ],
    }


def render_comparison(c: Comparison, kind: str) -> str:
    """`advisor rules compare` in any format."""
    lead = [
        f"{len(c.entries)} entries differ; the first three causes moved in {len(c.cases)} cases.",
        f"This change asks for a {c.needs} step of the version."
        if c.needs != "none"
        else "Nothing differs.",
    ]
    if not c.logged:
        lead.append("The new version has no changelog entry of its own: add one.")
    elif not c.in_order:
        taken = "did not rise" if c.step == "none" else f"rose by a {c.step} step only"
        lead.append(f"The version {taken}.")
    if c.unread:
        lead.append(f"Not compared, as the old pack cannot read them: {', '.join(c.unread)}.")
    sections = [
        Section(
            "Entries",
            table=Table(
                ("table", "id", "change", "fields"),
                tuple((e.table, e.id, e.kind, "; ".join(e.fields)) for e in c.entries),
            ),
        ),
        Section(
            "Cases that moved",
            table=Table(
                ("case", "found", "before", "after", "why"),
                tuple(
                    (
                        m.case,
                        ", ".join(m.found),
                        ", ".join(m.before),
                        ", ".join(m.after),
                        "; ".join(m.why),
                    )
                    for m in c.cases
                ),
            ),
        ),
    ]
    if c.before and c.after:
        rows = (_row(c.old, c.before), _row(c.new, c.after))
        better = c.after.log_loss - c.before.log_loss
        said = "better" if better < 0 else "worse" if better > 0 else "the same"
        text = f"Overall {said}: log loss {better:+.4f}."
        sections.append(Section("Better or worse", (text,), table=Table(HEADINGS, rows)))
    data = {"schema": 1, **asdict(c)}
    title = f"Rule packs {c.old} and {c.new}"
    return render_page(Page(title, tuple(lead), tuple(sections), data), kind)


def render_learned(learned: Learned, kind: str) -> str:
    """`advisor learn` in any format: before and after, never silently."""
    moved = sorted(learned.priors, key=lambda p: -abs(p.after / p.before - 1))
    sections = (
        Section(
            "How common each cause is",
            table=Table(
                ("cause", "where", "before", "after", "cases", "of"),
                tuple(
                    (p.cause, p.where, f"{p.before:.4f}", f"{p.after:.4f}", str(p.cases), str(p.of))
                    for p in moved
                    if p.cases
                ),
            ),
        ),
        Section(
            "Rules whose word your cases question",
            ("Shown for your judgement; no rule is changed by this.",),
            table=Table(
                ("rule", "cause", "word", "says", "seen", "answers", "with the pack"),
                tuple(
                    (
                        r.rule,
                        r.cause,
                        r.word,
                        f"{r.said:.2f}",
                        f"{r.seen:.2f}",
                        str(r.answers),
                        f"{r.shrunk:.2f}",
                    )
                    for r in learned.rules
                ),
            ),
        ),
    )
    lead = (f"From {learned.cases} closed cases. Nothing changes until you use the overlay.",)
    return render_page(
        Page("Learned from closed cases", lead, sections, {"schema": 1, **asdict(learned)}), kind
    )
