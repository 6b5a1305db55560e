"""What a worksheet is, and what it answers. The machinery knows nothing of any one of them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict

from shop.engineering.errors import EngineeringError
from shop.web.worksheets.forms import WorksheetForm

MOST_NARROW, MOST_NARROW_WORDS = 4, 3  # columns that fit half a sheet


@dataclass(frozen=True)
class Fact:
    """One figure of the answer, its unit in the value, and a word beside it."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class Working:
    """A line of the working: what it is, its formula, the same with numbers, the result, the source.

    `result` is what the calculation returned, never what the line was worked out to again.
    """

    what: str
    formula: str
    numbers: str
    result: str
    source: str


@dataclass(frozen=True)
class Table:
    """Rows that are compared with each other. `figures` are the columns that stand to the right."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: frozenset[int] = frozenset()

    @property
    def is_wide(self) -> bool:
        """Whether it needs the whole breadth of the paper: many columns, or several of words."""
        return len(self.head) > MOST_NARROW or len(self.head) - len(self.figures) > MOST_NARROW_WORDS

    @property
    def columns(self) -> tuple[tuple[str, bool], ...]:
        """Each heading, and whether figures stand under it."""
        return tuple((words, number in self.figures) for number, words in enumerate(self.head))

    @property
    def lines(self) -> tuple[tuple[tuple[str, bool], ...], ...]:
        """Each row's cells, and whether they are figures."""
        return tuple(tuple((cell, n in self.figures) for n, cell in enumerate(row)) for row in self.rows)


@dataclass(frozen=True)
class Verdict:
    """Whether something is right, by sign (pass, held, fail, care or note), word and reason."""

    sign: str
    word: str
    why: str = ""


@dataclass(frozen=True)
class Basis:
    """Where a value of the sheet comes from: the source and whether it was read there or is from memory."""

    source: str
    basis: str

    @property
    def document(self) -> str:
        """The source without its basis, which stands beside it."""
        return self.source.removesuffix(", from memory")


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """All that a worksheet answers. `says` is the answer in one sentence, for who hears the page."""

    says: str
    answers: tuple[Fact, ...] = ()
    verdicts: tuple[Verdict, ...] = ()
    drawing: str = ""
    tables: tuple[Table, ...] = ()
    workings: tuple[Working, ...] = ()
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    basis: tuple[Basis, ...] = ()


Work = Callable[[Mapping[str, Any]], Sheet]


@dataclass(frozen=True, kw_only=True)
class Worksheet:
    """A page that works something out: what it asks, how it answers, and an example to try it with.

    `work` takes what the form hands over and raises `EngineeringError` for what can't be worked out.
    """

    slug: str
    title: str
    about: str
    form: type[WorksheetForm]
    work: Work
    example: Mapping[str, str]

    def work_out(
        self, typed: QueryDict | None, initial: Mapping[str, object] | None = None
    ) -> tuple[WorksheetForm, Sheet | None]:
        """The form with what was typed, and the sheet; without one the form says what keeps it away."""
        form = self.form(typed, initial)
        if form.is_valid():
            try:
                return form, self.work(form.cleaned_data)
            except EngineeringError as error:
                form.refuse(error)
        return form, None

    @property
    def example_query(self) -> str:
        """The example as it stands in an address."""
        return urlencode(self.example)

    @property
    def name(self) -> str:
        """The name of its page's address, without the namespace."""
        return f"worksheet_{self.slug}"

    @property
    def page(self) -> str:
        """Its page, as templates link to it."""
        return f"web:{self.name}"

    @property
    def answer(self) -> str:
        """What answers while a person types, as templates link to it."""
        return f"web:{self.name}_answer"

    @property
    def attach(self) -> str:
        """What keeps it with an order line, as templates link to it."""
        return f"web:{self.name}_attach"
