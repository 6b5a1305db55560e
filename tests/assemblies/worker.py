"""A bench in a process of its own: `python -m tests.assemblies.worker PIECE ASSEMBLY[:NONCE] … [pause]`.

Says `ready` and waits for a line. Then cuts each assembly (by serial) from the piece (by code) and says
`cut`, `again` for a form that was carried out before, or the code of the refusal. With `pause` it stays
inside the transaction of the last cut until it is killed, and says `inside`.
"""

import json
import sys
import time
from contextlib import nullcontext
from uuid import UUID

import django

django.setup()

from django.db import transaction  # noqa: E402

from shop.assemblies.consistency import standings_that_disagree  # noqa: E402
from shop.assemblies.making import cut_hose  # noqa: E402
from shop.assemblies.models import Assembly, Cut  # noqa: E402
from shop.assemblies.points import At, points_at  # noqa: E402
from shop.assemblies.submissions import once  # noqa: E402
from shop.core.refusals import Refusal  # noqa: E402
from shop.people.models import User  # noqa: E402
from shop.stock.consistency import pieces_that_disagree  # noqa: E402
from shop.stock.models import Piece  # noqa: E402

BENCH = 3  # the staff number of who works here


def cut(piece_code: str, job: str) -> str:
    serial, _, nonce = job.partition(":")
    actor, assembly = User.objects.get(number=BENCH), Assembly.objects.get(serial=serial)
    piece = Piece.objects.get(code=piece_code)
    sent = {"actor": actor, "step": "cut", "subject": serial, "payload": {"piece": piece_code}}
    try:
        with transaction.atomic():
            first = not nonce or once(nonce=UUID(nonce), **sent)
            if first:
                cut_hose(
                    actor=actor,
                    assembly=assembly,
                    piece=piece,
                    seen=[point.code for point in points_at(At.CUT)],
                )
    except Refusal as refusal:
        return refusal.code
    return "cut" if first else "again"


def report(piece_code: str) -> str:
    """What is in the books, as JSON."""
    piece = Piece.objects.get(code=piece_code)
    return json.dumps(
        {
            "states": list(Assembly.objects.order_by("serial").values_list("state", flat=True)),
            "cuts": Cut.objects.count(),
            "left": str(piece.length_left),
            "movements": list(piece.movements.order_by("number").values_list("number", flat=True)),
            "wrong": [*pieces_that_disagree(), *standings_that_disagree()],
        }
    )


def main(piece_code: str, jobs: list[str], *, pause: bool) -> None:
    say("ready")
    sys.stdin.readline()
    *at_once, last = jobs
    for job in at_once:
        say(cut(piece_code, job))
    with transaction.atomic() if pause else nullcontext():
        done = cut(piece_code, last)
        if pause:
            say("inside")
            time.sleep(600)
    say(done)


def say(what: object) -> None:
    sys.stdout.write(f"{what}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    code, *rest = sys.argv[1:]
    if rest == ["report"]:
        say(report(code))
    else:
        main(code, [job for job in rest if job != "pause"], pause="pause" in rest)
