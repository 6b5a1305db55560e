"""Every tolerance with its source, and which one this workshop holds to."""

import datetime
import re
from decimal import Decimal
from html import unescape

import pytest
from django.db import transaction
from django.test import Client

from shop.engineering.orientation import orientation_tolerance_deg
from shop.engineering.tolerance import Toleranced, read_rules
from shop.ledger.services import write_record
from shop.policy import verbs
from shop.policy.models import Policy
from shop.standards.figures import confirmations
from shop.standards.loading import standards_folder
from shop.web.reference.printed import PrintedTable
from shop.web.reference.tolerances import ORIENTATION, chapters
from tests.world import World

USED = "Used here."
FROM_MEMORY = re.compile(r"</svg>\s*from memory")  # the sign and its word


def rule_set(policy: Policy, name: str) -> PrintedTable:
    every = chapters(policy, confirmations())
    return next(rules for chapter in every for rules in chapter.rule_sets if rules.name == name)


def test_each_row_of_the_table_stands_on_the_page_once(client: Client, world: World) -> None:
    client.force_login(world.auditor)
    page = unescape(client.get("/reference/tolerances/").content.decode())
    table = (standards_folder() / "length_tolerances.csv").read_text().splitlines()[1:]
    assert page.count('<th scope="row">') == len(table)
    assert len(FROM_MEMORY.findall(page)) == sum(line.endswith(",memory") for line in table)


@pytest.mark.parametrize(
    ("name", "number", "row"),
    [
        # Source: IP-2 (2003) Table 4-8 prints 0.125 in up to 12 in; in mm, worked by hand.
        ("IP-2 cut length", 0, ("up to 305 mm", "± 3.18 mm")),
        # Source: EN 853:2015 clause 5.2.1.
        ("EN 853:2015 5.2.1", 0, ("any", "± 2 %")),
        # From memory: DIN 20066.
        ("EN 853 / DIN 20066", 1, ("over 630 to 1250 mm", "+12 / −4 mm")),
        ("EN 853 / DIN 20066", -1, ("over 8000 mm", "+3 / −1 %")),
        # Source: IP-2 (2003) Table 4-8 prints 0.125 in for bores up to 2 in.
        ("IP-2 end squareness", 1, ("any", "at most 3.18 mm")),
        # Source: SAE J516-2019.
        ("elbow fitting bend angle", 0, ("any", "± 3°")),
    ],
)
def test_a_row_reads_as_its_document_prints_it(
    world: World, name: str, number: int, row: tuple[str, str]
) -> None:
    assert rule_set(world.policy, name).rows[number].cells[1:] == row


def test_the_rule_set_of_the_policy_in_force_is_marked(client: Client, world: World) -> None:
    client.force_login(world.bench)
    page = client.get("/reference/tolerances/").content.decode()
    assert "The policy in force (policy 1) holds the finished length to it, unless" in page
    assert page.count(USED) == 2  # that one, and the angle
    assert rule_set(world.policy, "EN 853 / DIN 20066").used
    assert not rule_set(world.policy, "SAE J517").used


def test_another_policy_marks_another_rule_set(world: World) -> None:
    policy = Policy(
        number=2,
        effective_from=datetime.date(2021, 1, 1),
        length_rules="SAE J517",
        cut_rules="IP-2 cut length",
    )
    with transaction.atomic():
        write_record(actor=world.owner, verb=verbs.POLICY_SET, record=policy, subject=world.workshop)
    assert rule_set(policy, "SAE J517").used
    assert (
        rule_set(policy, "IP-2 cut length").used
        == "The policy in force (policy 2) holds the cut length to it."
    )
    assert not rule_set(policy, "EN 853 / DIN 20066").used


@pytest.mark.parametrize("length_mm", ["1", "610", "610.001", "5000"])
def test_the_table_of_angles_is_what_inspections_hold_to(length_mm: str) -> None:
    table = read_rules(standards_folder() / "length_tolerances.csv", Toleranced.ANGLE)
    [row] = [rule for rule in table[ORIENTATION] if rule.covers(Decimal(length_mm), 8)]
    assert row.plus == row.minus == orientation_tolerance_deg(Decimal(length_mm))
