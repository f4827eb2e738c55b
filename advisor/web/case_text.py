"""The text of a case file as the page writes it: new, with an answer more, or with one less."""

from __future__ import annotations

import re
from collections.abc import Mapping

import yaml

from advisor.bench.casetext import add_answer, add_item, put_section
from advisor.bench.record import flow, read_record, section
from advisor.errors import AdvisorError
from advisor.intake.raw_case import RawBenchStep
from advisor.model.pack import AxleGroup, Pack
from advisor.yaml_marks import parse

PLACEHOLDER = "@@"
SPEED_LINE = re.compile(r"^\s+(?:- )?\{?speed: \{[^{}\n]*\}\}?\s*$")


def new_text(
    id_: str, vehicle: Mapping[str, object], write_up: str, title: str, unit: str, reported: str
) -> str:
    """A new case. The write-up comes back word for word when the file is read."""
    rows: dict[str, object] = {"case": id_, "title": title, "unit": unit, "reported": reported}
    lines = [f"{key}: {flow(value)}" for key, value in rows.items() if value]
    lines.append(f"vehicle: {flow({k: v for k, v in vehicle.items() if v not in ('', None)})}")
    text = "\n".join(lines) + "\n"
    return text + (_block("write_up", write_up) if write_up.strip() else "")


def _block(key: str, text: str) -> str:
    """A text of several lines, as lines where YAML can hold it so."""
    plain = "\n".join(line.rstrip() for line in text.replace("\r\n", "\n").strip().split("\n"))
    style = "|" if "\n" in plain else None
    node = yaml.ScalarNode("tag:yaml.org,2002:str", plain, style=style)
    entry = yaml.MappingNode(
        "tag:yaml.org,2002:map", [(yaml.ScalarNode("tag:yaml.org,2002:str", key), node)]
    )
    return str(yaml.serialize(entry, Dumper=yaml.SafeDumper, allow_unicode=True, width=100))


def said(text: str, symptom: str, name: str) -> str:
    """How a symptom stands in a case on a line of its own: yes, no, or empty."""
    held = parse(text, name).data.get("symptoms") or {}
    if isinstance(held, list):
        held = {k: v for item in held if isinstance(item, dict) for k, v in item.items()}
    value = held.get(symptom, "")
    return value if isinstance(value, str) else ""


def with_answer(text: str, symptom: str, state: str, name: str) -> str:
    """The case with a symptom answered yes or no, in place of an earlier answer."""
    return add_answer(without_answer(text, symptom, name), symptom, state, name)


def without_answer(text: str, symptom: str, name: str) -> str:
    """The case without an answer that stands on a line of its own. Raises AdvisorError when it
    was written in another form."""
    if not said(text, symptom, name):
        return text
    line = re.compile(rf"^\s+(?:- )?\{{?{re.escape(symptom)}: [\"']?[a-z_]+[\"']?\}}?\s*$")
    return _without_line(text, line, name, symptom)


def _without_line(text: str, line: re.Pattern[str], name: str, what: str) -> str:
    lines = text.splitlines(keepends=True)
    kept = [row for row in lines if not line.match(row.rstrip("\r\n"))]
    if len(kept) != len(lines) - 1:
        raise AdvisorError(
            f"{name}: {what} was written into the file by hand; change it there with an editor"
        )
    made = "".join(kept)
    if not parse(made, name).data.get("symptoms"):
        made = put_section(made, "symptoms", "", name)
    return made


def with_speed(text: str, low: str, high: str, name: str) -> str:
    """The case with the speeds at which it is felt, in mph; both empty takes them away."""
    held = parse(text, name).data.get("symptoms") or {}
    if isinstance(held, dict) and "speed" in held:
        text = _without_line(text, SPEED_LINE, name, "speed")
    rows = {"low_mph": low.strip(), "high_mph": high.strip()}
    given = {key: value for key, value in rows.items() if value}
    if not given:
        return text
    marked = add_answer(text, "speed", PLACEHOLDER, name)
    numbers = ", ".join(f"{key}: {flow(value)}" for key, value in given.items())
    return marked.replace(f'speed: "{PLACEHOLDER}"', f"speed: {{{numbers}}}")


def with_put_off(text: str, symptom: str, pack: Pack, groups: list[AxleGroup], name: str) -> str:
    """The case with a question noted as asked and not known, so that it is not asked again."""
    record = read_record(parse(text, name), pack, groups)
    if symptom in record.asked():
        return text
    done = RawBenchStep(step=symptom, answer="skipped")
    return put_section(text, "bench", section(record.with_step(done, record.opened)), name)


def with_item(text: str, key: str, item: Mapping[str, object], name: str) -> str:
    """The case with one more entry of a list, such as a reading."""
    return add_item(text, key, flow(dict(item)), name)
