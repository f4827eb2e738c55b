"""The bench sheet: self-contained, escaped, cautions beside steps, sources numbered."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from advisor.report.html import orders_html, render_html

from .sample import STOP, WRITE_UP, build, document

HOSTILE = (
    "<script>alert(1)</script><img src=x onerror=y> \x1b[2J\x00 60 & \"70\" 'mph' </blockquote>"
)
VOID = {"meta", "br", "img", "link", "input", "hr"}


class Outline(HTMLParser):
    """Tags with attributes in order; checks that every tag is closed in turn."""

    def __init__(self, html: str):
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-3:]}"
        self.open.pop()


def text_of(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.fixture(scope="module")
def sheet() -> str:
    return render_html(build())


def test_tags_nest_and_ids_are_unique(sheet):
    outline = Outline(sheet)
    assert outline.open == []
    ids = [a["id"] for _, a in outline.tags if "id" in a]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", ["sheet", "orders"])
def test_nothing_is_fetched_and_nothing_runs(name):
    d = build()
    page = render_html(d) if name == "sheet" else orders_html(d.orders, d.diagram)
    outline = Outline(page)
    assert {"script", "link", "img", "iframe", "object", "image"}.isdisjoint(
        tag for tag, _ in outline.tags
    )
    for _, attributes in outline.tags:
        assert not [key for key in attributes if key.startswith("on")]
        for key in ("href", "xlink:href", "src"):
            assert (attributes.get(key) or "#").startswith("#")
    assert "http" not in page and "@import" not in page
    assert set(re.findall(r"url\((.)", page)) <= {"#"}


def test_hostile_write_up_stays_text():
    limitation = [{"id": "x", "says": HOSTILE, "do": HOSTILE}]
    spans = [{"symptom": HOSTILE, "value": HOSTILE, "start": 4, "end": 12, "text": HOSTILE}]
    d = build(write_up=HOSTILE, title=HOSTILE, case="a</style>\"; }", unit=HOSTILE, spans=spans,
              limitations=limitation, answers=[HOSTILE])  # fmt: skip
    page = render_html(d)
    outline = Outline(page)
    assert outline.open == []
    assert {"script", "img"}.isdisjoint(tag for tag, _ in outline.tags)
    assert "\x1b" not in page and "\x00" not in page
    assert page.count("</style>") == 1
    style = page[page.index("<style>") : page.index("</style>")]
    assert style.count("{") == style.count("}") and "alert" not in style.replace("alert 1", "")


def test_spans_are_marked_where_they_stand_and_not_by_color_alone(sheet):
    quote = sheet[sheet.index("<blockquote>") : sheet.index("</blockquote>")]
    marked = re.findall(r"<mark>(.*?)</mark><sup>(\w+)</sup>", quote)
    assert [text for text, _ in marked] == [
        "hops", "in the seat", "58", "64", "Started right after the new steers",
        "No shake when braking"]  # fmt: skip
    assert "".join(name for _, name in marked) == "abcdef"
    assert re.sub(r"<sup>.*?</sup>|<[^>]+>", "", quote) == WRITE_UP
    assert "condition: braking: no" in text_of(sheet)


def test_every_caution_of_a_step_stands_inside_it_and_in_full_once(sheet):
    d = build()
    steps = re.findall(r'<li class="step.*?(?=<li class="step|</section>)', sheet, re.S)
    assert len(steps) == 5
    for html, step in zip(steps, d.inspections, strict=False):
        for ident in step.cautions:
            note = next(c for c in d.cautions if c.id == ident)
            assert note.text in html
    assert "from a distance" in text_of(sheet), "a caution of no step is printed too"


def test_later_mention_of_a_long_caution_says_where_it_stands_in_full():
    cautions = document()["cautions"]
    cautions[0] = dict(cautions[0], text="Chock it. Then set it on stands.")
    steps = re.findall(r'<li class="step.*?(?=<li class="step|</section>)',
                       render_html(build(cautions=cautions)), re.S)  # fmt: skip
    assert "Then set it on stands." in steps[0] and "In full" not in steps[0]
    assert "Chock it." in steps[1] and "In full: step 1" in steps[1]


def test_unknown_caution_is_shown_rather_than_dropped():
    steps = [dict(document()["inspections"][0], cautions=["keep-hands-clear"])]
    assert "keep hands clear." in render_html(build(inspections=steps))


def test_sources_are_numbered_in_order_and_only_the_cited_ones_once(sheet):
    foot = sheet[sheet.index('<ol class="sources">') :]
    listed = [int(n) for n in re.findall(r'<li id="source-(\d+)"', foot)]
    cited = [int(n) for n in re.findall(r'href="#source-(\d+)"', sheet)]
    assert listed == list(range(1, len(listed) + 1)) == sorted(set(cited))
    assert list(dict.fromkeys(cited)) == listed, "numbers rise in the order of citing"
    assert "nothing on the sheet cites" not in foot
    assert foot.count("29 CFR 1910.177") == 1
    assert "(published, seen as quoted elsewhere)" in foot and "(from memory)" in foot


def test_safety_box_comes_first():
    page = render_html(build(safety=STOP))
    assert page.index('class="safety stop"') < page.index('<h2 id="written"')
    assert page.index("Do not move the unit") < page.index('id="causes"')
    assert "does not clear the vehicle" in render_html(build())


def test_blanks_boxes_and_signature(sheet):
    first = build().inspections[1]
    for field in first.fields:
        assert f'<span class="blank">{field.replace(chr(39), "&#39;")}</span>' in sheet
    for word in ("found", "clear", "could not check"):
        assert f'<span class="box" aria-hidden="true"></span>{word}' in sheet
    assert "Technician" in sheet and "Date" in sheet


def test_demo_mark_follows_the_document(sheet):
    assert "Demo data" in sheet
    assert "emo data" not in render_html(build(demo=False))


def test_headings_tables_and_drawings_can_be_read_aloud(sheet):
    outline = Outline(sheet)
    assert ("html", {"lang": "en-US"}) in outline.tags
    levels = [int(tag[1]) for tag, _ in outline.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))
    assert all(a.get("scope") in ("row", "col") for tag, a in outline.tags if tag == "th")
    ids = {a.get("id") for _, a in outline.tags}
    drawings = [a for tag, a in outline.tags if tag == "svg"]
    assert len(drawings) == 2
    for attributes in drawings:
        assert attributes["role"] == "img"
        assert set(attributes["aria-labelledby"].split()) <= ids


def test_same_document_same_bytes(sheet):
    assert render_html(build()) == sheet
