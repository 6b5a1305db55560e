"""Reading a drawing back: its elements by class, its title, its texts."""

from xml.etree import ElementTree


class Drawn:
    """An SVG, parsed strictly: one that is not well formed can't be read at all."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)  # noqa: S314 our own drawing

    def all(self, class_: str) -> list[ElementTree.Element]:
        return [e for e in self.root.iter() if class_ in e.get("class", "").split()]

    def one(self, class_: str) -> ElementTree.Element:
        (element,) = self.all(class_)
        return element

    def number(self, class_: str, attribute: str) -> float:
        return float(self.one(class_).attrib[attribute])

    def text(self, class_: str) -> str:
        return " ".join(e.text or "" for e in self.all(class_))

    @property
    def texts(self) -> list[str]:
        return [e.text or "" for e in self.root.iter() if e.tag.endswith("}text")]

    @property
    def title(self) -> str:
        return self.root.attrib["aria-label"]

    @property
    def size(self) -> tuple[float, float]:
        _, _, width, height = map(float, self.root.attrib["viewBox"].split())
        return width, height
