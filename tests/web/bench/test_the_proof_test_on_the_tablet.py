"""The proof test on the tablet: cautions before the pump starts, one form, and what comes of it."""

import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.html import escape

from shop.assemblies.models import Assembly, ProofTest, State, Trouble
from shop.assemblies.planning import start_line
from shop.assemblies.testing import CURVES, READY, SEEN
from shop.tooling.models import PressureGauge
from shop.web.bench.forms.testing import CAUTIONS
from tests.assemblies import bench, proving
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def inspected(world: World) -> Assembly:
    return proving.ready_to_test(world)


@pytest.fixture
def gauge(world: World) -> PressureGauge:
    return proving.calibrated_gauge(world)


def page(client: Client, assembly: Assembly) -> str:
    return client.get(reverse("web:bench_assembly", args=[assembly.code])).content.decode()


def nonce_of(text: str) -> str:
    found = re.search(r'name="nonce" value="([^"]+)"', text)
    assert found is not None
    return found[1]


def send(client: Client, assembly: Assembly, gauge: PressureGauge, **changes: Any) -> HttpResponse:
    """Send the form with these answers changed."""
    answers: dict[str, Any] = {
        "nonce": nonce_of(page(client, assembly)),
        "have": gauge.code,
        "take": "1",
        "fluid": "oil",
        "adaptors": "700 bar",
        "ready": list(READY),
        "raised_in_s": "10",
        "peak": "555",
        "held_s": "32",
        "seen": [code for code in SEEN if code != "cleaned_to"],  # no cleanliness is ordered
    }
    return client.post(reverse("web:bench_test", args=[assembly.code]), answers | changes)


def test_the_cautions_and_limits_stand_there_before_anything_is_scanned(
    world: World, client: Client, inspected: Assembly, gauge: PressureGauge
) -> None:
    client.force_login(world.bench)
    text = page(client, inspected)
    assert "Proof test it at 550 bar (7977 psi)." in text
    for caution in CAUTIONS:
        assert escape(caution) in text
    for figure in ("550 bar", "577.5 bar", "30 s", "275 bar"):
        assert figure in text
    assert text.index("Before the pump starts") < text.index("Scan the pressure gauge")
    assert gauge.number in text


def test_a_gauge_that_cannot_tell_it_is_refused_at_the_scan(
    world: World, client: Client, inspected: Assembly
) -> None:
    client.force_login(world.bench)
    small = proving.calibrated_gauge(world, scale_to="400")
    for thing, sentence in (
        (small, "Its scale ends at 400 bar; the test may reach 577.5 bar."),
        (world.caliper, "is no pressure gauge."),
    ):
        nonce = nonce_of(page(client, inspected))
        answer = client.post(
            reverse("web:bench_test", args=[inspected.code]), {"nonce": nonce, "scan": thing.code}
        )
        assert (answer.status_code, sentence in answer.content.decode()) == (422, True)


def test_one_form_records_the_test_and_the_tag_comes_next(
    world: World, client: Client, inspected: Assembly, gauge: PressureGauge
) -> None:
    client.force_login(world.bench)
    answer = send(client, inspected, gauge)
    assert answer.status_code == 302
    inspected.refresh_from_db()
    assert inspected.state == State.TESTED
    assert "it stood its proof test" in page(client, inspected)


def test_what_was_typed_stays_after_a_refusal_and_the_curve_too(
    world: World, client: Client, inspected: Assembly, gauge: PressureGauge
) -> None:
    client.force_login(world.bench)
    file = SimpleUploadedFile("test.csv", proving.CURVE.replace("\n", "\r\n").encode())
    answer = send(client, inspected, gauge, peak="549", words="pump 2", curve_file=file)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="549"' in text
    assert 'value="pump 2"' in text
    assert "A curve is attached." in text
    assert "9,5; 552" in text
    assert not ProofTest.objects.exists()


def test_a_doubt_is_ticked_and_the_form_sent_again_with_the_curve_that_was_kept(
    world: World, client: Client, inspected: Assembly, gauge: PressureGauge
) -> None:
    client.force_login(world.bench)
    file = SimpleUploadedFile("test.csv", proving.CURVE.encode())
    first = send(client, inspected, gauge, held_s="40", curve_file=file)
    assert "held for 32.5 s" in first.content.decode()
    curve = proving.CURVE.replace("\n", "\r\n")  # as browsers send what stands in a text area
    send(client, inspected, gauge, held_s="40", curve=curve, sure="curve_says_otherwise")
    test = ProofTest.objects.get()
    assert (test.outcome, test.curve_size) == ("passed", len(proving.CURVE))
    record = client.get(reverse("web:assembly", args=[inspected.code])).content.decode()
    assert "Tested" in record
    assert "fb-curve" in record
    answer = client.get(reverse("web:proof_curve", args=[inspected.code, 1]))
    assert answer.content.decode() == proving.CURVE


def test_the_record_says_how_it_was_tested_and_that_its_curve_is_gone(
    world: World, client: Client, inspected: Assembly
) -> None:
    test = proving.prove(world, inspected, curve=proving.CURVE, words="cold oil")
    CURVES.path(test.curve_sha256).unlink()
    client.force_login(world.auditor)
    record = client.get(reverse("web:assembly", args=[inspected.code])).content.decode()
    for words in (
        "550 bar",
        "577.5 bar",
        "32 s",
        "hydraulic fluid",
        "cold oil",
        "All air is bled.",
        "is missing",
    ):
        assert words in record
    assert client.get(reverse("web:proof_curve", args=[inspected.code, 1])).status_code == 409


def test_a_failed_one_can_only_be_scrapped(
    world: World, client: Client, inspected: Assembly, gauge: PressureGauge
) -> None:
    client.force_login(world.bench)
    send(client, inspected, gauge, found=["leak"], seen=["undamaged"])
    inspected.refresh_from_db()
    assert inspected.trouble == Trouble.FAILED
    text = page(client, inspected)
    assert "The proof test failed: scrap it." in text
    assert 'value="scrap"' in text
    assert 'value="again"' not in text
    assert 'value="as_failed"' not in text
    assert "Inspect again" not in text


def test_one_that_went_too_high_can_be_inspected_again(
    world: World, client: Client, inspected: Assembly, gauge: PressureGauge
) -> None:
    client.force_login(world.bench)
    send(client, inspected, gauge, peak="600 bar")
    inspected.refresh_from_db()
    assert inspected.trouble == Trouble.HELD
    client.force_login(world.inspector)
    text = page(client, inspected)
    assert "Inspect again" in text
    assert 'value="as_failed"' not in text


def test_several_of_a_run_are_tested_with_one_entry(
    world: World, client: Client, gauge: PressureGauge
) -> None:
    pieces = start_line(actor=world.counter, line=world.written_line(quantity=2, proof_test_wanted=True))
    for piece in pieces:
        bench.cut(world, piece)
    bench.finish_run(world, pieces)
    for piece in pieces:
        bench.look_over(world, piece)
    run = pieces[0].run
    client.force_login(world.bench)
    text = client.get(reverse("web:bench_run", args=[run.pk])).content.decode()
    assert "Before the pump starts" in text
    answers = {
        "nonce": nonce_of(text),
        "have": gauge.code,
        "take": "1",
        "count": "2",
        "fluid": "water",
        "adaptors": "700 bar",
        "ready": list(READY),
        "raised_in_s": "10",
        "peak": "555",
        "held_s": "32",
        "seen": [code for code in SEEN if code != "cleaned_to"],  # no cleanliness is ordered
    }
    answer = client.post(reverse("web:bench_run_test", args=[run.pk]), answers, follow=True)
    assert f"{pieces[0].serial}, {pieces[1].serial}: it stood its proof test" in answer.content.decode()
    assert ProofTest.objects.count() == 2
