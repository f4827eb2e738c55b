"""Commands that show whether it is right: score, learn, rules compare, rules release."""

from __future__ import annotations

import sys
from pathlib import Path
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


def score(
    folder: Annotated[Path, typer.Argument(help="A folder of closed cases.")],
    quick: Annotated[
        bool, typer.Option("--quick", help="Without leaving out each kind of evidence in turn.")
    ] = False,
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Score the ranking over closed cases: how often right, how well calibrated, what adds what."""
    from advisor.report.trust import render_score
    from advisor.trust.outcomes import closed_cases
    from advisor.trust.score import score as score_cases

    pack = load_pack(rules)
    result = score_cases(closed_cases(folder, pack), pack, leave_out=not quick)
    show(render_score(result, pack, str(chosen(format, output))), output)


def learn(
    folder: Annotated[Path, typer.Argument(help="A folder of closed cases.")],
    overlay: Annotated[
        Path | None, typer.Option("-o", "--output", help="Write the overlay to this file.")
    ] = None,
    strength: Annotated[
        float, typer.Option(help="How many cases the pack's own figures are worth.")
    ] = 100.0,
    format: FormatOption = None,
    rules: RulesOption = None,
) -> None:
    """Learn how common each cause is from a shop's closed cases; shows before and after."""
    import yaml

    from advisor.errors import AdvisorError
    from advisor.files import write_whole
    from advisor.report.trust import render_learned
    from advisor.trust.learn import learn as learn_from
    from advisor.trust.learn import overlay_data
    from advisor.trust.outcomes import closed_cases

    if not 1 <= strength <= 1e6:
        raise AdvisorError("--strength: allowed: 1 to 1000000 cases")
    pack = load_pack(rules)
    learned = learn_from(closed_cases(folder, pack), pack, strength)
    show(render_learned(learned, str(chosen(format, None))), None)
    if overlay is not None:
        write_whole(overlay, yaml.safe_dump(overlay_data(learned), sort_keys=False))
        sys.stdout.write(f"written: {overlay}; use it with --overlay {overlay}\n")


def compare(
    old: Annotated[Path, typer.Argument(help="The old rules folder, or a released .zip.")],
    new: Annotated[Path, typer.Argument(help="The new rules folder, or a released .zip.")],
    cases: Annotated[Path | None, typer.Argument(help="Closed cases to rank with both.")] = None,
    check: Annotated[
        bool,
        typer.Option(
            "--check", help="Fail where the version or the changelog does not fit the change."
        ),
    ] = False,
    format: FormatOption = None,
    output: OutputOption = None,
) -> None:
    """Show what a change of the pack does: entries, cases that move and why, better or worse."""
    from advisor.report.trust import render_comparison
    from advisor.rulebook.load import load_folder
    from advisor.trust.compare import compare as compare_packs
    from advisor.trust.compare import pack_folder
    from advisor.trust.outcomes import closed_in_both

    with pack_folder(old) as old_folder, pack_folder(new) as new_folder:
        before, after = load_folder(old_folder).pack, load_folder(new_folder).pack
        pairs, unread = closed_in_both(cases, before, after) if cases else ([], [])
        result = compare_packs(before, after, pairs, unread)
    show(render_comparison(result, str(chosen(format, output))), output)
    if check and not result.in_order:
        raise typer.Exit(BAD_INPUT)


def release(rules: RulesOption = None) -> None:
    """Keep the pack as it is under history/, to compare later changes with."""
    from advisor.errors import InputProblems
    from advisor.rulebook.load import default_rules_folder, load_folder
    from advisor.rulebook.lock import check_lock
    from advisor.trust.compare import released
    from advisor.trust.history import FOLDER, history_problems

    loaded = load_folder(rules)
    root = rules or default_rules_folder()
    problems = [*check_lock(loaded, rules), *history_problems(root, loaded.pack.info)]
    if problems:
        raise InputProblems(problems)
    (root / FOLDER).mkdir(exist_ok=True)
    target = root / FOLDER / f"{loaded.pack.info.version}.zip"
    if not target.exists():
        target.write_bytes(released(root))
    sys.stdout.write(f"kept: {target}\n")
