"""What failures have in common: hints where to look, drawn, and worded so that none looks like a verdict."""

from dataclasses import dataclass
from decimal import Decimal

from django import forms
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET

from shop.assemblies.models import Assembly
from shop.drawings.bars import Bar, BarsDrawing, draw_bars
from shop.people.models import User
from shop.people.permissions import Permission
from shop.trace import common_factors
from shop.trace.common_factors import Exposed, Hint, InCommon, in_common
from shop.trace.models import FailureMode
from shop.web.access import StaffRequest, needs
from shop.web.quality.recalls.address import address_of

LISTED = 50  # failures that the page lists itself; all of them are on the list of reports
DRAWN = 3
LEAST_SHOWN = Decimal("0.0001")


@dataclass(frozen=True)
class Shown:
    """A hint, its probabilities as text, the page that suspects it and its bars, if it has any."""

    hint: Hint
    p: str
    p_adjusted: str
    address: str
    drawing: SafeString | None


class ModeForm(forms.Form):
    """Which failures are asked about."""

    mode = forms.ChoiceField(
        label="Failures", required=False, choices=[("", "of any kind"), *FailureMode.choices]
    )


@require_GET
@needs(Permission.READ)
def common(request: StaffRequest) -> HttpResponse:
    """What the failures of `?mode=`, or all of them, have in common."""
    form = ModeForm(request.GET)
    asked = form.cleaned_data["mode"] if form.is_valid() else ""
    found = in_common(FailureMode(asked) if asked else None)
    about_people = may_see_people(request.user)
    hints = [hint for hint in found.hints if about_people or not hint.question.is_about_a_person]
    context = {
        "form": form,
        "found": found,
        "hints": [_shown(hint, place) for place, hint in enumerate(hints)],
        "kept_back": len(found.hints) - len(hints),
        "failed": _list_of(found),
        "listed": LISTED,
        "fewest": common_factors,
    }
    return render(request, "web/quality/failures/common.html", context)


def may_see_people(user: User) -> bool:
    """Whether what concerns a person is shown: to those who decide or audit."""
    return user.may(Permission.DECIDE) or user.may(Permission.AUDIT)


def _list_of(found: InCommon) -> list[Assembly]:
    rows = found.failed.select_related("run__line__hose", "run__line__order__customer")
    return list(rows.order_by("-serial")[:LISTED])


def _shown(hint: Hint, place: int) -> Shown:
    question = hint.question
    rates = (question.with_it.rate, question.without_it.rate)
    drawing = None
    # A bar under somebody's name would look like a verdict, and one for what may be chance like a hint.
    if place < DRAWN and hint.stands_out and not question.is_about_a_person and any(rates):
        # The drawing escapes its words.
        drawing = mark_safe(draw_bars(_bars(question.says, question.with_it, question.without_it)))  # noqa: S308
    return Shown(
        hint, _probability(hint.p), _probability(hint.p_adjusted), address_of(question.suspicion), drawing
    )


def _bars(says: str, with_it: Exposed, without_it: Exposed) -> BarsDrawing:
    rows = (("with", "with it", with_it), ("without", "all others", without_it))
    return BarsDrawing(
        title=f"{says} Failures in 1000 months of service, with it and without",
        label="failures in 1000 months of service",
        bars=tuple(
            Bar(
                name,
                f"{words}: {one.failed} of {one.assemblies} failed, {_rate(one.rate)}",
                (one.rate or Decimal(0),),
            )
            for name, words, one in rows
        ),
    )


def _probability(p: Decimal) -> str:
    """To four places; what is less is never nought."""
    return "below 0.0001" if p < LEAST_SHOWN else f"{p:.4f}"


def _rate(rate: Decimal | None) -> str:
    return "less than a month in service together" if rate is None else f"{rate} in 1000 months"
