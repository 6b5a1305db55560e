"""The published tables that worksheets work with, read once; each row has its own source."""

from collections.abc import Mapping, Sequence
from functools import cache

from shop.engineering.age import AgeRule, read_age_policies
from shop.engineering.cleanliness import ScaleRow, read_scale
from shop.engineering.flange_identification import Flange, read_flanges
from shop.engineering.flow import Duty, VelocityLimit, read_velocity_limits
from shop.engineering.thread_identification import Connection, read_connections
from shop.engineering.tolerance import LengthRule, read_rules
from shop.standards.figures import Confirmations, Entry
from shop.standards.loading import standards_folder
from shop.web.worksheets.sheet import Basis


@cache
def age_policies() -> Mapping[str, Sequence[AgeRule]]:
    """How old hose and assemblies may be, by policy."""
    return read_age_policies(standards_folder() / "age_policies.csv")


@cache
def cleanliness_scale() -> Sequence[ScaleRow]:
    """The scale of cleanliness codes."""
    return read_scale(standards_folder() / "cleanliness_codes.csv")


@cache
def velocity_limits() -> Mapping[str, Mapping[Duty, VelocityLimit]]:
    """How fast oil may run, by table and duty."""
    return read_velocity_limits(standards_folder() / "velocity_limits.csv")


@cache
def length_rules() -> Mapping[str, Sequence[LengthRule]]:
    """How much a length may be off, by rule."""
    return read_rules(standards_folder() / "length_tolerances.csv")


@cache
def connections() -> Sequence[Connection]:
    """The connections that have a thread."""
    return read_connections(standards_folder() / "connections.csv")


@cache
def flanges() -> Sequence[Flange]:
    """The split flanges of the same table."""
    return read_flanges(standards_folder() / "connections.csv")


def basis_of(entry: Entry, confirmed: Confirmations) -> Basis:
    """Where a row of a table comes from, and how far it can be relied on."""
    is_confirmed = confirmed.of(entry) is not None
    return Basis(entry.source, confirmed.words(entry) if is_confirmed else entry.basis)
