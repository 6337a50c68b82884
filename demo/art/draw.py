"""Draws the demo's art. Invented; made for this project.

Run `python3 draw.py` in this folder: the same files come out every time. Only
the standard library is used. Coordinates are millimetres unless said otherwise.
"""

import math
import struct
import zlib


def num(value):
    return f"{value:.2f}".rstrip("0").rstrip(".")


def path(points, closed=True):
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + ("Z" if closed else "")


def svg(name, width, height, body):
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{num(width)}mm" height="{num(height)}mm" '
        f'viewBox="0 0 {num(width)} {num(height)}">\n{body}\n</svg>\n'
    )
    with open(name, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)


def inset(triangle, by):
    """A triangle (either way round) with every side moved inwards."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(triangle, triangle[1:] + triangle[:1]))
    points = triangle if area > 0 else triangle[::-1]
    lines = []
    for a, b in zip(points, points[1:] + points[:1]):
        dx, dy = b[0] - a[0], b[1] - a[1]
        length = math.hypot(dx, dy)
        normal = (-dy / length * by, dx / length * by)
        lines.append(((a[0] + normal[0], a[1] + normal[1]), (dx, dy)))
    corners = []
    for (p, d), (q, e) in zip(lines[-1:] + lines[:-1], lines):
        t = ((q[0] - p[0]) * e[1] - (q[1] - p[1]) * e[0]) / (d[0] * e[1] - d[1] * e[0])
        corners.append((p[0] + d[0] * t, p[1] + d[1] * t))
    return corners


def kite_panels(nose, tail, spread, gap):
    """Four panels of a kite whose spar runs from nose to tail."""
    dx, dy = tail[0] - nose[0], tail[1] - nose[1]
    length = math.hypot(dx, dy)
    centre = (nose[0] + dx * 0.36, nose[1] + dy * 0.36)
    side = (-dy / length * spread, dx / length * spread)
    left = (centre[0] + side[0], centre[1] + side[1])
    right = (centre[0] - side[0], centre[1] - side[1])
    panels = [[nose, right, centre], [right, tail, centre], [tail, left, centre], [left, nose, centre]]
    return [inset(panel, gap / 2) for panel in panels]


def bow(x, y, turn, size):
    c, s = math.cos(turn), math.sin(turn)
    place = lambda u, v: (x + c * u - s * v, y + s * u + c * v)
    return path([place(0, 0), place(size, -size * 0.62), place(size, size * 0.62)]) + path(
        [place(0, 0), place(-size, size * 0.62), place(-size, -size * 0.62)]
    )


def kite():
    colour = "#F2B705"
    panels = kite_panels((8, 8), (98, 82), 36, 2.4)
    body = "".join(path(panel) for panel in panels)
    curves = [
        ((97, 81), (106, 92), (112, 97), (120, 94)),
        ((120, 94), (128, 91), (136, 76), (148, 83)),
        ((148, 83), (160, 90), (160, 98), (174, 94)),
    ]
    tail = "M97 81" + "".join("C" + " ".join(f"{num(x)} {num(y)}" for x, y in curve[1:]) for curve in curves)
    bows = ""
    for curve, at in zip(curves, (11, 8, 8)):
        samples = bezier(*curve)
        (x, y), (nx, ny) = samples[at], samples[at + 1]
        # Across the tail: a quarter turn from the way it runs.
        bows += bow(x, y, math.atan2(ny - y, nx - x) + math.pi / 2, 9)
    svg(
        "kite.svg", 180, 112,
        f'<path fill="{colour}" d="{body}"/>\n'
        f'<path fill="none" stroke="{colour}" stroke-width="2.8" stroke-linecap="round" d="{tail}"/>\n'
        f'<path fill="{colour}" d="{bows}"/>',
    )


def river():
    """A round emblem: kites over a river, with fine lines."""
    parts = [
        '<clipPath id="disc"><circle cx="45" cy="45" r="39"/></clipPath>',
        '<circle cx="45" cy="45" r="44" fill="#F4ECD8"/>',
        '<circle cx="45" cy="45" r="42.2" fill="none" stroke="#1F4E8C" stroke-width="0.6"/>',
        '<g clip-path="url(#disc)">',
        '<rect x="5" y="5" width="80" height="52" fill="#CFE5EE"/>',
        '<path d="M0 50C14 44 24 47 36 44S62 38 90 46V60H0Z" fill="#6D9A4A"/>',
        '<path d="M0 56C16 51 30 55 46 53S74 49 90 54V95H0Z" fill="#1F4E8C"/>',
        '<path d="M0 66C16 61 30 66 46 63S74 60 90 65V95H0Z" fill="#2F79A8"/>',
    ]
    for row in range(7):
        y = 57.5 + row * 3.6
        wave = "".join(f"q2.4 -1.6 4.8 0t4.8 0" for _ in range(10))
        parts.append(
            f'<path d="M{num(-6 + 2.1 * (row % 3))} {num(y)}{wave}" fill="none" stroke="#F4ECD8" stroke-width="0.6"/>'
        )
    parts.append("</g>")
    for nose, tail, spread, colours, string in [
        ((22, 12), (35, 32), 8, ("#C4252B", "#E4572E"), "M35 32C39 40 33 46 40 52"),
        ((58, 10), (50, 27), 6.5, ("#F2B705", "#E08E0B"), "M50 27C46 35 52 42 47 52"),
        ((74, 22), (65, 36), 5, ("#8E3B74", "#B3578F"), "M65 36C61 42 63 46 56 51"),
    ]:
        panels = kite_panels(nose, tail, spread, 0.0001)
        for at, panel in enumerate(panels):
            parts.append(f'<path d="{path(panel)}" fill="{colours[at % 2]}"/>')
        parts.append(f'<path d="{string}" fill="none" stroke="#23262D" stroke-width="0.6"/>')
    svg("river.svg", 90, 90, "\n".join(parts))


def ring():
    ticks = []
    for quarter in range(4):
        turn = quarter * math.pi / 2 + math.pi / 4
        x, y = 40 + 37.4 * math.cos(turn), 40 + 37.4 * math.sin(turn)
        ticks.append(path([(x, y - 2.5), (x + 2.5, y), (x, y + 2.5), (x - 2.5, y)]))
    circle = lambda r, way: f"M{num(40 + r)} 40A{r} {r} 0 1 {way} {num(40 - r)} 40A{r} {r} 0 1 {way} {num(40 + r)} 40Z"
    svg(
        "ring.svg", 80, 80,
        f'<path fill="#B9BCC0" fill-rule="evenodd" d="{circle(32.5, 1)}{circle(25, 0)}"/>\n'
        f'<path fill="#B9BCC0" d="{"".join(ticks)}"/>',
    )


def sunset():
    rays = []
    for at in range(13):
        turn = math.pi * (at + 0.5) / 13
        a, b = turn - 0.055, turn + 0.055
        point = lambda r, t: (90 - r * math.cos(t), 82 - r * math.sin(t))
        rays.append(path([point(50, a), point(78, a), point(78, b), point(50, b)]))
    waves = "".join(
        f'<path d="M{num(20 + row * 9)} {num(91 + row * 9)}H{num(160 - row * 9)}" stroke="url(#water)" '
        f'stroke-width="5.5" stroke-linecap="round"/>\n'
        for row in range(5)
    )
    svg(
        "sunset.svg", 180, 136,
        '<defs>\n<linearGradient id="sun" x1="0" y1="0" x2="0" y2="1"><stop offset="0" stop-color="#FFD24A"/>'
        '<stop offset="0.55" stop-color="#F4762B"/><stop offset="1" stop-color="#B3245B"/></linearGradient>\n'
        '<radialGradient id="ray" gradientUnits="userSpaceOnUse" cx="90" cy="82" r="80">'
        '<stop offset="0.6" stop-color="#F4762B"/><stop offset="1" stop-color="#FFD98A"/></radialGradient>\n'
        '<linearGradient id="water" gradientUnits="userSpaceOnUse" x1="20" y1="0" x2="160" y2="0">'
        '<stop offset="0" stop-color="#3E2F84"/><stop offset="0.5" stop-color="#E0567C"/>'
        '<stop offset="1" stop-color="#3E2F84"/></linearGradient>\n</defs>\n'
        '<path d="M44 82A46 46 0 0 1 136 82Z" fill="url(#sun)"/>\n'
        f'<path d="{"".join(rays)}" fill="url(#ray)"/>\n{waves.rstrip()}',
    )


class Letters:
    """Serif capitals as outlines; 50 high, every piece wound the same way."""

    def __init__(self):
        self.parts = []

    def piece(self, points):
        area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1]))
        self.parts.append(path(points if area > 0 else points[::-1]))

    def hole(self, points):
        area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1]))
        self.parts.append(path(points if area < 0 else points[::-1]))

    def serif(self, x, y, left, right, up, rise=3.2):
        """A slab at the end of a stem of [left, right] about x, its brackets rising so far."""
        way = -1 if up else 1
        thick, reach = 2.2, 4.2
        pts = [(x + left - reach, y), (x + right + reach, y), (x + right + reach, y - way * thick)]
        pts += [(x + right + reach * (1 - t) ** 2, y - way * (thick + rise * t * t)) for t in (0.25, 0.5, 0.75, 1)]
        pts += [(x + left - reach * (1 - t) ** 2, y - way * (thick + rise * t * t)) for t in (1, 0.75, 0.5, 0.25)]
        pts += [(x + left - reach, y - way * thick)]
        self.piece(pts)

    def stem(self, x, top, bottom, width):
        self.piece([(x, top), (x + width, top), (x + width, bottom), (x, bottom)])

    def slant(self, x1, y1, x2, y2, width):
        self.piece([(x1, y1), (x1 + width, y1), (x2 + width, y2), (x2, y2)])

    def m(self, x):
        self.stem(x + 5, 0, 50, 2.6)
        self.stem(x + 41, 0, 50, 7)
        self.slant(x + 5, 0, x + 22.5, 50, 7.4)
        self.slant(x + 44, 0, x + 24.4, 50, 3)
        self.serif(x + 5, 50, 0, 2.6, False)
        self.serif(x + 41, 50, 0, 7, False)
        self.piece([(x, 0), (x + 12.4, 0), (x + 12.4, 2.2), (x, 2.2)])
        self.piece([(x + 41, 0), (x + 52, 0), (x + 52, 2.2), (x + 41, 2.2)])
        return 54

    def a(self, x):
        self.slant(x + 20.5, 0, x + 5, 50, 2.8)
        self.slant(x + 19, 0, x + 33, 50, 7.4)
        self.stem_h(x + 11, x + 32, 31, 2.6)
        self.serif(x + 5, 50, 0, 2.8, False, 0)
        self.serif(x + 33, 50, 0, 7.4, False, 0)
        return 46

    def stem_h(self, left, right, y, width):
        self.piece([(left, y), (right, y), (right, y + width), (left, y + width)])

    def r(self, x):
        self.stem(x + 4.5, 0, 50, 7)
        self.serif(x + 4.5, 0, 0, 7, True)
        self.serif(x + 4.5, 50, 0, 7, False)
        arc = lambda cx, cy, rx, ry: [
            (cx + rx * math.sin(math.pi * t / 24), cy - ry * math.cos(math.pi * t / 24)) for t in range(25)
        ]
        outer = [(x + 11, 0)] + arc(x + 20, 13.2, 14.5, 13.2) + [(x + 11, 26.4)]
        inner = [(x + 11.5, 2.4)] + arc(x + 19.5, 13.2, 7.8, 10.8) + [(x + 11.5, 24)]
        self.piece(outer)
        self.hole(inner)
        self.piece([(x + 17, 25.4), (x + 24.5, 24.6), (x + 38.2, 46.2), (x + 42.5, 47.8), (x + 42.5, 50), (x + 33, 50)])
        return 45

    def h(self, x):
        for at in (4.5, 33):
            self.stem(x + at, 0, 50, 7)
            self.serif(x + at, 0, 0, 7, True)
            self.serif(x + at, 50, 0, 7, False)
        self.stem_h(x + 11, x + 34, 23.4, 2.6)
        return 46

    def l(self, x):
        self.stem(x + 4.5, 0, 50, 7)
        self.serif(x + 4.5, 0, 0, 7, True)
        self.serif(x + 4.5, 50, 0, 7, False)
        self.stem_h(x + 4.5, x + 36, 47.8, 2.2)
        self.piece([(x + 36, 50), (x + 36, 35), (x + 33.6, 35), (x + 31.8, 41), (x + 28, 46), (x + 22, 48.2), (x + 22, 50)])
        return 38

    def s(self, x):
        """A spine of changing weight along two bows."""
        spine = bezier((27.5, 10), (24, 2.8), (19.5, 1.4), (15, 1.4)) + bezier((15, 1.4), (8.4, 1.4), (6.2, 6.6), (6.2, 11.4))
        spine += bezier((6.2, 11.4), (6.2, 19.5), (13, 22), (17, 24.4)) + bezier((17, 24.4), (23, 28), (28, 31), (28, 38))
        spine += bezier((28, 38), (28, 44.5), (23.4, 48.6), (16.6, 48.6)) + bezier((16.6, 48.6), (11, 48.6), (6.5, 46.4), (3.8, 39))
        count = len(spine) - 1
        left, right = [], []
        for at, (px, py) in enumerate(spine):
            qx, qy = spine[min(at + 1, count)]
            ox, oy = spine[max(at - 1, 0)]
            dx, dy = qx - ox, qy - oy
            length = math.hypot(dx, dy) or 1
            # Heaviest on the middle diagonal, lightest at both bows' crests.
            along = at / count
            half = 1.3 + 2.9 * math.exp(-(((along - 0.5) / 0.16) ** 2)) + 0.9 * math.exp(-(((abs(along - 0.5) - 0.27) / 0.07) ** 2))
            left.append((x + px - dy / length * half, py + dx / length * half))
            right.append((x + px + dy / length * half, py - dx / length * half))
        self.piece(left + right[::-1])
        self.piece([(x + 29, 0.4), (x + 29, 14.6), (x + 26.8, 14.6), (x + 24, 8), (x + 26.8, 0.4)])
        self.piece([(x + 2.6, 35), (x + 4.8, 35), (x + 7.4, 42), (x + 4.8, 49.6), (x + 2.6, 49.6)])
        return 36


def bezier(a, b, c, d, steps=14):
    out = []
    for at in range(steps):
        t = at / steps
        u = 1 - t
        out.append(
            tuple(u**3 * a[k] + 3 * u * u * t * b[k] + 3 * u * t * t * c[k] + t**3 * d[k] for k in (0, 1))
        )
    return out


def marshal():
    letters, x = Letters(), 2.0
    for letter in "marshal":
        x += getattr(letters, letter)(x) + 4
    svg("marshal.svg", x - 2, 50, f'<path fill="#F5F4F0" d="{"".join(letters.parts)}"/>')


class Dice:
    """A fixed sequence of numbers from 0 to 1 (multiplier of Park and Miller, 1988)."""

    def __init__(self, seed):
        self.state = seed

    def __call__(self, low=0.0, high=1.0):
        self.state = self.state * 48271 % 2147483647
        return low + (high - low) * self.state / 2147483647


def blob(x, y, radius, rough, dice, lobes):
    points = []
    for at in range(lobes):
        turn = 2 * math.pi * at / lobes
        reach = radius * (1 + rough * dice(-1, 1))
        points.append((x + reach * math.cos(turn), y + reach * math.sin(turn)))
    text = f"M{num(points[0][0])} {num(points[0][1])}"
    for at in range(lobes):
        p0, p1, p2, p3 = (points[(at + k) % lobes] for k in (-1, 0, 1, 2))
        c1 = (p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6)
        c2 = (p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6)
        text += f"C{num(c1[0])} {num(c1[1])} {num(c2[0])} {num(c2[1])} {num(p2[0])} {num(p2[1])}"
    return text + "Z"


def splash():
    dice = Dice(20261218)
    parts, placed = [], []
    for x, y, radius, rough in [(62, 55, 26, 0.22), (112, 48, 19, 0.26), (136, 72, 10, 0.2), (34, 80, 9, 0.22)]:
        parts.append(blob(x, y, radius, rough, dice, 15))
        placed.append((x, y, radius * (1 + rough) + 0.8))
    while len(placed) < 190:
        turn, far = dice(0, 2 * math.pi), dice() ** 0.6
        x, y = 88 + 86 * far * math.cos(turn), 56 + 52 * far * math.sin(turn)
        radius = 0.2 + 3.1 * dice() ** 3.2
        inside = radius + 0.5 < x < 179.5 - radius and radius + 0.5 < y < 111.5 - radius
        if inside and all(math.hypot(x - a, y - b) > radius + r + 0.5 for a, b, r in placed):
            parts.append(blob(x, y, radius, 0.12, dice, 7))
            placed.append((x, y, radius * 1.12))
    svg("splash.svg", 180, 112, f'<path fill="#17406E" d="{"".join(parts)}"/>')


def png(name, width, height, rows, channels):
    """8 bits a channel, each row filtered by the one above."""
    packed, above = bytearray(), bytes(width * channels)
    for row in rows:
        packed.append(2)
        packed += bytes((a - b) & 255 for a, b in zip(row, above))
        above = row
    chunk = lambda kind, data: struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    head = struct.pack(">IIBBBBB", width, height, 8, {3: 2, 4: 6}[channels], 0, 0, 0)
    with open(name, "wb") as file:
        file.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(packed), 9)) + chunk(b"IEND", b""))


def smooth(low, high, value):
    t = min(max((value - low) / (high - low), 0.0), 1.0)
    return t * t * (3 - 2 * t)


def clouds():
    """Two clouds with soft, part-transparent edges; pixels."""
    width, height = 2400, 1320
    puffs = [
        (560, 640, 330), (860, 480, 360), (1190, 600, 350), (1010, 760, 330), (700, 800, 300), (380, 800, 230), (1340, 800, 240),
        (1760, 400, 200), (1950, 330, 210), (2120, 420, 190), (1940, 480, 210),
    ]
    rows = []
    for y in range(height):
        row = bytearray()
        near = [(px, py, r) for px, py, r in puffs if abs(y - py) < r]
        for x in range(width):
            field = 0.0
            for px, py, r in near:
                d = ((x - px) ** 2 + (y - py) ** 2) / (r * r)
                if d < 1:
                    field += (1 - d) ** 2
            if field <= 0.04:
                row += b"\0\0\0\0"
                continue
            alpha = smooth(0.04, 0.34, field)
            lift = smooth(0.0, 1.3, field) * 0.55 + 0.45 * (1 - y / height)
            shade = (int(172 + 80 * lift), int(196 + 57 * lift), int(224 + 27 * lift))
            row += bytes((*shade, int(255 * alpha + 0.5)))
        rows.append(bytes(row))
    png("clouds.png", width, height, rows, 4)


def inside_distance(triangle, x, y):
    """Least distance to a side, positive inside; the triangle runs counter-clockwise in pixels."""
    best = 1e9
    for (ax, ay), (bx, by) in zip(triangle, triangle[1:] + triangle[:1]):
        dx, dy = bx - ax, by - ay
        best = min(best, ((y - ay) * dx - (x - ax) * dy) / math.hypot(dx, dy))
    return best


def club():
    """A roundel on a white box, as customers send it; pixels, no transparency."""
    width, height = 2000, 1500
    cx, cy = 1000, 750
    panels = kite_panels((790, 330), (1150, 900), 260, 26)
    colours = [(196, 37, 43), (242, 183, 5), (196, 37, 43), (242, 183, 5)]
    white, blue, pale = (255, 255, 255), (31, 78, 140), (207, 229, 238)
    mix = lambda a, b, t: tuple(p + (q - p) * t for p, q in zip(a, b))
    rows = []
    for y in range(height):
        row = bytearray()
        for x in range(width):
            far = math.hypot(x - cx, y - cy)
            if far > 652:
                row += b"\xff\xff\xff"
                continue
            colour = mix(white, blue, smooth(651, 649, far) if far > 649 else 1.0)
            inner = min(max(561.0 - far, 0.0), 1.0)
            if inner > 0:
                ground = pale
                wave = 1010 + 26 * math.sin(x / 74.0)
                for offset in (0, 96, 192):
                    band = min(max(27.0 - abs(y - wave - offset), 0.0), 1.0)
                    ground = mix(ground, blue, band)
                for panel, paint in zip(panels, colours):
                    if abs(x - 970) < 330 and 300 < y < 930:
                        cover = min(max(inside_distance(panel, x, y) + 0.5, 0.0), 1.0)
                        ground = mix(ground, paint, cover)
                colour = mix(colour, ground, inner)
            row += bytes(int(c + 0.5) for c in colour)
        rows.append(bytes(row))
    png("club.png", width, height, rows, 3)


if __name__ == "__main__":
    for drawing in (kite, river, ring, sunset, marshal, splash, clouds, club):
        drawing()
