"""Commands about the rule pack: check, show, lock, schema."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from advisor.cli.shared import (
    BAD_INPUT,
    FormatOption,
    OutputOption,
    RulesOption,
    chosen,
    load_pack,
    show,
)
from advisor.report.clean import clean

app = typer.Typer(help="Look at the rule pack and check it.", no_args_is_help=True)


@app.command()
def check(rules: RulesOption = None) -> None:
    """Check every rule file: ids, sources, duplicates, examples, lock; all problems at once."""
    from advisor.rulebook.check import check as check_pack
    from advisor.rulebook.load import default_rules_folder, load_folder
    from advisor.rulebook.lock import check_lock
    from advisor.trust.history import history_problems
    from advisor.try_rules import check_examples
    from advisor.try_wording import check_wording

    loaded = load_folder(rules)
    folder = rules or default_rules_folder()
    problems = [*check_pack(loaded), *check_wording(folder)]
    if not problems:
        history = history_problems(folder, loaded.pack.info)
        problems = [*check_examples(loaded), *check_lock(loaded, rules), *history]
    for problem in problems:
        sys.stderr.write(f"{clean(str(problem))}\n")
    pack = loaded.pack
    if problems:
        files = len({p.path for p in problems})
        sys.stderr.write(f"problems: {len(problems)}, files: {files}\n")
        raise typer.Exit(BAD_INPUT)
    examples = sum(len(rule.examples) for rule in pack.rules)
    sys.stdout.write(
        f"pack {pack.info.version} ({pack.sha256[:12]}): {len(pack.rules)} rules with {examples} "
        f"examples, {len(pack.causes)} causes, {len(pack.symptoms)} symptoms, "
        f"{len(pack.inspections)} inspections, {len(pack.limits)} limits, "
        f"{len(pack.sources)} sources: no problem found\n"
    )


@app.command("show")
def show_entry(
    name: Annotated[
        str | None,
        typer.Argument(help="A cause, symptom, inspection, rule or source; all of it if left out."),
    ] = None,
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Show what the rules say about something, with reasons and sources."""
    from advisor.report.rulebook import render_entry

    kind = chosen(format, output)
    show(render_entry(load_pack(rules), name, str(kind)), output)


@app.command()
def lock(rules: RulesOption = None) -> None:
    """Write lock.yaml, which ties the pack version to its content."""
    from advisor.files import write_whole
    from advisor.rulebook.load import default_rules_folder, load_folder
    from advisor.rulebook.lock import NAME, lock_text

    loaded = load_folder(rules)
    folder = rules or default_rules_folder()
    write_whole(folder / NAME, lock_text(folder, loaded.pack.info.version))
    sys.stdout.write(f"locked {loaded.pack.info.version} {loaded.pack.sha256[:12]}\n")


@app.command()
def schema(
    kind: Annotated[
        str, typer.Argument(help="case, overlay, or a kind of rule file such as rules or causes.")
    ],
    output: OutputOption = None,
) -> None:
    """Print the JSON Schema of a kind of file, for editors that complete and check while typing."""
    from advisor.schemas import schema_text

    show(schema_text(kind), output)
