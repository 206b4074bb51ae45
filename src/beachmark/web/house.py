"""The open store, and the cases worked out, kept for a while: a revision never changes once it is stored, and a
kept replay has its mark."""

from __future__ import annotations

import re
import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData

from beachmark.basis.errors import NotFoundError
from beachmark.workflow.loading import from_store
from beachmark.workflow.pages import Assessment, Loaded, Store
from beachmark.workflow.working import weigh

KEPT = 256  # worked cases
MOST_FIELDS = 600
LONGEST_NAME = 80
NAME_COOKIE = "beachmark_name"


@dataclass(frozen=True)
class Worked:
    """A case at one revision with its sums and its opinion."""

    loaded: Loaded
    assessment: Assessment

    @property
    def number(self) -> int:
        """The case's number."""
        return self.loaded.number or 0

    @property
    def revision(self) -> int:
        """The revision that this is."""
        return self.loaded.revision or 0


class House:
    """The store with the cases worked out."""

    def __init__(self, store: Store):
        self.store = store
        self._kept: OrderedDict[tuple[int, int, str], Worked] = OrderedDict()
        self._lock = threading.Lock()

    def case(self, number: int) -> Worked:
        """A case at its current revision. Raises `NotFoundError`."""
        return self.at(number, self.store.get(number).revision)

    def at(self, number: int, revision: int) -> Worked:
        """A case at one revision, from memory where it was worked out before."""
        key = (number, revision, self.store.replay_mark(number))
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        loaded = from_store(self.store, number, revision=revision)
        worked = Worked(loaded, weigh(loaded))
        with self._lock:
            self._kept[key] = worked
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return worked


def house_of(request: Request) -> House:
    """The house that the application has open."""
    house = request.app.state.house
    assert isinstance(house, House)
    return house


def case_number(n: str) -> int:
    """The number of a case as it stands in an address. Raises `NotFoundError`."""
    if not re.fullmatch(r"[1-9][0-9]{0,8}", n):
        raise NotFoundError(f"{n[:40]!r} is not the number of a case; cases are numbered from 1")
    return int(n)


def worked_case(house: Annotated[House, Depends(house_of)], number: Annotated[int, Depends(case_number)]) -> Worked:
    """The case of an address, worked out."""
    return house.case(number)


async def sent_form(request: Request) -> FormData:
    """A form as it was sent."""
    return await request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=200_000)


def remembered_name(request: Request) -> str:
    """The name that this browser gave last."""
    from urllib.parse import unquote

    return unquote(request.cookies.get(NAME_COOKIE, ""))[:LONGEST_NAME]


TheHouse = Annotated[House, Depends(house_of)]
TheCase = Annotated[Worked, Depends(worked_case)]
TheNumber = Annotated[int, Depends(case_number)]
TheForm = Annotated[FormData, Depends(sent_form)]
TheName = Annotated[str, Depends(remembered_name)]
