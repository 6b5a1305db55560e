"""A new version of the policy, and the workshop's own entry."""

from django import forms

from shop.policy.models import Policy
from shop.web.fields import DayField

CHOICES = [name for name in Policy.FIELDS[Policy.newest_version()] if name != "number"]


class PolicyForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """Every choice, beginning with those in force."""

    effective_from = DayField(label="In force from")

    class Meta:
        model = Policy
        fields = CHOICES
