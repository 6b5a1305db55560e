"""What was asked for, and what it was resolved to."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import Q

from shop.catalogue.models import CrimpSpecification, Fitting, Fluid, Hose
from shop.core.fields import LengthField, PressureField
from shop.core.labels import Labelled
from shop.engineering.pressures import Pressure, PressureUnit
from shop.ledger.models import Record
from shop.policy.models import Policy
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

    class Meta:
        ordering = ["-number"]

    def __str__(self) -> str:
        return f"order {self.number}"


class Duty(models.TextChoices):
    """What the assembly is for, as far as it decides whether we may make it."""

    GENERAL = "general", "hydraulic power, nothing special"
    LIFTING_PERSONS = "lifting_persons", "lifting of persons"
    LOAD_HOLDING = "load_holding", "load-holding without a rupture valve"
    STEERING = "steering", "steering of a vehicle"
    MINING = "mining", "underground mining"
    LIVE_CONDUCTORS = "live_conductors", "near live conductors"
    AIR_BRAKES = "air_brakes", "air brakes"
    STEAM = "steam", "steam"
    FUEL_GAS = "fuel_gas", "fuel gas"
    REFRIGERANT = "refrigerant", "refrigerant"
    OXYGEN = "oxygen", "oxygen"
    BREATHING_AIR = "breathing_air", "breathing air"
    FOOD = "food", "food"
    AIRCRAFT = "aircraft", "aircraft"
    WATER_JETTING = "water_jetting", "water jetting"
    WELL_CONTROL = "well_control", "well control"

    @property
    def is_refused(self) -> bool:
        """Whether the program makes no assembly for it at all."""
        return self in REFUSED_DUTIES

    @property
    def needs_engineer(self) -> bool:
        """Whether a named engineer has to approve it on the line."""
        return self is not Duty.GENERAL and not self.is_refused


REFUSED_DUTIES = frozenset(
    {
        Duty.AIR_BRAKES,
        Duty.STEAM,
        Duty.FUEL_GAS,
        Duty.REFRIGERANT,
        Duty.OXYGEN,
        Duty.BREATHING_AIR,
        Duty.FOOD,
        Duty.AIRCRAFT,
        Duty.WATER_JETTING,
        Duty.WELL_CONTROL,
    }
)


class OrderLine(models.Model):
    """So many equal assemblies of one order."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="lines")
    position = models.PositiveSmallIntegerField(editable=False)
    quantity = models.PositiveSmallIntegerField(default=1)
    hose = models.ForeignKey(Hose, models.PROTECT, related_name="order_lines")
    fitting_a = models.ForeignKey(Fitting, models.PROTECT, related_name="+", verbose_name="end A")
    fitting_b = models.ForeignKey(Fitting, models.PROTECT, related_name="+", verbose_name="end B")
    overall_length = LengthField()
    overall_typed = models.CharField("overall length", max_length=30)
    angle_deg = models.PositiveSmallIntegerField(
        "angle between the ends, degrees",
        null=True,
        blank=True,
        help_text="Near end at six o'clock, counter-clockwise to the far end. Empty: it doesn't matter.",
    )
    pressure_typed = models.CharField("highest pressure, surges included", max_length=12)
    pressure_unit = models.CharField("unit", max_length=3, choices=PRESSURE_UNITS)
    temperature_c = models.SmallIntegerField("highest temperature of the fluid, °C")
    fluid = models.ForeignKey(Fluid, models.PROTECT, related_name="+")
    duty = models.CharField("used for", max_length=20, choices=Duty, default=Duty.GENERAL)
    engineer = models.CharField(
        "approved by (engineer)",
        max_length=120,
        blank=True,
        help_text="Name and document, where the duty needs it.",
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
    def highest_pressure(self) -> Pressure:
        """The highest pressure including surges, in the unit typed."""
        return Pressure(Decimal(self.pressure_typed), PressureUnit(self.pressure_unit))

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
        )
    }

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

    class Meta:
        ordering = ["-entry"]

    def __str__(self) -> str:
        return f"{self.line} as confirmed"
