"""A new version of the policy, and the workshop's own entry."""

from django import forms

from shop.policy.models import Policy
from shop.web.fields import DayField
from shop.web.worksheets.tables import velocity_limits

CHOICES = [name for name in Policy.FIELDS[Policy.newest_version()] if name != "number"]


def _velocity_choices() -> list[tuple[str, str]]:
    return [("", "none in particular"), *((name, name) for name in velocity_limits())]


class PolicyForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """Every choice, beginning with those in force."""

    effective_from = DayField(label="In force from")
    velocity_limits = forms.TypedChoiceField(
        label="Velocities are held to",
        choices=_velocity_choices,
        required=False,
        empty_value=None,
        help_text="The limits that the flow worksheet starts with. The sources disagree: see their page in "
        "the reference.",
    )

    class Meta:
        model = Policy
        fields = CHOICES
        # NULL is of policies from before these were asked: who sets one now says yes or no.
        field_classes = dict.fromkeys(
            ("taped", "eased", "bore_pin", "caps_only_ordered", "look_again"), forms.BooleanField
        )
