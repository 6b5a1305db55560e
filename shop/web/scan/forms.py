"""The two ways into the book: a code, or a photo of one."""

from django import forms


class CodeForm(forms.Form):
    """A code as it stands on a tag, a label or a badge."""

    code = forms.CharField(
        label="Code",
        max_length=200,
        help_text="Scan it, or type it with or without hyphens. O and 0, I, L and 1 are taken alike.",
        widget=forms.TextInput(
            attrs={
                "data-scan": True,
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
            }
        ),
    )


class PhotoForm(forms.Form):
    """A photo of a tag or a label."""

    photo = forms.FileField(
        label="Photo of the tag or label",
        help_text="It is read on the workshop's machine and not kept.",
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
    )
