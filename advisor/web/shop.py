"""What all requests of one process share: the rule pack, the folder, and a few results kept."""

from __future__ import annotations

import datetime
import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from pathlib import Path
from typing import Any, TypeVar

from advisor import load_rules
from advisor.assessment import Assessment
from advisor.compose_notes import diagram
from advisor.evidence.tables import Tables
from advisor.intake.case_file import case_from
from advisor.intake.merge_write_up import reader_of
from advisor.model.case import Case
from advisor.model.diagnosis import Diagnosis, Diagram, Picture
from advisor.model.pack import Pack
from advisor.pipeline import rank
from advisor.report.figures import draw, interference_diagram
from advisor.web.folder import CaseFile, Folder, Last, at_once
from advisor.web.settings import Settings
from advisor.yaml_marks import parse

T = TypeVar("T")


class Kept:
    """The last results of something that is always the same for the same key."""

    def __init__(self, most: int):
        self.most = most
        self._held: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, key: Hashable, make: Callable[[], T]) -> T:
        """The result kept under a key, made first where there is none."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
                return self._held[key]
        made = make()
        with self._lock:
            self._held[key] = made
            while len(self._held) > self.most:
                self._held.popitem(last=False)
        return made


class Shop:
    """One page: its pack, its folder of cases, its settings.

    last: what is to be saved is handed to it.
    """

    def __init__(self, settings: Settings, last: Last = at_once):
        self.settings = settings
        self.pack: Pack = load_rules(settings.rules or None, settings.overlay or None)
        self.folder = Folder(settings.cases, last)
        self._cases = Kept(512)
        self._diagnoses = Kept(64)
        self._diagrams = Kept(512)
        self._pictures = Kept(256)
        self._more = Kept(64)
        self.tables = Tables(self.pack)  # what cases of one vehicle share
        reader_of(self.pack)  # the first tablet does not wait for it

    def kept(self, key: Hashable, make: Callable[[], T]) -> T:
        """Something made once and kept for a while, by a key."""
        return self._more.of(key, make)

    @property
    def today(self) -> str:
        """The date, as it is written into cases."""
        return datetime.date.today().isoformat()

    def case(self, file: CaseFile) -> Case:
        """A case file, read and checked."""
        return self.checked(file.text, file.path)

    def checked(self, text: str, path: Path) -> Case:
        """The same of the text a file has or is to have."""
        return self._cases.of((str(path), text), lambda: read_case_text(text, path, self.pack))

    def diagnosis(self, file: CaseFile) -> Diagnosis:
        """The whole document of a case."""
        return self._diagnoses.of(
            (str(file.path), file.version), lambda: rank(self.case(file), self.pack)
        )

    def diagram(self, assessed: Assessment) -> tuple[Diagram, str]:
        """What the interference diagram of a case is drawn from, and the key of its picture."""

        def make() -> tuple[Diagram, str]:
            made = diagram(assessed)
            return made, picture_key(made)

        return self._diagrams.of((assessed.case.vehicle, assessed.case.speed), make)

    def orders_picture(self, diagram: Diagram) -> str:
        """The interference diagram as SVG."""
        key = picture_key(diagram)
        return self._pictures.of(key, lambda: interference_diagram(diagram))

    def picture(self, picture: Picture) -> str:
        """A picture of a reading as SVG."""
        key = hashlib.sha256(picture.model_dump_json().encode()).hexdigest()
        return self._pictures.of(key, lambda: draw(picture))


def read_case_text(text: str, path: Path, pack: Pack) -> Case:
    """The text of a case file, read and checked; messages name the file without its folder."""
    return case_from(parse(text, str(path)), pack)


def picture_key(diagram: Diagram) -> str:
    """Sixteen digits that hang on what is drawn."""
    return hashlib.sha256(diagram.model_dump_json().encode()).hexdigest()[:16]
