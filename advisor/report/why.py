"""`advisor why`: one cause, what speaks for and against it, and what would change it."""

from __future__ import annotations

from advisor.model.diagnosis import PackStamp, RankedCause, Statement
from advisor.model.explanation import Explanation
from advisor.report import words
from advisor.report.page import Page, Section, Table, render_page


def render_why(told: Explanation, kind: str) -> str:
    """An explanation in any format."""
    return render_page(why_page(told), kind)


def why_page(told: Explanation) -> Page:
    """An explanation as a page."""
    cause = told.cause
    lead = (
        f"{cause.what}",
        f"Number {told.rank} in the list; {words.chance(cause.probability)} that it is present "
        f"({words.chance(cause.prior)} before anything was said), "
        f"at: {words.places(cause.places)}.",
    )
    sections = (
        Section("Speaks for it", items=_said(cause.for_) or ("nothing that was said",)),
        Section("Speaks against it", items=_said(cause.against) or ("nothing that was said",)),
        Section(
            "Not known yet, and what it would do",
            table=Table(
                ("answer or result", "if yes", "first then", "if no", "first then"),
                tuple(
                    (
                        c.says,
                        f"{c.if_yes:.0%}",
                        c.first_if_yes.replace("_", " "),
                        f"{c.if_no:.0%}",
                        c.first_if_no.replace("_", " "),
                    )
                    for c in told.changers
                ),
            ),
        ),
        Section("How firm the first place is", items=told.sensitivity),
        Section("To confirm it", text=(told.confirm,)),
        Section("To correct it", items=told.remedy, text=(f"Then verify: {told.verify}",)),
        Section("Sources", items=tuple(f"{id_}: {text}" for id_, text in told.sources.items())),
    )
    title = f"{cause.name} in case {told.case}"
    return Page(title, lead, sections, _data(told), (stamp_words(told.pack),))


def _said(statements: list[Statement]) -> tuple[str, ...]:
    made = []
    for s in statements:
        text = f"{s.says} ({s.decibans:+.1f} decibans): {s.because}"
        if s.mistaken_when:
            text += f" Misleads when: {s.mistaken_when}"
        made.append(text + f" [{s.source}{', rule ' + s.rule if s.rule else ''}]")
    return tuple(made)


def stamp_words(pack: PackStamp) -> str:
    """Which rules produced a page."""
    overlay = f", with the shop's overlay {pack.overlay}" if pack.overlay else ""
    return f"Rule pack {pack.version}, {pack.sha256[:12]}{overlay}."


def _data(told: Explanation) -> dict[str, object]:
    cause: RankedCause = told.cause
    return {
        "schema": 1,
        "case": told.case,
        "pack": told.pack.model_dump(),
        "rank": told.rank,
        "cause": cause.model_dump(by_alias=True),
        "would_change_it": [
            {
                "symptom": c.symptom,
                "says": c.says,
                "if_yes": round(c.if_yes, 6),
                "first_if_yes": c.first_if_yes,
                "if_no": round(c.if_no, 6),
                "first_if_no": c.first_if_no,
            }
            for c in told.changers
        ],
        "sensitivity": list(told.sensitivity),
        "sources": told.sources,
    }
