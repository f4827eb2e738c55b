"""Commands at the truck: bench and close."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.ask import Answers
from advisor.cli.shared import STOP_FINDING, OverlayOption, RulesOption, load_pack
from advisor.errors import AdvisorError
from advisor.report.clean import clean

if TYPE_CHECKING:
    from advisor.bench.session import BenchSession
    from advisor.bench.storage import CaseStore
    from advisor.model.pack import Pack

CaseFile = Annotated[Path, typer.Argument(help="The case file; every answer is saved into it.")]
CasesOption = Annotated[
    Path | None, typer.Option("--cases", help="Folder of the shop's worked cases to add it to.")
]


def bench(
    case: CaseFile,
    answers: Annotated[
        Path | None, typer.Option("--answers", help="Take answers from this file, one a line.")
    ] = None,
    by: Annotated[str, typer.Option(help="Who is at the truck; noted beside each result.")] = "",
    dated: Annotated[
        bool, typer.Option("--dated", help="Note today's date beside each result.")
    ] = False,
    plain: Annotated[
        bool, typer.Option("--plain", help="No bold type, even on a terminal.")
    ] = False,
    cases: CasesOption = None,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Step through the inspections of a case; every answer is saved, and you can go on later."""
    from advisor.bench.storage import CaseStore

    pack = load_pack(rules, overlay)
    walk = _Walk(CaseStore(case), pack, Answers(answers), by, dated, plain, cases)
    walk.run()
    if walk.session.step.safety.level == "stop":
        raise typer.Exit(STOP_FINDING)


class _Walk:
    """The loop between a person and a session."""

    def __init__(
        self,
        store: CaseStore,
        pack: Pack,
        answers: Answers,
        by: str,
        dated: bool,
        plain: bool,
        cases: Path | None,
    ):
        self.store = store
        self.pack = pack
        self.answers = answers
        self.by = by
        self.date = datetime.date.today().isoformat() if dated else ""
        self.bold = not plain and sys.stdout.isatty()
        self.cases = cases
        self.session = self._open()

    def _open(self) -> BenchSession:
        from advisor.bench.session import BenchSession

        return BenchSession(self.store.text, self.pack, str(self.store.path), self.by, self.date)

    def run(self) -> None:
        """Show a step, take an answer, save, until there is an end."""
        self._show_step()
        while (line := self.answers.next(self._prompt())) is not None:
            try:
                if self._take(line):
                    return
            except AdvisorError as error:
                self.answers.refuse(error)
        sys.stdout.write("No more answers; every one so far is in the case file.\n")

    def _prompt(self) -> str:
        from advisor.bench.screen import title

        return f"[{title(self.session.step)}] > "

    def _take(self, line: str) -> bool:
        """Act on one line; True when the walk is over."""
        from advisor.bench.screen import told

        word = line.lower().strip()
        if word == "close":
            return self._close()
        if word == "reload":
            self.store.reload()
            self.session = self._open()
            self._show_step()
            return False
        reply = self.session.say(line)
        if reply.changed:
            self._save(line)
        sys.stdout.writelines(f"{text}\n" for text in told(reply.says))
        if reply.changed:
            self._show_step()
        return reply.ended

    def _save(self, line: str) -> None:
        """Save, or on somebody else's change offer to read it and give the answer again."""
        from advisor.bench.storage import ChangedMeanwhile

        try:
            self.store.save(self.session.text)
        except ChangedMeanwhile as error:
            sys.stdout.write(clean(f"{error}\n"))
            if self.answers.scripted:
                raise
            again = self.answers.next("Read their version and give your answer again? (yes/no) ")
            if again is None or again.lower() not in ("yes", "y"):
                self.session = self._before(line)
                return
            self._again(line)

    def _before(self, line: str) -> BenchSession:
        """The session without the answer that could not be saved."""
        session = self._open()
        sys.stdout.write(clean(f'Not saved: "{line}". Say reload to read the file as it is now.\n'))
        return session

    def _again(self, line: str) -> None:
        """Give the answer to the file as the other person left it, if it still fits."""
        step = self.session.record.log[-1].step if self.session.record.log else ""
        self.store.reload()
        self.session = self._open()
        if self.session.step.id != step:
            said = f'"{line}" was not added; it was for {step}'
            sys.stdout.write(clean(f"The next step is another one now, so {said}.\n"))
            return
        self.session.say(line)
        self.store.save(self.session.text)

    def _show_step(self) -> None:
        from advisor.bench.screen import step_lines

        for text in map(clean, step_lines(self.session.step, self.pack)):
            loud = self.bold and text.startswith(("STEP", "!", "CONFIRMED", "NOT SETTLED"))
            sys.stdout.write(f"\x1b[1m{text}\x1b[0m\n" if loud else f"{text}\n")

    def _close(self) -> bool:
        """Ask how it ended and write that into the case."""
        from advisor.bench.closing import closed_text

        remedies = self.session.step.remedies
        known = " ".join(f"{r.cause}@{r.place}" if r.place else r.cause for r in remedies)
        causes = self._ask("Cause and place, as bent_wheel@steer_right", known).split()
        shown = remedies[0].confirmed_by if remedies else ()
        how = self._ask("How was it known", ", ".join(shown))
        fixed = self._ask("What fixed it", "")
        today = datetime.date.today().isoformat()
        date = self._ask("Date", self.date or today)
        text = closed_text(
            self.session.text, self.pack, causes, how, fixed, date, str(self.store.path)
        )
        self.store.save(text)
        sys.stdout.write(f"Closed: {self.store.path}\n")
        offer(self.store.text, self.pack, self.store.path, self.cases, self.answers)
        return True

    def _ask(self, question: str, default: str) -> str:
        """One closing question; an empty answer (or a dot) takes the default."""
        shown = f"{question} [{default}]: " if default else f"{question}: "
        said = self.answers.next(shown)
        if said is None:
            raise AdvisorError("the case stays open: the closing questions were not all answered")
        return default if said in ("", ".") else said


def offer(text: str, pack: Pack, path: Path, folder: Path | None, answers: Answers | None) -> None:
    """Add a closed case to the shop's worked cases, or say how."""
    from advisor.bench.closing import add_to_cases
    from advisor.intake.case_file import case_from
    from advisor.yaml_marks import parse

    if folder is None:
        sys.stdout.write(
            f"To keep it among the shop's worked cases: advisor close {path} --cases FOLDER\n"
        )
        return
    if answers is not None and not answers.scripted:
        said = answers.next(f"Add it to the worked cases in {folder}? (yes/no) ")
        if said is None or said.lower() not in ("yes", "y"):
            return
    case = case_from(parse(text, str(path)), pack)
    sys.stdout.write(f"Added: {add_to_cases(text, case, folder)}\n")


def close(
    case: CaseFile,
    cause: Annotated[
        list[str] | None, typer.Option("--cause", help="Cause and place, as bent_wheel@steer_left.")
    ] = None,
    by: Annotated[str | None, typer.Option(help="How it was known.")] = None,
    fixed_by: Annotated[str | None, typer.Option(help="What fixed it.")] = None,
    date: Annotated[str | None, typer.Option(help="Day it was closed, as 2031-04-15.")] = None,
    cases: CasesOption = None,
    rules: RulesOption = None,
) -> None:
    """Write how a case ended; asks for what the options leave out."""
    from advisor.bench.closing import closed_text
    from advisor.bench.storage import CaseStore
    from advisor.intake.case_file import case_from
    from advisor.yaml_marks import parse

    pack, store = load_pack(rules), CaseStore(case)
    known = case_from(parse(store.text, str(case)), pack)
    if known.confirmed is None:
        answers = Answers(None)
        causes = cause or _wanted(answers, "Cause and place, as bent_wheel@steer_right: ").split()
        how = by if by is not None else _wanted(answers, "How was it known: ")
        fixed = fixed_by if fixed_by is not None else _wanted(answers, "What fixed it: ")
        day = date or datetime.date.today().isoformat()
        store.save(closed_text(store.text, pack, causes, how, fixed, day, str(case)))
        sys.stdout.write(f"Closed: {case}\n")
    elif cases is None or cause or by or fixed_by:
        raise AdvisorError(f"{case}: this case is closed already: see confirmed: in the file")
    offer(store.text, pack, case, cases, None)


def _wanted(answers: Answers, question: str) -> str:
    said = answers.next(question)
    if said is None:
        raise AdvisorError("the case stays open: say --cause, --by and --fixed-by, or answer")
    return said
