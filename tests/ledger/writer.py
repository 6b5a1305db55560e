"""A bench in a process of its own: `python -m tests.ledger.writer TOOL COUNT [pause]`.

Says `ready` and waits for a line. Then looks COUNT times at the tool and says the entry's number after
each commit. With `pause` it then stays inside one more transaction until it is killed, and says so.
"""

import sys
import time

import django

django.setup()

from django.db import transaction  # noqa: E402

from shop.people.models import User  # noqa: E402
from tests.ledger.drawer import look  # noqa: E402
from tests.ledger.testapp.models import Tool  # noqa: E402


def main(mark: str, count: int, *, pause: bool) -> None:
    actor = User.objects.get(number=3)
    tool = Tool.objects.get(mark=mark)
    say("ready")
    sys.stdin.readline()
    for attempt in range(1, count + 1):
        say(look(actor, tool, attempt).entry.number)
    if pause:
        with transaction.atomic():
            look(actor, tool, count + 1)
            say("inside")
            time.sleep(600)


def say(what: object) -> None:
    sys.stdout.write(f"{what}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), pause=sys.argv[3:] == ["pause"])
