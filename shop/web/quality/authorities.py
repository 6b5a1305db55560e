"""The list of authorities: who may take which step, on which series and machine, and until when."""

from typing import Any

import django_filters
import django_tables2 as tables

from shop.authority.models import AuthorisedStep, Authority
from shop.authority.services import save_authority
from shop.people.models import User
from shop.people.permissions import Permission
from shop.policy.services import today
from shop.web.quality.recalls.asking import asked_of
from shop.web.registers.filters import RegisterFilter
from shop.web.registers.forms import RegisterForm
from shop.web.registers.register import Register
from shop.web.registers.tables import ItemColumn


class AuthorityForm(RegisterForm):
    """One step that one person may take."""

    KEY = ("person", "step", "series", "crimper", "valid_from")

    class Meta(RegisterForm.Meta):
        model = Authority
        fields = ["person", "step", "series", "crimper", "valid_from", "expires_on", "shown_by"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Authority:
        return save_authority(actor=actor, authority=self.instance)


class AuthorityTable(tables.Table):
    """Who may do what, and whether today is one of the days."""

    person = ItemColumn("authorities")
    step = tables.Column()
    series = tables.Column(default="every series")
    crimper = tables.Column(default="every crimper")
    expires_on = tables.Column(default="until it is ended")
    stands = tables.Column(verbose_name="Today", accessor="pk", orderable=False)

    class Meta:
        model = Authority
        fields = ("person", "step", "series", "crimper", "valid_from", "expires_on", "stands")

    def render_stands(self, record: Any) -> str:
        return standing(record)


class AuthorityFilter(RegisterFilter):
    """Authorities can be narrowed to a step."""

    SEARCH = ("person__name", "shown_by")

    step = django_filters.ChoiceFilter(label="May", empty_label="any step", choices=AuthorisedStep)


def standing(authority: Authority) -> str:
    """Whether it holds today, in words."""
    day = today()
    if authority.holds_on(day):
        return "holds"
    return f"ran out on {authority.expires_on}" if authority.valid_from <= day else "not yet begun"


AUTHORITIES = Register(
    slug="authorities",
    place="quality",
    title="Authorities",
    noun="authority",
    about="Who has shown that he can take a step, on which series and machine, and until when. As long as "
    "nothing is written for a step, roles alone decide about it; from the first entry on, that step needs "
    "a role and an authority that holds.",
    model=Authority,
    form=AuthorityForm,
    table=AuthorityTable,
    filterset=AuthorityFilter,
    write=Permission.KEEP_PEOPLE,
    rows=lambda: Authority.objects.select_related("person", "series", "crimper"),
    item_template="web/quality/people/authority.html",
    more_of_row=lambda request, authority: {"asked": asked_of(authority)},
    list_template="web/quality/people/authorities.html",
    more_of_list=lambda: {"asked": steps_that_ask()},
)


def steps_that_ask() -> list[str]:
    """The steps for which an authority is needed now, in words."""
    written = set(Authority.objects.values_list("step", flat=True))
    return [step.label for step in AuthorisedStep if step in written]
