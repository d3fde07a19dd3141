"""One question for a plan from its texts to its answer; pages, JSON and the command all come through here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from fitfinder import crib
from fitfinder.crib import ShopNow
from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.job import Job
from fitfinder.holding.method import Method
from fitfinder.holding.reader import whole_crib_for
from fitfinder.holding.texts.bar_labels import with_its_shape
from fitfinder.holding.texts.stock_texts import no_such_tag
from fitfinder.holding.way import Way
from fitfinder.plan.job_texts import FIELDS, job_from, job_of
from fitfinder.plan.plan import Plan, plan, way_by
from fitfinder.questions import Texts, no_such_lathe

DEFAULTS = {"shape": "round", "parts": "1", "setups": "1", "starts": "1"}


@dataclass(frozen=True)
class JobQuestion:
    """The texts of the question, as the address carries them."""

    texts: Mapping[str, str]

    @classmethod
    def from_texts(cls, texts: Texts) -> JobQuestion:
        """What is not given is left out. A shape said beside the size is the shape."""
        given = {name: str(texts.get(name) or "").strip() for name in FIELDS}
        size, shape = with_its_shape(given["size"], picked=given["shape"], unit=given["unit"])
        if shape:
            given |= {"size": size, "shape": shape}
        if given["size"]:
            given["unit"] = given["unit"] or crib.unit_of_addresses()
        return cls({name: text for name, text in given.items() if text})

    def changed(self, **texts: str) -> JobQuestion:
        """The same question with other texts in these fields."""
        return JobQuestion({**self.texts, **texts})

    @property
    def typed(self) -> dict[str, str]:
        """What is not at its default."""
        return {name: text for name, text in self.texts.items() if text != DEFAULTS.get(name)}

    @property
    def address(self) -> str:
        """The whole question as a query string."""
        return urlencode(self.typed)

    def job(self) -> Job:
        """Raises QuestionError where it cannot be read."""
        return self._job(crib.shop_now())

    def _job(self, figures: ShopNow) -> Job:
        size = self.texts.get("size", "")
        piece = None if "size2" in self.texts else crib.piece_named(size)
        if piece is not None:
            return job_of(piece, self.texts, shop_unit=crib.shop_unit())
        if refused := no_such_tag(size):
            raise refused
        return job_from(
            self.texts,
            shop_unit=crib.shop_unit(),
            bare_limit=figures.largest_bare,
            allowance=figures.allowance,
        )

    def plan(self, *, asker_id: int | None = None) -> Plan:
        """Raises QuestionError where it cannot be read."""
        return plan(*self._read(asker_id))

    def way(self, method: Method, *, asker_id: int | None = None) -> Way:
        """What the plan has of one method. Raises QuestionError where it cannot be read."""
        return way_by(method, *self._read(asker_id))

    def _read(self, asker_id: int | None) -> tuple[Job, PlanCrib]:
        figures = crib.shop_now()
        job, lathe = self._job(figures), self.texts.get("lathe", "")
        on_hand = whole_crib_for(job, figures, lathe=lathe, asker_id=asker_id)
        if lathe and not on_hand.crib.lathes:
            raise no_such_lathe(lathe, crib.lathe_names())
        return job, on_hand
