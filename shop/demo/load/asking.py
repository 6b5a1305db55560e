"""How long each question takes beside the same as SQL by hand, its queries and its memory."""

import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median

from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.demo.load.questions import Question, questions

ROUNDS = 7
MOST_TIMES_SQL = 1.5
AND_MOST_MORE_MS = 5.0
MOST_GROWTH = 2.0  # of the time, for ten times the assemblies and an answer of the same size


class OtherAnswer(Exception):
    """A page and the SQL by hand don't say the same."""


@dataclass(frozen=True)
class Asked:
    """Milliseconds as the page asks and by hand, the page's queries, and the most memory that it took."""

    words: str
    page_ms: float
    by_hand_ms: float
    queries: int
    peak_kb: float

    @property
    def is_fast(self) -> bool:
        """Whether it is as near to the SQL as it has to be."""
        return self.page_ms <= MOST_TIMES_SQL * self.by_hand_ms + AND_MOST_MORE_MS

    def __str__(self) -> str:
        return (
            f"{self.words:<28} {self.page_ms:8.1f} ms {self.by_hand_ms:8.1f} ms by hand "
            f"{self.queries:4} queries {self.peak_kb:7.0f} kB{'' if self.is_fast else '  TOO SLOW'}"
        )


def ask_all() -> list[Asked]:
    """Every question, several times each way in turn. Raises `OtherAnswer`."""
    return [_ask(question) for question in questions()]


def faults_of(small: list[Asked], large: list[Asked]) -> list[str]:
    """A sentence for each limit that was broken, at the smaller and at the larger number of assemblies."""
    faults = [f"{asked.words}: more than the SQL allows." for asked in (*small, *large) if not asked.is_fast]
    for before, after in zip(small, large, strict=True):
        if after.page_ms > MOST_GROWTH * before.page_ms:
            faults.append(f"{after.words}: {after.page_ms / before.page_ms:.1f} times as long among more.")
        if after.queries != before.queries:
            faults.append(f"{after.words}: {before.queries} queries became {after.queries}.")
    return faults


def _ask(question: Question) -> Asked:
    if question.as_the_page() != question.by_hand():
        raise OtherAnswer(f"{question.words}: the page and the SQL by hand give different answers.")
    page, by_hand = [], []
    for _ in range(ROUNDS):
        page.append(_milliseconds(question.as_the_page))
        by_hand.append(_milliseconds(question.by_hand))
    with CaptureQueriesContext(connection) as queries:
        question.as_the_page()
    tracemalloc.start()
    question.as_the_page()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return Asked(question.words, median(page), median(by_hand), len(queries), peak / 1000)


def _milliseconds(ask: Callable[[], object]) -> float:
    began = time.perf_counter()
    ask()
    return 1000 * (time.perf_counter() - began)
