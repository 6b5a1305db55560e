"""One cell of a CSV, and one value of a row: the same text both ways.

`write_cell` gives a value as people write it, `read_cell` gives that text back as the data of a form,
so that a list that was exported can be corrected and taken in again.
"""

import difflib
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from shop.web.fields import LengthField
from shop.web.templatetags.quantities import length

YES = {"yes", "y", "true", "1", "x", "✓"}
NO = {"no", "n", "false", "0", "", "-"}
SEPARATOR = ";"  # between several values of one cell


def choice_pairs(field: forms.ChoiceField) -> Sequence[tuple[Any, str]]:
    """Value and words of each choice; fields of registers have no groups of choices."""
    choices: Any = field.choices
    return [(value, str(words)) for value, words in choices]


class Names:
    """The rows that cells may name, by the words in which lists show them."""

    def __init__(self, rows: Iterable[models.Model]) -> None:
        self._rows = rows

    @cached_property
    def _words_by_key(self) -> dict[Any, str]:
        return {row.pk: str(row) for row in self._rows}

    @cached_property
    def _keys_by_words(self) -> dict[str, list[Any]]:
        found: dict[str, list[Any]] = {}
        for row in self._rows:
            # Tools go by their number alone, too.
            for words in {_tidy(str(row)), _tidy(str(getattr(row, "number", row)))}:
                found.setdefault(words, []).append(row.pk)
        return found

    def words(self, key: Any) -> str:
        """What the row with this key is called; empty if there is none."""
        return self._words_by_key.get(key, "")

    def key(self, words: str) -> Any:
        """The key of the row of this name. Raises `ValidationError`, naming the nearest ones."""
        keys = self._keys_by_words.get(_tidy(words), [])
        if len(keys) == 1:
            return keys[0]
        if keys:
            raise ValidationError(
                f"“{words}” is the name of {len(keys)} entries. Pick it on the page instead."
            )
        raise ValidationError(f"“{words}” is not in the list.{self._nearest(words)}")

    def _nearest(self, words: str) -> str:
        if not self._keys_by_words:
            return " The list is still empty: fill it first."
        near = difflib.get_close_matches(_tidy(words), list(self._keys_by_words), n=3, cutoff=0.5)
        names = dict.fromkeys(self._words_by_key[key] for found in near for key in self._keys_by_words[found])
        if not names:
            return " Write it as the list shows it."
        return " Nearest: " + ", ".join(f"“{name}”" for name in names) + "."


class Cells:
    """Reads and writes cells of one form's fields; each list of names is read once."""

    def __init__(self) -> None:
        self._names: dict[str, Names] = {}

    def read(self, name: str, field: forms.Field, text: str) -> Any:
        """The form's data for a cell. Raises `ValidationError` with the reason."""
        text = text.strip()
        match field:
            case forms.ModelMultipleChoiceField():
                return [self._names_of(name, field).key(word) for word in _several(text)]
            case forms.ModelChoiceField():
                return self._names_of(name, field).key(text) if text else ""
            case forms.BooleanField():
                return _read_yes(text)
            case forms.MultipleChoiceField():
                return [_read_choice(field, word) for word in _several(text)]
            case forms.ChoiceField():
                return _read_choice(field, text) if text else ""
            case forms.IntegerField():
                return text.replace("−", "-")
            case _:
                return text

    def write(self, name: str, field: forms.Field, value: Any) -> str:
        """The cell for a value, whether it is the initial one of a form or a cleaned one."""
        if value is None:
            return ""
        match field:
            case forms.ModelMultipleChoiceField():
                names = self._names_of(name, field)
                return f"{SEPARATOR} ".join(sorted(names.words(_key(row)) for row in value))
            case forms.ModelChoiceField():
                return self._names_of(name, field).words(_key(value))
            case forms.BooleanField():
                return "yes" if value else "no"
            case forms.MultipleChoiceField():
                return f"{SEPARATOR} ".join(_words_of(field, choice) for choice in value)
            case forms.ChoiceField():
                return _words_of(field, value)
            case LengthField():
                return length(value)
            case _:
                return str(value)

    def _names_of(self, name: str, field: forms.ModelChoiceField) -> Names:  # type: ignore[type-arg]  # any model
        if name not in self._names:
            self._names[name] = Names(() if field.queryset is None else field.queryset.all())
        return self._names[name]


def _tidy(words: str) -> str:
    return " ".join(words.casefold().split())


def _several(text: str) -> list[str]:
    return [word.strip() for word in text.split(SEPARATOR) if word.strip()]


def _key(row: Any) -> Any:
    return row.pk if isinstance(row, models.Model) else row


def _read_yes(text: str) -> bool:
    word = text.casefold()
    if word not in YES | NO:
        raise ValidationError(f"“{text}” is neither yes nor no.")
    return word in YES


def _read_choice(field: forms.ChoiceField, text: str) -> Any:
    pairs = choice_pairs(field)
    for value, words in pairs:
        if _tidy(text) in {_tidy(str(value)), _tidy(words)}:
            return value
    offered = [words for value, words in pairs if value not in (None, "")]
    raise ValidationError(f"“{text}” is none of: {', '.join(offered)}.")


def _words_of(field: forms.ChoiceField, value: Any) -> str:
    return next(
        (words for choice, words in choice_pairs(field) if str(choice) == str(value) and choice != ""), ""
    )
