"""What whoever holds a hose has to know before it goes under pressure. Own words, each with its source."""

BEFORE_USE: tuple[str, ...] = (
    # OSHA 29 CFR 1926.956(d).
    "The rating is the highest pressure there may ever be, surges included. With damage of any kind no "
    "pressure is safe.",
    # WAC 296-45-285; injection: UK HSE alert of 23 September 2014, as reported.
    "Never look or feel for a leak with any part of the body. A fine jet goes through skin and may look "
    "harmless at first.",
    # DGUV Information 209-071e, section 8.
    "After such an injury go to a doctor at once, and say exactly how it happened.",
    # DGUV 113-020, 4.6.
    "Before you open a connection: pump off and locked, raised loads down or propped, accumulators empty, "
    "and make sure that the pressure is gone.",
    # EN ISO 4413:2010, 5.4.6.5.1 a), as quoted by a trade body.
    "Don't cut it, don't put other ends on it, and don't take its ends for another hose.",
    "This page is an aid to trained people. The hose and fitting makers' instructions, local codes and "
    "licensed practice govern.",
)
ON_THE_TAG: tuple[str, ...] = (
    # As above, in the few words that there is room for.
    "Never feel for a leak: a jet goes through skin.",
    "Let the pressure off before you open a connection.",
    "The hose and fitting makers' instructions, local codes and licensed practice govern. Scan before use.",
)
IF_SOMEBODY_IS_HURT: tuple[str, ...] = (
    # From memory: the usual first aid for injuries by fluid under pressure.
    "Stop the machine, let the pressure off, and keep everybody away from the hose.",
    # To a doctor at once: DGUV Information 209-071e, section 8. What the jet does: UK HSE alert of
    # 23 September 2014, as reported.
    "Call an ambulance, or go to a hospital at once. Fluid that went through the skin is an emergency for a "
    "surgeon, even if the wound is no larger than a pinprick and does not hurt.",
    # From memory.
    "Say there: “injected by a high-pressure hydraulic jet”, which fluid it was, and at which pressure.",
    # From memory.
    "Don't wait until it swells or hurts, and don't send the person home. Hours decide about the hand.",
    "This report can wait. The hospital can't.",
)
AFTER_A_FAILURE: tuple[str, ...] = (
    # From memory: common practice with a hose that failed.
    "Take the hose out of use, and don't put the machine under pressure before another one is on it.",
    # DGUV 113-020, 4.6.
    "Before you take it off: pump off and locked, raised loads down or propped, accumulators empty, and make "
    "sure that the pressure is gone.",
    # Common practice, no source.
    "Keep both ends and all of the hose as they are, with the tag on. Don't clean it and don't cut it: the "
    "workshop looks at how it failed.",
    "The hose and fitting makers' instructions, the machine's, local codes and licensed practice govern.",
)
