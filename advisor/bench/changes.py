"""What an answer changed, in a line or two."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.report import words

if TYPE_CHECKING:
    from advisor.bench.looking import Look

WORTH_TELLING = 0.05


def changed(before: Look, after: Look) -> list[str]:
    """New first cause, the causes that moved most, and a safety verdict that changed."""
    old, new = before.assessed.now.cause, after.assessed.now.cause
    says = []
    if before.safety.level != after.safety.level:
        says.append(words.LEVEL_HEADING[after.safety.level] + ".")
    first_before, first = before.leads()[0], after.leads()[0]
    if first.id != first_before.id:
        says.append(
            f"Now first: {first.name} ({words.chance(first.probability)}); "
            f"it was {first_before.name}."
        )
    moved = sorted(new, key=lambda c: (-abs(new[c] - old.get(c, 0.0)), c))
    told = [_move(after, c, old.get(c, 0.0), new[c]) for c in moved[:3]
            if abs(new[c] - old.get(c, 0.0)) >= WORTH_TELLING]  # fmt: skip
    if told:
        says.append("Changed: " + "; ".join(told) + ".")
    elif not says:
        says.append("The order of causes stays as it was.")
    return says


def _move(after: Look, cause: str, old: float, new: float) -> str:
    name = after.pack.causes[cause].name
    direction = "up" if new > old else "down"
    a, b = words.chance(old), words.chance(new)
    return f"{name} {direction}, {a} to {b}" if a != b else f"{name} a little {direction}, {b}"
