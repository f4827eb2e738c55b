"""What the page is started with; handed to worker processes through the environment."""

from __future__ import annotations

import json
import os
import secrets
from dataclasses import dataclass, field
from pathlib import Path

from advisor.errors import AdvisorError

VARIABLE = "ADVISOR_SERVE"
LOOPBACK = ("127.0.0.1", "localhost", "::1")
SHORTEST_PHRASE = 8


@dataclass(frozen=True)
class Settings:
    """cases: folder of case files; rules, overlay: as on the command line; host: what is listened
    on; phrase_file: holds the access phrase, empty on the loopback; secret: signs the entrance
    cookie; classroom: folder of progress files of drills, empty for none."""

    cases: str
    rules: str = ""
    overlay: str = ""
    host: str = "127.0.0.1"
    phrase_file: str = ""
    classroom: str = ""
    secret: str = field(default_factory=lambda: secrets.token_hex(32), repr=False)

    def to_environment(self) -> None:
        """Leave the settings where `from_environment` finds them."""
        os.environ[VARIABLE] = json.dumps(self.__dict__)

    @staticmethod
    def from_environment() -> Settings:
        """The settings of the process that started this one."""
        return Settings(**json.loads(os.environ[VARIABLE]))

    @property
    def on_loopback(self) -> bool:
        """Whether only this machine can reach the page."""
        return self.host in LOOPBACK

    def phrase(self) -> str:
        """The access phrase, or empty on the loopback without one. Raises AdvisorError."""
        if not self.phrase_file:
            if self.on_loopback:
                return ""
            raise AdvisorError(
                f"--host {self.host} lets other machines in, so it needs --phrase-file FILE: one "
                f"line with an access phrase of at least {SHORTEST_PHRASE} characters"
            )
        try:
            text = Path(self.phrase_file).read_text(encoding="utf-8").strip()
        except (OSError, UnicodeDecodeError):
            raise AdvisorError(f"{self.phrase_file}: cannot read the access phrase") from None
        if len(text) < SHORTEST_PHRASE:
            raise AdvisorError(
                f"{self.phrase_file}: the access phrase needs at least {SHORTEST_PHRASE} characters"
            )
        return text
