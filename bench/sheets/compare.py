"""Composes the same sheet with Bondline and with a general-purpose imaging library.

Usage: compare.py COMPOSE_PROGRAM [LENGTH_PX] — needs pyvips, numpy and Pillow. The
program is `cargo build --release -p sheets --example compose`. Each run is a process of
its own, the two taking turns three times; wall time and peak memory are the kernel's (wait4), the
middle of the three. The load of the machine is said, since wall time hangs on it. Exits with 1
when Bondline takes longer, or more memory with each one's source art apart.
"""
import os
import pathlib
import sys
import tempfile
import time

SIDE, CELL, PIECE = 6600, 1650, 1500


def draw_art(folder):
    import numpy
    from PIL import Image

    paths = []
    y, x = numpy.mgrid[0:1800, 0:1800]
    for at in range(8):
        r = numpy.hypot(x - 899.5, y - 899.5)
        angle = numpy.arctan2(y - 899.5, x - 899.5)
        edge = 780 + 110 * numpy.sin((5 + at) * angle)
        alpha = numpy.clip(edge - r + 0.5, 0, 1) * 255
        alpha[(r < 200)] = 0
        alpha[899:901, :] = numpy.maximum(alpha[899:901, :], 255)
        alpha[:, 899:901] = numpy.maximum(alpha[:, 899:901], 255)
        shade = [128 + 120 * numpy.sin(x / (20 + 9 * at) + at), 128 + 120 * numpy.cos(y / (30 + 7 * at) + at)]
        flat = numpy.where((x // 150 + y // 150) % 2, 40 + 20 * at, 200)
        picture = numpy.stack([shade[0] if at % 2 else flat, shade[1] if at % 2 else flat * 0.5, flat, alpha], axis=2)
        path = folder / f"art{at}.png"
        Image.fromarray(picture.astype(numpy.uint8), "RGBA").save(path)
        paths.append(str(path))
    return paths


def by_library(length, count, out, paths):
    import pyvips

    sheet = pyvips.Image.black(SIDE, length, bands=4).copy(interpretation="srgb")
    rows = -(-count // 4)
    # Every design is brought to size once and kept: its fastest way to set copies down in any turn.
    small = [pyvips.Image.thumbnail(path, PIECE, height=PIECE, linear=True).copy_memory() for path in paths]
    for at in range(count):
        art = small[at % len(paths)]
        art = [art.rot90, lambda a=art: a, art.rot270, art.rot180][at % 4]()
        top = round((at // 4 + 0.5) * length / rows - art.height / 2)
        left = round((at % 4 + 0.5) * CELL - art.width / 2)
        sheet = sheet.insert(art, left, top)
    sheet.copy(xres=300 / 25.4, yres=300 / 25.4).pngsave(out, compression=2, filter="up")


def measured(run):
    started = time.perf_counter()
    child = os.fork()
    if child == 0:
        run()
        os._exit(0)
    _, status, use = os.wait4(child, 0)
    if status:
        sys.exit(f"a run ended with {status}")
    return time.perf_counter() - started, use.ru_utime + use.ru_stime, use.ru_maxrss / 1024


def main():
    program, length = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 36_000
    folder = pathlib.Path(tempfile.mkdtemp())
    child = os.fork()
    if child == 0:
        draw_art(folder)
        os._exit(0)
    os.waitpid(child, 0)
    paths = [str(folder / f"art{at}.png") for at in range(8)]
    count = 60 * length // 36_000
    ours, theirs = folder / "ours.png", folder / "theirs.png"
    runs = {"Bondline": [], "pyvips": []}
    print(f"Load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    for _ in range(3):
        compose = [program, str(length), str(count), str(ours), *paths]
        runs["Bondline"].append(measured(lambda: os.execv(program, compose)))
        runs["pyvips"].append(measured(lambda: by_library(length, count, str(theirs), paths)))
    middle = {name: [sorted(of)[1] for of in zip(*all_runs)] for name, all_runs in runs.items()}
    # Designs held while composing: as decoded, and brought to size.
    source = {"Bondline": 8 * 1800 * 1800 * 4 / 2**20, "pyvips": 8 * PIECE * PIECE * 4 / 2**20}
    print(f"| {SIDE:,} × {length:,} px, {count} pieces | wall s | CPU s | peak MB | without source art | file MB |")
    print("|---|---|---|---|---|---|")
    for (name, (wall, cpu, peak)), path in zip(middle.items(), [ours, theirs]):
        apart = peak - source[name]
        print(f"| {name} | {wall:.1f} | {cpu:.1f} | {peak:.0f} | {apart:.0f} | {path.stat().st_size / 1e6:.1f} |")
    slower = middle["Bondline"][0] > middle["pyvips"][0]
    larger = middle["Bondline"][2] - source["Bondline"] > middle["pyvips"][2] - source["pyvips"]
    sys.exit(1 if slower or larger else 0)


main()
