"""Taking a CSV in: what each line would do, everything that speaks against it, and doing it.

The text is read, and each line goes through the register's own form, outside any transaction. If no
cell is wrong, all lines are written through the service in one transaction: for a dry run that is
undone again, so that what the service refuses or doubts shows too.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.core.refusals import Doubt, Refusal
from shop.people.models import User
from shop.web.registers.matching import Matching
from shop.web.registers.reading import Fault, headers_of, read_table
from shop.web.registers.sheet import Effect, Item, Question, Sheet

CHANGES = "changes"  # the doubt whether a row that is there already is meant to change


@dataclass
class Reading:
    """What was made of a file."""

    items: list[Item] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    @property
    def questions(self) -> list[Question]:
        return [question for item in self.items for question in item.questions]

    @property
    def may_be_taken(self) -> bool:
        return bool(self.items) and not self.faults and not self.questions

    def count(self, effect: Effect) -> int:
        return sum(item.effect is effect for item in self.items)


def dry_run(sheet: Sheet, text: str, *, actor: User, sure: frozenset[str]) -> Reading:
    """What taking the text in would do. Changes nothing. Raises `Unreadable`."""
    reading = _read(sheet, text)
    if not reading.faults:
        with transaction.atomic():
            _write(reading, actor, sure)
            transaction.set_rollback(True)
    return reading


def take_in(sheet: Sheet, text: str, *, actor: User, sure: frozenset[str]) -> Reading:
    """Take the text in, all of it or nothing: `may_be_taken` tells which. Raises `Unreadable`."""
    reading = _read(sheet, text)
    if not reading.faults:
        with transaction.atomic():
            _write(reading, actor, sure)
            if not reading.may_be_taken:
                transaction.set_rollback(True)
    return reading


def _read(sheet: Sheet, text: str) -> Reading:
    table = read_table(text, sheet.headers)
    reading = Reading(faults=table.faults)
    if not reading.faults:
        reading.items = list(Matching(sheet, table, reading.faults).items())
    return reading


def _write(reading: Reading, actor: User, sure: frozenset[str]) -> None:
    """Write every item that changes something; faults and questions go on the reading."""
    for item in reading.items:
        if item.effect is Effect.UNCHANGED:
            continue
        if item.effect is Effect.CHANGED:
            _ask(item, CHANGES, f"{item.words} is there already and would be changed.", sure)
        answered = frozenset(tick.removeprefix(f"{item.number}:") for tick in sure)
        try:
            item.form.take(actor=actor, sure=answered)
        except Doubt as doubt:
            _ask(item, doubt.code, doubt.what, sure)
        except Refusal as refusal:
            label = headers_of(item.form.fields).get(refusal.field or "", "")
            reading.faults.append(Fault(item.number, label, str(refusal)))
        except ValidationError as error:
            reading.faults.extend(_faults_of(item.number, error, item.form.fields))


def _ask(item: Item, code: str, says: str, sure: frozenset[str]) -> None:
    if (full := f"{item.number}:{code}") not in sure:
        item.questions.append(Question(full, says))


def _faults_of(number: int, error: ValidationError, fields: Mapping[str, forms.Field]) -> Iterator[Fault]:
    by_field = error.message_dict if hasattr(error, "error_dict") else {"": error.messages}
    for name, sentences in by_field.items():
        for sentence in sentences:
            yield Fault(number, headers_of(fields).get(name, ""), sentence)
