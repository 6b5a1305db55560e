"""The policy can be read as sentences, and set anew."""

import datetime
from html import unescape

import pytest
from django.test import Client

from shop.assemblies.points import POINTS
from shop.engineering.crimp import DecisionRule
from shop.policy.models import LENGTH_RULES, Policy, Workshop
from shop.policy.services import today
from shop.web.quality.choices.forms import CHOICES
from shop.web.quality.choices.words import policy_sentences
from shop.web.worksheets.tables import velocity_limits
from tests.world import World


def as_sent(world: World, **changes: str) -> dict[str, str]:
    """The form as it opens: the policy in force, from today."""
    values = {name: str(value) for name in CHOICES if (value := getattr(world.policy, name)) is not None}
    # A box that isn't ticked is not sent.
    kept = {name: value for name, value in values.items() if value != "False"}
    return kept | {"effective_from": today().isoformat()} | changes


@pytest.mark.parametrize("rule", list(DecisionRule))
def test_every_decision_rule_is_a_sentence_of_its_own(rule: DecisionRule) -> None:
    sentences = {policy_sentences(Policy(decision_rule=other))[0] for other in DecisionRule}
    assert len(sentences) == len(DecisionRule)
    assert policy_sentences(Policy(decision_rule=rule))[0] in sentences


@pytest.mark.parametrize(
    ("choice", "sentence"),
    [
        ({"hose_age_months": None}, "Hose is fitted however old it is."),
        ({"hose_age_months": 24}, "Hose is fitted up to 24 months after the end of the quarter"),
        ({"own_quarter_counts": True}, "after the beginning of the quarter"),
        ({"undated_hose_allowed": True}, "Hose without a date of manufacture may be cut."),
        ({"undated_hose_allowed": False}, "Hose without a date of manufacture is not cut."),
        ({"needs_second_person": False}, "'not independently checked'"),
        ({"gauge_share_percent": 33}, "at most 33 % of half the tolerance"),
        ({"proof_factor_percent": 150}, "Proof pressure is 150 % of the rating"),
        ({"length_rules": "SAE J517"}, "The finished length is held to SAE J517, unless the customer"),
        ({"cut_rules": "IP-2 cut length"}, "The cut length is held to IP-2 cut length."),
        ({"cut_rules": None}, "No rule says how far a cut may be off."),
        ({"service_months": 72}, "replaced 72 months after the beginning of the month that it was made in"),
        ({"service_months": None}, "No day is set on which an assembly has to be replaced."),
        ({"velocity_limits": "metric habit"}, "Velocities are held to the limits called metric habit."),
        ({"velocity_limits": None}, "No limits of velocity are chosen."),
        ({"proof_test": "never"}, "Nothing is proof tested here"),
        ({"proof_test": None}, "What an order line asks for is proof tested: held for 30 s"),
        ({"proof_test": "always", "proof_hold_s": 45}, "Every assembly is proof tested: held for 45 s"),
        ({"taped": True}, "Hose is taped before it is cut."),
        ({"eased": True}, "only what the maker allows"),
        ({"bore_pin": True}, "A pin of nine tenths of the narrowest bore is put through each assembly."),
        ({"bore_pin": None}, "no pin is asked for"),
        ({"caps_only_ordered": True}, "Ends are capped if the line orders caps."),
        ({"caps_only_ordered": None}, "Both ends are capped."),
        ({"look_again": True}, "looked at again, inside and out, when it is released"),
        (
            {"lasting_mark": "band", "mark_method": "a roll stamp"},
            "on a band around the hose, by a roll stamp",
        ),
        ({"lasting_mark": None}, "No lasting mark is asked for"),
        ({"proof_over_percent": 8}, "never above proof pressure by more than 8 %"),
    ],
)
def test_each_choice_is_said(choice: dict[str, object], sentence: str) -> None:
    assert sentence in " ".join(policy_sentences(Policy(**choice)))


def test_a_new_policy_begins_with_the_one_in_force_and_follows_it(client: Client, world: World) -> None:
    client.force_login(world.owner)
    assert 'value="48"' in client.get("/quality/policy/new/").content.decode()
    client.post("/quality/policy/new/", as_sent(world, hose_age_months="24"))
    assert Policy.objects.get(number=2).hose_age_months == 24
    text = client.get("/quality/policy/").content.decode()
    assert "up to 24 months" in text
    assert "up to 48 months" in text
    assert f"set by {world.owner}" in text


def test_cut_service_and_velocities_are_chosen_and_left_open_again(client: Client, world: World) -> None:
    client.force_login(world.owner)
    page = client.get("/quality/policy/new/").content.decode()
    assert all(f'<option value="{name}"' in page for name, _ in LENGTH_RULES)
    assert all(f'<option value="{name}"' in page for name in velocity_limits())
    new = {"cut_rules": "IP-2 cut length", "service_months": "72", "velocity_limits": "inch fast"}
    client.post("/quality/policy/new/", as_sent(world, **new))
    chosen = Policy.objects.get(number=2)
    assert (chosen.cut_rules, chosen.service_months, chosen.velocity_limits) == (
        "IP-2 cut length",
        72,
        "inch fast",
    )
    assert '<option value="inch fast" selected>' in client.get("/quality/policy/new/").content.decode()
    client.post("/quality/policy/new/", as_sent(world, **dict.fromkeys(new, "")))
    left = Policy.objects.get(number=3)
    assert (left.cut_rules, left.service_months, left.velocity_limits) == (None, None, None)


def test_what_is_ticked_is_chosen_and_every_point_is_shown_with_its_source(
    client: Client, world: World
) -> None:
    client.force_login(world.owner)
    new = {"bore_pin": "on", "lasting_mark": "ferrule", "mark_method": "dot peening"}
    client.post("/quality/policy/new/", as_sent(world, **new))
    chosen = Policy.objects.get(number=2)
    assert (chosen.bore_pin, chosen.taped, chosen.lasting_mark) == (True, False, "ferrule")
    page = unescape(client.get("/quality/policy/").content.decode())
    assert "Each is marked to last on a ferrule, by dot peening; nothing is released without it." in page
    assert all(point.words in page and point.source in page for point in POINTS)


def test_a_policy_that_is_to_begin_later_is_shown_as_such(client: Client, world: World) -> None:
    client.force_login(world.owner)
    later = today() + datetime.timedelta(days=30)
    client.post("/quality/policy/new/", as_sent(world, effective_from=later.isoformat()))
    text = client.get("/quality/policy/").content.decode()
    assert "<h1>Policy 1</h1>" in text
    assert "not yet in force" in text


def test_a_policy_for_the_past_is_refused_and_what_was_typed_stays(client: Client, world: World) -> None:
    client.force_login(world.owner)
    sent = as_sent(world, effective_from="2020-01-01", hose_age_months="24")
    text = client.post("/quality/policy/new/", sent).content.decode()
    assert "what was made since was judged by another one" in text
    assert 'value="24"' in text
    assert Policy.objects.count() == 1


def test_the_workshops_entry_is_changed_by_its_owner(client: Client, world: World) -> None:
    client.force_login(world.owner)
    sent = {"name": "Pennant Hose", "length_unit": "in", "pressure_unit": "psi", "zone": "America/Denver"}
    client.post("/quality/workshop/", sent)
    workshop = Workshop.objects.get()
    assert (workshop.name, workshop.length_unit, workshop.zone) == ("Pennant Hose", "in", "America/Denver")
    text = client.post("/quality/workshop/", sent | {"zone": "Denver"}).content.decode()
    assert "Denver is no time zone" in text


def test_others_read_the_policy_and_set_nothing(client: Client, world: World) -> None:
    client.force_login(world.inspector)
    assert "Set a new policy" not in client.get("/quality/policy/").content.decode()
    assert client.get("/quality/policy/new/").status_code == 403
    assert client.get("/quality/workshop/").status_code == 403
