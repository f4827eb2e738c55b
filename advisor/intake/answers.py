"""The `symptoms:` part of a case file -> answers, speeds and measured frequencies."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from advisor.intake.checker import NO, NOT_SAID, YES, Checker
from advisor.model.case import Answer, Frequency, SpeedRange
from advisor.model.pack import SymptomKey
from advisor.model.place import Place
from advisor.physics.units import kmh_to_mph
from advisor.yaml_marks import Key

HIGHEST_SPEED_MPH = 120.0
SPEED_KEYS = ("low_mph", "high_mph", "peak_mph", "low_kmh", "high_kmh", "peak_kmh", "pattern")
FREQUENCY_KEYS = ("hz", "cycles_per_minute", "uncertainty_hz", "at_mph", "at_kmh")


class AnswerReader:
    """Reads one `symptoms:` block; problems go to the checker."""

    def __init__(self, checker: Checker):
        self.check = checker
        self.keys: Mapping[str, SymptomKey] = checker.pack.keys
        self.symptoms = checker.pack.symptoms
        self.answers: list[tuple[Answer, Key]] = []
        self.speed: SpeedRange | None = None
        self.frequencies: list[Frequency] = []

    def read(self, data: Any, at: Key) -> None:
        """Read a list of symptom ids or a mapping of answers."""
        if data is None or data == "":
            return
        if isinstance(data, list):
            for index, item in enumerate(data):
                self._list_item(item, (*at, index))
            return
        for key, value in data.items():
            self._entry(str(key), value, (*at, key))

    def _list_item(self, item: Any, at: Key) -> None:
        if isinstance(item, dict):
            for key, value in item.items():
                self._entry(str(key), value, (*at, key))
        elif id_ := self.check.pick(at, item, self.check.pack.answerable, "symptom"):
            self._say(id_, "yes", None, at)

    @functools.cached_property
    def _entries(self) -> dict[str, None]:
        """What may stand at the left edge of the block."""
        return dict.fromkeys([*self.check.pack.answerable, *self.keys, "frequency"])

    def _entry(self, said: str, value: Any, at: Key) -> None:
        key = self.check.pick(at, said, self._entries, "symptom")
        if key is None:
            return
        if key == "speed" and isinstance(value, dict):
            self._speed(value, at)
        elif key == "frequency":
            self._frequency(value, at)
        elif key in self.keys:
            self._key(self.keys[key], value, at)
        else:
            self._single(key, value, at)

    def _key(self, key: SymptomKey, value: Any, at: Key) -> None:
        """Values of one key: a word, a list of words, or a mapping."""
        if isinstance(value, dict) and key.placed:
            for where, what in value.items():
                if where in key.values:
                    self._single(f"{key.key}.{where}", what, (*at, where))
                elif (place := self.check.place((*at, where), where)) is not None:
                    self._at_place(key, what, place, (*at, where))
        elif isinstance(value, dict):
            for word, said in value.items():
                if id_ := self._value(key, word, (*at, word)):
                    self._single(id_, said, (*at, word))
        else:
            self._words(key, value, None, at)

    def _at_place(self, key: SymptomKey, value: Any, place: Place, at: Key) -> None:
        """`{steer_left: cupping}`, a list of words, or `{steer_left: {cupping: yes}}`."""
        if not isinstance(value, dict):
            self._words(key, value, place, at)
            return
        for word, said in value.items():
            id_ = self._value(key, word, (*at, word))
            state = self.check.yes_no((*at, word), said)
            if id_ and state:
                self._say(id_, state, place, (*at, word))

    def _words(self, key: SymptomKey, value: Any, place: Place | None, at: Key) -> None:
        words = value if isinstance(value, list) else [value]
        if len(words) > 1 and not key.several:
            self.check.add(at, f"{key.key} takes one value", ", ".join(key.values))
            return
        for word in words:
            if str(word).strip().lower() in NOT_SAID:
                continue
            if str(word).strip().lower() == "none":
                for name in key.values:
                    self._say(f"{key.key}.{name}", "no", place, at)
            elif id_ := self._value(key, word, at, "none"):
                self._say(id_, "yes", place, at)

    def _value(self, key: SymptomKey, word: Any, at: Key, *also: str) -> str | None:
        name = self.check.pick(at, word, [*key.values, *also], f"value of {key.key}")
        return f"{key.key}.{name}" if name else None

    def _single(self, id_: str, value: Any, at: Key) -> None:
        """`sensation.hop: yes`, `danger.loose_or_missing_nuts: steer_left` or `{place: yes}`."""
        placed = self.symptoms[id_].placed
        if placed and isinstance(value, dict):
            for where, said in value.items():
                place = self.check.place((*at, where), where)
                state = self.check.yes_no((*at, where), said)
                if place is not None and state:
                    self._say(id_, state, place, (*at, where))
            return
        words = value if isinstance(value, list) else [value]
        for word in words:
            text = str(word).strip().lower()
            if placed and text not in YES | NO | NOT_SAID:
                place = self.check.place(at, word)
                if place is not None:
                    self._say(id_, "yes", place, at)
            elif state := self.check.yes_no(at, word):
                self._say(id_, state, None, at)

    def _say(self, id_: str, state: Any, place: Place | None, at: Key) -> None:
        self.answers.append((Answer(id_, state, place), at))

    def _speed(self, value: dict[str, Any], at: Key) -> None:
        """Numbers and pattern; km/h keys are converted."""
        numbers: dict[str, float] = {}
        for key, said in value.items():
            here = (*at, key)
            name = self.check.pick(here, key, [*SPEED_KEYS, *self._patterns()], "key of speed")
            if name is None:
                continue
            if name in self._patterns():
                self._single(f"speed.{name}", said, here)
            elif name == "pattern":
                self._key(self.keys["speed"], said, here)
            else:
                self._speed_number(name, said, here, numbers)
        low, high, peak = (numbers.get(name) for name in SPEED_KEYS[:3])
        if low is not None and high is not None and low > high:
            what = f"the low speed {low:g} is above the high speed {high:g}"
            self.check.add((*at, "low_mph"), what, "", "exchange them?")
        elif peak is not None and not (low or 0) <= peak <= (peak if high is None else high):
            what = f"it is worst at {peak:g}, outside the speeds at which it is felt"
            self.check.add((*at, "peak_mph"), what)
        elif numbers and self.speed is not None:
            self.check.add(at, "speed is given twice")
        elif numbers:
            self.speed = SpeedRange(low_mph=low, high_mph=high, peak_mph=peak)

    def _patterns(self) -> list[str]:
        return list(self.keys["speed"].values) if "speed" in self.keys else []

    def _speed_number(self, name: str, said: Any, at: Key, numbers: dict[str, float]) -> None:
        unit = name.rsplit("_", 1)[1]
        top = HIGHEST_SPEED_MPH if unit == "mph" else 190.0
        number = self.check.number(at, said, 0, top, unit)
        if number is None:
            return
        target = name.replace("_kmh", "_mph")
        if target in numbers:
            self.check.add(at, "this speed is given twice, in mph and in km/h")
        numbers[target] = number if unit == "mph" else kmh_to_mph(number)

    def _frequency(self, value: Any, at: Key) -> None:
        items = value if isinstance(value, list) else [value]
        for index, item in enumerate(items):
            here = (*at, index) if isinstance(value, list) else at
            if not isinstance(item, dict):
                self.check.add(here, "a frequency is a mapping", "{hz: 8.4, at_mph: 60}")
                continue
            self._one_frequency(item, here)

    def _one_frequency(self, item: dict[str, Any], at: Key) -> None:
        got: dict[str, float] = {}
        tops = {"hz": 2000.0, "cycles_per_minute": 120000.0, "uncertainty_hz": 100.0}
        for key, said in item.items():
            name = self.check.pick((*at, key), key, FREQUENCY_KEYS, "key of frequency")
            if name:
                top, unit = tops.get(name, 190.0), name.rsplit("_", 1)[-1]
                unit = unit.replace("minute", "a minute")
                number = self.check.number((*at, key), said, 0.05, top, unit)
                got[name] = float("nan") if number is None else number
        if ("hz" in got) == ("cycles_per_minute" in got):
            self.check.add(at, "give either hz or cycles_per_minute", "one of the two")
            return
        if "at_mph" in got and "at_kmh" in got:
            self.check.add(at, "this speed is given twice, in mph and in km/h")
        hz = got.get("hz", got.get("cycles_per_minute", 0.0) / 60)
        at_mph = got.get("at_mph", kmh_to_mph(got["at_kmh"]) if "at_kmh" in got else None)
        self.frequencies.append(Frequency(hz, got.get("uncertainty_hz", 0.03 * hz), at_mph))

    def settled(self) -> tuple[Answer, ...]:
        """The answers, each once; yes and no to the same thing at one place is a problem."""
        states: dict[tuple[str, Place | None], tuple[Answer, Key]] = {}
        for answer, at in self.answers:
            slot = (answer.symptom, answer.place)
            earlier = states.setdefault(slot, (answer, at))
            if earlier[0].state != answer.state:
                where = f" at {answer.place}" if answer.place else ""
                what = f"{answer.symptom}{where} is answered yes and no"
                self.check.add(at, what, "", "keep the answer that is right")
        self._refuse_denied_elsewhere(states)
        self._refuse_two_of_one(states)
        return tuple(sorted((a for a, _ in states.values()), key=_answer_key))

    def _refuse_denied_elsewhere(self, states: dict[Any, tuple[Answer, Key]]) -> None:
        """What is denied for a whole axle or vehicle cannot be there at one of its wheels."""
        for answer, at in states.values():
            if answer.state != "yes" or answer.place is None:
                continue
            for denied, _ in states.values():
                wider = denied.place is None or denied.place.covers(answer.place)
                if (denied.symptom, denied.state) == (answer.symptom, "no") and wider:
                    where = denied.place or "the whole vehicle"
                    what = f"{answer.symptom} is there at {answer.place}, but denied for {where}"
                    self.check.add(at, what, "", "keep the answer that is right")

    def _refuse_two_of_one(self, states: dict[Any, tuple[Answer, Key]]) -> None:
        """Two values of an exclusive key cannot both hold."""
        first: dict[str, Answer] = {}
        for answer, at in states.values():
            symptom = self.symptoms[answer.symptom]
            if not symptom.exclusive or answer.state != "yes":
                continue
            if symptom.key in first:
                what = f"{answer.symptom} and {first[symptom.key].symptom} cannot both be true"
                self.check.add(at, what, "", "keep the answer that is right")
            first[symptom.key] = answer


def _answer_key(answer: Answer) -> tuple[str, str, str]:
    return (answer.symptom, str(answer.place or ""), answer.state)
