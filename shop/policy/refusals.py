"""Why the policy's services say no."""

from shop.core.refusals import Refusal


class NoWorkshopYet(Refusal):
    says = "This installation has no workshop yet."
    do = "Run `manage.py start_workshop`, or open the first page and fill it in."


class WorkshopStarted(Refusal):
    says = "This installation belongs to {name} already."
    do = "Give another workshop a data folder of its own (FERRULEBOOK_DATA)."


class PolicyInThePast(Refusal):
    says = "A policy can't be in force from {day}: what was made since was judged by another one."
    do = "Let it begin today or later."
    field = "effective_from"


class NoSuchVelocityLimits(Refusal):
    says = "There are no limits of velocity called {name}."
    do = "Choose one of these: {known}; or none."
    field = "velocity_limits"
