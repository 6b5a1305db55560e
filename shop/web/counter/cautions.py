"""What to say to whoever orders an assembly, in our own words. The source stands beside each."""

FOR_ORDERING = (
    # WAC 296-45-285 and OSHA 29 CFR 1926.956(d): the rated pressure is the highest that is safe.
    "The rating is the highest pressure, surges included. Nothing is left in hand above it.",
    # MSHA fatality notice of 2013: replace like for like.
    "A replacement has the length, the diameter and the rating that the machine's maker asks for. "
    "An old assembly shows what was fitted, not what was right.",
    # DGUV Information 113-020 4.4.
    "It is tested after assembly and before first use, and inspected at set intervals from then on.",
    # HSE alert of 23 September 2014: injection above 100 bar, suspected from 7 bar.
    "A jet from a leak goes through skin. Never feel for one; see a doctor at once if it happens, "
    "even if it looks like nothing.",
    # The program's own limit.
    "This sheet helps trained people. The hose and fitting makers' instructions, local codes and licensed "
    "practice decide.",
)
