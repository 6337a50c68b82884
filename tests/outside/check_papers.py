"""Reads papers with libraries that share no code with Bondline.

Usage: check_papers.py FOLDER, with the PDF files that the tests of crates/papers write.
For each file: no fault of syntax (pikepdf, which is qpdf), tagged, with language and title
(ISO 32000-1, 14.7, 14.8, 14.9.2), every font embedded with a map to text (9.9, 9.10), no
script, link or file within, and its text found by PDFium.
"""
import pathlib
import sys

import pikepdf
import pypdfium2

folder = pathlib.Path(sys.argv[1])
passed = 0


def holds(what, condition, *seen):
    global passed
    if not condition:
        sys.exit(f"{what}: {seen}")
    passed += 1


def fonts(document):
    for thing in document.objects:
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == pikepdf.Name("/Font"):
            yield thing


def embedded(font):
    descriptor = font.get("/FontDescriptor")
    if descriptor is None and "/DescendantFonts" in font:
        descriptor = font["/DescendantFonts"][0].get("/FontDescriptor")
    if descriptor is None:
        return False
    return any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))


# A word of each paper that must be found as text.
words = {
    "quote": "Please confirm",
    "ticket": "Cautions",
    "purchase": "Order by",
    "sheets": "Sheet map",
    "packing": "Packing list",
    "care": "Never iron",
    "record": "Test record",
    "press-plan": "Big flat press",
    "costing": "For the office only",
}
files = sorted(folder.glob("*.pdf"))
holds("all papers are there", len(files) == 2 * len(words), [file.name for file in files])
for file in files:
    document = pikepdf.open(file)
    faults = document.check_pdf_syntax() if hasattr(document, "check_pdf_syntax") else document.check()
    holds(f"{file.name}: no fault of syntax", not faults, faults)
    root = document.Root
    holds(f"{file.name}: tagged", "/StructTreeRoot" in root and bool(root.MarkInfo.get("/Marked")), root.keys())
    holds(f"{file.name}: language", str(root.get("/Lang", "")).startswith("en"), root.get("/Lang"))
    with document.open_metadata() as meta:
        holds(f"{file.name}: title", meta.get("dc:title"), dict(meta))
    for key in ("/OpenAction", "/AA", "/AcroForm"):
        holds(f"{file.name}: no {key}", key not in root)
    holds(f"{file.name}: no script", not any(
        isinstance(thing, pikepdf.Dictionary) and thing.get("/S") in (pikepdf.Name("/JavaScript"), pikepdf.Name("/Launch"))
        for thing in document.objects
    ))
    used = list(fonts(document))
    holds(f"{file.name}: fonts", len(used) >= 2, len(used))
    for font in used:
        if font.get("/Subtype") in (pikepdf.Name("/CIDFontType0"), pikepdf.Name("/CIDFontType2")):
            continue
        holds(f"{file.name}: font embedded", embedded(font) or font.get("/Subtype") == pikepdf.Name("/Type3"), font)
        holds(f"{file.name}: font maps to text", "/ToUnicode" in font, font)
    shown = pypdfium2.PdfDocument(file)
    text = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in shown)
    word = words[file.stem.rsplit("-us", 1)[0].removesuffix("-a4")]
    holds(f"{file.name}: {word}", word in text, text[:300])
    for page in shown:
        picture = page.render(scale=0.25).to_pil().convert("L")
        holds(f"{file.name}: light on ink", sum(picture.getdata()) / len(picture.getdata()) > 200)
print(f"{passed} checks passed")
