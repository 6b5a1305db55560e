"""Steps taken on several pieces of a run at once: what is asked of one, and how many."""

from collections.abc import Sequence
from decimal import Decimal

from django import forms
from django.http import QueryDict
from django.utils.text import capfirst

from shop.assemblies.models import Assembly, Crimp, ProofOutcome, Run, Sampling, lots_of
from shop.assemblies.release import release
from shop.assemblies.runs import (
    Waiting,
    crimp_pieces,
    cut_pieces,
    inspect_pieces,
    most_at_once,
    prove_pieces,
    tag_pieces,
)
from shop.assemblies.steps import Step, newest_set_up
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.people.models import User
from shop.web.bench.forms.base import GatheringForm, StepForm
from shop.web.bench.forms.deciding import DecideForm
from shop.web.bench.forms.finishing import InspectForm, ReleaseForm, TagForm
from shop.web.bench.forms.making import CrimpForm, CutForm, MeasureForm, SetUpForm
from shop.web.bench.forms.testing import ProveForm, said_of
from shop.web.fields import LengthField

MOST_ON_A_PAGE = 25  # pieces whose lengths are typed one below the other


class OfARun(StepForm):
    """A step for the pieces that wait for it; the first of them stands for all, since they are equal."""

    is_of_one_piece = False

    def __init__(self, data: QueryDict | None = None, *, waiting: Waiting) -> None:
        self.pieces = waiting.pieces
        super().__init__(data, assembly=waiting.pieces[0], end=waiting.end)

    @property
    def run(self) -> Run:
        return self.assembly.run

    @property
    def subject(self) -> str:
        # The first of those that wait is another one as soon as the step was taken.
        return f"run {self.run.pk}"


class Several(OfARun, GatheringForm):
    """Asks how many, once everything is scanned."""

    def build(self) -> None:
        super().build()
        if self.is_whole:
            most = self.most()
            self.suggest("count", str(most))
            self.fields["count"] = forms.IntegerField(
                label="How many", min_value=1, max_value=most, initial=most, help_text=self.how_many(most)
            )
            self.order_fields(["count"])

    def most(self) -> int:
        return len(self.pieces)

    def how_many(self, most: int) -> str:
        """What the number comes from, in words."""
        return f"{most} wait for it. Each is done as you tick below."


class CutPiecesForm(Several, CutForm):
    button = "They are cut"

    def take(self, actor: User, sure: frozenset[str]) -> str:
        cuts = cut_pieces(
            actor=actor,
            run=self.run,
            count=self.cleaned_data["count"],
            piece=self.gathering.thing("piece"),
            seen=self.cleaned_data["seen"],
        )
        last = cuts[-1].movement
        return f"{len(cuts)} × {cuts[-1].length} mm cut from {last.piece}; {last.balance} mm are left on it."


class CrimpPiecesForm(Several, CrimpForm):
    button = "They are crimped"

    @property
    def had(self) -> str:
        """The bins of the crimp before on this set-up: they stand at the press still."""
        set_up = newest_set_up(self.assembly, self.at_end)
        before = Crimp.objects.filter(set_up=set_up).order_by("entry").last()
        if before is None:
            return ""
        return " ".join(lot.code for lot in lots_of(before) if lot is not None)

    def most(self) -> int:
        set_up = newest_set_up(self.assembly, self.at_end)
        assert set_up is not None, "without one, setting up would be the next step"
        lots = (self.gathering.thing("fittings"), self.gathering.get("ferrules"))
        return most_at_once(self.pieces, self.at_end, set_up, lots)

    def how_many(self, most: int) -> str:
        return "The last of them is measured before you go on."

    def take(self, actor: User, sure: frozenset[str]) -> str:
        made = crimp_pieces(
            actor=actor,
            run=self.run,
            end=self.at_end,
            count=self.cleaned_data["count"],
            fitting_lot=self.gathering.thing("fittings"),
            ferrule_lot=self.gathering.get("ferrules"),
            seen=self.cleaned_data["seen"],
        )
        last = made[-1]
        then = f" Measure {last.assembly} now." if last.sampling != Sampling.BETWEEN else ""
        return f"{capfirst(last.get_end_display())} of {_these([c.assembly for c in made])} crimped.{then}"


class SetUpRunForm(OfARun, SetUpForm):
    pass


class OfOnePiece(OfARun):
    """A step for the one piece in hand: sent late, it must not slip to the next that waits."""

    is_of_one_piece = True

    piece_shown = forms.CharField(widget=forms.HiddenInput, required=False)

    def build(self) -> None:
        super().build()
        self.initial["piece_shown"] = self.assembly.code


class MeasurePieceForm(OfOnePiece, MeasureForm):
    pass


class DecidePieceForm(OfOnePiece, DecideForm):
    pass


class InspectPiecesForm(OfARun, InspectForm):
    """All that were right to look at, each with its own measures; what is not right is inspected alone."""

    button = "They are inspected"

    def build(self) -> None:
        super().build()
        if not self.is_whole:
            return
        for name in ("finished_length", "angle_deg", "faults"):
            self.fields.pop(name, None)
        self.fields["seen"].label = "Seen and right on each of them"
        for piece in self.pieces[:MOST_ON_A_PAGE]:
            self.fields[f"length_{piece.serial}"] = LengthField(
                label=f"Length of {piece.serial}", required=False
            )
            if self.assembly.resolution.angle_deg is not None:
                self.fields[f"angle_{piece.serial}"] = forms.IntegerField(
                    label=f"Angle of {piece.serial}, degrees", min_value=0, max_value=359, required=False
                )
        self.fields[
            "seen"
        ].help_text = (
            "A piece whose length stays empty is left for later. Inspect one that is not right by itself."
        )

    def measured(self) -> dict[Assembly, tuple[Decimal, int | None]]:
        """The pieces whose length was typed, each with its measures."""
        return {
            piece: (length, self.cleaned_data.get(f"angle_{piece.serial}"))
            for piece in self.pieces
            if (length := self.cleaned_data.get(f"length_{piece.serial}")) is not None
        }

    def clean(self) -> None:
        super().clean()
        if self.is_whole and "take" in self.sent and not self.errors and not self.measured():
            self.add_error(f"length_{self.pieces[0].serial}", "Type the finished length of one or more.")

    def take(self, actor: User, sure: frozenset[str]) -> str:
        inspected = inspect_pieces(
            actor=actor,
            run=self.run,
            measured=self.measured(),
            gauge=self.gathering.thing("tape"),
            seen=set(self.cleaned_data["seen"]),
            pin_mm=self.cleaned_data.get("pin"),
        )
        wrong = [inspection.assembly for inspection in inspected if not inspection.passed]
        right = f"{len(inspected) - len(wrong)} inspected and right."
        return f"{right} Not right: {_these(wrong)}." if wrong else right


class ProvePiecesForm(Several, ProveForm):
    """Those that were under pressure together; what was found on one of them is told of that one."""

    button = "They are tested"

    def how_many(self, most: int) -> str:
        return f"{most} wait for it. So many were under pressure together, and each was looked at."

    def take(self, actor: User, sure: frozenset[str]) -> str:
        tests = prove_pieces(
            actor=actor,
            run=self.run,
            count=self.cleaned_data["count"],
            gauge=self.gathering.thing("pressure gauge"),
            observed=self.observed,
            sure=sure,
        )
        return f"{_these([test.assembly for test in tests])}: {said_of(ProofOutcome(tests[0].outcome))}"


class TagPiecesForm(OfARun, TagForm):
    button = "Make the tags"

    def take(self, actor: User, sure: frozenset[str]) -> str:
        tags = tag_pieces(actor=actor, run=self.run)
        return f"{len(tags)} tags are ready to print. The marks: {tags[0].mark}, each with its own number."


class ReleasePieceForm(OfARun, ReleaseForm):
    """Whichever tag is scanned, its own hose is released."""

    @property
    def hoses(self) -> Sequence[Assembly]:
        return self.pieces

    def take(self, actor: User, sure: frozenset[str]) -> str:
        scanned = self.cleaned_data["scan"]
        piece = self._piece(scanned) or self.assembly
        release(actor=actor, assembly=piece, scanned=scanned, seen=self.ticked)
        return f"{capfirst(str(piece))} is released: hose, tag and record belong together."

    def _piece(self, scanned: str) -> Assembly | None:
        try:
            code = read_code(scanned).text
        except NotUnderstood:
            return None  # the service says so
        return next((piece for piece in self.pieces if piece.code == code), None)


RUN_FORMS: dict[Step, type[OfARun]] = {
    form.step: form
    for form in (
        CutPiecesForm,
        SetUpRunForm,
        CrimpPiecesForm,
        MeasurePieceForm,
        DecidePieceForm,
        InspectPiecesForm,
        ProvePiecesForm,
        TagPiecesForm,
        ReleasePieceForm,
    )
}


def _these(assemblies: list[Assembly]) -> str:
    serials = [assembly.serial for assembly in assemblies]
    if len(serials) > 2 and serials == list(range(serials[0], serials[-1] + 1)):
        return f"{serials[0]} to {serials[-1]}"
    return ", ".join(map(str, serials))
