"""One hose at work: ordered, cut, crimped, read, inspected, tagged, scanned and released."""

from pathlib import Path

from tests.browser.beginning import ELBOW, HOSE, SERIES, STRAIGHT
from tests.browser.person import Person
from tests.documents.reading import printed, symbols, thermal

READINGS = ("24.2", "24.21", "24.19", "24.2")
Codes = dict[str, str]


def write_customer(person: Person) -> None:
    """A customer is put on the list before the order."""
    person.goes_to("/counter/")
    person.follows("Customers")
    person.follows("Add a customer")
    person.fills_in({"Number": "7", "Name": "Tidewater Cranes", "Contact": "Ada, at the quay"})
    person.presses("Write it")


def take_the_order(person: Person) -> None:
    """An order with one line, its length as it was read off a folding rule, confirmed."""
    write_customer(person)
    person.goes_to("/counter/")
    person.follows("Write an order")
    person.fills_in({"Customer": "Tidewater", "Customer's reference": "boom 3"})
    person.presses("Open the order")
    person.fills_in(
        {
            "Hose": HOSE,
            "End A": f"{SERIES} {STRAIGHT}",
            "End B": f"{SERIES} {ELBOW}",
            "Overall length": '36-1/2"',
            "Quantity": "1",
            "Highest pressure": "3600 psi",
            "Highest temperature of the fluid": "80",
            "Fluid": "mineral oil",
        }
    )
    person.presses("Write the line")
    person.reads("927.1 mm", "This can be confirmed.")
    person.presses("Confirm, and plan 1 assembly")
    person.reads("is confirmed and its assemblies are planned")


def take_the_job(person: Person) -> None:
    """From the list of what is to be made, the first."""
    person.goes_to("/bench/")
    person.page.locator("main ol a").first.click()
    person.looks()


def cut(person: Person, codes: Codes) -> None:
    """From the scanned reel."""
    person.scans(codes["reel"])
    person.does_not_read("Check:")
    person.ticks_everything()
    person.presses("It is cut")


def crimp(person: Person, codes: Codes, fittings: str) -> None:
    """Set up with everything scanned one by one, crimp, read with the caliper."""
    for tool in ("crimper", "die set", "stop part", "caliper"):
        person.scans(codes[tool])
    person.does_not_read("Check:")
    person.ticks_everything()
    person.presses("It is set up")
    for lot in (fittings, "ferrules"):
        person.scans(codes[lot])
    person.ticks_everything()
    person.presses("It is crimped")
    read(person)


def read(person: Person) -> None:
    """A caliper with a cable types digits, then Enter; the last Enter sends the readings."""
    person.page.get_by_label("Reading 1").focus()
    for reading in READINGS[:-1]:
        person.page.keyboard.type(reading)
        person.page.keyboard.press("Enter")
    person.scans(READINGS[-1])


def make_it(person: Person, codes: Codes) -> None:
    """Everything that the bench does with one assembly."""
    take_the_job(person)
    person.reads("Cut 857.1 mm")
    cut(person, codes)
    crimp(person, codes, "fittings")
    crimp(person, codes, "elbows")


def inspect(person: Person, codes: Codes) -> None:
    """The second person measures the finished hose and looks at each point."""
    take_the_job(person)
    person.scans(codes["tape"])
    person.fills_in({"Finished length": "928"})
    person.ticks_everything()
    person.presses("It is inspected")
    person.reads("Inspected: right")


def make_the_tag(person: Person) -> bytes:
    """The tag is made and printed at the bench; the paper."""
    person.presses("Make the tag")
    person.presses("Print the tag")
    person.reads("is ready to print")
    return downloaded(person, "The tag (PDF)")


def release(person: Person, tag: str) -> None:
    """The tag is scanned on the hose that it was put on."""
    take_the_job(person)
    person.ticks_everything()
    person.scans(tag)
    person.reads("Released: hose, tag and record belong together.")


def downloaded(person: Person, name: str) -> bytes:
    """The paper behind a link."""
    address = person.page.get_by_role("link", name=name, exact=True).first.get_attribute("href")
    assert address is not None
    answer = person.page.request.get(person.address + address)
    assert answer.headers["content-type"] == "application/pdf"
    return answer.body()


def on_the_paper(pdf: bytes, folder: Path) -> list[str]:
    """What a phone reads off the first page of a paper, once a label printer has printed it."""
    return [symbol.text for symbol in symbols(thermal(printed(pdf, folder)))]
