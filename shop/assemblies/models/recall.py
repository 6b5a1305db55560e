"""A recall: assemblies that may share a weakness, and what became of each. Written once."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from shop.assemblies.models.assembly import DONE_WITH, Assembly
from shop.ledger.models import Record
from shop.orders.models import Customer


class Recall(Record):
    """Assemblies that are not to be used until somebody has looked at them.

    `suspicion` is what they were found by, `says` the same in sentences, as it stood that day. `members`
    are the assemblies that it came to (their keys, in order), `spared` those that it came to as well and
    that were left out. The reason stands beside the entry, as "reason".
    """

    KIND = "recall"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("number", "suspicion", "says", "members", "spared")}

    number = models.PositiveIntegerField(unique=True, error_messages={"unique": "There is such a recall."})
    suspicion = models.JSONField()
    says = models.JSONField(help_text="The suspicion in sentences.")
    members = models.JSONField()
    spared = models.JSONField(blank=True, default=list)

    class Meta:
        ordering = ["-number"]

    def __str__(self) -> str:
        return f"recall {self.number}"

    @property
    def reason(self) -> str:
        """Why, in the words of who opened it; says so if they had to be erased."""
        return self.private("reason") or "The reason was erased."

    @property
    def is_closed(self) -> bool:
        """Whether an owner has closed it. What it never found stays recalled all the same."""
        return hasattr(self, "closing")


class RecallAddition(Record):
    """Assemblies that were found to share the weakness after the recall was opened."""

    KIND = "recall_addition"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("recall", "members")}

    recall = models.ForeignKey(Recall, models.PROTECT, related_name="additions")
    members = models.JSONField()

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{len(self.members)} more in {self.recall}"


class FindingKind(models.TextChoices):
    """What is known of a member of a recall."""

    FOUND = "found", "found"
    ISOLATED = "isolated", "taken out of use"
    RIGHT = "right", "inspected: right"
    WRONG = "wrong", "inspected: not right"
    REPLACED = "replaced", "replaced"
    UNREACHABLE = "unreachable", "not to be reached"


# With these nobody can be hurt any more by a member's weakness.
_MADE_SAFE = (FindingKind.ISOLATED, FindingKind.RIGHT, FindingKind.WRONG, FindingKind.REPLACED)


def is_made_safe(member: str = "") -> Q:
    """What is true of a member that can hurt nobody any more: found out so, or done with.

    `member` leads to the member, with its underscores.
    """
    return Q((f"{member}newest__in", _MADE_SAFE)) | Q((f"{member}assembly__state__in", DONE_WITH))


class RecallFinding(Record):
    """What somebody found out about one member. The newest counts; words stand beside the entry."""

    KIND = "recall_finding"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("recall", "assembly", "kind")}

    recall = models.ForeignKey(Recall, models.PROTECT, related_name="findings")
    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="recall_findings")
    kind = models.CharField(max_length=11, choices=FindingKind)

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.assembly} in {self.recall}: {self.get_kind_display()}"


class CustomerAnswer(Record):
    """What a customer answered to a recall; the words stand beside the entry, as "answer"."""

    KIND = "customer_answer"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("recall", "customer")}

    recall = models.ForeignKey(Recall, models.PROTECT, related_name="answers")
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="recall_answers")

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.customer} on {self.recall}"

    @property
    def words(self) -> str:
        """What was answered; says so if it had to be erased."""
        return self.private("answer") or "The answer was erased."


class RecallClosing(Record):
    """An owner has closed the recall. How far it had come is kept with it; the reason is beside the entry."""

    KIND = "recall_closing"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("recall", "members", "made_safe")}

    recall = models.OneToOneField(Recall, models.PROTECT, related_name="closing")
    members = models.PositiveIntegerField()
    made_safe = models.PositiveIntegerField()

    def __str__(self) -> str:
        return f"{self.recall} closed"

    @property
    def reason(self) -> str:
        """Why it was closed; says so if the words had to be erased."""
        return self.private("reason") or "The reason was erased."


class RecallMember(models.Model):
    """One assembly of a recall, with the newest finding about it.

    It follows from the records above and is kept for looking up; the ledger's check works it out anew.
    """

    recall = models.ForeignKey(Recall, models.PROTECT, related_name="memberships")
    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="recalls")
    newest = models.CharField(
        "what is known", max_length=11, choices=[("", "nothing heard yet"), *FindingKind.choices], blank=True
    )

    class Meta:
        ordering = ["recall", "assembly"]
        constraints = [
            models.UniqueConstraint(
                fields=["recall", "assembly"],
                name="recalled_once_by_a_recall",
                violation_error_message="This recall has that assembly already.",
            ),
        ]
        indexes = [models.Index(fields=["recall", "newest"], name="recall_members_by_finding")]

    def __str__(self) -> str:
        return f"{self.assembly} in {self.recall}"
