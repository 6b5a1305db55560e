"""What people write down before the first hose can be made: everything typed into the pages."""

import datetime
from zoneinfo import ZoneInfo

from tests.browser.person import Person

PASSWORD = "a hose is not a rope"  # noqa: S105  # of people who don't exist
ZONE = "Europe/Lisbon"
HOSE = "Quillmark Torrent 2 -8"
SERIES = "Ostrava Ends Row"
STRAIGHT, ELBOW = "straight 8", "elbow 90"
FERRULE = "F 8"
DIE, STOP = "die 24", "ring 6"


def begin(person: Person) -> None:
    """An installation without a workshop asks for one."""
    person.goes_to("/")
    person.fills_in(
        {
            "Name": "Pennant Hose Works",
            "Address": "Quay 4, Saltmouth",
            "Lengths are typed in": "millimetres",
            "Time zone": ZONE,
            "Address for tags": "HTTPS://HOSE.EXAMPLE",
        },
        under="The workshop",
    )
    person.fills_in(
        {"Name": "Marit Osei", "Sign-in name": "marit", "Password": PASSWORD}, under="Its first owner"
    )
    person.presses("Begin")
    person.reads("Pennant Hose Works has its book")


def sign_in(person: Person, name: str) -> None:
    """The next person takes the screen."""
    leave = person.page.get_by_role("button", name="Sign out")
    if leave.count():
        leave.click()
    else:
        person.goes_to("/sign-in/")
    person.fills_in({"Sign-in name": name, "Password": PASSWORD})
    person.presses("Sign in")


def add(person: Person, path: str, answers: dict[str, str | bool]) -> None:
    """Write one entry of a list, from the list's page on."""
    person.goes_to(path)
    person.page.get_by_role("link", name="Add a").first.click()
    person.looks()
    person.fills_in(answers)
    person.presses("Write it")
    person.reads("is written")


def write_people(person: Person) -> None:
    """Somebody at the bench, and the second person who checks."""
    for number, name, role in (("2", "Ilse Novak", "bench"), ("3", "Radu Lindqvist", "inspector")):
        user = name.split()[0].lower()
        add(
            person,
            "/quality/people/",
            {"Staff number": number, "Name": name, "Sign-in name": user, role: True},
        )
        person.follows("Set a password")
        person.fills_in({"Password": PASSWORD})
        person.presses("Set it")
        person.reads(f"signs in as {user}")


def write_catalogue(person: Person) -> None:
    """One fluid, one hose, one connection, a series with two fittings and a ferrule, a die, a stop."""
    add(person, "/reference/fluids/", {"Name": "mineral oil"})
    add(
        person,
        "/reference/hoses/",
        {
            "Maker": "Quillmark",
            "Designation": "Torrent 2",
            "Size": "8",
            "True bore": "12.7",
            "Outside diameter": "23",
            "Rating": "275 bar",
            "Document": "Torrent data sheet 4, page 2",
            "Least bend radius": "180",
            "From °C": "-40",
            "To °C": "100",
            "mineral oil": True,
        },
    )
    add(
        person,
        "/reference/connections/",
        {
            "System": "37° flare (ISO 8434-2)",
            "Size": "-8",
            "Thread": "3/4-16 UNF",
            "Rating": "5000 psi",
            "Document": "the fitting maker's letter of May 2026",
            "Basis": "the maker's document",
        },
    )
    add(person, "/reference/series/", {"Maker": "Ostrava Ends", "Name": "Row"})
    straight: dict[str, str | bool] = {
        "Series": SERIES,
        "Designation": STRAIGHT,
        "For hose size": "8",
        "Connection": "37° flare (ISO 8434-2) -8",
        "Cut-off allowance": "25",
        "Insertion depth": "30",
        "Length is measured to": "the sealing seat",
        "Rating": "350 bar",
        "Document": "Row data sheet 2",
    }
    bent: dict[str, str | bool] = {
        "Designation": ELBOW,
        "Bend, degrees": "90",
        "Cut-off allowance": "45",
        "Drop": "60",
        "Length is measured to": "the centreline of the elbow's end",
    }
    add(person, "/reference/fittings/", straight)
    add(person, "/reference/fittings/", straight | bent)
    add(
        person,
        "/reference/ferrules/",
        {"Series": SERIES, "Designation": FERRULE, "Length": "32"},
    )
    add(person, "/reference/die-types/", {"Designation": DIE, "Diameter when closed": "24"})
    add(person, "/reference/stop-types/", {"Designation": STOP, "Thickness": "6"})


def confirm_ratings(person: Person) -> None:
    """The second person types what each document prints, without being shown the figure."""
    for path, entry, document, figure in (
        ("/reference/hoses/", "Torrent 2", "Torrent data sheet 4", "275 bar"),
        ("/reference/connections/", "37° flare (ISO 8434-2)", "letter of May 2026", "5000 psi"),
        ("/reference/fittings/", STRAIGHT, "Row data sheet 2", "350 bar"),
        ("/reference/fittings/", ELBOW, "Row data sheet 2", "350 bar"),
    ):
        person.goes_to(path)
        person.follows(entry)
        person.follows("Confirm the rating")
        person.does_not_read(figure)
        person.fills_in({"Document": document, "Rating in the document": figure})
        person.presses("Confirm it")
        person.reads("is confirmed against")


def issue_chart(typist: Person, checker: str) -> None:
    """A chart of two lines is typed, checked by the second person against the document, and issued."""
    add(
        typist,
        "/quality/charts/",
        {"Chart number": "RW-8", "Origin": "Row crimp charts, sheet 8, issue of January 2026"},
    )
    line: dict[str, str | bool] = {
        "Hose": HOSE,
        "Fitting series": SERIES,
        "Die type": DIE,
        "Stop": "a stop part",
        "Stop type": STOP,
        "Crimp diameter": "24.2",
        "or ± tolerance": "0.2",
    }
    for more in ({"Ferrule": f"{SERIES} {FERRULE}"}, {"Crimp diameter": "23.6"}):
        typist.follows("Type a line")
        typist.fills_in(line | more)
        typist.presses("Write this line")
        typist.reads("is typed")
    page = typist.path
    sign_in(typist, checker)
    typist.goes_to(page)
    typist.follows("Check it")
    typist.ticks_everything()
    typist.presses("Checked")
    typist.follows("Issue it")
    typist.fills_in({"Issue": "1"})
    typist.presses("Issue it")
    typist.reads("RW-8 issue 1 is in force")


def fill_the_cabinet(person: Person) -> dict[str, str]:
    """A crimper, its dies and stop and how they go together, a caliper and a tape; their labels' codes."""
    codes = {}
    tools: tuple[tuple[str, str, dict[str, str | bool]], ...] = (
        ("crimper", "/tools/crimpers/", {"Number": "press 1", "Kind of stop": "a stop part"}),
        ("die set", "/tools/die-sets/", {"Number": "dies 1", "Die type": DIE, "Mark": "two punched dots"}),
        ("stop part", "/tools/stop-parts/", {"Number": "ring 1", "Stop type": STOP}),
        ("caliper", "/tools/gauges/", {"Number": "caliper 1", "Kind": "caliper", "Resolution": "0.01"}),
        ("tape", "/tools/gauges/", {"Number": "tape 1", "Kind": "tape", "Resolution": "1"}),
    )
    for name, path, answers in tools:
        add(person, path, answers)
        codes[name] = person.value_of("Code on its label")
    add(
        person,
        "/tools/arrangements/",
        {
            "Crimper": "press 1",
            "Die type": DIE,
            "Stop type": STOP,
            "What must be taken out": "the spacer plate",
            "Role of row 1": "pusher",
            "Which way it faces of row 1": "chamfer to the ram",
            "Role of row 2": "stop ring",
            "Mark of row 2": "6",
            "Thickness of row 2": "6",
            "Role of row 3": "die set",
            "Mark of row 3": "two punched dots",
        },
    )
    return codes


def calibrate(person: Person) -> None:
    """The inspector writes down what caliper and tape were found to read."""
    for gauge, error, uncertainty in (("caliper 1", "0.01", "0.02"), ("tape 1", "0", "1")):
        person.goes_to("/tools/gauges/")
        person.follows(gauge)
        person.follows("Record a calibration")
        person.fills_in(
            {
                "Done on": days_from_now(-30),
                "Due again on": days_from_now(335),
                "Error as found": error,
                "Error as left": error,
                "Expanded uncertainty U of one reading (k = 2)": uncertainty,
                "Certificate": f"C {gauge}",
            }
        )
        person.presses("Record it")


def receive(person: Person) -> dict[str, str]:
    """A reel, two bins of fittings and one of ferrules come in; the codes of their labels."""
    person.goes_to("/stores/")
    person.follows("Receive hose")
    person.fills_in(
        {
            "Hose": HOSE,
            "Maker's batch": "T-771",
            "Made (as printed)": f"1Q{today().year}",
            "Lengths": "50 m",
            "Place": "rack 2",
        }
    )
    person.presses("Receive it")
    codes = {"reel": person.code_in("piece")}
    for name, kind, part in (
        ("fittings", "Fitting", f"{SERIES} {STRAIGHT}"),
        ("elbows", "Fitting", f"{SERIES} {ELBOW}"),
        ("ferrules", "Ferrule", f"{SERIES} {FERRULE}"),
    ):
        person.goes_to("/stores/")
        person.follows("Receive fittings or ferrules")
        person.fills_in({kind: part, "Maker's batch": f"B-{name}", "Quantity": "100"})
        person.presses("Receive it")
        codes[name] = person.code_in("Lot")
    return codes


def today() -> datetime.date:
    """The day in the workshop's zone."""
    return datetime.datetime.now(tz=ZoneInfo(ZONE)).date()


def days_from_now(days: int) -> str:
    """A day as the browser's own field takes it."""
    return str(today() + datetime.timedelta(days))
