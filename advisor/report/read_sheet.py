"""A write-up as it was understood: text, JSON, Markdown, or HTML with its words marked."""

from __future__ import annotations

import json
from typing import Any

from advisor.model.diagnosis import Marked
from advisor.model.pack import Pack
from advisor.model.read import ReadWriteUp
from advisor.report import spans, words
from advisor.report.page import Page, Section, render_page

NO_SYMPTOM = "Nothing in it is a symptom this program knows."


def render_read(read: ReadWriteUp, pack: Pack, text: str, kind: str, level: str = "none") -> str:
    """What was read. text: the write-up as it may be shown (masked); level: stop, soon or none."""
    if kind == "json":
        return json.dumps(read_json(read, text), indent=2, ensure_ascii=True) + "\n"
    if kind == "html":
        return _html(read, pack, text, level)
    return render_page(_page(read, pack, text, level), kind)


def read_json(read: ReadWriteUp, text: str) -> dict[str, Any]:
    """Plain values; `symptoms` has the shape of a case file. Spans show the text as it may be
    shown."""
    made = read.to_json_dict()
    for span in made["spans"]:
        span["text"] = text[span["start"] : span["end"]]
    return made | {"notes": list(read.notes)}


def _said(read: ReadWriteUp, pack: Pack) -> list[str]:
    said = []
    for answer in read.answers:
        where = f", {answer.place.words}" if answer.place else ""
        no = "" if answer.state == "yes" else "not: "
        said.append(f"{no}{pack.symptoms[answer.symptom].name}{where}")
    speed = read.speed
    if speed is not None:
        top = speed.high_mph if speed.high_mph is not None else speed.low_mph
        if speed.low_mph is not None and top is not None:
            more = " and up" if speed.high_mph is None else ""
            said.append(f"felt at {words.mph(speed.low_mph, top)}{more}")
        elif speed.high_mph is not None:
            said.append(f"felt up to {speed.high_mph:.0f} mph")
        if speed.peak_mph is not None:
            said.append(f"strongest at {speed.peak_mph:.0f} mph")
    return said


def _page(read: ReadWriteUp, pack: Pack, text: str, level: str) -> Page:
    work = [f"{pack.work[w.what].name}: {w.result.replace('_', ' ')}" for w in read.work_done]
    called_fine = [words.plain(d) for d in read.denied if d.startswith(("fine.", "smooth."))]
    sections = [
        Section("Understood", items=tuple(_said(read, pack)) or (NO_SYMPTOM,)),
        Section("Work already done", items=tuple(work)),
        Section("Called good", items=tuple(called_fine)),
        Section("To know", items=tuple(words.plain(note) for note in read.notes)),
    ]
    return Page(
        "A write-up as understood",
        (text, *_verdict(read, pack, level)),
        tuple(s for s in sections if s.items),
        {},
        ("Read by a word matcher; correct what was misread before you rely on it.",),
    )


def _verdict(read: ReadWriteUp, pack: Pack, level: str) -> tuple[str, ...]:
    kind = "A vibration complaint." if read.is_vibration else "Not a vibration complaint."
    if not read.safety:
        return (kind,)
    names = words.listing([pack.symptoms[s].name for s in read.safety])
    act = "STOP: do not drive it" if level == "stop" else "SOON: look before it runs again"
    return (f"{act}: {names}. Look at it before anything else. {words.DEFER}", kind)


def _html(read: ReadWriteUp, pack: Pack, text: str, level: str) -> str:
    from advisor.report.html import _environment

    marks = [
        Marked(symptom=m.symptom, value=m.value, start=m.span.start, end=m.span.end, text="")
        for m in read.marks
    ]
    template = _environment().get_template("read.html.j2")
    return template.render(
        pieces=spans.pieces(text, marks),
        legend=spans.legend(text, marks),
        verdict=_verdict(read, pack, level),
        urgent=bool(read.safety),
        page=_page(read, pack, text, level),
    )
