"""A crimp's readings on a scale between the chart's limits, with the gauge's uncertainty as a bar."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from shop.drawings import svg
from shop.engineering.numbers import plain, trim

WIDTH, MARGIN = 560.0, 18.0
SCALE_TOP, ROW = 92.0, 22.0
BESIDE, FARTHEST = Decimal("0.6"), Decimal(2)  # of the span: room beside the limits, at least and at most
COLUMNS = 62
MICROMETRE_PLACES = 3

# Words and signs of an outcome, the signs on a square of 20 units.
WORDS = {"pass": "Passes", "held": "Held, not proven", "fail": "Fails"}
SIGNS = {"pass": "M3 11L8 16L17 4", "held": "M7 3V17M13 3V17", "fail": "M4 4L16 16M16 4L4 16"}


@dataclass(frozen=True, slots=True)
class JudgementDrawing:
    """A judgement as the drawing needs it, all in mm.

    `outcome` is pass, held or fail; `judged` is mean or each. `expanded_mm` is the gauge's expanded
    uncertainty, None if nobody knows it. The acceptance limits are those of the decision rule; a lower
    one above the upper one means that nothing would be accepted.
    """

    lower_mm: Decimal
    target_mm: Decimal
    upper_mm: Decimal
    acceptance_lower_mm: Decimal
    acceptance_upper_mm: Decimal
    readings_mm: tuple[Decimal, ...]
    mean_mm: Decimal
    expanded_mm: Decimal | None
    outcome: str
    judged: str

    @property
    def is_guarded(self) -> bool:
        return self.acceptance_lower_mm > self.lower_mm or self.acceptance_upper_mm < self.upper_mm

    @property
    def window_mm(self) -> tuple[Decimal, Decimal]:
        """From where to where the scale runs: all that was read, but a slip does not dwarf the rest."""
        span = self.upper_mm - self.lower_mm
        spread = self.expanded_mm or Decimal(0)
        lowest, highest = min(self.readings_mm) - spread, max(self.readings_mm) + spread
        return (
            max(min(self.lower_mm - BESIDE * span, lowest), self.lower_mm - FARTHEST * span),
            min(max(self.upper_mm + BESIDE * span, highest), self.upper_mm + FARTHEST * span),
        )


Place = Callable[[Decimal], float]


def draw_judgement(d: JudgementDrawing) -> str:
    """The judgement as SVG. What is judged carries the bar of uncertainty: the mean, or each reading."""
    low, high = d.window_mm
    width = Decimal(WIDTH - 2 * MARGIN)

    def place(value: Decimal) -> float:
        return MARGIN + float((value - low) / (high - low) * width)

    rows = len(d.readings_mm) if d.judged == "each" else 2
    bottom = SCALE_TOP + (rows + 1) * ROW
    body = [
        _headline(d),
        _guard_bands(d, place, bottom),
        _limits(d, place, bottom),
        svg.line((MARGIN, bottom), (WIDTH - MARGIN, bottom), class_="fb-scale"),
        _marks(d, place),
    ]
    notes = [f"readings {_readings(d)} mm"]
    if d.expanded_mm is None:
        notes.append("the uncertainty of the gauge is not known")
    if d.is_guarded:
        notes.append("hatched: inside the limits, but not proven with this gauge")
    lines = [line for note in notes for line in svg.wrapped(note, COLUMNS)]
    first = bottom + 70
    body.append(svg.paragraph((MARGIN, first), lines, class_="fb-readings"))
    height = first + len(lines) * svg.SMALL * svg.LEADING
    return svg.document(WIDTH, height, title_of(d), body, class_="fb-judgement")


def title_of(d: JudgementDrawing) -> str:
    """What the drawing shows, in words, for who can't see it."""
    judged = "each reading is judged" if d.judged == "each" else "the mean is judged"
    return (
        f"{WORDS[d.outcome]}: {_mean(d)}, limits {_figure(d, d.lower_mm)} to {_figure(d, d.upper_mm)} mm, "
        f"target {_figure(d, d.target_mm)} mm, {judged}, readings {_readings(d)} mm"
    )


def _figure(d: JudgementDrawing, value: Decimal) -> str:
    """A value with at least as many decimals as the finest of limits and readings, so that figures line up.

    A mean whose digits go on is rounded once, to the micrometre.
    """
    value = trim(round(value, MICROMETRE_PLACES)) if _places(value) > MICROMETRE_PLACES else value
    finest = max(map(_places, (d.lower_mm, d.target_mm, d.upper_mm, *d.readings_mm)))
    return f"{value:.{max(finest, _places(value))}f}"


def _places(value: Decimal) -> int:
    """How many decimals a value needs."""
    exponent = trim(value).as_tuple().exponent
    return max(-exponent, 0) if isinstance(exponent, int) else 0


def _mean(d: JudgementDrawing) -> str:
    """The mean in words, with the uncertainty if that is known."""
    uncertainty = "" if d.expanded_mm is None else f" ± {plain(d.expanded_mm)}"
    return f"mean {_figure(d, d.mean_mm)}{uncertainty} mm"


def _readings(d: JudgementDrawing) -> str:
    return ", ".join(_figure(d, reading) for reading in d.readings_mm)


def _headline(d: JudgementDrawing) -> str:
    """The outcome by sign and word, and the mean with its uncertainty."""
    sign = svg.element(
        "g",
        svg.path(SIGNS[d.outcome], class_="fb-sign", width=3.0),
        transform=f"translate({svg.number(MARGIN)} 14)",
        stroke_linecap="round",
    )
    return (
        sign
        + svg.text(
            (MARGIN + 30, 32), WORDS[d.outcome], class_="fb-outcome", size=22, anchor="start", bold=True
        )
        + svg.text((WIDTH - MARGIN, 32), _mean(d), class_="fb-mean-label", anchor="end")
    )


def _guard_bands(d: JudgementDrawing, place: Place, bottom: float) -> str:
    """Hatching between each limit and the acceptance limit inside it, or over all if nothing is accepted."""
    if not d.is_guarded:
        return ""
    bands = [(d.lower_mm, d.acceptance_lower_mm), (d.acceptance_upper_mm, d.upper_mm)]
    if d.acceptance_lower_mm > d.acceptance_upper_mm:
        bands = [(d.lower_mm, d.upper_mm)]
    return "".join(
        svg.hatching(place(a), SCALE_TOP, place(b) - place(a), bottom - SCALE_TOP, class_="fb-guard")
        for a, b in bands
        if b > a
    )


def _limits(d: JudgementDrawing, place: Place, bottom: float) -> str:
    """Both limits below the scale, the target above it."""
    strokes = []
    for value, words, name in ((d.lower_mm, "lower limit", "lower"), (d.upper_mm, "upper limit", "upper")):
        x = place(value)
        strokes += [
            svg.line((x, SCALE_TOP - 8), (x, bottom + 8), class_=f"fb-limit-{name}", width=svg.THICK),
            svg.text((x, bottom + 28), _figure(d, value), class_=f"fb-limit-{name}-label", bold=True),
            svg.text((x, bottom + 46), words, class_="fb-note", size=svg.SMALL),
        ]
    x = place(d.target_mm)
    strokes += [
        svg.line((x, SCALE_TOP - 8), (x, bottom + 8), class_="fb-target", dash=svg.CHAIN),
        svg.text(
            (x, SCALE_TOP - 14), f"target {_figure(d, d.target_mm)}", class_="fb-target-label", size=svg.SMALL
        ),
    ]
    return "".join(strokes)


def _marks(d: JudgementDrawing, place: Place) -> str:
    """Readings and mean, each with the bar of uncertainty if it is what is judged."""
    strokes = []
    for i, reading in enumerate(d.readings_mm):
        y = SCALE_TOP + ROW * (i + 1 if d.judged == "each" else 1)
        strokes.append(_mark(d, place, reading, y, class_="fb-reading", judged=d.judged == "each"))
    if d.judged != "each":
        strokes.append(_mark(d, place, d.mean_mm, SCALE_TOP + 2 * ROW, class_="fb-mean", judged=True))
    return "".join(strokes)


def _mark(d: JudgementDrawing, place: Place, value: Decimal, y: float, *, class_: str, judged: bool) -> str:
    """One value: a tick, or an arrow at the edge if it lies off the scale."""
    low, high = d.window_mm
    if not low <= value <= high:
        edge, sign, anchor = (MARGIN, 1, "start") if value < low else (WIDTH - MARGIN, -1, "end")
        return svg.arrow_head((edge, y), 180 if sign > 0 else 0, class_=f"{class_} fb-off-scale") + svg.text(
            (edge + sign * 18, y + 6),
            _figure(d, value),
            class_="fb-off-scale-label",
            size=svg.SMALL,
            anchor=anchor,
        )
    x = place(value)
    strokes = svg.line((x, y - 8), (x, y + 8), class_=class_, width=3 if judged else svg.MEDIUM)
    if not judged or d.expanded_mm is None:
        return strokes
    left, right = place(max(value - d.expanded_mm, low)), place(min(value + d.expanded_mm, high))
    bar = svg.line((left, y), (right, y), class_="fb-uncertainty", width=svg.MEDIUM)
    caps = "".join(svg.line((end, y - 4), (end, y + 4), class_="fb-cap") for end in (left, right))
    return strokes + bar + caps
