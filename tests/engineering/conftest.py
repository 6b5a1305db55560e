"""Properties are tried without a time limit: a busy machine is not a wrong calculation."""

from hypothesis import settings

settings.register_profile("ferrulebook", deadline=None)
settings.load_profile("ferrulebook")
