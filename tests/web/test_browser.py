"""The three users' journeys in a real browser: with and without JavaScript, phone and tablet.

Needs Chromium (Debian package chromium; ADVISOR_BROWSER names another path) and the packages
playwright and axe-playwright-python. ADVISOR_SCREENSHOTS names a folder for pictures of every page;
ADVISOR_NEEDS_BROWSER=1 turns a missing browser from a skip into a failure, as in CI. With either of
them the journeys without JavaScript are made on the tablet as well.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from advisor import load_case, load_rules
from tests.web.conftest import CLOSED, OPEN
from tests.web.served import Served
from tests.web.tab import SIZES, Tab

BROWSER = os.environ.get("ADVISOR_BROWSER") or shutil.which("chromium") or ""
NEEDED = bool(os.environ.get("ADVISOR_NEEDS_BROWSER"))
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
)  # fmt: skip
WRITE_UP = "HOPS IN SEAT 58-64 LOADED OR EMPTY. STARTED AFTER NEW STEERS. BALANCED TWICE NO CHANGE"
STACK = (
    "Unit,Date,Complaint\nT-1,2031-05-01,hops in the seat 58-64\n"
    "T-2,2031-05-01,lug nuts loose on right rear and it wobbles\n"
)
MORE = '[{"unit": "T-3", "complaint": "radio does not work"},\n7]'
DIAL = [round(0.07 + 0.06 * float(np.cos(np.radians(30 * n - 90))), 3) for n in range(12)]


def missing() -> str:
    """What is not there, or empty."""
    if not BROWSER or not Path(BROWSER).exists():
        return "no Chromium here: apt-get install chromium, or ADVISOR_BROWSER=/path/to/it"
    try:
        import axe_playwright_python  # noqa: F401
        import playwright  # noqa: F401
    except ImportError as error:
        return f"{error.name} is missing: pip install -e '.[dev]'"
    return ""


pytestmark = pytest.mark.skipif(bool(missing()) and not NEEDED, reason=missing() or "runs")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop's folder."""
    folder = tmp_path_factory.mktemp("shop")
    (folder / "t90-hop.yaml").write_text(OPEN)
    (folder / "t91-bent.yaml").write_text(CLOSED)
    return folder


@pytest.fixture(scope="module")
def served(home: Path) -> Iterator[str]:
    """The page's address."""
    with Served(home, workers=2) as page:
        yield page.address


@pytest.fixture(scope="module")
def chromium() -> Iterator[object]:
    """One browser for all tests."""
    if text := missing():
        pytest.fail(text)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as p:
        made = p.chromium.launch(executable_path=BROWSER, headless=True, args=list(FLAGS))
        yield made
        made.close()


# a page without script is the same at every size, so one is enough where nobody wants pictures
WAYS = [("phone", True), ("phone", False), ("tablet", True)]
WAYS += [("tablet", False)] if NEEDED or os.environ.get("ADVISOR_SCREENSHOTS") else []


@pytest.fixture(params=WAYS, ids=lambda p: f"{p[0]}-{'script' if p[1] else 'plain'}")
def tab(chromium, served: str, request: pytest.FixtureRequest) -> Iterator[Tab]:  # type: ignore[no-untyped-def]
    """A tab of each size with JavaScript, and without."""
    made = Tab(chromium, served, *request.param)
    yield made
    made.close()


def test_a_tech_from_complaint_to_closed_case(tab: Tab, home: Path):
    unit = f"U-{tab.size}-{'s' if tab.script else 'p'}"
    tab.go("/")
    tab.page.fill("#write_up", WRITE_UP)
    tab.page.fill("#unit", unit)
    tab.page.fill("#tire", "295/75R22.5")
    if tab.script:
        tab.page.wait_for_selector("#understood mark")
    else:
        tab.press("Show what is understood")
    assert tab.page.locator("mark", has_text="HOPS").count() == 1
    tab.look("1-new")
    tab.press("Start the case")
    case = tab.page.url.rsplit("/", 1)[1]
    file = home / f"{case}.yaml"
    asked = tab.page.locator("input[name=symptom]").first.get_attribute("value")
    tab.press("Yes", ".answers")
    tab.page.wait_for_selector(f'li:has-text("Take back"):has(input[value="{asked}"])')
    assert f'{asked}: "yes"' in file.read_text()
    tab.page.fill("#low", "57")
    tab.page.fill("#high", "65")
    tab.press("Save the speeds")
    drawn = tab.page.wait_for_selector("figure img[alt*='57 to 65 mph']")
    drawn.scroll_into_view_if_needed()
    if tab.script:
        drawn.evaluate("e => e.decode()")  # fails when the picture is none
    tab.look("2-answers")
    walk(tab, file)
    dial(tab, case, file)
    close(tab, case, file)


def walk(tab: Tab, file: Path) -> None:
    """Two steps at the truck, one taken back."""
    tab.press("Go to the bench")
    tab.look("3-bench-cautions")
    tab.press("All of that is in place")
    tab.page.wait_for_selector("text=All clear")
    tab.look("4-bench-step")
    tab.press("All clear")
    tab.page.wait_for_selector("#done ~ ul >> text=clear")
    assert "answer: clear" in file.read_text()
    tab.press("Take the last one back")
    tab.page.wait_for_selector("#done ~ ul >> text=Nothing yet")
    assert "answer: clear" not in file.read_text()


def dial(tab: Tab, case: str, file: Path) -> None:
    """Twelve dial readings; the plot comes with them."""
    tab.go(f"/cases/{case}/clock")
    tab.page.select_option("#place", "steer_left")
    for n, value in enumerate(DIAL):
        tab.page.fill(f"input[name=r{n}]", str(value))
    if not tab.script:
        tab.press("Only look")
    tab.page.wait_for_selector("text=12 of 12 read")
    assert tab.page.locator("text=Total indicated runout 0.12").count() == 1
    tab.look("5-clock")
    tab.press("Save into the case")
    tab.page.wait_for_selector("text=What they say")
    assert len(load_case(file, load_rules()).readings) == 1
    tab.look("6-readings")


def close(tab: Tab, case: str, file: Path) -> None:
    """The end of the case."""
    tab.go(f"/cases/{case}/close")
    tab.page.select_option("#cause", "off_center_mounting")
    tab.page.select_option("#place", "steer_left")
    tab.page.fill("#by", "rim runout re-indexed")
    tab.look("7-close")
    tab.press("Close the case")
    tab.page.wait_for_selector("text=Known by")
    assert load_case(file, load_rules()).confirmed is not None
    tab.look("8-closed")


def test_a_service_manager_from_stack_to_list(tab: Tab):
    tab.go("/board")
    texts = {"today.csv": STACK, "more.json": MORE}
    uploads = [{"name": n, "mimeType": "", "buffer": t.encode()} for n, t in texts.items()]
    tab.page.set_input_files("#file", uploads)
    if tab.script:
        tab.page.wait_for_selector("#chosen >> text=2 files, 0.0 MB")
    tab.press("Sort these")
    tab.page.wait_for_selector("text=1. T-2", timeout=60_000)
    assert tab.page.locator("text=more.json line 2: not a JSON object").is_visible()
    tab.look("board")
    tab.page.select_option("#level", "none")
    tab.press("Show")
    assert tab.page.locator("h3", has_text="T-2").count() == 0
    tab.press("Start a case")
    assert tab.page.input_value("#unit") == "T-1"
    tab.go("/cases?q=wobble")
    tab.look("cases")
    tab.go("/compare?a=t90-hop&b=t91-bent")
    tab.look("compare")
    tab.go("/cases/t90-hop/all")
    tab.look("all-answers")
    tab.go("/cases/t90-hop/why/off_center_mounting")
    tab.look("why")


@pytest.mark.parametrize(("size", "script"), [("phone", True), ("tablet", False)])
def test_a_whole_folder_of_cases(  # type: ignore[no-untyped-def]
    chromium, served: str, tmp_path: Path, size: str, script: bool
):
    shop = tmp_path / "shop"
    (shop / ".hidden").mkdir(parents=True)
    (shop / "north").mkdir()
    (shop / "north" / "one.yaml").write_text(OPEN.replace("T-90", "N-1"))
    (shop / ".hidden" / "two.yaml").write_text(OPEN.replace("T-90", "N-2"))
    (shop / "plan.pdf").write_text("x")
    tab = Tab(chromium, served, size, script)
    tab.go("/board")
    tab.page.set_input_files("#folder", shop)
    if script:
        tab.page.wait_for_selector("#chosen >> text=1 file, 0.0 MB")
    tab.press("Sort these")
    tab.page.wait_for_selector("text=shop: 1 case files")
    assert tab.page.locator("h3", has_text="N-1").count() == 1
    assert tab.page.locator("text=N-2").count() == 0
    tab.look("board-of-a-folder")
    tab.close()


def test_an_apprentice_and_the_trainer(tab: Tab):
    tab.go("/drill")
    tab.page.fill("#apprentice", f"Lee-{tab.size}")
    tab.look("drills")
    tab.page.locator(".list button").nth(1).click()
    tab.page.wait_for_selector("text=What you know")
    tab.press("Ask (1 minute)")
    tab.page.wait_for_selector("#told >> text=ask sensation")
    tab.page.select_option("#kind", "wheel-nut-check@all")
    tab.press("Check it")
    tab.page.wait_for_selector("#told >> text=do wheel nut check all")
    tab.look("drill")
    tab.page.fill("#sure", "60")
    tab.press("Name it and end the drill")
    tab.page.wait_for_selector("text=The answer", timeout=90_000)
    tab.look("debrief")
    tab.go("/drill/class")
    tab.page.wait_for_selector("text=Class summary")
    assert f"Lee-{tab.size}" in tab.page.content()
    tab.look("class")


def test_without_connection_the_answer_stays_and_the_page_says_so(  # type: ignore[no-untyped-def]
    chromium, served: str, home: Path
):
    (home / "alone.yaml").write_text(OPEN.replace("t90-hop", "alone"))
    tab = Tab(chromium, served, "phone", True)
    tab.go("/cases/alone")
    tab.context.set_offline(True)
    tab.press("Yes", ".answers")
    tab.page.wait_for_selector("text=Not saved: no connection")
    assert "symptoms" not in (home / "alone.yaml").read_text()
    tab.context.set_offline(False)
    tab.press("Yes", ".answers")
    tab.page.wait_for_selector("text=Take back")
    assert "symptoms" in (home / "alone.yaml").read_text()
    tab.noise = [n for n in tab.noise if "ERR_INTERNET_DISCONNECTED" not in n]
    tab.close()


def test_what_must_not_roll_fills_the_screen(chromium, served: str, home: Path):  # type: ignore[no-untyped-def]
    danger = "symptoms: {danger.loose_or_missing_nuts: steer_left}\n"
    (home / "stop.yaml").write_text(OPEN.replace("t90-hop", "stop") + danger)
    for size in SIZES:
        tab = Tab(chromium, served, size, True)
        tab.go("/cases/stop")
        box = tab.page.locator(".safety.stop").bounding_box()
        first = tab.page.locator(".answers").first.bounding_box()
        assert box and first and box["y"] < SIZES[size][1] / 2 < first["y"]
        tab.look("stop")
        tab.close()


def test_two_tablets_and_a_keyboard(chromium, served: str, home: Path):  # type: ignore[no-untyped-def]
    (home / "pair.yaml").write_text(OPEN.replace("t90-hop", "pair"))
    one, two = (Tab(chromium, served, size, True) for size in SIZES)
    for tab in (one, two):
        tab.go("/cases/pair")
    asked = one.page.locator("input[name=symptom]").first.get_attribute("value")
    one.press("Yes", ".answers")
    one.page.wait_for_selector("text=Take back")
    # the other tablet still shows the question; it is answered with the keyboard alone
    no = two.page.locator(".answers button", has_text="No").first
    for _ in range(40):
        if no.evaluate("e => e === document.activeElement"):
            break
        two.page.keyboard.press("Tab")
    two.page.keyboard.press("Enter")
    two.page.wait_for_selector("text=Two answers to one question")
    two.look("two-answers")
    assert f'{asked}: "yes"' in (home / "pair.yaml").read_text()
    two.press("Mine is right")
    two.page.wait_for_selector("text=Saved:")
    assert f'{asked}: "no"' in (home / "pair.yaml").read_text()
    for tab in (one, two):
        tab.close()
