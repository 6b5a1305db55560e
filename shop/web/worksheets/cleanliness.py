"""Cleanliness codes: from counts of particles, and what a code stands for."""

from collections.abc import Mapping
from typing import Any

from django import forms

from shop.engineering.cleanliness import CLASSES_UM, CleanlinessCode, code_of_counts
from shop.engineering.numbers import plain
from shop.standards.figures import confirmations
from shop.web.worksheets.fields import CleanlinessCodeField, NumberField
from shop.web.worksheets.forms import WorksheetForm
from shop.web.worksheets.sheet import Fact, Sheet, Table, Verdict, Working, Worksheet
from shop.web.worksheets.tables import basis_of, cleanliness_scale


class CleanlinessForm(WorksheetForm):
    SWITCH = "known"
    GROUPS = {
        "What is known": ("known",),
        "Particles in one millilitre": ("at_4", "at_6", "at_14"),
        "The code": ("code",),
        "To compare it with": ("wanted",),
    }
    ONLY = {"at_4": ("counts",), "at_6": ("counts",), "at_14": ("counts",), "code": ("code",)}
    NEEDED = {"counts": ("at_6", "at_14"), "code": ("code",)}
    ARGUMENTS = {"particle count": ("at_4", "at_6", "at_14"), "particle counts": ("at_6",)}

    known = forms.ChoiceField(label="Known", choices=[("counts", "particles counted"), ("code", "a code")])
    at_4 = NumberField(
        label="4 µm(c) and larger", unit="per ml", required=False, help_text="Empty if not counted."
    )
    at_6 = NumberField(label="6 µm(c) and larger", unit="per ml", required=False)
    at_14 = NumberField(label="14 µm(c) and larger", unit="per ml", required=False)
    code = CleanlinessCodeField(label="Code", required=False, help_text="Like 18/16/13 or -/16/13.")
    wanted = CleanlinessCodeField(
        label="Wanted at least", required=False, help_text="A code, if the customer asks for one."
    )


def work(answers: Mapping[str, Any]) -> Sheet:
    """The code of the counts, or the counts that a code stands for."""
    counts = at_4, at_6, at_14 = answers["at_4"], answers["at_6"], answers["at_14"]
    code: CleanlinessCode = answers["code"] or code_of_counts(at_4, at_6, at_14, cleanliness_scale())
    wanted: CleanlinessCode | None = answers["wanted"]
    confirmed = confirmations()
    rows = [(size, row) for size, row in zip(CLASSES_UM, code.rows, strict=True) if row is not None]
    return Sheet(
        says=f"Cleanliness code {code}.",
        answers=(Fact("ISO 4406 code", str(code)),),
        verdicts=() if wanted is None else (_compared(code, wanted),),
        tables=(
            Table(
                "What each number stands for",
                ("Particles", "Number", "In one millilitre"),
                tuple((f"{size} µm(c) and larger", str(row.code), row.words) for size, row in rows),
                frozenset({1}),
            ),
        ),
        workings=tuple(
            Working(
                f"{size} µm(c) and larger",
                f"the row of the scale with {plain(row.over)} < {plain(count)} ≤ {plain(row.up_to)}",
                "",
                str(row.code),
                row.source,
            )
            for (size, row), count in zip(
                rows, [count for count in counts if count is not None], strict=False
            )
        ),
        assumptions=("The counts are of one sample, taken and counted as its standard says.",),
        cautions=code.cautions,
        basis=tuple(dict.fromkeys(basis_of(row, confirmed) for _, row in rows)),
    )


def _compared(code: CleanlinessCode, wanted: CleanlinessCode) -> Verdict:
    if code.is_as_clean_as(wanted):
        return Verdict("pass", f"As clean as {wanted}.", "No number is above the wanted one.")
    return Verdict(
        "fail", f"Not as clean as {wanted}.", "A number is above the wanted one, or was not counted."
    )


WORKSHEET = Worksheet(
    slug="cleanliness",
    title="Cleanliness code",
    about="The ISO 4406 code of particle counts, and the counts that a code stands for, with both bounds.",
    form=CleanlinessForm,
    work=work,
    example={"known": "counts", "at_4": "1500", "at_6": "400", "at_14": "60", "wanted": "18/16/13"},
)
