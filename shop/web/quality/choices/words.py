"""A policy as sentences that a person can read without knowing the form."""

from collections.abc import Iterator

from shop.engineering.crimp import DecisionRule
from shop.policy.models import Policy, ProofTesting

_PASSES = {
    DecisionRule.PLAIN: (
        "A crimp passes if it is inside the chart's limits. The gauge has to be fine enough for them: "
        "its expanded uncertainty is at most {share} % of half the tolerance."
    ),
    DecisionRule.GUARDED_U: (
        "A crimp passes if it is inside the chart's limits by the gauge's expanded uncertainty U. "
        "Nearer to a limit it is held."
    ),
    DecisionRule.GUARDED_164U: (
        "A crimp passes if it is inside the chart's limits by 1.64 standard uncertainties of the gauge, "
        "which is 95 % sure. Nearer to a limit it is held."
    ),
}


def policy_sentences(policy: Policy) -> list[str]:
    """What the policy says, one sentence or two for each choice."""
    return [
        _PASSES[DecisionRule(policy.decision_rule)].format(share=policy.gauge_share_percent),
        "A crimp outside its limits fails, whatever the policy.",
        _age(policy),
        "Hose without a date of manufacture may be cut."
        if policy.undated_hose_allowed
        else "Hose without a date of manufacture is not cut.",
        f"Between the ferrules there is free hose of at least {policy.ferrule_gap_diameters} times its "
        "outside diameter, unless the hose has its own figure.",
        f"The finished length is held to {policy.length_rules}, unless the customer has other rules.",
        f"The cut length is held to {policy.cut_rules}."
        if policy.cut_rules
        else "No rule says how far a cut may be off.",
        f"Proof pressure is {policy.proof_factor_percent} % of the rating, unless the hose's own document "
        "prints another.",
        _tested(policy),
        *_bench(policy),
        f"An assembly is replaced {policy.service_months} months after the beginning of the month that it "
        "was made in."
        if policy.service_months
        else "No day is set on which an assembly has to be replaced.",
        f"Velocities are held to the limits called {policy.velocity_limits}."
        if policy.velocity_limits
        else "No limits of velocity are chosen.",
        f"A screen that nobody touches for {policy.locks_after.seconds // 60} minutes asks for the PIN.",
        "Charts, inspections and decisions about what failed need a second person."
        if policy.needs_second_person
        else "One person may check their own work. Records and papers then say 'not independently checked'.",
    ]


def _tested(policy: Policy) -> str:
    if policy.proof_test == ProofTesting.NEVER:
        return "Nothing is proof tested here: an order line that asks for it can't be confirmed."
    which = "Every assembly" if policy.proof_test == ProofTesting.ALWAYS else "What an order line asks for"
    return (
        f"{which} is proof tested: held for {policy.hold_s} s, and never above proof pressure by more than "
        f"{policy.over_percent} %. One that fails is scrap; one that went higher is held."
    )


def _bench(policy: Policy) -> Iterator[str]:
    """What is asked at the bench beyond what every assembly needs."""
    if policy.taped:
        yield "Hose is taped before it is cut."
    if policy.eased:
        yield "At each crimp is asked what eased the fitting in: only what the maker allows."
    yield (
        "A pin of nine tenths of the narrowest bore is put through each assembly."
        if policy.bore_pin
        else "The inspector looks through each assembly; no pin is asked for."
    )
    yield "Ends are capped if the line orders caps." if policy.caps_only_ordered else "Both ends are capped."
    if policy.look_again:
        yield "What was proof tested is looked at again, inside and out, when it is released."
    if policy.lasting_mark:
        by = f", by {policy.mark_method}" if policy.mark_method else ""
        where = policy.get_lasting_mark_display()
        yield f"Each is marked to last {where}{by}; nothing is released without it."
    else:
        yield "No lasting mark is asked for: the tag alone says what an assembly is."


def _age(policy: Policy) -> str:
    if policy.hose_age_months is None:
        return "Hose is fitted however old it is."
    counted = "beginning" if policy.own_quarter_counts else "end"
    return (
        f"Hose is fitted up to {policy.hose_age_months} months after the {counted} of the quarter or month "
        "that it was made in."
    )
