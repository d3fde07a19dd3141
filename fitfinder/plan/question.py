"""One question for a plan from its texts to its answer; pages, JSON and the command all come through here."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from fitfinder import crib
from fitfinder.find.question import ONE_INCH, SMALLEST_LIMIT, no_such_lathe
from fitfinder.holding.shape_words import size_and_shape
from fitfinder.plan.job import FIELDS, Job, job_from
from fitfinder.plan.plans import Plan, plan
from fitfinder.plan.reader import floor_for


class JobQuestion(Struct, frozen=True):
    """The texts of the question, as the address carries them."""

    texts: Mapping[str, str]

    @classmethod
    def from_texts(cls, texts) -> JobQuestion:
        """From anything with `.get`; what is not given is left out. A shape said beside the size is the shape."""
        found = {name: str(texts.get(name) or "").strip() for name in FIELDS}
        size, shape = size_and_shape(found["size"], picked=found["shape"])
        if shape:
            found |= {"size": size, "shape": shape}
        return cls({name: text for name, text in found.items() if text})

    def job(self) -> Job:
        """Raises QuestionError where it cannot be read."""
        return job_from(self.texts, bare_limit=max(crib.largest_grip() or SMALLEST_LIMIT, ONE_INCH))

    def plan(self, *, asker_id: int | None = None) -> Plan:
        """Raises QuestionError where it cannot be read."""
        job, lathe = self.job(), self.texts.get("lathe", "")
        floor = floor_for(job, lathe=lathe, asker_id=asker_id)
        if lathe and not floor.crib.lathes:
            raise no_such_lathe(lathe)
        return plan(job, floor)
