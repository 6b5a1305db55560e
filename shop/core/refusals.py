"""Saying no so that a person knows what is wrong and what to do next.

A service that will not do what was asked raises a subclass of `Refusal`. The sentences live with
the subclass, so a page, a command and a test can't say different things.
"""

from typing import Any, ClassVar


class Refusal(Exception):
    """A request that was understood and is not carried out; nothing was changed.

    Subclasses set `says` (what is wrong) and `do` (what to do next), both with `{names}` that the
    keyword arguments of the constructor fill. `field` names the form field that it is about.
    """

    says: ClassVar[str]
    do: ClassVar[str]
    field: ClassVar[str | None] = None
    rule: ClassVar[int | None] = None  # number of the rule in DEVELOPERS.md that it keeps

    def __init__(self, **facts: Any) -> None:
        self.facts = facts
        self.what = self.says.format(**facts)
        self.what_to_do = self.do.format(**facts)
        super().__init__(f"{self.what} {self.what_to_do}")

    @property
    def code(self) -> str:
        """The name of the refusal for programs: `WrongDie` is `wrong_die`."""
        name = type(self).__name__
        return "".join(f"_{c.lower()}" if c.isupper() else c for c in name).lstrip("_")


class Doubt(Refusal):
    """A request that is probably a slip: carried out only once a person has said it is meant.

    Services that can doubt take `sure: frozenset[str]`, the codes of the doubts already answered.
    """
