"""What the page refuses: other sites, other names, too much, wrong phrases; what it always says."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from advisor.errors import AdvisorError
from advisor.web import entrance
from advisor.web.app import PAGES, make_app
from advisor.web.settings import Settings
from tests.web.conftest import words

PHRASE = "four blue lug nuts"
ANSWER = {"symptom": "noise.clunk", "state": "no", "was": ""}


@pytest.fixture
def phrase_file(tmp_path: Path) -> Path:
    """A file with the shop's phrase."""
    path = tmp_path / "phrase"
    path.write_text(f"{PHRASE}\n")
    return path


@pytest.fixture
def shop(folder: Path, phrase_file: Path) -> Iterator[TestClient]:
    """The page as other machines reach it."""
    settings = Settings(cases=str(folder), host="0.0.0.0", phrase_file=str(phrase_file))
    with TestClient(make_app(settings), base_url="http://192.0.2.7") as made:
        yield made


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://localhost:9999"},
    ],
)
def test_other_sites_cannot_change_anything(page: TestClient, file: Path, headers: dict[str, str]):
    before = file.read_text()
    for address, _, take in PAGES:
        if take is not None:
            address = address.format(id="t90-hop", cause="imbalance")
            assert page.post(address, data=ANSWER, headers=headers).status_code == 403
    for method, address in (("POST", "/api/cases/t90-hop/answers"), ("PUT", "/api/cases/t90-hop")):
        reply = page.request(method, address, json=ANSWER, headers=headers)
        assert reply.status_code == 403
    assert file.read_text() == before


def test_this_page_and_programs_can(page: TestClient):
    for headers in ({"sec-fetch-site": "same-origin"}, {"origin": "http://localhost"}, {}):
        assert page.post("/cases/t90-hop/answers", data=ANSWER, headers=headers).status_code == 200


def test_a_name_that_only_points_here_is_refused(page: TestClient, shop: TestClient):
    assert page.get("/cases", headers={"host": "rebound.example"}).status_code == 421
    assert page.get("/cases", headers={"host": "192.0.2.7"}).status_code == 421
    assert shop.get("/enter", headers={"host": "rebound.example"}).status_code == 421
    assert shop.get("/enter").status_code == 200


def test_every_page_forbids_inline_script_and_framing(page: TestClient):
    addresses = [a.format(id="t90-hop", cause="imbalance") for a, show, _ in PAGES if show]
    for address in [*addresses, "/nothing", "/api/about", "/static/page.css"]:
        reply = page.get(address)
        policy = reply.headers["content-security-policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy.replace("style-src 'unsafe-inline'", "") or "script" in policy
        script = [p for p in policy.split(";") if "script-src" in p]
        assert script in ([], [" script-src 'self'"])
        assert reply.headers["x-content-type-options"] == "nosniff"
        assert "<script>" not in reply.text and "onclick=" not in reply.text
        if "text/html" in reply.headers["content-type"] and "/sheet" not in address:
            assert ' style="' not in reply.text


def test_nothing_is_fetched_from_outside(page: TestClient):
    for address in ("/", "/cases", "/cases/t90-hop", "/static/page.css", "/static/page.js"):
        text = page.get(address).text
        assert "http://" not in text and "https://" not in text and "//cdn" not in text


def test_too_much_is_refused_before_it_is_read(page: TestClient):
    big = {"write_up": "x" * 2_100_000}
    assert page.post("/", data=big).status_code == 413

    def endless() -> Iterator[bytes]:
        for _ in range(50):
            yield b"x" * 100_000

    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert page.post("/", content=endless(), headers=kind).status_code == 413
    assert page.post("/api/read", json={"text": "x" * 30_000}).status_code == 422


def test_folders_are_never_listed(page: TestClient):
    for address in ("/static", "/static/", "/static/../cases/t90-hop.yaml", "/cases/",
                    "/static/%2e%2e/app.py", "/static/..%2fapp.py"):  # fmt: skip
        reply = page.get(address)
        assert "page.css" not in reply.text.replace("/static/page.css?", "")
        assert "import" not in reply.text


def test_no_traceback_reaches_a_reader(folder: Path, monkeypatch, caplog):
    def broken(*_, **__):
        raise ZeroDivisionError("inner workings")

    monkeypatch.setattr("advisor.web.glance.questions", broken)
    app = make_app(Settings(cases=str(folder)))
    with TestClient(app, base_url="http://localhost", raise_server_exceptions=False) as page:
        reply = page.get("/cases/t90-hop")
    assert reply.status_code == 500 and "Something went wrong" in reply.text
    assert "inner workings" not in reply.text and "Traceback" not in reply.text
    assert "inner workings" in caplog.text
    assert "content-security-policy" in reply.headers


def test_other_machines_need_a_phrase(folder: Path, tmp_path: Path):
    with pytest.raises(AdvisorError, match="--phrase-file"):
        make_app(Settings(cases=str(folder), host="0.0.0.0"))
    short = tmp_path / "short"
    short.write_text("abc\n")
    with pytest.raises(AdvisorError, match="at least 8"):
        make_app(Settings(cases=str(folder), host="0.0.0.0", phrase_file=str(short)))


def test_nothing_is_shown_before_the_phrase(shop: TestClient, file: Path):
    before = file.read_text()
    for address, _, _ in PAGES:
        where = address.format(id="t90-hop", cause="imbalance")
        reply = shop.get(where, follow_redirects=False)
        assert reply.status_code == 303 and reply.headers["location"].startswith("/enter")
    assert shop.get("/api/cases").status_code == 401
    assert shop.get("/api/openapi.json").status_code == 401
    assert shop.post("/cases/t90-hop/answers", data=ANSWER, follow_redirects=False).is_redirect
    assert file.read_text() == before


def test_the_phrase_opens_for_browsers_and_programs(shop: TestClient):
    reply = shop.post("/enter", data={"phrase": PHRASE, "to": "/cases"})
    assert reply.url.path == "/cases" and "Hop at sixty" in reply.text
    shop.cookies.clear()
    bearer = {"authorization": f"Bearer {PHRASE}"}
    assert shop.get("/api/cases", headers=bearer).status_code == 200


def test_the_cookie_cannot_be_made_up_or_outlive_the_phrase(shop: TestClient, phrase_file: Path,
                                                          folder: Path):  # fmt: skip
    reply = shop.post("/enter", data={"phrase": PHRASE}, follow_redirects=False)
    cookie = reply.headers["set-cookie"]
    assert "HttpOnly" in cookie and "SameSite=strict" in cookie and PHRASE not in cookie
    value = shop.cookies[entrance.COOKIE]
    shop.cookies.clear()
    until, mark = value.split(".")
    for made_up in (f"{int(until) + 9}.{mark}", f"1.{mark}", "x", f"{until}.", "9" * 400):
        shop.cookies.set(entrance.COOKIE, made_up)
        assert shop.get("/cases", follow_redirects=False).status_code == 303
        shop.cookies.clear()
    phrase_file.write_text("another phrase\n")
    settings = Settings(cases=str(folder), host="0.0.0.0", phrase_file=str(phrase_file))
    with TestClient(make_app(settings), base_url="http://192.0.2.7") as later:
        later.cookies.set(entrance.COOKIE, value)
        assert later.get("/cases", follow_redirects=False).status_code == 303


def test_guessing_is_slowed_down(shop: TestClient, monkeypatch):
    monkeypatch.setattr(entrance.time, "sleep", lambda s: None)
    codes = [shop.post("/enter", data={"phrase": f"guess {n}"}).status_code for n in range(7)]
    assert codes == [403] * 5 + [429] * 2
    # the right phrase has to wait as well, or the limit would say which guess was right
    assert shop.post("/enter", data={"phrase": PHRASE}).status_code == 429
    bearer = {"authorization": f"Bearer {PHRASE}"}
    assert shop.get("/api/cases", headers=bearer).status_code == 429


def test_phrases_are_compared_in_constant_time_and_never_logged(shop: TestClient, monkeypatch,
                                                               caplog):  # fmt: skip
    compared = []
    real = entrance.hmac.compare_digest
    monkeypatch.setattr(
        entrance.hmac, "compare_digest", lambda a, b: compared.append((a, b)) or real(a, b)
    )
    with caplog.at_level(logging.DEBUG):
        shop.post("/enter", data={"phrase": "wrong guess"})
        shop.post("/enter", data={"phrase": PHRASE})
    assert compared and all(len(a) == len(b) for a, b in compared[:2])
    assert PHRASE not in caplog.text and "wrong guess" not in caplog.text
    assert PHRASE not in repr(Settings(cases="x", phrase_file="y"))


@pytest.mark.parametrize("to", ["//evil.example", "http://evil.example", "/\\evil.example", "x"])
def test_entering_never_leads_to_another_site(shop: TestClient, to: str):
    reply = shop.post("/enter", data={"phrase": PHRASE, "to": to}, follow_redirects=False)
    assert reply.headers["location"] == "/"
    assert "evil" not in words(shop.get("/enter", params={"to": to}).text)
