"""Reads print and cut files with libraries that share no code with Bondline.

Usage: check_sheets.py FOLDER, with the files that crates/sheets/tests/outside.rs writes.
"""
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import ezdxf
import numpy
import pikepdf
import pypdfium2
from PIL import Image, ImageOps

Image.MAX_IMAGE_PIXELS = None
MM = 25.4 / 72.0
folder = pathlib.Path(sys.argv[1])
expected = json.loads((folder / "expected.json").read_text())
passed = 0


def holds(what, condition, *seen):
    global passed
    if not condition:
        sys.exit(f"{what}: {seen}")
    passed += 1


def png(name, mode):
    picture = Image.open(folder / name)
    picture.load()
    holds(f"{name} mode", picture.mode == mode, picture.mode)
    holds(f"{name} size tag", abs(picture.info["dpi"][0] - 300) < 0.01, picture.info.get("dpi"))
    holds(f"{name} colour tag", "srgb" in picture.info, picture.info)
    return picture


def separations(document):
    """Names of all separation colour spaces, wherever they are used."""
    names = set()
    for thing in document.objects:
        if isinstance(thing, pikepdf.Array) and len(thing) == 4 and thing[0] == pikepdf.Name("/Separation"):
            names.add(str(thing[1])[1:])
    return names


def on_paper(picture):
    paper = Image.new("RGBA", picture.size, (255, 255, 255, 255))
    paper.alpha_composite(picture)
    return numpy.asarray(paper.convert("RGB"), dtype=float)


# The print sheet.
sheet = png("sheet.png", "RGBA")
holds("pixels", sheet.size == (expected["width_px"], expected["height_px"]), sheet.size)
holds("reading told", "right-reading" in sheet.info["Description"], sheet.info)
red = numpy.asarray(sheet)[..., :][numpy.asarray(sheet)[..., 3] == 255]
share = numpy.mean(numpy.all(red[:, :3] == (0xB0, 0x1C, 0x2E), axis=1))
holds("full pixels have the art's colour", share > 0.97, share)

# Reversed once: flipped it is the right-reading one.
right, reversed_ = png("right.png", "RGBA"), png("reversed.png", "RGBA")
holds("reading told", "reversed" in reversed_.info["Description"], reversed_.info)
box = right.getchannel("A").getbbox()
same = numpy.asarray(right.crop(box), dtype=int)[..., 3]
flipped = numpy.asarray(ImageOps.mirror(reversed_.crop(reversed_.getchannel("A").getbbox())), dtype=int)[..., 3]
holds("reversed shape", same.shape == flipped.shape, same.shape, flipped.shape)
holds("reversed, flipped, is the original", numpy.mean(abs(same - flipped) > 64) < 0.002)
holds("reversed is not the original", numpy.mean(abs(same - flipped[:, ::-1]) > 64) > 0.1)

# The white layer lies inside the ink.
white = numpy.asarray(png("white.png", "LA"))
ink = numpy.asarray(sheet)[..., 3]
holds("white under ink only", not numpy.any((white[..., 1] > 0) & (ink < 128)))
holds("white holds back", 0.9 < numpy.sum(white[..., 1] > 0) / numpy.sum(ink >= 128) < 0.99)

# The PDF of the same sheet: size, boxes, and the same picture.
for name, spots in [("sheet.pdf", set()), ("layers.pdf", {"Film white", "Knife line"}), ("screened.pdf", {"Film white", "Knife line"})]:
    document = pikepdf.open(folder / name)
    holds(f"{name} syntax", not document.check_pdf_syntax(), document.check_pdf_syntax())
    holds(f"{name} pages", len(document.pages) == 1, len(document.pages))
    page = document.pages[0]
    for box in [page.mediabox, page.cropbox, page.trimbox]:
        w, h = (float(box[2]) - float(box[0])) * MM, (float(box[3]) - float(box[1])) * MM
        holds(f"{name} box", abs(w - expected["width_mm"]) < 0.01 and abs(h - expected["length_mm"]) < 0.01, w, h)
    holds(f"{name} separations", separations(document) == spots, separations(document))
    if name == "sheet.pdf":
        pictures = [o for o in document.objects if isinstance(o, pikepdf.Stream) and o.get("/Subtype") == "/Image" and "/SMask" in o]
        holds("drawings stay drawings: one picture for two copies of the pixel art", len(pictures) == 1, len(pictures))
    drawn = pypdfium2.PdfDocument(folder / name)[0].render(scale=300 / 72).to_pil().convert("RGB")
    drawn = numpy.asarray(drawn.crop((0, 0, *sheet.size)), dtype=float)
    off = abs(drawn - on_paper(sheet)).max(axis=2)
    limit = {"sheet.pdf": 0.006, "layers.pdf": 0.02, "screened.pdf": 0.02}[name]
    holds(f"{name} agrees with the PNG", numpy.mean(off > 80) < limit, numpy.mean(off > 80))

# White and cut line leave the colours below them as they are: multiplied with them.
document = pikepdf.open(folder / "layers.pdf")
states = [o for o in document.objects if isinstance(o, pikepdf.Dictionary) and o.get("/BM") == pikepdf.Name("/Multiply")]
holds("layers multiply", len(states) == 1 and "/OP" not in states[0], states)
if shutil.which("gs"):
    # Plates by a page interpreter that separates: white stands in its own under the whole art, and
    # takes nothing away from the others (a knocked-out layer would leave one of them empty there).
    with tempfile.TemporaryDirectory() as plates:
        for name in ["sheet", "layers"]:
            out = pathlib.Path(plates) / f"{name}.tif"
            subprocess.run(["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-sDEVICE=tiffsep", "-r150", "-o", out, folder / f"{name}.pdf"], check=True)
        plate = lambda name, ink: numpy.asarray(Image.open(pathlib.Path(plates) / f"{name}({ink}).tif").convert("L"), dtype=int)
        # Labels keep off the cut line and so stand elsewhere; under white there is art alone.
        under = plate("layers", "Film white") < 128
        for ink in ["Cyan", "Magenta", "Yellow", "Black"]:
            off = numpy.mean((abs(plate("sheet", ink) - plate("layers", ink)) > 16)[under])
            holds(f"{ink} under white is the same as without white", off < 0.001, off)
        art, white = plate("layers", "Magenta") < 128, plate("layers", "Film white") < 128
        holds("white stands under the colours", 0.85 < numpy.mean(white & art) / numpy.mean(art) < 1, numpy.mean(white & art), numpy.mean(art))
        holds("white stands under nothing else", numpy.mean(white & ~art) < 0.001)
        holds("the cut line has its plate", numpy.mean(plate("layers", "Knife line") < 128) > 0.001)
else:
    print("no page interpreter that separates: plates not looked at")

holds("white apart", separations(pikepdf.open(folder / "white.pdf")) == {"Film white"})

# Longer than 200 in: numbered pages.
document = pikepdf.open(folder / "long.pdf")
holds("long pages", len(document.pages) == 2, len(document.pages))
for page in document.pages:
    holds("page within 14,400 points", float(page.mediabox[3]) <= 14_400.01, page.mediabox)
    holds("page width", abs(float(page.mediabox[2]) * MM - 120) < 0.01, page.mediabox)
holds("page labels", [document.pages[at].label for at in (0, 1)] == ["1", "2"], [p.label for p in document.pages])

# DXF, by an auditing library.
drawing = ezdxf.readfile(folder / "cut.dxf")
audit = drawing.audit()
holds("DXF audit", not audit.errors, audit.errors)
lines = list(drawing.modelspace().query("POLYLINE"))
holds("DXF paths", len(lines) == expected["paths"], len(lines))
points = [v.dxf.location for line in lines for v in line.vertices]
for axis, at in [("x", 0), ("y", 1)]:
    low, high = min(getattr(p, axis) for p in points), max(getattr(p, axis) for p in points)
    holds(f"DXF extent {axis}", abs(low - expected["cut_min"][at]) < 0.001 and abs(high - expected["cut_max"][at]) < 0.001, low, high)
holds("DXF layers", {line.dxf.layer for line in lines} == {"CUT", "WEED", "MARKS"}, {line.dxf.layer for line in lines})

# HP-GL: a reader of the few commands, 40 units to the millimetre.
pen, here, cut = False, (0, 0), []
for command in re.findall(r"([A-Z]{2})([^;A-Z]*);", (folder / "cut.hpgl").read_text()):
    name, numbers = command[0], [int(n) for n in command[1].replace("\n", "").split(",") if n.strip()]
    pen = {"PD": True, "PU": False}.get(name, pen)
    for at in range(0, len(numbers) - 1, 2) if name in ("PD", "PU", "PA") else []:
        there = (numbers[at], numbers[at + 1])
        if pen:
            cut += [here, there]
        here = there
for axis in (0, 1):
    low, high = min(p[axis] for p in cut), max(p[axis] for p in cut)
    holds("HP-GL extent", abs(low - 40 * expected["cut_min"][axis]) <= 1 and abs(high - 40 * expected["cut_max"][axis]) <= 1, low, high)

print(f"sheets: {passed} passed, 0 failed")
