"""The items of a driver's inspection report, as another form a complaint comes in."""

from __future__ import annotations

from pydantic import Field

from advisor.model.base import Record
from advisor.model.terms import Slug


class ReportItem(Record):
    """One item. says: its name in the rule; alike: how forms shorten it; reads_as: the words that
    stand before a remark so that it is read with its part; empty where the item has nothing to do
    with a rolling vibration. hint: what the item alone tells."""

    id: Slug
    says: str
    alike: list[str] = []
    reads_as: str = ""
    hint: str
    source: Slug
    section: str = Field(default="")
