"""What the bench records: cut, set-up, crimp, readings, decisions. Written once."""

from collections.abc import Sequence
from decimal import Decimal
from typing import ClassVar

from django.db import models

from shop.assemblies.models.assembly import Assembly, End, Run
from shop.catalogue.models import CrimpSpecification
from shop.core.fields import LengthField
from shop.engineering.crimp import Outcome
from shop.engineering.lengths import trim
from shop.engineering.numbers import plain
from shop.ledger.models import Record
from shop.policy.models import Policy
from shop.stock.models import Lot, PieceMovement
from shop.tooling.models import Arrangement, Calibration, Crimper, DieSet, Gauge, StopPart

NANOMETRES = Decimal(1_000_000)
OUTCOMES = [(Outcome.PASS.value, "passes"), (Outcome.HELD.value, "held"), (Outcome.FAIL.value, "fails")]


class Cut(Record):
    """The hose of an assembly, cut from a piece."""

    KIND = "cut"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("assembly", "movement", "length", "seen")}

    assembly = models.OneToOneField(Assembly, models.PROTECT, related_name="cut")
    movement = models.OneToOneField(PieceMovement, models.PROTECT, related_name="cut")
    length = LengthField()
    seen = models.JSONField(blank=True, help_text="What the person ticked as done and seen.")

    def __str__(self) -> str:
        return f"{self.assembly} cut to {self.length} mm"


class SetUp(Record):
    """The tooling that was put together for one end of a run, part by part."""

    KIND = "set_up"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "run",
            "end",
            "specification",
            "crimper",
            "arrangement",
            "die_set",
            "stop_part",
            "stop_setting",
            "gauge",
            "calibration",
            "seen",
        )
    }
    FIELDS[2] = (*FIELDS[1], "machine_offset")

    run = models.ForeignKey(Run, models.PROTECT, related_name="set_ups")
    end = models.CharField(max_length=1, choices=End)
    specification = models.ForeignKey(CrimpSpecification, models.PROTECT, related_name="set_ups")
    crimper = models.ForeignKey(Crimper, models.PROTECT, related_name="set_ups")
    # The arrangement is the workshop's own note and may be rewritten later; its parts as they were
    # put in that day are in `seen`.
    arrangement = models.ForeignKey(Arrangement, models.PROTECT, related_name="set_ups")
    die_set = models.ForeignKey(DieSet, models.PROTECT, related_name="set_ups")
    stop_part = models.ForeignKey(StopPart, models.PROTECT, null=True, blank=True, related_name="set_ups")
    stop_setting = models.CharField("dial value or set-point used", max_length=20, blank=True)
    gauge = models.ForeignKey(Gauge, models.PROTECT, related_name="set_ups")
    calibration = models.ForeignKey(Calibration, models.PROTECT, related_name="set_ups")
    seen = models.JSONField(blank=True, help_text="The arrangement's parts as they were put in.")
    machine_offset = models.DecimalField(
        "what the crimper's scale read at nought", max_digits=8, decimal_places=3, null=True, blank=True
    )

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.run}, {self.get_end_display()}: {self.die_set} in {self.crimper}"

    @property
    def scale_read(self) -> str:
        """What the crimper's scale read at nought; empty if it has none or nobody looked."""
        return "" if self.machine_offset is None else plain(self.machine_offset)


class Sampling(models.TextChoices):
    """Why a crimp of a run is measured, or that pieces before and after it are."""

    FIRST = "first", "the first piece"
    NTH = "nth", "a piece on which the run is looked at again"
    LAST = "last", "the last piece"
    EACH = "each", "a piece of a run in which each is measured"
    ANEW = "anew", "a piece that is crimped anew"
    BETWEEN = "between", "a piece between measured ones"


class Crimp(Record):
    """One stroke of the press on one end.

    `first_piece` is the crimp with which the same set-up and lots began; empty for that one itself.
    """

    KIND = "crimp"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: ("assembly", "end", "attempt", "set_up", "specification", "fitting_lot", "ferrule_lot", "seen"),
        2: (
            "assembly",
            "end",
            "attempt",
            "set_up",
            "specification",
            "fitting_lot",
            "ferrule_lot",
            "seen",
            "sampling",
            "first_piece",
        ),
    }

    assembly = models.ForeignKey(Assembly, models.PROTECT, related_name="crimps")
    end = models.CharField(max_length=1, choices=End)
    attempt = models.PositiveSmallIntegerField(default=1)
    set_up = models.ForeignKey(SetUp, models.PROTECT, related_name="crimps")
    specification = models.ForeignKey(CrimpSpecification, models.PROTECT, related_name="crimps")
    fitting_lot = models.ForeignKey(Lot, models.PROTECT, related_name="crimps_of_fitting")
    ferrule_lot = models.ForeignKey(
        Lot, models.PROTECT, null=True, blank=True, related_name="crimps_of_ferrule"
    )
    seen = models.JSONField(blank=True, help_text="What the person ticked as done and seen.")
    # NULL on crimps from before runs: each of them is measured.
    sampling = models.CharField(max_length=7, choices=Sampling, null=True)  # noqa: DJ001
    first_piece = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="pieces_after"
    )

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.UniqueConstraint(
                fields=["assembly", "end", "attempt"],
                name="one_crimp_per_end_and_attempt",
                violation_error_message="This end has been crimped already. Look at the assembly again.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.assembly}, {self.get_end_display()}"


class Measurement(Record):
    """One set of readings of a crimp, and what it was judged with all sets before it."""

    KIND = "measurement"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {
        1: (
            "crimp",
            "number",
            "corrects",
            "gauge",
            "calibration",
            "policy",
            "readings_nm",
            "other_section_nm",
            "mean",
            "outcome",
            "reasons",
        )
    }

    crimp = models.ForeignKey(Crimp, models.PROTECT, related_name="measurements")
    number = models.PositiveSmallIntegerField()
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="corrected_by"
    )
    gauge = models.ForeignKey(Gauge, models.PROTECT, related_name="measurements")
    calibration = models.ForeignKey(Calibration, models.PROTECT, related_name="measurements")
    policy = models.ForeignKey(Policy, models.PROTECT, related_name="+")
    readings_nm = models.JSONField(help_text="The readings in whole nanometres.")
    other_section_nm = models.JSONField(
        blank=True, default=list, help_text="Nearer the other end of the crimp, where the chart limits taper."
    )
    mean = LengthField(help_text="Of every reading that counted, to the nearest nanometre.")
    outcome = models.CharField(max_length=4, choices=OUTCOMES)
    reasons = models.JSONField(blank=True)

    class Meta:
        ordering = ["entry"]
        constraints = [
            models.UniqueConstraint(
                fields=["crimp", "number"],
                name="one_measurement_per_number",
                violation_error_message="These readings were recorded already. Look at the assembly again.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.crimp}: {self.mean} mm {self.get_outcome_display()}"

    @property
    def readings_mm(self) -> tuple[Decimal, ...]:
        """The readings of this set, in millimetres."""
        return _in_mm(self.readings_nm)

    @property
    def other_section_mm(self) -> tuple[Decimal, ...]:
        """The readings nearer the other end of the crimp, in millimetres."""
        return _in_mm(self.other_section_nm)


class Coverage(Record):
    """What measured pieces say of a crimp between them that was not measured itself. The newest counts.

    `covered` if both passed; else it is in question. `before` is the measurement of the piece before,
    `after` that of the piece after, as far as there was one.
    """

    KIND = "coverage"
    FIELDS: ClassVar[dict[int, tuple[str, ...]]] = {1: ("crimp", "covered", "before", "after")}

    crimp = models.ForeignKey(Crimp, models.PROTECT, related_name="coverages")
    covered = models.BooleanField()
    before = models.ForeignKey(
        Measurement, models.PROTECT, null=True, blank=True, related_name="covers_after"
    )
    after = models.ForeignKey(
        Measurement, models.PROTECT, null=True, blank=True, related_name="covers_before"
    )

    class Meta:
        ordering = ["entry"]

    def __str__(self) -> str:
        return f"{self.crimp}: {'covered' if self.covered else 'in question'}"


def _in_mm(readings_nm: Sequence[int]) -> tuple[Decimal, ...]:
    return tuple(trim(Decimal(reading) / NANOMETRES) for reading in readings_nm)
