"""Speed of inference: against a general-purpose Bayesian-network library, and on the full pack.

    python tests/benchmarks/bench_inference.py [--causes 20] [--findings 6]

Both answer the same question on the same two-layer noisy-OR net (two-state causes, findings seen),
and must agree to 1e-9; the ratio is of the best of several runs each, in one process. Then the
full pack with 14 symptoms answered, some yes and some no, as a driver would.

Raise --findings slowly: the library's time grows with the size of its largest clique. Exits with 1
when a budget is missed.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable

import numpy as np
import pyagrum as gum

from advisor.evidence.findings import gather
from advisor.inference.aspects import temper
from advisor.inference.posterior import Grouping, infer
from advisor.inference.quickscore import pose, score
from advisor.intake.case_file import read_case_bytes
from advisor.model.network import Finding, Network, Node
from advisor.rulebook.load import load_folder

LEAST_RATIO = 1_000.0
MOST_MS = 1.0

ANSWERED = """
case: bench
vehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36, trailer: no}
symptoms:
  sensation: {hop: yes, shimmy: no, buzz: no}
  felt_at: {seat: yes, steering_wheel: no, brake_pedal: no}
  speed: {only_in_band: yes}
  condition: {braking: no, accelerating: no, loaded: yes}
  onset: {after_tire_work: yes, sudden: no}
  drive_test: {neutral_coast_same: yes}
  growth: steady
"""

# The hardest kind of case: fourteen signs, every one of them seen.
ALL_SEEN = """
case: bench
vehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36, trailer: no}
symptoms:
  sensation: [hop, thump, shake, vibration]
  felt_at: [seat, cab, front_end]
  speed: {pattern: only_in_band}
  condition: [loaded, cold]
  onset: [after_tire_work, gradual]
  drive_test: [neutral_coast_same]
  growth: slowly
"""


def made_net(causes: int, findings: int) -> tuple[Network, list[Finding]]:
    """A random net in which every finding has links to about half of the causes."""
    rng = np.random.default_rng(20310412)
    nodes = tuple(Node(f"c{i}", None) for i in range(causes))
    prior = rng.uniform(0.01, 0.2, causes)
    network = Network(nodes, prior, np.arange(causes), np.ones(causes), (None,) * causes)
    made = []
    for i in range(findings):
        link = rng.uniform(0.1, 0.9, causes) * (rng.random(causes) < 0.5)
        made.append(Finding(f"f{i}", None, "present", link, 0.05))
    return network, made


def library(network: Network, findings: list[Finding]) -> Callable[[], list[float]]:
    """The same net in the library, ready to be asked."""
    net = gum.BayesNet()
    for index, prior in enumerate(network.prior):
        net.add(gum.LabelizedVariable(f"c{index}", "", 2))
        net.cpt(f"c{index}").fillWith([1 - prior, prior])
    for finding in findings:
        net.addNoisyORNet(gum.LabelizedVariable(finding.symptom, "", 2), finding.leak)
        for index, link in enumerate(finding.link):
            if link > 0:
                net.addWeightedArc(f"c{index}", finding.symptom, float(link))
    evidence = {finding.symptom: 1 for finding in findings}

    def ask() -> list[float]:
        engine = gum.LazyPropagation(net)
        engine.setEvidence(evidence)
        engine.makeInference()
        return [float(engine.posterior(f"c{i}")[1]) for i in range(len(network.nodes))]

    return ask


def best_of(times: int, call: Callable[[], object]) -> float:
    """Seconds of the fastest run."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        spent.append(time.perf_counter() - start)
    return min(spent)


def against_the_library(causes: int, findings: int) -> float:
    """Ratio of times on one net; raises when the answers differ."""
    network, seen = made_net(causes, findings)
    runs = np.arange(causes)

    def ours() -> list[float]:
        scored = score(pose(network, seen), runs)
        return list(scored.present / scored.likelihood)

    ask = library(network, seen)
    start = time.perf_counter()
    theirs = ask()
    their_time = time.perf_counter() - start
    np.testing.assert_allclose(ours(), theirs, atol=1e-9)
    our_time = best_of(50, ours)
    sys.stdout.write(
        f"{causes} causes, {findings} findings: library {their_time * 1e3:.1f} ms, "
        f"ours {our_time * 1e6:.0f} microseconds, ratio {their_time / our_time:,.0f} "
        f"(at least {LEAST_RATIO:,.0f}); answers agree to 1e-9\n"
    )
    return their_time / our_time


def on_the_full_pack(text: str, budget_ms: float | None) -> float:
    """Milliseconds of one inference of a case."""
    pack = load_folder().pack
    case = read_case_bytes(text.encode(), pack)
    evidence = gather(case, pack)
    family_of = {cause.id: cause.family for cause in pack.causes.values()}
    grouping = Grouping.of(evidence.network, family_of)
    bound = float(pack.info.restatement_bound)
    posterior = infer(evidence.network, evidence.findings, grouping, bound)
    times = 100 if budget_ms else 5
    spent = best_of(times, lambda: infer(evidence.network, evidence.findings, grouping, bound))
    doubling = sum(f.kind != "absent" for f in temper(evidence.findings, bound))
    sys.stdout.write(
        f"full pack: {len(case.answers)} answers ({doubling} doubling findings, "
        f"{len(evidence.findings)} in all), {len(evidence.network.nodes)} causes at places: "
        f"{spent * 1e3:.2f} ms by {posterior.method} "
        f"({f'at most {budget_ms:g}' if budget_ms else 'no budget'})\n"
    )
    return spent * 1e3


def main() -> int:
    """Print the figures; 1 when a budget is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--causes", type=int, default=20)
    parser.add_argument("--findings", type=int, default=6)
    chosen = parser.parse_args()
    ratio = against_the_library(chosen.causes, chosen.findings)
    spent = on_the_full_pack(ANSWERED, MOST_MS)
    on_the_full_pack(ALL_SEEN, None)
    return int(ratio < LEAST_RATIO or spent > MOST_MS)


if __name__ == "__main__":
    sys.exit(main())
