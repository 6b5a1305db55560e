"""Where something is withdrawn, damaged or ended, its page says which assemblies that puts in question."""

import datetime

from django.test import Client
from django.urls import reverse

from shop.authority.models import AuthorisedStep, Authority
from shop.authority.services import save_authority
from shop.policy.services import today
from tests.assemblies import bench
from tests.world import World


def test_withdrawing_a_chart_asks_before_and_shows_after(client: Client, world: World) -> None:
    bench.shipped(world)
    client.force_login(world.inspector)
    withdraw = reverse("web:chart_withdraw", args=[world.chart_issue.pk])
    question = f"{world.customer.number} {world.customer}: 1 out in service, 0 still here"
    assert question in client.get(withdraw).content.decode()
    after = client.post(withdraw, {"reason": "A misprint."}, follow=True).content.decode()
    assert "A misprint." in after
    assert question in after
    assert f"{reverse('web:suspect')}?chart_issue={world.chart_issue.pk}" in after


def test_a_damaged_tool_asks_before_and_shows_after(client: Client, world: World) -> None:
    bench.crimped(world)
    client.force_login(world.bench)
    damage = reverse("web:die_sets_damage", args=[world.die_set.pk])
    question = f"{world.customer.number} {world.customer}: 0 out in service, 1 still here"
    assert question in client.get(damage).content.decode()
    after = client.post(damage, {"what": "die 3 chipped"}, follow=True).content.decode()
    assert question in after
    assert f"{reverse('web:suspect')}?die_set={world.die_set.pk}" in after
    item = client.get(reverse("web:die_sets_item", args=[world.die_set.pk])).content.decode()
    assert question in item


def test_an_authority_shows_what_was_done_under_it_and_the_link_finds_it_again(
    client: Client, world: World
) -> None:
    assembly = bench.tagged(world)
    began = today() - datetime.timedelta(days=9)
    authority = save_authority(
        actor=world.owner,
        authority=Authority(
            person=world.inspector, step=AuthorisedStep.INSPECT, series=world.series, valid_from=began
        ),
    )
    client.force_login(world.owner)
    page = client.get(reverse("web:authorities_item", args=[authority.pk]))
    assert f"inspected by {world.inspector.name} since it began on {began}" in page.content.decode()
    [asked] = page.context["asked"]
    suspected = client.get(asked.address)
    assert assembly.code in suspected.content.decode()
    assert "Inspected since" in suspected.content.decode()
