"""What was asked for, and what it was resolved to."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import Q

from shop.catalogue.models import CrimpSpecification, CutCorrection, Fitting, Fluid, Hose
from shop.core.fields import LengthField, PressureField
from shop.core.labels import Labelled
from shop.engineering.orientation import AngleConvention, angle_as_we_count
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.models import Record
from shop.orders.demand import Demand
from shop.orders.duties import Duty
from shop.orders.extras import EXTRAS, OrderedExtras, extras_of
from shop.policy.models import LENGTH_RULES, Policy
from shop.standards.models import PRESSURE_UNITS


class Customer(models.Model):
    """Somebody who orders."""

    PRIVATE_FIELDS: ClassVar[frozenset[str]] = frozenset({"name", "contact", "address"})

    number = models.CharField(
        max_length=20, unique=True, error_messages={"unique": "Another customer has this number."}
    )
    name = models.CharField(max_length=120)
    contact = models.CharField(max_length=200, blank=True, help_text="Who to ring, and where.")
    address = models.CharField(max_length=200, blank=True)
    length_rules = models.CharField(
        "finished length is held to",
        max_length=40,
        choices=LENGTH_RULES,
        blank=True,
        help_text="If the customer's drawings name a table. Empty: the workshop's policy.",
    )

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Order(Labelled):
    """One job for one customer."""

    KIND_LETTER = "R"

    number = models.PositiveIntegerField(unique=True, editable=False)
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="orders")
    reference = models.CharField("customer's reference", max_length=60, blank=True)
    due_on = models.DateField("due", null=True, blank=True)
    angle_convention = models.CharField(
        "the customer measures angles",
        max_length=14,
        choices=[(convention.value, convention.words) for convention in AngleConvention],
        default=AngleConvention.NEAR_SIX_CCW.value,
    )

    class Meta:
        ordering = ["-number"]

    def __str__(self) -> str:
        return f"order {self.number}"


class Measured(models.TextChoices):
    """From where to where the customer measured the overall length."""

    DATUMS = "datums", "between the points that the fittings name"
    TIPS = "tips", "from tip to tip, over all metal"


class OrderLine(OrderedExtras):
    """So many equal assemblies of one order."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="lines")
    position = models.PositiveSmallIntegerField(editable=False)
    quantity = models.PositiveSmallIntegerField(default=1)
    hose = models.ForeignKey(Hose, models.PROTECT, related_name="order_lines")
    fitting_a = models.ForeignKey(Fitting, models.PROTECT, related_name="+", verbose_name="end A")
    fitting_b = models.ForeignKey(Fitting, models.PROTECT, related_name="+", verbose_name="end B")
    overall_length = LengthField()
    overall_typed = models.CharField("overall length", max_length=30)
    measured = models.CharField(max_length=6, choices=Measured, default=Measured.DATUMS)
    angle_deg = models.PositiveSmallIntegerField(
        "angle between the ends, degrees",
        null=True,
        blank=True,
        help_text="As the order says that the customer measures it. Empty: it doesn't matter.",
    )
    pressure_typed = models.CharField("highest pressure", max_length=12)
    pressure_unit = models.CharField("unit", max_length=3, choices=PRESSURE_UNITS)
    surge_typed = models.CharField(
        "surges on top of it",
        max_length=12,
        blank=True,
        help_text="In the same unit. Empty: the highest pressure has the surges in it.",
    )
    vacuum_typed = models.CharField(
        "deepest vacuum",
        max_length=12,
        blank=True,
        help_text="For suction lines. Empty: never below atmosphere.",
    )
    vacuum_unit = models.CharField("its unit", max_length=3, choices=PRESSURE_UNITS, blank=True)
    temperature_c = models.SmallIntegerField("highest temperature of the fluid, °C")
    fluid = models.ForeignKey(Fluid, models.PROTECT, related_name="+")
    duty = models.CharField("used for", max_length=20, choices=Duty, default=Duty.GENERAL)
    engineer = models.CharField(
        "approved by (engineer)",
        max_length=120,
        blank=True,
        help_text="Name and document, where the duty needs it.",
    )
    proof_test_wanted = models.BooleanField(
        "proof test each of them",
        default=False,
        help_text="The workshop's policy may have all of them tested, or none.",
    )
    cancelled = models.BooleanField(default=False, editable=False)

    PRIVATE_FIELDS: ClassVar[frozenset[str]] = frozenset({"engineer"})

    class Meta:
        ordering = ["order", "position"]
        constraints = [
            models.UniqueConstraint(
                fields=["order", "position"],
                name="one_line_per_position",
                violation_error_message="Two lines of the order have the same position.",
            ),
            models.CheckConstraint(
                name="line_is_for_something",
                condition=Q(quantity__gte=1),
                violation_error_message="Order at least one.",
            ),
            models.CheckConstraint(
                name="line_angle_is_within_the_circle",
                condition=Q(angle_deg=None) | Q(angle_deg__lt=360),
                violation_error_message="An angle is from 0 to 359 degrees.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.order}, line {self.position}"

    @property
    def demand(self) -> Demand:
        """What it is asked to stand."""
        return Demand.as_typed(
            self.pressure_typed, self.pressure_unit, self.surge_typed, self.vacuum_typed, self.vacuum_unit
        )

    @property
    def typed_words(self) -> str:
        """The overall length as it was typed, and from where it was measured if not between the datums."""
        return _typed_words(self.overall_typed, self.measured)

    @property
    def bench_angle_deg(self) -> int | None:
        """The angle as the bench and the inspection count it, from the angle as the customer measures it."""
        if self.angle_deg is None:
            return None
        convention = AngleConvention(self.order.angle_convention)
        return int(angle_as_we_count(Decimal(self.angle_deg), convention))

    @property
    def extras(self) -> tuple[tuple[str, str], ...]:
        """What is ordered beside hose and ends: names and words."""
        return extras_of(self)

    @property
    def fittings_and_ends(self) -> tuple[tuple[Fitting, str], ...]:
        """Each fitting with the words for its end; one that is at both ends comes once."""
        if self.fitting_a == self.fitting_b:
            return ((self.fitting_a, "at both ends"),)
        return ((self.fitting_a, "at end A"), (self.fitting_b, "at end B"))

    @property
    def resolution(self) -> "Resolution | None":
        """What it was last confirmed as."""
        return self.resolutions.order_by("-entry").first()


class Resolution(Record):
    """What a line was confirmed as, frozen with the policy and charts of that day."""

    KIND = "resolution"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "line",
            "policy",
            "specification_a",
            "specification_b",
            "hose",
            "fitting_a",
            "fitting_b",
            "quantity",
            "overall_length",
            "overall_typed",
            "cut_length",
            "angle_deg",
            "demand_typed",
            "demand_unit",
            "temperature_c",
            "fluid",
            "duty",
            "rating_value",
            "rating_unit",
            "rating",
            "governing",
            "proof_value",
            "bend_radius",
            "temperature_min_c",
            "temperature_max_c",
            "reasons",
        ),
        2: (
            "line",
            "policy",
            "specification_a",
            "specification_b",
            "hose",
            "fitting_a",
            "fitting_b",
            "quantity",
            "overall_length",
            "overall_typed",
            "measured",
            "cut_length",
            "cut_correction",
            "length_rules",
            "angle_deg",
            "angle_typed",
            "angle_convention",
            "demand_typed",
            "demand_unit",
            "surge_typed",
            "vacuum_typed",
            "vacuum_unit",
            "temperature_c",
            "fluid",
            "duty",
            "rating_value",
            "rating_unit",
            "rating",
            "governing",
            "proof_value",
            "burst_value",
            "bend_radius",
            "temperature_min_c",
            "temperature_max_c",
            "reasons",
            "proof_test",
        ),
    }

    FIELDS[3] = (*FIELDS[2], *EXTRAS)

    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="resolutions")
    policy = models.ForeignKey(Policy, models.PROTECT, related_name="+")
    specification_a = models.ForeignKey(CrimpSpecification, models.PROTECT, related_name="resolutions_a")
    specification_b = models.ForeignKey(CrimpSpecification, models.PROTECT, related_name="resolutions_b")
    hose = models.ForeignKey(Hose, models.PROTECT, related_name="+")
    fitting_a = models.ForeignKey(Fitting, models.PROTECT, related_name="+")
    fitting_b = models.ForeignKey(Fitting, models.PROTECT, related_name="+")
    quantity = models.PositiveSmallIntegerField()
    overall_length = LengthField()
    overall_typed = models.CharField(max_length=30)
    cut_length = LengthField()
    angle_deg = models.PositiveSmallIntegerField(null=True, blank=True)
    demand_typed = models.CharField(max_length=12)
    demand_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    temperature_c = models.SmallIntegerField()
    fluid = models.ForeignKey(Fluid, models.PROTECT, related_name="+")
    duty = models.CharField(max_length=20, choices=Duty)
    rating_value = models.CharField(max_length=12)
    rating_unit = models.CharField(max_length=3, choices=PRESSURE_UNITS)
    rating = PressureField()
    governing = models.CharField(max_length=200)
    proof_value = models.CharField(max_length=12)
    bend_radius = LengthField()
    temperature_min_c = models.SmallIntegerField()
    temperature_max_c = models.SmallIntegerField()
    reasons = models.JSONField(blank=True)
    # NULL on what was confirmed before these were asked.
    measured = models.CharField(max_length=6, choices=Measured, null=True)  # noqa: DJ001
    cut_correction = models.ForeignKey(
        CutCorrection, models.PROTECT, null=True, blank=True, related_name="resolutions"
    )
    length_rules = models.CharField(max_length=40, null=True)  # noqa: DJ001
    angle_typed = models.PositiveSmallIntegerField(null=True, blank=True)
    angle_convention = models.CharField(  # noqa: DJ001
        max_length=14,
        choices=[(convention.value, convention.words) for convention in AngleConvention],
        null=True,
    )
    surge_typed = models.CharField(max_length=12, null=True, blank=True)  # noqa: DJ001
    vacuum_typed = models.CharField(max_length=12, null=True, blank=True)  # noqa: DJ001
    vacuum_unit = models.CharField(  # noqa: DJ001
        max_length=3, choices=PRESSURE_UNITS, null=True, blank=True
    )
    burst_value = models.CharField("least burst pressure", max_length=12, null=True)  # noqa: DJ001
    proof_test = models.BooleanField("each is proof tested", null=True)
    sleeve = models.CharField(max_length=60, null=True, blank=True)  # noqa: DJ001
    guard = models.CharField(max_length=60, null=True, blank=True)  # noqa: DJ001
    caps = models.BooleanField("both ends are capped", null=True)
    marking = models.CharField("customer's marking", max_length=60, null=True, blank=True)  # noqa: DJ001
    cleanliness = models.CharField("cleanliness inside", max_length=12, null=True, blank=True)  # noqa: DJ001

    class Meta:
        ordering = ["-entry"]

    def __str__(self) -> str:
        return f"{self.line} as confirmed"

    @property
    def demand(self) -> Demand:
        """What it was asked to stand."""
        return Demand.as_typed(
            self.demand_typed, self.demand_unit, self.surge_typed, self.vacuum_typed, self.vacuum_unit
        )

    @property
    def typed_words(self) -> str:
        """The overall length as it was typed, and from where it was measured if not between the datums."""
        return _typed_words(self.overall_typed, self.measured)

    @property
    def extras(self) -> tuple[tuple[str, str], ...]:
        """What was ordered beside hose and ends: names and words."""
        return extras_of(self)

    @property
    def proof(self) -> Pressure:
        """What each is proved with, in the unit of the rating."""
        return Pressure(Decimal(self.proof_value), PressureUnit(self.rating_unit))


def _typed_words(typed: str, measured: str | None) -> str:
    over_all = " from tip to tip, which is this between the datums" if measured == Measured.TIPS else ""
    return f"typed {typed}{over_all}"


class AttachedWorksheet(Record):
    """A worksheet with what was typed into it, kept with an order line; `says` is its answer of that day."""

    KIND = "attached_worksheet"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("line", "worksheet", "typed", "says")}

    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="worksheets")
    worksheet = models.CharField(max_length=30)
    typed = models.JSONField(help_text="Question and answer, as the worksheet's address has them.")
    says = models.TextField()

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.worksheet} for {self.line}"


class WorksheetRemoval(Record):
    """An attached worksheet was taken off its line: it stays in the book and counts no more."""

    KIND = "worksheet_removal"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("attached",)}

    attached = models.OneToOneField(AttachedWorksheet, models.PROTECT, related_name="removal")

    def __str__(self) -> str:
        return f"{self.attached} taken off"
