"""Minutes to the confirmed cause and wheels pulled for nothing, over simulated complaints.

    python tests/benchmarks/bench_plan.py [--cases 2000] [--seed 1] [--exact 100]

Faults are drawn from the priors given that somebody complains; the write-up from the noisy-OR of
the rules; every result of a check from P(found | faults), drawn once a case, so that all ways see
the same. The same rules draw and plan, so this shows what the plan makes of its rules, not how
true they are. Assumed (judgement): a sign that is there is in the write-up with chance 0.5, one
that is not is denied with chance 0.05. Every way does the three safety checks first.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace

import numpy as np

from advisor.drill.checklist import load_checklist
from advisor.drill.paths import (
    Walk,
    checklist_order,
    follow,
    in_order,
    planned,
    random_order,
    safety_first,
)
from advisor.drill.world import World
from advisor.evidence.links import LinkTable
from advisor.evidence.network import build_network
from advisor.model.case import Answer, Case, ConfirmedCause, Vehicle
from advisor.model.pack import COMPLAINT, Pack
from advisor.model.place import Place
from advisor.rulebook.load import load_folder

SAID, DENIED, MOST_SAID = 0.5, 0.05, 7
TYPES = (
    "linehaul_tractor",
    "regional_tractor",
    "straight_truck",
    "vocational_truck",
    "refuse_truck",
    "transit_bus",
    "coach",
    "motorhome",
    "trailer",
    "heavy_pickup_or_van",
)


def simulate(pack: Pack, rng: np.random.Generator, number: int) -> tuple[World, Case]:
    """One complaint with a fault that some check would confirm."""
    vehicle = Vehicle(TYPES[number % len(TYPES)])
    vehicle = replace(vehicle, duty=pack.vehicles[vehicle.type].duty)
    network = build_network(pack, vehicle)
    links = LinkTable(pack, vehicle, network)
    scale = float(pack.info.scale[pack.info.complaint_link])
    while True:
        present = rng.random(len(network.nodes)) < network.prior
        heard = 1 - (1 - pack.info.complaint_leak) * (1 - scale) ** int(present.sum())
        if rng.random() >= heard or not present.any():
            continue
        causes = [
            ConfirmedCause(n.cause, Place(n.group) if n.group else None)
            for n, there in zip(network.nodes, present, strict=True)
            if there
        ]
        world = World(pack, vehicle, causes, int(rng.integers(2**40)))
        if world.can_be_confirmed():
            return world, Case(f"s{number}", vehicle, answers=write_up(world, links, rng))


def write_up(world: World, links: LinkTable, rng: np.random.Generator) -> tuple[Answer, ...]:
    """What the driver says: some of the signs that are there, a few denials."""
    said: list[Answer] = []
    taken: set[str] = set()
    symptoms = [s for s in world.pack.symptoms.values() if s.ask and s.observable == "driver"]
    for i in rng.permutation(len(symptoms)):
        symptom = symptoms[i]
        if symptom.placed or symptom.id == COMPLAINT:
            continue
        shows = world.draw(symptom.id, None)
        if shows and rng.random() < SAID and symptom.key not in taken:
            if sum(a.state == "yes" for a in said) < MOST_SAID:
                said.append(Answer(symptom.id, "yes"))
                taken |= {symptom.key} if symptom.exclusive else set()
        elif not shows and rng.random() < DENIED:
            said.append(Answer(symptom.id, "no"))
    return tuple(said)


def by_axle(world: World, ids: list[str]) -> list[tuple[str, str]]:
    """The checklist worked through one axle after the other: fewer lifts than item by item."""
    targets = checklist_order(world, ids)
    listed = [t for t in targets if t[0] in set(ids)]
    rest = [t for t in targets if t[0] not in set(ids)]
    order = [g.group for g in world.groups]
    return [
        *sorted(listed, key=lambda t: order.index(t[1]) if t[1] else len(order)),
        *rest,
    ]


def ways(world: World, case: Case, ids: list[str], seed: int) -> dict[str, Walk]:
    """Each way walked to the confirmed cause."""
    first = safety_first(world)
    return {
        "plan": follow(Walk(world, case), planned),
        "checklist": follow(Walk(world, case), in_order(first + checklist_order(world, ids))),
        "checklist by axle": follow(Walk(world, case), in_order(first + by_axle(world, ids))),
        "random": follow(Walk(world, case), in_order(first + random_order(world, seed))),
    }


def measure(cases: int, seed: int) -> dict[str, np.ndarray]:
    """(cases, 4) minutes, minutes after the safety checks, wheels for nothing, checks; by way."""
    pack = load_folder(None).pack
    ids = load_checklist(pack).ids
    rng = np.random.default_rng(seed)
    rows: dict[str, list[tuple[float, float, int, int]]] = {}
    for number in range(cases):
        world, case = simulate(pack, rng, number)
        for name, walk in ways(world, case, ids, seed + number).items():
            safety = sum(t.minutes for t in walk.taken if pack.inspections[t.id].safety)
            row = (walk.minutes, walk.minutes - safety, walk.pulled_for_nothing, len(walk.taken))
            rows.setdefault(name, []).append(row)
    return {name: np.array(values, dtype=float) for name, values in rows.items()}


def report(rows: dict[str, np.ndarray], seconds: float) -> str:
    """The figures as a table."""
    cases = len(rows["plan"])
    lines = [f"{cases} simulated complaints in {seconds:.0f} s; means, +/- standard error"]
    head = ("way", "minutes", "after safety", "wheels for nothing", "checks")
    lines.append("{:<18} {:>14} {:>14} {:>19} {:>7}".format(*head))
    for name, values in rows.items():
        mean, error = values.mean(axis=0), values.std(axis=0) / np.sqrt(cases)
        lines.append(
            f"{name:<18} {mean[0]:7.1f} +/-{error[0]:3.1f} {mean[1]:7.1f} +/-{error[1]:3.1f} "
            f"{mean[2]:12.2f} +/-{error[2]:3.2f} {mean[3]:7.1f}"
        )
    ours = rows["plan"].mean(axis=0)
    for name, values in rows.items():
        if name != "plan":
            other = values.mean(axis=0)
            lines.append(
                f"against {name}: {100 * (1 - ours[0] / other[0]):.0f} % fewer minutes "
                f"({100 * (1 - ours[1] / other[1]):.0f} % after the safety checks), "
                f"{100 * (1 - ours[2] / max(other[2], 1e-9)):.0f} % fewer wheels for nothing"
            )
    return "\n".join(lines)


def exact(problems: int) -> str:
    """The planner's way against the exact best one on small problems."""
    from exact_plan import best_minutes, planned_minutes, small_problem

    small = [small_problem(seed) for seed in range(problems)]
    ratio = np.array([planned_minutes(p) / best_minutes(p) for p in small])
    return (
        f"{problems} small problems: the plan takes {100 * (ratio.mean() - 1):.1f} % more minutes "
        f"than the exact best on average, {100 * (ratio.max() - 1):.0f} % at worst; "
        f"{100 * (ratio <= 1.1).mean():.0f} % of them are within 10 %"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--exact", type=int, default=100)
    args = parser.parse_args()
    began = time.perf_counter()
    rows = measure(args.cases, args.seed)
    sys.stdout.write(report(rows, time.perf_counter() - began) + "\n")
    sys.stdout.write(exact(args.exact) + "\n")


if __name__ == "__main__":
    main()
