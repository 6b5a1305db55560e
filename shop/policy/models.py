"""The workshop itself and its versioned choices."""

import datetime
from decimal import Decimal
from typing import ClassVar
from zoneinfo import ZoneInfo, available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from shop.engineering.crimp import DecisionRule
from shop.engineering.lengths import LengthUnit
from shop.engineering.pressures import PressureUnit
from shop.ledger.models import Record


def read_shifts(text: str) -> tuple[datetime.time, ...]:
    """Times of day with spaces between, in order. Raises `ValueError` for anything else."""
    return tuple(sorted({datetime.time.fromisoformat(time.zfill(5)) for time in text.split()}))


def validate_shifts(value: str) -> None:
    """Refuse what is no list of times of day."""
    try:
        read_shifts(value)
    except ValueError as error:
        raise ValidationError("Write when each shift begins, like 06:00 14:00 22:00.") from error


def validate_zone(value: str) -> None:
    """Refuse a name that is no time zone."""
    if value not in available_timezones():
        raise ValidationError(f"{value} is no time zone. Write it like Europe/Lisbon or America/Denver.")


class Workshop(models.Model):
    """The one workshop that this installation belongs to."""

    name = models.CharField(max_length=80, help_text="As it stands on tags and papers.")
    address = models.CharField(max_length=200, blank=True, help_text="One line, for papers.")
    length_unit = models.CharField(
        "lengths are typed in",
        max_length=2,
        choices=[(LengthUnit.MM.value, "millimetres"), (LengthUnit.IN.value, "inches")],
        default=LengthUnit.MM.value,
        help_text="What a bare number means. Any unit can be typed beside a number.",
    )
    pressure_unit = models.CharField(
        "pressures are typed in",
        max_length=3,
        choices=[
            (PressureUnit.BAR.value, "bar"),
            (PressureUnit.PSI.value, "psi"),
            (PressureUnit.MPA.value, "MPa"),
        ],
        default=PressureUnit.BAR.value,
    )
    zone = models.CharField("time zone", max_length=60, default="UTC", validators=[validate_zone])
    base_address = models.CharField(
        "address for tags",
        max_length=40,
        blank=True,
        help_text="Where a phone that scans a tag is sent, such as HTTPS://HOSE.EXAMPLE. "
        "Until there is a real one, tags print DEMO.",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="only_one_workshop",
                condition=models.Q(pk=1),
                violation_error_message="This installation already has its workshop.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone_info(self) -> ZoneInfo:
        """The zone in which times are shown."""
        return ZoneInfo(self.zone)

    @property
    def tags_are_real(self) -> bool:
        """Whether a tag printed now leads somewhere."""
        return bool(self.base_address)


# The names of the rules in the published table of length tolerances.
LENGTH_RULES = [
    ("SAE J517", "SAE J517"),
    ("EN 853 / DIN 20066", "EN 853 / DIN 20066"),
    ("IP-2 built to length", "IP-2 built to length"),
]
IDLE_MINUTES = 15  # where the policy says nothing; common practice, no source
CUT_RULES = [("IP-2 cut length", "IP-2 cut length")]
# ISO 6605:2017, 5.2.
LEAST_HOLD_S, LONGEST_HOLD_S = 30, 60
USUAL_OVER_PERCENT = 5  # common practice, no source: what a hand pump keeps within


class ProofTesting(models.TextChoices):
    """Which assemblies are proof tested."""

    NEVER = "never", "none: this workshop tests nothing"
    ORDERED = "ordered", "those whose order line asks for it"
    ALWAYS = "always", "all"


class LastingMark(models.TextChoices):
    """Where the mark is that stays on an assembly when its tag is gone."""

    FERRULE = "ferrule", "on a ferrule"
    BAND = "band", "on a band around the hose"


FIRST_CHOICES = (
    "number",
    "effective_from",
    "decision_rule",
    "gauge_share_percent",
    "hose_age_months",
    "own_quarter_counts",
    "undated_hose_allowed",
    "ferrule_gap_diameters",
    "length_rules",
    "proof_factor_percent",
    "needs_second_person",
)


class Policy(Record):
    """One version of the workshop's choices. The newest one whose day has come is in force."""

    KIND = "policy"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: FIRST_CHOICES,
        2: (
            *FIRST_CHOICES,
            "cut_rules",
            "service_months",
            "velocity_limits",
            "measured_every",
            "shift_starts",
            "idle_minutes",
            "proof_test",
            "proof_hold_s",
            "proof_over_percent",
        ),
    }
    FIELDS[3] = (
        *FIELDS[2],
        "taped",
        "eased",
        "bore_pin",
        "caps_only_ordered",
        "look_again",
        "lasting_mark",
        "mark_method",
    )

    number = models.PositiveIntegerField(unique=True)
    effective_from = models.DateField("in force from")
    decision_rule = models.CharField(
        "a crimp passes",
        max_length=20,
        choices=[
            (DecisionRule.PLAIN.value, "inside the limits, if the gauge is fine enough for them"),
            (DecisionRule.GUARDED_U.value, "inside the limits by the expanded uncertainty U"),
            (DecisionRule.GUARDED_164U.value, "inside the limits by 1.64 standard uncertainties (95 %)"),
        ],
        default=DecisionRule.PLAIN.value,
    )
    gauge_share_percent = models.PositiveSmallIntegerField(
        "gauge's largest share of half the tolerance, %",
        default=25,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
        help_text="A gauge whose expanded uncertainty is larger can't judge under the first rule.",
    )
    hose_age_months = models.PositiveSmallIntegerField(
        "hose may be fitted up to this age, months",
        null=True,
        blank=True,
        default=48,
        validators=[MinValueValidator(1), MaxValueValidator(240)],
        help_text="Empty: no limit. Sources disagree; 48 months is the US Navy's rule.",
    )
    own_quarter_counts = models.BooleanField("the quarter in which it was made counts", default=False)
    undated_hose_allowed = models.BooleanField("hose without a date may be cut", default=False)
    ferrule_gap_diameters = models.PositiveSmallIntegerField(
        "least free hose between the ferrules, in outside diameters",
        default=2,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
        help_text="Common practice, no source. A hose's own figure goes first.",
    )
    length_rules = models.CharField(
        "finished length is held to",
        max_length=40,
        choices=LENGTH_RULES,
        default="EN 853 / DIN 20066",
        help_text="The first two tables are from memory: confirm them against the documents.",
    )
    proof_factor_percent = models.PositiveSmallIntegerField(
        "proof pressure, % of the rating",
        default=200,
        validators=[MinValueValidator(100), MaxValueValidator(400)],
        help_text="Where the hose's own document prints none. ISO 6605: twice the working pressure.",
    )
    needs_second_person = models.BooleanField(
        "checks need a second person",
        default=True,
        help_text="A one-person workshop says no here; its papers then say 'not independently checked'.",
    )

    cut_rules = models.CharField(  # noqa: DJ001  # NULL on policies from before it was asked
        "cut hose is held to",
        max_length=40,
        choices=CUT_RULES,
        null=True,
        blank=True,
        help_text="Cut hose and finished assemblies have different tables. Empty: no rule.",
    )
    service_months = models.PositiveSmallIntegerField(
        "an assembly is replaced after, months",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(240)],
        help_text="From the month it was made; its tag page says so once the day has passed. Empty: no day. "
        "Sources disagree: the dates worksheet compares them.",
    )
    velocity_limits = models.CharField(  # noqa: DJ001  # NULL on policies from before it was asked
        "velocities are held to",
        max_length=40,
        null=True,
        blank=True,
        help_text="The set of limits that the flow worksheet starts with. Empty: its first.",
    )

    measured_every = models.PositiveSmallIntegerField(
        "of a run every so many crimps are measured",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
        help_text="Beside the first and the last. Those between are covered by measured ones before and "
        "after. Empty: each is measured.",
    )
    shift_starts = models.CharField(  # noqa: DJ001  # NULL on policies from before it was asked
        "shifts begin at",
        max_length=40,
        null=True,
        blank=True,
        validators=[validate_shifts],
        help_text="Like 06:00 14:00 22:00. A set-up is good for one shift. Empty: for one day.",
    )
    idle_minutes = models.PositiveSmallIntegerField(
        "a tablet is locked after, minutes",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(240)],
        help_text="Without a tap it then asks for the PIN; what was typed stays. Empty: 15.",
    )

    proof_test = models.CharField(  # noqa: DJ001  # NULL on policies from before it was asked
        "assemblies are proof tested",
        max_length=7,
        choices=ProofTesting,
        null=True,
        blank=True,
        help_text="Empty: those whose order line asks for it.",
    )
    proof_hold_s = models.PositiveSmallIntegerField(
        "proof pressure is held for, seconds",
        null=True,
        blank=True,
        validators=[MinValueValidator(LEAST_HOLD_S), MaxValueValidator(LONGEST_HOLD_S)],
        help_text="30 to 60 s by ISO 6605. Empty: 30.",
    )
    proof_over_percent = models.PositiveSmallIntegerField(
        "a test may go above proof pressure by, %",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(20)],
        help_text="What goes higher is held. The gauge has to be fine enough for this. Empty: 5.",
    )

    # What the bench is asked beyond what every assembly needs (assemblies/points.py). NULL: as before these
    # were choices, which is what False says.
    taped = models.BooleanField(
        "hose is taped before it is cut",
        null=True,
        default=False,
        help_text="It keeps the wires of the cover together (Navy 14315).",
    )
    eased = models.BooleanField(
        "what eases a fitting into the hose is asked for",
        null=True,
        default=False,
        help_text="Nothing but what the maker allows; else water, or soap and water (ISO 8331).",
    )
    bore_pin = models.BooleanField(
        "a pin is put through the bore of each",
        null=True,
        default=False,
        help_text="Nine tenths of the narrowest bore (SAE J516). Otherwise the inspector looks through it.",
    )
    caps_only_ordered = models.BooleanField(
        "only what is ordered with caps is capped",
        null=True,
        default=False,
        help_text="Otherwise both ends of all are.",
    )
    look_again = models.BooleanField(
        "what was proof tested is looked at again when it is released",
        null=True,
        default=False,
        help_text="Inside and out, beside what the tester saw (Navy 14315).",
    )
    lasting_mark = models.CharField(  # noqa: DJ001  # NULL on policies from before it was asked
        "each is marked to last",
        max_length=7,
        choices=LastingMark,
        null=True,
        blank=True,
        help_text="Who made it, its number, rating, year and month. Nothing is released without it. "
        "Empty: not asked for.",
    )
    mark_method = models.CharField(  # noqa: DJ001  # as above
        "the mark is made by",
        max_length=60,
        null=True,
        blank=True,
        help_text="In the workshop's own words: dot peening, a roll stamp, engraving.",
    )

    class Meta:
        verbose_name_plural = "policies"
        ordering = ["-number"]

    def __str__(self) -> str:
        return f"policy {self.number}"

    @property
    def locks_after(self) -> datetime.timedelta:
        """How long a screen may lie idle before it asks who is there."""
        return datetime.timedelta(minutes=self.idle_minutes or IDLE_MINUTES)

    @property
    def shifts(self) -> tuple[datetime.time, ...]:
        """When shifts begin, in order; one that begins at midnight if nothing is said."""
        return read_shifts(self.shift_starts or "00:00")

    @property
    def gauge_share(self) -> Decimal:
        """The gauge's largest share of half the tolerance, 0 to 1."""
        return Decimal(self.gauge_share_percent) / 100

    @property
    def hold_s(self) -> int:
        """How long proof pressure is held, in seconds."""
        return self.proof_hold_s or LEAST_HOLD_S

    @property
    def over_percent(self) -> int:
        """How far a test may go above proof pressure, in per cent of it."""
        return self.proof_over_percent or USUAL_OVER_PERCENT

    def wants_test(self, *, ordered: bool) -> bool:
        """Whether an assembly is proof tested whose order line asks for it, or doesn't."""
        choice = ProofTesting(self.proof_test or ProofTesting.ORDERED)
        return choice == ProofTesting.ALWAYS or (choice == ProofTesting.ORDERED and ordered)
