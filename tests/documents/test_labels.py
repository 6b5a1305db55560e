"""Labels for whatever is scanned at the bench."""

from pathlib import Path

from shop.documents.labels import Label, label_sheet
from shop.engineering.codes import new_code
from tests.documents.reading import pages_of, printed, symbols, text_of, thermal


def test_each_label_is_a_page_with_a_code_that_a_scanner_reads(tmp_path: Path) -> None:
    labels = [
        Label(new_code("D"), "Die set", "dies 14 (two punched dots)", "die R-24, drawer 3"),
        Label(new_code("P"), "Piece of hose", "Quillmark Torrent 3 -8 " * 4, "batch T-771 " * 9),
    ]
    pdf = label_sheet(labels)
    assert [(round(w, 1), round(h, 1)) for w, h in pages_of(pdf)] == [(62, 29), (62, 29)]
    for page, label in enumerate(labels, start=1):
        image = printed(pdf, tmp_path, page=page)
        for seen in (image, thermal(image)):
            assert [symbol.text for symbol in symbols(seen)] == [label.code]


def test_a_label_says_what_it_is_on_and_its_code_in_groups() -> None:
    label = Label(new_code("G"), "Caliper", "caliper 1", "bench 2")
    text = text_of(label_sheet([label]))
    for words in ("Caliper", "caliper 1", "bench 2", label.printed_code[:10], label.printed_code[10:]):
        assert words in text
