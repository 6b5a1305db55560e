"""One level of the template as a form, filled in anew for each copy: keys, codes, times, hashes."""

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter
from random import Random
from typing import Any

from django.apps import apps
from django.db import models

from shop.assemblies.models import Assembly
from shop.core.labels import Labelled
from shop.demo.load.many.rows import Keys, Table, Writer, columns, keyed_by, rows_between, tables
from shop.demo.load.many.template import Level
from shop.engineering.codes import group_code, new_code
from shop.ledger.canonical import canonical, hashed_text, sha256
from shop.ledger.models import HOME, Entry, Record
from shop.ledger.registry import find_verb
from shop.orders.models import Order
from shop.stock.models import Piece
from shop.tooling.models import Calibration

Counted = tuple[Table, str]  # a table and its column that counts on
Numbers = dict[Counted, int]
Slot = tuple[Any, ...]
Turns = Mapping[str, int]

ENTRY: Counted = (Entry, "id")
PLACE: Counted = (Entry, "number")
ALSO_COUNTED: frozenset[Counted] = frozenset({PLACE, (Assembly, "serial"), (Order, "number")})
# What a run takes of a level above it in turn: the next piece of the lot, the calibration of the lot's gauge.
IN_TURN: Mapping[Table, str] = {Piece: "piece", Calibration: "gauge"}
DAY = (Calibration, "done_on")
# A number in quotes, which then go, or a piece of a text.
_MARKS = re.compile(r'\\?"<#(\d+)>\\?"|<\$(\d+)>')


@dataclass(frozen=True)
class Moment:
    """When a copy begins: a day, and a second of it (UTC); its entries are so many seconds apart."""

    day: str
    second: int
    apart_s: int


@dataclass(frozen=True)
class Form:
    """A text with places for values."""

    words: str
    taken: Callable[[list[Any]], Any]

    def filled(self, values: list[Any]) -> str:
        """The text with these values."""
        filled: str = self.words % self.taken(values)
        return filled


class Block:
    """What was recorded at one level, and where each value of a copy comes from.

    `start` has, for each column that counts, its value in the first row of the newest copy; `count`, how
    many values a copy takes of it. `outside` gives what stands for a thing that was there before, by its
    table and key: the name of a turn.
    """

    def __init__(
        self,
        level: Level,
        span: tuple[Keys, Keys],
        *,
        above: Sequence["Block"],
        outside: Mapping[tuple[Table, int], str],
        writer: Writer,
    ) -> None:
        self.level, self._writer, self._outside = level, writer, outside
        self._rows = {table: rows for table in tables() if (rows := rows_between(table, *span))}
        self.start, self.count = _counts(self._rows)
        self._places = {block.level: block for block in above} | {level: self}
        self._slots: dict[Slot, int] = {}
        self._fixed: list[Any] = []  # what never differs, at its place among the values
        self._codes = self._find_codes()
        self._texts: list[tuple[int, Form]] = []
        self.entries = self.count[PLACE]
        self.plans = {
            table: [self._plan(table, number, row) for number, row in enumerate(self._named(table))]
            for table in self._rows
        }
        self._chained = [
            (
                self._hashed(number, row),
                self._at("instant", number),
                self._at("moment", number),
                self._at("hash", number),
            )
            for number, row in enumerate(self._named(Entry))
        ]
        self._counted = [(at, slot[1:]) for slot, at in self._slots.items() if slot[0] == "number"]
        self._coded = [(at, slot[1]) for slot, at in self._slots.items() if slot[0] == "code"]
        self._printed = [
            (at, self._slots["code", slot[1]]) for slot, at in self._slots.items() if slot[0] == "printed"
        ]
        self._day, self._before = self._at("day"), self._at("hash", -1)
        self._turned = [(at, slot[1]) for slot, at in self._slots.items() if slot[0] == "turn"]

    def copy(
        self,
        starts: Numbers,
        moment: Moment,
        head: str,
        turns: Turns,
        into: Mapping[Table, list[tuple[Any, ...]]],
    ) -> str:
        """Add the rows of a copy whose counted columns begin at `starts`; the hash of its last entry.

        `head` is the hash of the entry before it.
        """
        self.start = {counted: starts[counted] for counted in self.count}
        values = self._fixed.copy()
        for at, (level, counted, further, turn) in self._counted:
            values[at] = self._places[level].start[counted] + further + (turns[turn] if turn else 0)
        for at, letter in self._coded:
            values[at] = new_code(letter[0], _choose)
        for at, code in self._printed:
            values[at] = group_code(values[code])
        for at, turn in self._turned:
            values[at] = turns[turn]
        values[self._day] = moment.day
        for at, form in self._texts:
            values[at] = form.filled(values)
        second = moment.second
        values[self._before] = head
        for form, instant, written, digest in self._chained:
            clock = _CLOCK[second]
            values[instant] = f"{moment.day}T{clock}.000000Z"
            values[written] = f"{moment.day} {clock}{self._writer.zone}"
            head = values[digest] = sha256(form.filled(values))
            second += moment.apart_s
        for table, plans in self.plans.items():
            into[table].extend([plan(values) for plan in plans])
        return head

    def _find_codes(self) -> dict[str, str]:
        """Marks for the codes of its own things, as they are and as they are printed."""
        codes = [
            row["code"] for table in self._rows if issubclass(table, Labelled) for row in self._named(table)
        ]
        marks = {}
        for code in codes:
            marks[code] = f"<${self._at('code', code)}>"
            marks[group_code(code)] = f"<${self._at('printed', code)}>"
        return marks

    def _named(self, table: Table) -> Iterator[dict[str, Any]]:
        return (dict(zip(columns(table), row, strict=True)) for row in self._rows[table])

    def _at(self, *slot: Any) -> int:
        """Where among the values that one is."""
        if slot not in self._slots:
            self._slots[slot] = len(self._fixed)
            self._fixed.append(self._writer.value(slot[2]) if slot[0] == "fixed" else None)
        return self._slots[slot]

    def _plan(self, table: Table, number: int, row: Mapping[str, Any]) -> Callable[[list[Any]], Any]:
        """Takes the row of a copy from its values."""
        fields: list[models.Field[Any, Any]] = list(table._meta.concrete_fields)
        return itemgetter(*(self._column(table, number, field, row[str(field.column)]) for field in fields))

    def _column(self, table: Table, number: int, field: "models.Field[Any, Any]", value: Any) -> int:
        if table is Entry and field.name in ("happened_at", "recorded_at"):
            return self._at("moment", number)
        if table is Entry and field.name in ("hash", "previous"):
            return self._at("hash", number - (field.name == "previous"))
        if table is Entry and field.name == "subject":
            return self._text(self._subject(value))
        if table is Entry and field.name == "facts":
            return self._text(self._facts(number))
        slot = self._changing(field, value)
        if slot is not None:
            return self._at(*slot)
        if isinstance(value, str) and any(code in value for code in self._codes):
            return self._text(self._with_codes(value))
        return self._at("fixed", type(value), value)

    def _text(self, marked: str) -> int:
        """Where a text is that is composed anew for each copy."""
        at = self._at("text", marked)
        if all(at != known for known, _ in self._texts):
            self._texts.append((at, self._form(self._writer.text(marked))))
        return at

    def _changing(self, field: "models.Field[Any, Any]", value: Any) -> Slot | None:
        """Where a column's value comes from, if it is another one in each copy."""
        table: Table = field.model
        if (table, field.name) == DAY:
            return ("day",)
        if value is None:
            return None
        if issubclass(table, Labelled) and field.name == "code":
            return ("code", value)
        if (table, field.name) in ALSO_COUNTED:
            return self._number((table, field.name), value)
        target = table if field.primary_key else field.related_model
        if isinstance(field, models.ForeignKey) or field.primary_key:
            assert isinstance(target, type)
            turn = self._outside.get((target, value))
            return ("turn", turn) if turn else self._number(_key_of(target), value, IN_TURN.get(target))
        return None

    def _number(self, counted: Counted, value: int, turn: str | None = None) -> Slot | None:
        for level, block in self._places.items():
            start = block.start.get(counted)
            if start is not None and start <= value < start + block.count[counted]:
                return ("number", level, counted, value - start, turn if block is not self else None)
        return None

    def _hashed(self, number: int, row: Mapping[str, Any]) -> Form:
        """What the hash of that entry is of."""
        marked = {
            **row,
            "number": f"<#{self._at(*self._number(PLACE, row['number']) or ())}>",
            "happened_at": f"<${self._at('instant', number)}>",
            "recorded_at": f"<${self._at('instant', number)}>",
            "subject": self._subject(row["subject"]),
            "facts": self._facts(number),
        }
        previous = f"<${self._at('hash', number - 1)}>"
        return self._form(hashed_text(site=HOME, previous=previous, parts=marked))

    def _subject(self, subject: str) -> str:
        """The subject of an entry with a mark for the key in it."""
        label, _, key = subject.partition(":")
        table = apps.get_model(label)
        if issubclass(table, Record):
            site, _, number = key.rpartition("-")
            slot = self._number(PLACE, int(number))
            return subject if slot is None else f"{label}:{site}-<${self._at(*slot)}>"
        slot = self._number(_key_of(table), int(key))
        return subject if slot is None else f"{label}:<${self._at(*slot)}>"

    def _facts(self, number: int) -> str:
        """The facts of that entry with marks for what differs."""
        row = dict(zip(columns(Entry), self._rows[Entry][number], strict=True))
        told = json.loads(row["facts"])
        record = find_verb(row["verb"]).record
        table = apps.get_model(row["subject"].partition(":")[0]) if record is None else record
        names = told if record is not None else told.get("after", {})
        for name in names:
            field = next((one for one in table._meta.concrete_fields if one.name == name), None)
            slot = None if field is None else self._changing(field, names[name])
            if slot is not None:
                at = self._at(*slot)
                names[name] = f"<${at}>" if slot[0] in ("code", "day") else f"<#{at}>"
        return self._with_codes(canonical(told))

    def _with_codes(self, text: str) -> str:
        for code, mark in self._codes.items():
            text = text.replace(code, mark)
        return text

    def _form(self, marked: str) -> Form:
        taken: list[int] = []

        def take(found: re.Match[str]) -> str:
            taken.append(int(found[1] or found[2]))
            return "%s"

        words = _MARKS.sub(take, marked.replace("%", "%%"))
        return Form(words, itemgetter(*taken) if taken else lambda _: ())


def _key_of(table: Table) -> Counted:
    root = keyed_by(table)
    return root, root._meta.pk.name


def _counts(rows: Mapping[Table, list[tuple[Any, ...]]]) -> tuple[Numbers, Numbers]:
    """The first value of each column that counts, and how many there are."""
    start, count = {}, {}
    for table, found in rows.items():
        own = {_key_of(table)} if keyed_by(table) is table else set()
        for counted in own | {one for one in ALSO_COUNTED if one[0] is table}:
            place = columns(table).index(counted[1])
            values = [row[place] for row in found]
            assert sorted(values) == list(range(min(values), min(values) + len(values))), counted
            start[counted], count[counted] = min(values), len(values)
    return start, count


_CLOCK = [f"{s // 3600:02}:{s // 60 % 60:02}:{s % 60:02}" for s in range(24 * 3600)]
_choose = Random().choice  # noqa: S311  # nobody guesses at codes of a scratch workshop
