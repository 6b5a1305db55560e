"""One end of an assembly in side view: ferrule, and a straight or bent fitting up to its datum."""

from shop.drawings import svg
from shop.drawings.bends import draw_bent
from shop.drawings.frame import (
    FERRULE_RADIUS,
    NUT_LENGTH,
    NUT_RADIUS,
    TUBE_RADIUS,
    EndDrawing,
    Frame,
    mouth_mm,
)
from shop.engineering.cut_length import Datum


def draw_end(end: EndDrawing, frame: Frame) -> str:
    """Ferrule and fitting."""
    face = mouth_mm(end) + float(end.ferrule_length_mm)
    fitting = draw_bent(end, frame) if end.is_bent else _straight(end, frame, face)
    return _ferrule(end, frame) + fitting


def _ferrule(end: EndDrawing, frame: Frame) -> str:
    mouth, radius = mouth_mm(end), FERRULE_RADIUS * frame.od_mm
    length = float(end.ferrule_length_mm)
    start, stop = mouth + 0.06 * length, mouth + 0.86 * length
    hose_end, hose_radius = float(-end.cut_off_mm), frame.od_mm / 2
    return (
        frame.block(mouth, mouth + length, radius, class_=f"fb-ferrule fb-ferrule-{frame.name}")
        + frame.level(start, stop, 0.85 * radius, class_="fb-crimp")
        + frame.level(start, stop, 0.5 * radius, class_="fb-crimp")
        + svg.line(frame.at(start, 0), frame.at(stop, 0), class_="fb-crimp")
        + svg.line(
            frame.at(hose_end, -hose_radius),
            frame.at(hose_end, hose_radius),
            class_=f"fb-hose-end-{frame.name}",
            dash=svg.HIDDEN,
        )
    )


def _straight(end: EndDrawing, frame: Frame, face: float) -> str:
    """Tube, nut and what the datum is: a face, a seat inside the nut, or the end of a thread."""
    od, room = frame.od_mm, max(-face, 0.25 * frame.od_mm)
    nut, tube = min(NUT_LENGTH * od, 0.6 * room), TUBE_RADIUS * od
    if end.datum == Datum.SEAT:
        inner, outer = -nut / 2, nut / 2
        tip = _cone(frame, -nut / 2, tube)
    else:
        front = min(0.35 * od, 0.3 * room) if end.datum == Datum.THREAD_END else 0.12 * nut
        inner, outer = -nut - front, -front
        radius = (0.75 if end.datum == Datum.THREAD_END else 0.85) * NUT_RADIUS * od
        tip = frame.block(-front, 0, radius, class_="fb-tip")
        if end.datum == Datum.THREAD_END:
            tip += frame.level(-front, 0, 0.8 * radius, class_="fb-thread")
    return (
        frame.level(min(face, inner), inner, tube, class_="fb-tube")
        + frame.block(inner, outer, NUT_RADIUS * od, class_="fb-nut")
        + frame.level(inner, outer, NUT_RADIUS * od / 2, class_="fb-nut-flat")
        + tip
    )


def _cone(frame: Frame, base: float, radius: float) -> str:
    """The sealing seat, hidden in the nut: it ends at the datum."""
    corners = [
        frame.at(base, -radius),
        frame.at(0, -radius / 2),
        frame.at(0, radius / 2),
        frame.at(base, radius),
    ]
    return svg.path(svg.polyline(corners), class_="fb-seat", width=svg.THIN, dash=svg.HIDDEN)
