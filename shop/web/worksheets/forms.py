"""What the forms of all worksheets have in common: groups, questions of one choice only, refusals."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, cast

from django import forms
from django.core.exceptions import ValidationError
from django.forms.boundfield import BoundField
from django.http import QueryDict

from shop.engineering.errors import EngineeringError


@dataclass(frozen=True)
class Asked:
    """One question. `css` says for which choice alone it is asked, or that it makes the choice."""

    field: BoundField
    css: str


@dataclass(frozen=True)
class Group:
    """Questions that belong together, with what they are about."""

    legend: str
    asked: tuple[Asked, ...]

    @property
    def css(self) -> str:
        """For which choice alone the whole group is asked; empty: always, or not all of it for the same."""
        return self.asked[0].css if len({one.css for one in self.asked}) == 1 else ""


class WorksheetForm(forms.Form):
    """Questions of a worksheet.

    GROUPS orders them under legends. SWITCH is the question whose choice decides which others are
    asked: ONLY has the choices for each of them, and NEEDED those that have to be answered then.
    ARGUMENTS says which question a calculation means when it refuses one of its arguments; where it may
    mean several, the one whose answer it names.
    """

    GROUPS: ClassVar[Mapping[str, Sequence[str]]]
    SWITCH: ClassVar[str] = ""
    ONLY: ClassVar[Mapping[str, Sequence[str]]] = {}
    NEEDED: ClassVar[Mapping[str, Sequence[str]]] = {}
    ARGUMENTS: ClassVar[Mapping[str, Sequence[str]]] = {}

    def __init__(self, data: QueryDict | None = None, initial: Mapping[str, object] | None = None) -> None:
        super().__init__(data, initial=dict(initial or {}))
        for name, field in self.fields.items():
            # The place for what to check stays while it is filled anew, so the question always points to it.
            help_id = f"id_{name}_helptext " if field.help_text else ""
            field.widget.attrs["aria-describedby"] = f"{help_id}id_{name}_says"

    @property
    def groups(self) -> list[Group]:
        """The questions as they stand on the page."""
        return [
            Group(legend, tuple(Asked(self[name], self._css(name)) for name in names))
            for legend, names in self.GROUPS.items()
        ]

    @property
    def typed(self) -> list[tuple[str, str]]:
        """What was answered, question by question in words, for the paper."""
        return [
            (str(bound.label), _in_words(bound))
            for names in self.GROUPS.values()
            for bound in map(self.__getitem__, names)
            if self.is_asked(bound.name) and bound.value() not in {None, "", False}
        ]

    @property
    def in_address(self) -> list[tuple[str, str]]:
        """What was answered, question by question as an address has it; without what wasn't asked."""
        answers = [(name, str(self.data.get(name, ""))) for name in self.fields if self.is_asked(name)]
        # Browsers send the end of a line as two characters, addresses that people share may have one.
        return [(name, text.replace("\r\n", "\n").strip()) for name, text in answers if text.strip()]

    def is_asked(self, name: str) -> bool:
        """Whether the question belongs to the choice that was made."""
        return name not in self.ONLY or self[self.SWITCH].value() in self.ONLY[name]

    def clean(self) -> dict[str, Any]:
        """Say which questions of the choice that was made are not answered; leave the others' answers out."""
        cleaned = super().clean() or self.cleaned_data
        for name in self.fields:
            if not self.is_asked(name):
                cleaned[name] = None
                self.errors.pop(name, None)
        for name in self.NEEDED.get(cleaned.get(self.SWITCH) or "", ()):
            self.require(name)
        return cleaned

    def require(self, *names: str) -> None:
        """Ask for answers that are needed after all."""
        for name in names:
            if self.cleaned_data.get(name) is None and name not in self.errors:
                message = self.fields[name].error_messages["required"]
                self.add_error(name, ValidationError(message, code="required"))

    def refuse(self, error: EngineeringError) -> None:
        """Put what a calculation refused where the person looks: at the question that it is about."""
        meant = [name for name in self.ARGUMENTS.get(error.argument, ()) if self.is_asked(name)]
        named = [name for name in meant if str(self.cleaned_data.get(name)) == error.got]
        self.add_error(next(iter([*named, *meant]), None), str(error))

    def leave_blanks(self) -> list[str]:
        """Take back what is said of empty answers, and return their labels: a person may be about to type."""
        blank = [
            name
            for name, found in self.errors.as_data().items()
            if any(error.code == "required" for error in found)
        ]
        for name in blank:
            del self.errors[name]
        return [str(self[name].label) for name in blank]

    def _css(self, name: str) -> str:
        if name == self.SWITCH:
            return "switch"
        return (
            " ".join(["only", *(f"only-{choice}" for choice in self.ONLY[name])]) if name in self.ONLY else ""
        )


def _in_words(bound: BoundField) -> str:
    """An answer as it was typed, or the words of the choice, with the unit beside it."""
    value = str(bound.value())
    if isinstance(bound.field, forms.ChoiceField):
        choices = cast(Iterable[tuple[Any, Any]], bound.field.choices)
        return str({str(choice): words for choice, words in choices}.get(value, value))
    unit = bound.field.widget.attrs.get("data-unit", "")
    return f"{value} {unit}".strip()
