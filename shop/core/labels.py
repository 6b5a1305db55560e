"""Things that carry a label: each has a random code that one scan box understands."""

from typing import Any, ClassVar

from django.db import models

from shop.engineering.codes import group_code, new_code


class Labelled(models.Model):
    """A thing with a code of its own: one letter for its kind, 60 random bits, a check character.

    The kind's letter lets a scan go to the right table at once; the random part can't be guessed
    from another label.
    """

    KIND_LETTER: ClassVar[str]

    code = models.CharField(max_length=14, unique=True, editable=False)

    class Meta:
        abstract = True

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.code:
            self.code = new_code(self.KIND_LETTER)

    @property
    def printed_code(self) -> str:
        """The code in groups, as it stands on the label."""
        return group_code(self.code)
