"""What assemblies are used for."""

from django.db import models


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
