"""Which questions look telling, from the ranking alone; the best of them are then worked out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from advisor.model.network import Array
from advisor.model.pack import Symptom
from advisor.plan.assess import Assess

LEAST = 1e-12


def promises(assess: Assess, symptoms: Sequence[Symptom]) -> Array:
    """About the bits of each question. Two plain views of the causes lie to either side of the
    truth: each present or not by itself, where a sign that all likely causes share seems to tell
    much, and exactly one present, where it tells nothing. So their geometric mean; less where the
    answer restates what was said."""
    links, leaks = assess.links_each([symptom.id for symptom in symptoms])
    apart = _each_by_itself(assess, links, leaks)
    alone = _exactly_one(assess, links, leaks)
    return np.asarray(
        np.sqrt(np.clip(apart, 0, None) * np.clip(alone, 0, None)) * _new(assess, symptoms)
    )


def _new(assess: Assess, symptoms: Sequence[Symptom]) -> Array:
    """1, or less for a question of an aspect that was spoken of: its answer counts by a share then.
    The root of that share keeps most of what the best questions tell (bench_questions.py)."""
    said = {f.aspect or f.symptom for f in assess.findings}
    share = assess.bound**0.5
    return np.array([share if (s.aspect or s.id) in said else 1.0 for s in symptoms])


def _each_by_itself(assess: Assess, links: Array, leaks: Array) -> Array:
    """(questions,) bits, the causes as likely as they are now and independent."""
    node = np.clip(assess.now.node, 0.0, 1.0)
    shown = np.add.reduceat(links * assess.now.state, assess.network.first_state, axis=1)
    hidden = np.clip(1 - shown, LEAST, 1.0)
    no = (1 - leaks) * hidden.prod(axis=1)
    if_no = np.clip((node - shown) / hidden, 0.0, 1.0)
    if_yes = np.clip((node - no[:, None] * if_no) / (1 - no)[:, None], 0.0, 1.0)
    runs = [nodes.start for nodes in assess.network.nodes_of.values()]
    each = np.concatenate([node[None], if_yes, if_no])
    return _drop(1 - np.multiply.reduceat(1 - each, runs, axis=-1), 1 - no)


def _exactly_one(assess: Assess, links: Array, leaks: Array) -> Array:
    """(questions,) bits, if one cause at one place is behind it all."""
    state = assess.now.state / max(LEAST, float(assess.now.state.sum()))
    shown = 1 - (1 - leaks)[:, None] * (1 - links)
    joint = shown * state
    yes = np.clip(joint.sum(axis=1), LEAST, 1 - LEAST)
    each = np.concatenate([state[None], joint / yes[:, None], (state - joint) / (1 - yes)[:, None]])
    runs = [assess.network.states_of(cause).start for cause in assess.network.nodes_of]
    return _drop(np.add.reduceat(each, runs, axis=-1), yes)


def _drop(causes: Array, yes: Array) -> Array:
    """causes: (1 + 2 x questions, causes) probabilities now, then after each yes, after each no."""
    bits = entropy(causes)
    if_yes, if_no = bits[1:].reshape(2, -1)
    return np.asarray(bits[0] - yes * if_yes - (1 - yes) * if_no)


def entropy(p: Array) -> Array:
    """Sum over causes (the last axis) of the binary entropy of presence, in bits."""
    p = np.clip(p, 1e-12, 1 - 1e-12)
    return np.asarray(-(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum(axis=-1))
