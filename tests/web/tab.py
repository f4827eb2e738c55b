"""A tab of a real browser that checks every page it is asked to look at."""

from __future__ import annotations

import os
from pathlib import Path

SIZES = {"phone": (390, 844), "tablet": (1024, 768)}
SMALLEST_TOUCH_PX = 44  # WCAG 2.1, success criterion 2.5.5 (target size, level AAA), from memory


class Tab:
    """A page in the browser that keeps what went wrong, what it looked like and who can use it."""

    def __init__(self, chromium, address: str, size: str, script: bool):  # type: ignore[no-untyped-def]
        width, height = SIZES[size]
        self.context = chromium.new_context(
            viewport={"width": width, "height": height}, java_script_enabled=script, has_touch=True
        )
        self.page = self.context.new_page()
        self.page.set_default_timeout(15_000)
        self.address, self.size, self.script = address, size, script
        self.noise: list[str] = []
        self.page.on("console", self._told)
        self.page.on("pageerror", lambda error: self.noise.append(str(error)))

    def _told(self, message) -> None:  # type: ignore[no-untyped-def]
        # replies of 409 and 422 are part of a journey; the browser notes them
        if message.type in ("error", "warning") and "status of 4" not in message.text:
            self.noise.append(message.text)

    def go(self, path: str) -> None:
        """Open an address of the page."""
        self.page.goto(f"{self.address}{path}")

    def press(self, name: str, within: str = "main") -> None:
        """Press the first button or link of a name."""
        target = self.page.locator(f"{within} button, {within} a").filter(has_text=name).first
        target.click()
        self.page.wait_for_load_state()

    def look(self, name: str) -> None:
        """Check that the page fits, can be touched and read; keep a picture."""
        folder = os.environ.get("ADVISOR_SCREENSHOTS")
        if folder:
            Path(folder).mkdir(parents=True, exist_ok=True)
            way = "script" if self.script else "plain"
            self.page.screenshot(path=f"{folder}/{self.size}-{way}-{name}.png", full_page=True)
        if not self.script:
            return  # the checks below run in the page
        assert self.page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (
            f"{name}: wider than a {self.size}"
        )
        small = self.page.evaluate(
            """least => [...document.querySelectorAll('button, .button, select, summary, nav a')]
                .filter(e => e.offsetParent && e.getBoundingClientRect().height < least)
                .map(e => e.textContent.trim().slice(0, 30))""",
            SMALLEST_TOUCH_PX,
        )
        assert small == [], f"{name}: too small for a glove: {small}"
        self._can_be_used(name)

    def _can_be_used(self, name: str) -> None:
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(self.page, options={"resultTypes": ["violations"]}).response
        bad = [
            f"{v['id']}: {v['help']} ({v['nodes'][0]['html'][:120]})"
            for v in found["violations"]
            if v["impact"] in ("serious", "critical")
        ]
        assert bad == [], f"{name} on a {self.size}: {bad}"

    def close(self) -> None:
        """End; nothing may have gone wrong on the way."""
        self.context.close()
        assert self.noise == []
