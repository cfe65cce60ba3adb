"""Draws the demo design, a harbour at dusk, and writes tidewait.toml beside this script."""
from math import cos, exp, floor, hypot, pi, sin
from pathlib import Path

# code, colour, kit, name. Kit: 2 = put-ups, 6x1.0 = six lengths of 1.0 m, 3.2m = one piece,
# - = left out; + adds up, * = from another dye lot
SHADES = """
dusk-a   1b2150  3        before the stars
dusk-b   2b3170  2        bell blue
dusk-c   45458c  2        swift's back
dusk-d   67559c  1        loosestrife
dusk-e   92659f  1        far rain
dusk-f   c07598  1+1*     clover hay
dusk-g   e38d84  1        shrimp boat
dusk-h   f4b078  3x1.0    apricot
dusk-i   fbd48c  2x1.0    last of the sun
ebb-a    0e182c  1        under the keel
ebb-b    182a45  2        mussel
ebb-c    284060  2        slack water
ebb-d    465b7d  10x1.0   wet slate
ebb-e    78708e  1        turning tide
ebb-f    b48690  4x1.0    sky in a puddle
ebb-g    e2a987  2x1.0    copper ripple
fell-a   756394  2x1.0    a day's walk off
fell-b   57507f  1        heather in shade
fell-c   3d4069  6x1.0    peat smoke
fell-d   2a3250  5x1.0    sheepfold
moss-a   1f2f33  2x1.0    yew
moss-b   33493f  -        ivy
moss-c   566a4c  2x1.0    samphire
wall-a   352e40  7x1.0    damp corner
wall-b   50434f  2        mortar
wall-c   715d63  6x1.0    limpet
wall-d   987d74  1        warm stone
wall-e   c6a486  3x1.0    evening side
slate-a  1d2236  2        rain gutter
slate-b  2d3550  1        pigeon
slate-c  44506d  1        blue slate
glow-a   bd6528  2x1.0    banked fire
glow-b   ec9d36  1        lamp oil
glow-c   fbcb5c  4x1.0    lit window
glow-d   fff0b4  3.2m     wick
quay-a   24242e  5x1.0    weedy step
quay-b   3e3d48  1        bollard
quay-c   635f63  1        worn kerb
tar-a    15161d  1        pitch
tar-b    551f2d  2x1.0    old red
tar-c    8c3838  2x1.0    boot-top
sail-a   6e4236  3x1.0    spar
sail-b   a4634a  2        tanned cloth
sail-c   cf9567  1        sunlit cloth
fur-a    8a4520  1x1.0    marmalade
fur-b    d1803c  2x1.0    crust
chalk-a  f7f0de  1x1.0    clock face
chalk-b  dccfb6  2x1.0    old paint
chalk-c  ad9c8c  3x1.0    gull grey
foil-m   e8e4c0  4x0.7    moon foil
foil-s   cfd8ff  1        star foil
rope-h   b09a70  1        hemp
rope-t   5c4a3a  3.0m     tarred hemp
"""
BEADS = {"bulb": ("festoon bulb", 1.8, 32, 1), "spark": ("early star", 1.5, 36, 1)}     # name, mm, pieces, packets
SHADES = {f[0]: f[1:] for f in (line.split(None, 3) for line in SHADES.strip().splitlines())}
THREAD_LINES = [
    dict(line="Tidewait Stranded", strands=6, tex=40, fibre="cotton", packing=0.6, put_up=dict(kind="skein", length_m=8.0)),
    dict(line="Tidewait Foil", strands=1, tex=28, fibre="polyester", strand_width_mm=0.26, metallic=True,
         put_up=dict(kind="spool", length_m=20.0)),
    dict(line="Tidewait Hawser", strands=1, tex=90, fibre="cotton", put_up=dict(kind="ball", length_m=12.0),
         habits=dict(needleful_mm=600)),
]
LINE_OF = {"foil": 1, "rope": 2}            # ramp: place in THREAD_LINES; all others 0
RAMPS = {}
for code in SHADES:
    RAMPS.setdefault(code[:-2], []).append(code)
BLENDED = ("dusk", "ebb", "fell", "moss", "wall", "glow", "quay")
POOL = iter("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
            "ΓΔΘΛΞΠΣΦΨΩαβγδεζηθλμξπστφψωБДЖИЛЦЧШЫЭЮЯ@#%&$?!")

W, H, SHORE, KEEL, WHARF = 220, 160, 100, 124, 124
CLOCK = (143, 46, 24)                       # column, row, side in cells over two
needles, legend = {}, {}                    # name: thread; (needle, stitch, more): symbol


def plain(code, strands=1):
    return ((code, strands),)


def use(thread, stitch="cross", symbol=None, **more):
    """The symbol of a legend entry; entry and needle are made at the first use."""
    name = " + ".join(code for code, _ in thread) + (f" x{thread[0][1]}" if len(thread) == 1 else "")
    needles[name] = thread
    key = (name, stitch, tuple(more.items()))
    if key not in legend:
        legend[key] = symbol or next(POOL)
    return legend[key]


def noise(x, y=0.0, seed=0):
    """Smooth value noise, 0..1."""
    def at(i, j):
        n = (i * 374761393 + j * 668265263 + seed * 2147483647) & 0xFFFFFFFF
        n = ((n ^ n >> 13) * 1274126177) & 0xFFFFFFFF
        return (n ^ n >> 16) / 0xFFFFFFFF
    i, j = floor(x), floor(y)
    u, v = x - i, y - j
    u, v = u * u * (3 - 2 * u), v * v * (3 - 2 * v)
    upper, lower = (at(i, k) * (1 - u) + at(i + 1, k) * u for k in (j, j + 1))
    return upper * (1 - v) + lower * v


def thread(ramp, value, x, y, strands=2, loose=0.75):
    """The needle for a place on a ramp of shades, dithered between neighbours."""
    shades = RAMPS[ramp]
    steps = 2 if strands == 2 and ramp in BLENDED else 1
    p = min(max(value, 0), len(shades) - 1) * steps
    order = (0, 8, 2, 10, 12, 4, 14, 6, 3, 11, 1, 9, 15, 7, 13, 5)[y % 4 * 4 + x % 4] / 15
    k = floor(p + 0.5 + (0.55 * order + 0.45 * noise(x, y, 7) - 0.5) * loose)
    k = min(max(k, 0), (len(shades) - 1) * steps)
    if k % steps:
        return (shades[k // 2], 1), (shades[k // 2 + 1], 1)
    return plain(shades[k // steps], 1 if ramp == "foil" else strands)


def ease(t):
    t = min(max(t, 0), 1)
    return t * t * (3 - 2 * t)


def sky(x, y):
    v = 8.6 * (y / SHORE) ** 1.25 + 1.5 * exp(-((x - 22) / 46) ** 2) * ease(y / 80)
    v += (noise(x / 34, y / 7, 1) + noise(x / 13, y / 3.5, 2) / 2 - 0.75) * 2.3 * ease(y / 30) - 1.4 * ease((x - 90) / 130)
    return v


def sheer(x):
    """The boat's upper edge."""
    t = (x - 70) / 27
    return 114 - 4 * t * t - t


def boat(x, y):
    t = (x - 70) / 27
    if abs(t) <= 1 and sheer(x) <= y + 0.5 <= KEEL - 8 * max(0, abs(t) - 0.7) / 0.3:
        up = y + 0.5 - sheer(x)
        return ("chalk", 1.4) if up < 1 else ("tar", 0) if up < 5 else ("tar", 1 + 0.9 * (1 - abs(t)) * (y > 119))
    if 52 <= x < 66 and 109 <= y < 114:
        return ("glow", 2.5) if x % 4 == 1 and y == 111 else ("sail", 0.3 + (y == 109))
    if (x in (72, 73) and 50 <= y < 114) or (x == 51 and 70 <= y < 112):
        return ("sail", 0 if x != 72 else 0.4)
    if 54 <= x < 72 and 62 + (72 - x) * 0.25 - 4 <= y < 106 - (72 - x) * 0.1 and x > 55 + (y - 62) * -0.04 + 3:
        return ("sail", 1.5 + 0.9 * sin((x - 54) / 3.1 + y / 17) - (y - 60) / 70)
    if 74 <= x < 96 and 58 + (x - 74) * 2.25 <= y < 108 - (x - 74) * 0.05:
        return ("sail", 1.9 + 0.7 * sin((x - 74) / 2.7 - y / 11) - (y - 58) / 90)
    if 40 <= x < 51 and 76 + (50 - x) * 1.1 <= y < 106:
        return ("sail", 1.2 + 0.8 * sin((x - 40) / 2.3 + y / 13) - (y - 76) / 70)


def window(x, y, x0, y0, w, h):
    """A lit window with bars and a frame."""
    i, j = x - x0, y - y0
    if -1 <= i <= w and -1 <= j <= h:
        if i in (-1, w) or j in (-1, h):
            return ("wall", 0.2 if j != h else 3)
        return ("glow", 0.8) if i == w // 2 or j == h // 2 else ("glow", 3.2 - 2.4 * hypot(i - w / 2 + 0.5, j - h / 2) / h)


def town(x, y):
    """Tower, houses, quay: a ramp and the place on it, or None."""
    if 21 <= y < 40 and -1 - (y - 21) <= x - 155 <= y - 21:
        return ("slate", 2.3 - (x - 136) / 19 + (-0.7 if y % 4 == 3 else 0) + noise(x / 2, y / 3, 3) * 0.6)
    if 138 <= x < 172 and 40 <= y < 112:
        lit = [window(x, y, x0, 76, 6, 10) for x0 in (144, 160)] + [window(x, y, x0, 94, 4, 6) for x0 in (142, 165)]
        if any(lit):
            return next(w for w in lit if w)
        if 151 <= x < 159 and y >= 97 + abs(x - 154.5) // 3:
            return ("tar", 1.6 - (x == 155)) if 152 <= x < 158 and y > 98 else ("wall", 0.4)
        joint = y % 4 == 0 or (x + y // 4 * 3) % 6 == 0
        band = 1.1 if y in (41, 72, 90) else -1.2 if y in (40, 43, 73, 91) else 0
        return ("wall", 4.1 - 3.1 * ((x - 138) / 34) ** 0.8 + band - 0.5 * joint + 1.3 * (noise(x / 5, y / 4, 4) - 0.5))
    if 176 <= x < 182 and 50 <= y < 60:
        return ("wall", 1.6 - (x - 176) / 6 + (y < 52))
    if 172 <= x and 58 <= y < 76:
        return ("slate", 1.9 - (y - 58) / 16 - 0.9 * (y % 3 == 2) + noise(x / 2, y, 5) * 0.8)
    if 172 <= x and 76 <= y < 112:
        lit = [window(x, y, x0, y0, 5, 7) for x0 in (177, 190, 203) for y0 in (81, 97)]
        return next((w for w in lit if w), ("wall", 1.9 + 1.1 * (noise(x / 6, y / 3, 6) - 0.5) - (x - 172) / 40 - (y < 78)))
    if 73 <= y < 88 and abs(x - 124.5) < y - 72:
        return ("slate", 1.7 - 0.8 * (y % 3 == 1) - (x > 124) + noise(x / 2, y, 8) * 0.7)
    if 112 <= x < 138 and 88 <= y < 112:
        lit = [window(x, y, x0, 93, 4, 6) for x0 in (115, 130)] + [window(x, y, 122, 101, 5, 10)]
        return next((w for w in lit if w), ("wall", 3.6 - (x - 112) / 13 + noise(x / 4, y / 3, 9) - 0.4))
    if x >= 106 and 112 <= y < WHARF:
        joint = y % 4 == 3 or (x + y // 4 * 5) % 9 == 0
        return ("quay", 2 if y < 114 else 1.7 - (y - 112) / 9 - 0.6 * joint + noise(x / 4, y / 2, 10) * 0.8)


def land(x, y):
    ridge = 97 - 26 * ease((x - 84) / 46) + 5 * noise(x / 6, 0, 11) + 8 * noise(x / 19, 0, 12)
    if x > 84 and ridge <= y < SHORE + 14 * ease((x - 88) / 16) + 1:
        return ("moss", 2.2 - (y - ridge) / 8 + 1.1 * (noise(x / 2.2, y / 2.2, 13) - 0.4) - (x - 90) / 60)
    near = 95 - 9 * noise(x / 30, 0, 15) - 3 * noise(x / 8, 0, 16)
    if near <= y < SHORE:
        if 96 <= y < 99 and noise(x, y, 17) > 0.965:
            return ("glow", 2)
        return ("fell", 2.2 + (y - near) / 9 + noise(x / 5, y / 2, 18) * 0.5)
    far = 88 - 22 * noise(x / 37 + 0.4, 0, 19) - 6 * noise(x / 11, 0, 20)
    if far <= y < SHORE:
        return ("fell", 1.3 - (y - far) / 20 + (noise(x / 9, y / 4, 21) - 0.5) * 0.9)


def dry(x, y):
    """Everything but the boat and the water."""
    if hypot(x - 34.5, y - 22.5) < 10 and hypot(x - 38.5, y - 19.5) >= 9:
        return ("foil", 0)
    sun = hypot(x - 22, y - 74)
    return town(x, y) or land(x, y) or (("glow", 3.2 - sun / 16) if sun < 8 else ("dusk", sky(x, y)))


def water(x, y):
    deep = y - SHORE
    sway = round((noise(x / 9, y / 1.3, 22) - 0.5) * (2 + deep / 7))
    edge = WHARF if x + 2 * sway >= 106 and y >= WHARF else SHORE + round(14 * ease((x - 86) / 20))
    if edge == WHARF:                       # lit windows become broken streaks
        above = next((p for p in (town(x + sway // 2, r) for r in (84, 99)) if p and p[0] == "glow"), None)
        if above and noise(x / 5, y / 1.1, 24) > 0.36 + (y - WHARF) / 70:
            return ("glow", 2.6 - (y - WHARF) / 14)
    seen = boat(x + sway, 2 * KEEL - 1 - y) if y >= KEEL - 2 else None
    col, row = (max(x + sway, 106), 2 * edge - 1 - y) if edge == WHARF else (x + sway, min(2 * edge - 1 - y, SHORE - 1))
    ramp, v = seen or dry(min(max(col, 0), W - 1), max(row, 0))
    ripple = (noise(x / 16, y / 1.1, 23) - 0.5) * (1.5 + deep / 40)
    if ramp == "glow" and x < 106 and noise(x / 7, y / 1.1, 24) > 0.3 + (y - SHORE) / 90:
        return ("glow", v - 0.8)
    if ramp in ("dusk", "glow"):
        return ("ebb", (v if ramp == "dusk" else 4) * 0.82 - 0.5 + ripple)
    dark = {"wall": 1.2 + v / 3, "sail": 1.0 + v / 1.5, "chalk": 3, "foil": 5, "fell": 2.6 - v / 2}.get(ramp, 0.5 + v / 5)
    return ("ebb", dark + ripple)


CAT = """
..x.....x..........
..xo...ox..........
..xooooox..........
.ooxoxoxoo.........
.oooooooooo........
.ooeoooeooo........
.oowwtwwoo.........
..owwwwwo..........
...owwwoo..........
...wwoooxoo........
..wwwoooooxo.......
..wwwooxooooo......
..wwwoooooxoo......
..owwoooxooooo..oo.
..owwoooooxooo..oxo
..owooxoooooxo...oo
..owoowooooooo..oxo
..owoowooxooooo.ooo
..owoowoooooooooox.
..wwowwooooooooox..
""".split()
CATS = {"x": ("fur", 0), "o": ("fur", 1), "w": ("chalk", 0.3), "e": ("tar", 0), "t": ("fur", 0)}


def scene(x, y):
    if 188 <= x < 207 and 125 <= y < 145 and CAT[y - 125][x - 188] != ".":
        return CATS[CAT[y - 125][x - 188]]
    if x >= 170 and y >= 145:
        if y < 150 or 172 <= x < 178 or 210 <= x < 216:
            return ("quay", 1.6 - (x + 7 * (y // 5)) % 17 / 25 + noise(x / 7, y, 25) * 0.7 - 0.9 * (y in (149, 154)))
        return ("quay", 0.1) if y < 153 else ("ebb", 0.5 + noise(x / 16, y / 1.1, 23))
    wet = not town(x, y) and y >= SHORE and not land(x, y)
    return boat(x, y) or (water(x, y) if wet else dry(x, y))


def clock(x, y):
    r, turn = hypot(x - 23.5, y - 23.5), (x - 23.5, y - 23.5)
    if r > 23.4:
        ramp, v = town(CLOCK[0] - 1 + (x + y % 2) // 2 % 2, 46 + y // 2)
        return (ramp, v - x / 40)
    if r > 20.8:
        return ("glow", 1.1 - (turn[0] + turn[1]) / 40)
    for hour in range(12):
        dx, dy = sin(hour * pi / 6), -cos(hour * pi / 6)
        along, across = turn[0] * dx + turn[1] * dy, abs(turn[0] * dy - turn[1] * dx)
        if (15.5 if hour % 3 else 14) < along < 19.3 and across < (0.8 if hour % 3 else 1.6):
            return ("tar", 0)
    if hypot(x - 23.5, y - 31.5) < 5.3:     # the moon dial
        return ("glow", 2) if hypot(x - 22, y - 31) < 2.6 else ("dusk", 1)
    return ("chalk", 0.2 + hypot(turn[0] + 7, turn[1] + 8) / 15)


def halves(points):
    """Points moved to holes: whole or half cells."""
    return [[n // 2 if n % 2 == 0 else n / 2 for n in (round(2 * v) for v in p)] for p in points]


def between(a, b, n, sag=0):
    """Holes of a line from a to b in n parts, straight or hanging."""
    return halves((a[0] + (b[0] - a[0]) * i / n, a[1] + (b[1] - a[1]) * i / n + 4 * sag * i * (n - i) / n / n)
                  for i in range(n + 1))


ROPES = [between((138, 62), (74, 52), 32, 24), between((72, 53), (52, 71), 10, 4)]
BULBS = {(int(x), int(y)) for rope in ROPES for x, y in rope[1:-1]}
STARS = [(x, y) for x in range(W) for y in range(1, 40, 3) if (x - 2 - y % 7) % 5 == 0 and x > 1
         and noise(x * 1.7, y * 1.3, 31) > 0.76 + y / 300 and dry(x, y)[0] == dry(x, y + 4)[0] == "dusk"]
OUTLINES = [
    [(155, 21), (136, 40), (138, 40), (138, 112)], [(155, 21), (174, 40), (172, 40), (172, 58)], [(138, 40), (172, 40)],
    [(172, 58), (176, 58)], [(182, 58), (220, 58)], [(172, 76), (220, 76)],
    [(112, 88), (112, 112)], [(125, 73), (110, 88), (138, 88)],
    [(106, 124), (106, 112), (220, 112)], [(170, 145), (220, 145)],
]
SAILS = [((57, 105), (58, 61), 15), ((58, 61), (72, 58), 5), ((74, 58), (96, 108), 18), ((40, 87), (50.5, 76), 5)]
FRAMES = [(143, 75, 8, 12), (159, 75, 8, 12), (141, 93, 6, 8), (164, 93, 6, 8), (114, 92, 6, 8), (129, 92, 6, 8)]
GULLS = [(22, 46, 2), (30, 51, 1.5), (15, 54, 1), (92, 36, 2), (101, 40, 1.5), (112, 34, 1), (196, 40, 1.5)]
STAYS = [((73, 50), (97, 110)), ((73, 50), (60, 113)), ((73, 54), (82, 114)), ((51.5, 70), (43, 111)), ((51.5, 70), (58, 113))]


def ground():
    """The layer over two: (rows, stitches, lines, knots)."""
    grid, shared = [[None] * W for _ in range(H)], {}
    c, r, side = CLOCK
    for y in range(H):
        for x in range(W):
            if c <= x < c + side and r <= y < r + side or (x, y) in BULBS or (x, y) in STARS:
                continue
            if 21 <= y < 40 and x in (175 - y, 134 + y):        # sky and slates share the slope's cells
                here, there = ("right", "left") if x < 155 else ("left", "right")
                air = plain(RAMPS["dusk"][min(max(round(sky(x, y)), 1), 3)], 2)
                shared.setdefault((air, "quarter", "upper-" + there), []).append([x + 1, y + 1])
                slates = plain("slate-c" if x < 155 else "slate-b", 2)
                shared.setdefault((slates, "three-quarter", "lower-" + here), []).append([x + 1, y + 1])
                continue
            grid[y][x] = thread(*scene(x, y), x, y)
    order = list(SHADES)
    for t in sorted({t for row in grid for t in row if t}, key=lambda t: (order.index(t[0][0]), len(t))):
        use(t)                                                  # symbols in the order of the shades
    rows = [[use(t) if t else "." for t in row] for row in grid]
    for i, (x, y) in enumerate(STARS):
        rows[y][x] = use(plain("chalk-c"), "bead", "'", bead="spark") if i % 3 else use(plain("foil-s"), "upright-cross", "*")
    for x, y in BULBS:
        rows[y][x] = use(plain("glow-b"), "bead", "¤", bead="bulb")
    stitches = [(use(t, kind, corner=corner), cells) for (t, kind, corner), cells in sorted(shared.items())]

    lines = []

    def draw(code, stitch, symbol, paths):
        lines.extend((use(plain(code), stitch, symbol), halves(path)) for path in paths)

    draw("tar-a", "backstitch", "-", ROPES + OUTLINES + [between(*edge) for edge in SAILS])
    draw("tar-a", "backstitch", "-", [[(x, sheer(x)) for x in range(43, 98, 3)]])
    skyline = [(x, next(y for y in range(H) if dry(x, y)[0] == "fell") + noise(x, 1, 32) * 0.5) for x in range(0, 41, 2)]
    draw("fell-b", "backstitch", "~", [skyline])
    draw("chalk-c", "backstitch", "^", [
        [(x - 2 * s, y - 0.5 * s), (x - s, y - s), (x, y), (x + s, y - s), (x + 2 * s, y - 0.5 * s)] for x, y, s in GULLS])
    glints = [(28 + round(12 * noise(y, 0, 33)), y) for y in range(126, 158, 3)]
    draw("foil-m", "backstitch", "=", [[(x, y), (x + 2 + y % 3, y)] for x, y in glints])
    draw("foil-m", "backstitch", "=", [[(155, 21), (155, 15), (157.5, 16.5), (155, 18)]])
    draw("wall-a", "double-running", "+", [[(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)] for x, y, w, h in FRAMES])
    draw("rope-t", "long", "/", [between(top, foot, 5 if top[0] == 73 else 4) for top, foot in STAYS])
    draw("rope-h", "long", ";", [[(97, 110), (101, 113.5), (105, 114.5), (109, 112)], [(43, 112), (36, 121), (33, 131)]])
    for y, tip in ((131, 129.5), (131.5, 131.5), (132, 133.5)):
        draw("chalk-a", "long", "<", [[(190.5, y), (186, tip)], [(196, y), (200.5, tip)]])

    thrift = [[x, y] for y in range(80, 111) for x in range(90, 112)
              if noise(x * 1.9, y * 1.9, 34) > 0.8 and dry(x, y)[0] == "moss"]
    knots = [
        (use(plain("chalk-c", 2), "french-knot", "°", wraps=2),
         halves((179 + 0.22 * i + 2.2 * sin(i / 3.3), 48 - 1.3 * i) for i in range(22))),
        (use(plain("dusk-g", 2), "french-knot", "•", wraps=1), thrift),
        (use(plain("glow-d", 2), "french-knot", "×", wraps=2, tight=True),
         [[73, 49.5], [51.5, 69.5], [190.5, 130.5], [194.5, 130.5]]),
    ]
    return rows, stitches, lines, knots


def dial():
    """The layer over one."""
    n, mid = 2 * CLOCK[2], CLOCK[2]
    rows = [[use(thread(*clock(x, y), x, y, 1)) for x in range(n)] for y in range(n)]

    def place(angle, out, aside=0):
        return mid + out * sin(angle) + aside * cos(angle), mid - out * cos(angle) + aside * sin(angle)
    lines = [(use(plain("glow-a"), "double-running", ":"), halves(place(i * pi / 24, 23.5) for i in range(49))),
             (use(plain("tar-a"), "backstitch", "-"), [[0, 0], [n, 0], [n, n], [0, n], [0, 0]])]
    for angle, out, wide in ((-pi / 3, 17, 1), (-pi * 25 / 36, 11, 1.5)):                # ten to eight
        points = [(0, 0), (out * 0.6, wide), (out, 0), (out * 0.6, -wide), (0, 0)]
        lines.append((use(plain("tar-b"), "backstitch", "|"), halves(place(angle, *p) for p in points)))
    return rows, [], lines, []


def toml(v):
    """A value as TOML on one line."""
    if isinstance(v, dict):
        return "{ " + ", ".join(f"{k} = {toml(w)}" for k, w in v.items()) + " }"
    if isinstance(v, (list, tuple)):
        return "[" + ", ".join(map(toml, v)) + "]"
    return f'"{v}"' if isinstance(v, str) else str(v).lower()


def key_entry(key, symbol):
    name, stitch, more = key
    entry = dict(symbol=symbol, needle=name, stitch=stitch, **dict(more))
    if stitch == "cross" and sum(k for _, k in needles[name]) == 2:
        hexes = [SHADES[code][0] for code, _ in needles[name]]
        entry["pixel"] = "#" + "".join(f"{sum(int(h[i:i + 2], 16) for h in hexes) // len(hexes):02x}" for i in (0, 2, 4))
    return entry


def supplies(code, kit):
    for part in kit.split("+"):
        what, entry = part.rstrip("*"), dict(shade=code)
        if "x" in what:
            count, metres = what.split("x")
            strands = THREAD_LINES[LINE_OF.get(code[:-2], 0)]["strands"]
            entry["lengths"] = dict(count=int(count), length_m=float(metres), strands=strands)
        elif what.endswith("m"):
            entry["metres"] = float(what[:-1])
        elif what != "-":
            entry["put_ups"] = int(what)
        if part.endswith("*"):
            entry["other_lot"] = True
        if len(entry) > 1:
            yield entry


def main():
    layers = [("harbour", 2, [0, 0], ground()), ("clock", 1, [2 * CLOCK[0], 2 * CLOCK[1]], dial())]
    out = ["needleful = 1", 'title = "Lamps on at Tidewait"', "", 'fabric.kind = "evenweave"', "fabric.count_per_inch = 28", ""]

    def listed(key, items):
        out.extend([f"{key} = ["] + [f"  {toml(i)}," for i in items] + ["]", ""])
    listed("thread_lines", THREAD_LINES)
    listed("shades", (dict(shade=code, name=name, line=THREAD_LINES[LINE_OF.get(code[:-2], 0)]["line"])
                      for code, (_, _, name) in SHADES.items()))
    listed("needles", (dict(needle=name, thread=[dict(shade=c, strands=k) for c, k in t]) for name, t in needles.items()))
    listed("beads", (dict(bead=b, name=name, size_mm=mm, packet_pieces=n) for b, (name, mm, n, _) in BEADS.items()))
    out.append("# the symbol key; pixel is the colour the chart was painted in")
    listed("legend", (key_entry(k, symbol) for k, symbol in legend.items()))
    out.append("[kit]")
    listed("thread", (entry for code, (_, kit, _) in SHADES.items() for entry in supplies(code, kit)))
    listed("beads", (dict(bead=b, packets=n) for b, (_, _, _, n) in BEADS.items()))
    for name, over, at, (rows, stitches, lines, knots) in layers:
        out.extend(["[[layers]]", f'name = "{name}"', f"over = {over}", f"at_threads = {toml(at)}"])
        out.extend(["rows = ["] + [f'  "{"".join(row)}",' for row in rows] + ["]", ""])
        for kind, field, marks in (("stitches", "cells", stitches), ("lines", "points", lines), ("knots", "holes", knots)):
            for symbol, places in marks:
                out.extend([f"[[layers.{kind}]]", f'symbol = "{symbol}"', f"{field} = {toml(places)}", ""])
    Path(__file__).with_name("tidewait.toml").write_text("\n".join(out[:-1]) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
