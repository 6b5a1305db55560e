"""Hands at a tablet, with a scanner and a caliper that type: what they do, counted, and runs for them."""

from dataclasses import dataclass

from shop.assemblies.models import Assembly, End, Run
from shop.assemblies.planning import start_line
from shop.assemblies.points import At
from shop.assemblies.runs import crimp_pieces, cut_pieces
from tests.assemblies import bench
from tests.assemblies.bench import GOOD
from tests.browser.person import Person
from tests.world import World


@dataclass
class Hands:
    """A person's hands at a tablet, and how often they did what."""

    person: Person
    taps: int = 0
    scans: int = 0
    values: int = 0

    def open(self, run: Run, query: str = "") -> None:
        self.person.goes_to(f"/bench/runs/{run.pk}/{query}")

    def scan(self, *codes: str) -> None:
        """The scanner types into what has the focus, then Enter."""
        for code in codes:
            self.scans += 1
            self.person.scans(code)

    def tick_and_press(self, button: str) -> None:
        """Tick each box, then the button."""
        boxes = self.person.page.locator("main").get_by_role("checkbox").all()
        for box in boxes:
            box.check()
        self.taps += len(boxes) + 1
        self.person.presses(button)

    def read(self, readings: tuple[str, ...] = GOOD) -> None:
        """The caliper types each reading, then Enter; the last one sends them."""
        for reading in readings[:-1]:
            self.person.types(reading)
            self.person.page.keyboard.press("Enter")
        self.values += len(readings)
        self.person.scans(readings[-1])

    def type_lengths(self) -> None:
        """Every finished length that the page asks for, with Enter after none."""
        for box in self.person.page.get_by_label("Length of").all():
            box.fill("931")
            self.values += 1

    def reads(self, *texts: str) -> None:
        self.person.reads(*texts)


def planned(world: World, quantity: int) -> Run:
    return start_line(actor=world.counter, line=world.written_line(quantity=quantity))[0].run


def crimped_until(world: World, run: Run, count: int) -> list[Assembly]:
    """All cut, and so many crimped at end A by the bench person; the last of these is not measured yet."""
    pieces = list(run.assemblies.order_by("serial"))
    cut_pieces(actor=world.bench, run=run, count=len(pieces), piece=world.reel, seen=bench.TICKED[At.CUT])
    bench.tool_up(world, pieces[0])
    made = 0
    while made < count:
        if made:
            bench.measure(world, pieces[made - 1].crimps.get())
        several = 1 if made == 0 else min(9 if made == 1 else 10, count - made)
        crimp_pieces(
            actor=world.bench,
            run=run,
            end=End.A,
            count=several,
            fitting_lot=world.fitting_lot,
            ferrule_lot=world.ferrule_lot,
            seen=bench.TICKED[At.CRIMP],
        )
        made += several
    return pieces


def set_up(hands: Hands, world: World) -> None:
    hands.scan(*(tool.code for tool in (world.crimper, world.die_set, world.stop_part, world.caliper)))
    hands.tick_and_press("It is set up")


def crimp_end_of_all(hands: Hands, world: World) -> int:
    """Set up, then crimp up to each piece that is measured; returns how often."""
    set_up(hands, world)
    hands.scan(world.fitting_lot.code, world.ferrule_lot.code)
    times = 0
    while hands.person.page.get_by_role("button", name="They are crimped").count():
        hands.tick_and_press("They are crimped")
        hands.read()
        times += 1
    return times
