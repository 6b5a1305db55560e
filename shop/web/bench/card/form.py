"""A whole job card on one form: its head, and the parts that its pieces still wait for."""

from functools import partial
from uuid import UUID, uuid4

from django import forms
from django.db import transaction
from django.http import QueryDict

from shop.assemblies.models import Assembly, State
from shop.assemblies.submissions import once
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.bench.card.parts import (
    CardHead,
    CutPart,
    EndAPart,
    EndBPart,
    InspectPart,
    PartOfCard,
    people_who_may,
)
from shop.web.bench.forms.base import ALREADY, NOT_TYPED
from shop.web.fields import DayField
from shop.web.refusing import attempt

MOST_ON_A_CARD = 25  # pieces whose readings are typed one below the other
PARTS: dict[State, tuple[type[PartOfCard], ...]] = {
    State.PLANNED: (CutPart, EndAPart, EndBPart, InspectPart),
    State.CUT: (EndAPart, EndBPart, InspectPart),
    State.CRIMPED_A: (EndBPart, InspectPart),
    State.CRIMPED_B: (InspectPart,),
}


class CardForm(forms.Form):
    """Who did it on which day, on how many pieces; then the parts. Sent once, whole or not at all."""

    nonce = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
    by = forms.ModelChoiceField(label="Who did it", queryset=User.objects.none(), empty_label="—")
    day = DayField(label="Day")
    count = forms.IntegerField(label="Pieces on this card", min_value=1)

    def __init__(self, data: QueryDict | None = None, *, pieces: list[Assembly], actor: User) -> None:
        self.pieces = pieces[:MOST_ON_A_CARD]
        most = len(self.pieces)
        super().__init__(data, initial={"day": today(), "count": most})
        self.sent = data or QueryDict()
        by, count = self.fields["by"], self.fields["count"]
        assert isinstance(by, forms.ModelChoiceField), "declared above"
        by.queryset = people_who_may(Permission.MAKE)
        count.max_value = most  # type: ignore[attr-defined]  # an IntegerField
        count.widget.attrs["max"] = most
        count.help_text = f"Of {most}, in the order of their numbers."
        wanted = PARTS.get(State(self.pieces[0].state), ())
        may_inspect = actor.may(Permission.INSPECT)
        self.parts = [
            part(data, pieces=self.pieces) for part in wanted if may_inspect or part is not InspectPart
        ]

    def clean_count(self) -> int:
        count: int = self.cleaned_data["count"]
        if count > len(self.pieces):
            raise forms.ValidationError(f"{len(self.pieces)} pieces wait for it.")
        return count

    def is_valid(self) -> bool:
        """Whether the head and each part that is not empty can be read; every fault is shown at once."""
        are_right = [form.is_valid() for form in self.parts]
        if super().is_valid() and not self.filled:
            self.add_error(None, "Fill in one of the parts.")
        return not self.errors and all(are_right)

    @property
    def filled(self) -> list[PartOfCard]:
        """The parts that are to be written down."""
        return [part for part in self.parts if part.has_changed()]

    @property
    def is_refused(self) -> bool:
        """Whether it was sent and something could not be taken."""
        forms_with_faults = (form for form in (self, *self.parts) if form.errors or hasattr(form, "refusal"))
        return self.is_bound and any(forms_with_faults)

    def send(self, actor: User, sure: frozenset[str]) -> str | None:
        """Write the card down once, however often it is sent; returns what was written, in words."""
        payload = {name: values for name, values in sorted(self.sent.lists()) if name not in NOT_TYPED}
        nonce: UUID = self.fields["nonce"].clean(self.sent.get("nonce"))
        subject = f"run {self.pieces[0].run_id}"
        with transaction.atomic():
            if not once(nonce=nonce, actor=actor, step="job_card", subject=subject, payload=payload):
                return ALREADY
            said = self._write(actor, sure) if self.is_valid() else None
            if said is None:
                transaction.set_rollback(True)
            return said

    def _write(self, actor: User, sure: frozenset[str]) -> str | None:
        pieces = self.pieces[: self.cleaned_data["count"]]
        head = CardHead(pieces, self.cleaned_data["by"], self.cleaned_data["day"], sure)
        done = []
        for part in self.filled:
            said = attempt(part, partial(part.take, actor, head))
            if said is None:
                return None
            done.append(said)
        return f"Written down from the card: {', '.join(done)}."
