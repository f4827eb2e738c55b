"""Calibration of the engine on complaints drawn from its own model.

    python tests/benchmarks/bench_calibration.py [--cases 5000] [--seed 1]

Causes are drawn from the priors of a random vehicle type, kept if they give a complaint, and eight
symptoms of different aspects are answered as the rules say. The probabilities the engine then gives
must be right as often as they say: expected calibration error under 0.02. This proves the engine,
not the rules.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace

import numpy as np

from advisor.evidence.findings import complaint, from_answer
from advisor.evidence.links import LinkTable
from advisor.evidence.network import build_network
from advisor.inference.posterior import Grouping, infer
from advisor.model.case import Answer, Vehicle
from advisor.rulebook.load import load_folder
from advisor.trust.score import bins_of, calibration_error

SYMPTOMS = 8
MOST_ERROR = 0.02


def main() -> int:
    """Print the reliability table; 1 when the error is too large."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cases", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    rng = np.random.default_rng(chosen.seed)
    pack = load_folder().pack
    types = [v.id for v in pack.vehicles.values() if v.in_scope]
    worlds = {t: world(pack, t) for t in types}
    said, was = [], []
    while len(said) < chosen.cases:
        network, links, grouping, asked = worlds[types[rng.integers(len(types))]]
        states = draw(network, rng)
        base = complaint(pack, network)
        if rng.random() > shown(base, states):
            continue
        findings = [base]
        for symptom in pick(asked, rng):
            finding = from_answer(Answer(symptom, "yes"), links, 1)
            yes = rng.random() < shown(finding, states)
            findings.append(replace(finding, kind="present" if yes else "absent"))
        posterior = infer(network, findings, grouping, 0.5).cause
        present = {network.nodes[network.state_node[s]].cause for s in states}
        said.append(list(posterior.values()))
        was.append([cause in present for cause in posterior])
    p = np.concatenate([np.array(row) for row in said])
    y = np.concatenate([np.array(row) for row in was])
    bins = bins_of(p, y)
    error = calibration_error(bins)
    for b in bins:
        sys.stdout.write(
            f"{b.low:.1f}-{b.high:.1f}: {b.count:7d} said {b.said:.3f} was {b.was:.3f}\n"
        )
    sys.stdout.write(
        f"{len(said)} cases, {len(p)} probabilities: expected calibration error {error:.4f} "
        f"(at most {MOST_ERROR})\n"
    )
    return int(error > MOST_ERROR)


def world(pack, kind):  # type: ignore[no-untyped-def]
    """Network, links, grouping and the askable symptoms of a vehicle type."""
    vehicle = Vehicle(type=kind, duty=pack.vehicles[kind].duty)
    network = build_network(pack, vehicle)
    grouping = Grouping.of(network, {c.id: c.family for c in pack.causes.values()})
    asked = [s for s in pack.symptoms.values() if s.key in pack.keys and not s.exclusive]
    return network, LinkTable(pack, vehicle, network), grouping, asked


def draw(network, rng) -> list[int]:  # type: ignore[no-untyped-def]
    """States present: each cause by its prior, at one of its positions."""
    present = []
    for node in np.flatnonzero(rng.random(len(network.nodes)) < network.prior):
        here = np.flatnonzero(network.state_node == node)
        present.append(int(rng.choice(here, p=network.share[here])))
    return present


def shown(finding, states) -> float:  # type: ignore[no-untyped-def]
    """Probability that a finding shows with these states present."""
    return float(1 - (1 - finding.leak) * np.prod(1 - finding.link[states]))


def pick(asked, rng) -> list[str]:  # type: ignore[no-untyped-def]
    """Symptoms of different aspects, in random order."""
    chosen: dict[str, str] = {}
    for i in rng.permutation(len(asked)):
        chosen.setdefault(asked[i].aspect, asked[i].id)
        if len(chosen) == SYMPTOMS:
            break
    return list(chosen.values())


if __name__ == "__main__":
    sys.exit(main())
