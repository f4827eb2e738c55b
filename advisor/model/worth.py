"""What waiting costs and what looking costs, as rules/worth.yaml holds it.

Money in US dollars. Every figure is a range with its source; nothing here is a promise.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import Field, model_validator

from advisor.model.base import Record
from advisor.model.terms import Duty, Seen, Slug

Amount = Annotated[float, Field(ge=0)]


class Range(Record):
    """low, typical and high of a figure."""

    low: Amount
    typical: Amount
    high: Amount

    @model_validator(mode="after")
    def _in_order(self) -> Range:
        if not self.low <= self.typical <= self.high:
            raise ValueError("low, typical and high in rising order")
        return self


class WorthFigure(Record):
    """One figure: what it is, its range, and who says so. by_duty: where a duty differs."""

    id: Slug
    what: str
    unit: str
    range: Range
    by_duty: Mapping[Duty, Range] = {}
    source: Slug
    seen: Seen
    because: str

    def for_duty(self, duty: str | None) -> Range:
        """The range that holds for a duty."""
        return self.by_duty.get(duty, self.range)  # type: ignore[call-overload]


class WaitingLoss(Record):
    """What one cause left alone brings on in the waiting time.

    causes: cause ids or families; each figure a share from 0 to 1: of the tires at the place used
    up, chance of a road call, chance of a day out of service, and share of fuel wasted.
    """

    id: Slug
    causes: list[Slug]
    tire_life: Range
    road_call: Range
    day_lost: Range
    fuel: Range | None = None
    source: Slug
    seen: Seen
    because: str


class Hearsay(Record):
    """Something told but not counted, printed as hearsay."""

    id: Slug
    says: str
    source: Slug


class Worth(Record):
    """rules/worth.yaml: what a vehicle left waiting may cost, by duty.

    waiting_days: the time the losses are reckoned over.
    """

    waiting_days: Annotated[float, Field(gt=0, le=365)]
    waiting_source: Slug
    figures: list[WorthFigure]
    losses: list[WaitingLoss]
    hearsay: list[Hearsay] = []

    def figure(self, id_: str) -> WorthFigure:
        """A figure by its id; raises KeyError."""
        for figure in self.figures:
            if figure.id == id_:
                return figure
        raise KeyError(id_)
