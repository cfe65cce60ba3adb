"""A second reckoning of MODEL.md in picometres, slow and plain, to test the package against."""
import itertools
import json
import math
import sys
import tomllib
from collections import namedtuple

STITCHES = {  # legs in working order, each x y x y, and how many of them are the under pass
    "cross": ("0022 0220", 1), "half-cross": ("0022", 1), "quarter": ("0011", 1), "three-quarter": ("0011 0220", 2),
    "petite": ("0011 0110", 2), "upright-cross": ("1012 0121", 1), "double-cross": ("0022 0220 1012 0121", 4),
    "tent-continental": ("0022", 1), "tent-basketweave": ("0022", 1), "bead": ("0022", 1),
    "bead-cross": ("0022 0220", 2)}
BACK = {"tent-continental": (4, 2), "tent-basketweave": (0, 4)}
CORNERS = ["lower-left", "lower-right", "upper-right", "upper-left"]
MIRRORED = {"cross", "half-cross", "upright-cross", "double-cross"}
PASS = {"backstitch": 1, "double-running": 1, "long": 1, "french-knot": 2, "bead": 3, "bead-cross": 3}
DENSITY = {"cotton": 1.52, "viscose": 1.49, "wool": 1.31, "silk": 1.34, "polyester": 1.39}
CLOTH = {"evenweave": (0.5, 0.35), "block-weave": (0.35, 0.2), "mono-canvas": (0.4, 0.55)}
HABITS = {
    "needleful_mm": 450, "start_tail_mm": 30, "finish_tail_mm": 30, "unstitchable_end_mm": 75, "keep_leftover_mm": 120,
    "open_carry_mm": 13, "covered_carry_mm": 38, "start": "tail", "top_leg": "leans-left", "knot_needle_mm": 0.8}
PARTS = ["front", "back", "passages", "carries", "tails", "orts", "kept"]
Price = namedtuple("Price", "length a a_inf b planar habits loop c s f e k")
Leg = namedtuple("Leg", "start end front passage back box key")  # box: its place; key: layer, stitch
Piece = namedtuple("Piece", "number forward reverse cells stitches")

def pm(mm):
    return math.floor(mm * 1e9 + 0.5)

def per_inch(fabric, stem, default):
    tens = fabric.get(stem + "_per_10_cm")
    return fabric.get(stem + "_per_inch", default) if tens is None else 0.254 * tens

def strand_width(line):
    tex = (453592.37 / (840 * 0.9144) / line["ne"] if "ne" in line else 1000 / line["nm"] if "nm" in line
           else line["denier"] / 9 if "denier" in line else line.get("tex", 40))
    density = line.get("density_g_per_cm3", DENSITY[line.get("fibre", "cotton")])
    d = math.sqrt(4 / (1000 * math.pi)) * math.sqrt(tex / (line.get("packing", 0.6) * density))
    return line.get("strand_width_mm", d)

def price_of(project, needle):
    fabric, lines = project["fabric"], {line["line"]: line for line in project["thread_lines"]}
    shades = {s["shade"]: lines[s["line"]] for s in project["shades"]}
    thread = [(shades[t["shade"]], t["strands"]) for t in needle["thread"]]
    habits = HABITS | project.get("habits", {})
    for line, _ in reversed(thread):  # the first shade's line is laid on last, so it wins
        habits |= {"needleful_mm": 350} if line.get("metallic") else {}
        habits |= line.get("habits", {})
    habits |= needle.get("habits", {})
    across = per_inch(fabric, "count", None)
    down = per_inch(fabric, "count_down", across)
    hx, hy, pitch = 12.7e9 / across, 12.7e9 / down, (25.4 / across + 25.4 / down) / 2
    t, g = (fabric.get(measured, share * pitch)
            for measured, share in zip(("thickness_mm", "hole_mm"), CLOTH[fabric["kind"]]))
    squares = (strands * (strand_width(line) * strand_width(line)) for line, strands in thread)
    *_, b2 = itertools.accumulate(squares)  # not sum(): newer Pythons compensate it
    b, planar = math.sqrt(b2), fabric.get("planar", False)
    g = min(g, b)
    a_inf = 0 if planar else pm((math.pi / 2 - 1) * t + (math.pi / 2) * b - g)
    loop = habits["start"] == "loop" and all(strands % 2 == 0 for _, strands in thread)
    def length(a, b):
        dx, dy = b[0] - a[0], b[1] - a[1]
        return math.floor(math.sqrt((dx * hx) * (dx * hx) + (dy * hy) * (dy * hy)) + 0.5)
    def passage(flat):
        mm = flat / 1e9
        w = max(mm - g, 0)
        return a_inf if planar or mm >= t + g else pm((t - w) + (math.pi / 2) * (w + b) - mm)
    return Price(length, passage, a_inf, b, planar, habits, loop, *(pm(habits[h + "_mm"]) for h in (
        "needleful", "start_tail", "finish_tail", "unstitchable_end", "keep_leftover")))

def make_leg(price, ends, key, box=None, back=0, rides=0, extra=0):
    flat = front = price.length(*ends)
    if rides and not price.planar:
        front = pm(2 * math.sqrt((flat / 1e9 / 2) * (flat / 1e9 / 2) + (rides * price.b) * (rides * price.b)))
    box = box or (*map(min, *ends), *map(max, *ends))
    return Leg(*ends, front + extra, price.a(flat), back, box, key)

def senses(legs, step, back, price, after=None):
    """The legs of one stitch, each in its sense on the way to `step`, or of a lone one's over pass `after` a hole."""
    if back or not legs:
        return [(b, a) if step > 0 else (a, b) for a, b in legs]
    def links(run):
        ends = [after or (run[-1][1][0] - step, run[-1][1][1])] + [end for _, end in run]
        return [price.length(end, start) for end, (start, _) in zip(ends, run)]
    runs = [[leg[::-1] if bits >> i & 1 else leg for i, leg in enumerate(legs)] for bits in range(2 ** len(legs))]
    return min((run for run in runs if 0 not in links(run)),  # the first of equals
               key=lambda run: (sum(links(run)), run[0][0][::-1] if after else ()))

def run_piece(project, price, layer, entry, number, count):
    (row, col), stitch, n = number[:2], entry["stitch"], layer["over"]
    (legs, bottom), back = STITCHES[stitch], BACK.get(stitch)
    legs = [[(int(t[0]), int(t[1])), (int(t[2]), int(t[3]))] for t in legs.split()]
    for _ in range(CORNERS.index(entry.get("corner", "lower-left"))):
        legs = [[(2 - y, x) for x, y in leg] for leg in legs]
    if stitch in MIRRORED and price.habits["top_leg"] == "leans-right":
        legs = [[(2 - x, y) for x, y in leg] for leg in legs]
    legs = [[(n * x, -n * y) for x, y in leg] for leg in legs]  # from the lower left hole of the cell
    back = price.length((0, 0), (n * back[0], n * back[1])) if back else 0
    sizes = [pm(b["size_mm"]) for b in project.get("beads", []) if PASS.get(stitch) == 3 and b["bead"] == entry["bead"]]
    def walk(lo, hi, step, after=None):
        corners = [hole(layer, (c, row + 1)) for c in range(col, col + count)[::step]]
        return [make_leg(price, [(x + dx, y + dy) for dx, dy in leg], (layer["name"], stitch),
                         (x, y - 2 * n, x + 2 * n, y), back, lo + i if stitch != "three-quarter" else 0, sum(sizes))
                for x, y in corners for i, leg in enumerate(senses(legs[lo:hi], 2 * n * step, back, price, after))]
    def out_and_back(step):
        turn = senses(legs[:bottom], 2 * n * step, back, price)[-1][1] if count == 1 else None
        return walk(0, bottom, step) + walk(bottom, None, -step, turn)
    right = -1 if stitch in MIRRORED and price.habits["top_leg"] == "leans-right" else 1
    cells = set() if sizes else {(c, row) for c in range(col, col + count)}
    return Piece(number, out_and_back(right), out_and_back(-right), cells, count)

def hole(layer, point):
    return tuple(2 * at + layer["over"] * round(2 * v) for at, v in zip(layer["at_threads"], point))

def split(points, layer, unsplit):
    out = points[:1]
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        n = math.gcd(bx - ax, by - ay)
        met = [(ax + (bx - ax) // n * i, ay + (by - ay) // n * i) for i in range(1, n + 1)]
        out += [p for p in met if p == (bx, by) or not unsplit and all(
            (v - w) % (2 * layer["over"]) == 0 for v, w in zip(p, hole(layer, (0, 0))))]
    return out

def line_piece(price, layer, entry, line, order):
    unsplit = entry["stitch"] == "long" or line.get("long", False)
    points = split([hole(layer, p) for p in line["points"]], layer, unsplit)
    def walk(p):
        legs = [(p[i + 1], p[i]) for i in range(len(p) - 1)]
        if entry["stitch"] == "double-running":
            legs = [(a, b) for b, a in legs[::2]] + legs[1::2][::-1]
        return [make_leg(price, leg, (layer["name"], entry["stitch"])) for leg in legs]
    return Piece((*points[0][::-1], order), walk(points), walk(points[::-1]), set(), len(points) - 1)

def knot_piece(price, layer, entry, at, order):
    at = hole(layer, at)
    turn = 2 * math.pi * price.b if entry.get("tight") else math.pi * (price.habits["knot_needle_mm"] + price.b)
    leg = make_leg(price, (at, at), (layer["name"], entry["stitch"]), extra=pm(entry.get("wraps", 2) * turn))
    return Piece((*at[::-1], order), [leg], [leg], set(), 1)

def pieces_of(project, price, layer, mine):
    out = []
    for r, line in enumerate(layer.get("rows", [])):
        c = 0
        for symbol, same in itertools.groupby(line):
            n = len(list(same))
            out += [run_piece(project, price, layer, mine[symbol], (r, c, 0, 0), n)] if symbol in mine else []
            c += n
    cells, lines, knots = ([(mine[item["symbol"]], item) for item in layer.get(what, []) if item["symbol"] in mine]
                           for what in ("stitches", "lines", "knots"))
    for i, (e, (c, r)) in enumerate((e, cell) for e, item in cells for cell in item["cells"]):
        out.append(run_piece(project, price, layer, e, (r - 1, c - 1, 1, i), 1))
    out += [line_piece(price, layer, e, line, i) for i, (e, line) in enumerate(lines)]
    holes = [(e, at) for e, item in knots for at in item["holes"]]
    return sorted(out + [knot_piece(price, layer, e, at, i) for i, (e, at) in enumerate(holes)])

def covered(a, b, layer, cells):
    n = -(-max(abs(b[0] - a[0]), abs(b[1] - a[1])) // (2 * layer["over"]))
    unit = 2 * n * 2 * layer["over"]  # coordinates times 2n, to stay in integers
    points = [[2 * n * (p - 2 * at) + (q - p) * (2 * i + 1) for p, q, at in zip(a, b, layer["at_threads"])]
              for i in range(n)]
    return all(cells & {(c, r) for c in (x // unit, (x - 1) // unit) for r in (y // unit, (y - 1) // unit)}
               for x, y in points)

def route_of(passes, price):
    steps, worked = [], {}  # leg, how it is reached (start, back, carries), link
    near, far = pm(price.habits["open_carry_mm"]), pm(price.habits["covered_carry_mm"])
    for layer, pieces in passes:
        done = worked.setdefault(id(layer), set())
        while pieces:
            here = steps[-1][0].end if steps else None
            entries = [(piece, way, legs[0].start) for piece in pieces for way, legs in enumerate(piece[1:3]) if steps]
            found = [(price.length(here, e), e[1], e[0], way, piece) for piece, way, e in entries if here != e and (
                price.length(here, e) <= near or price.length(here, e) <= far and covered(here, e, layer, done))]
            *_, way, piece = min(found, default=(0, pieces[0]))
            for i, leg in enumerate(piece.reverse if way else piece.forward):
                if i == 0 and not found:
                    steps.append((leg, "start", 0))
                    continue
                last, (left, top, right, low) = steps[-1][0], leg.box
                apart = last.box[0] > right or left > last.box[2] or last.box[1] > low or top > last.box[3]
                link = leg.back if i and leg.back else max(price.length(last.end, leg.start), leg.back)
                steps.append((leg, "carries" if i == 0 and apart else "back", link))
            pieces.remove(piece)
            done |= piece.cells
    return steps

def spend(steps, price):
    left, kept, needlefuls, parts = 0, [], 0, {}
    def charge(leg, **amounts):
        mine = parts.setdefault("/".join(leg.key), dict.fromkeys(PARTS, 0))
        mine |= {part: mine[part] + amount for part, amount in amounts.items()}
    def finish(leg):
        rest = left - price.f
        charge(leg, tails=price.f, orts=rest if rest < price.k else 0)
        kept.extend([rest] if rest >= price.k else [])
    for i, (leg, how, link) in enumerate(steps):
        work, way = leg.front + leg.passage, link + price.a(link)
        charge(leg, front=leg.front, passages=leg.passage)
        if how != "start" and left - way - work >= price.e:
            left -= way + work
            charge(leg, **{how: link, "passages": price.a(link)})
            continue
        if i:
            finish(leg)
        again = kept and kept[-1] - price.s - price.a_inf - work >= price.e
        tail = 0 if price.loop and not again else price.s
        needlefuls += 0 if again else 1
        left = (kept.pop() if again else price.c) - tail - price.a_inf - work
        assert left >= price.e, f"a leg of {leg.key} does not fit a new needleful"
        charge(leg, tails=tail, passages=price.a_inf)
    if steps:
        finish(leg)
        charge(leg, kept=sum(kept))
    return needlefuls, parts

def floor_of(legs, price, new_start):
    owners, nn, ends = {}, [], [(i, end) for i, leg in enumerate(legs) for end in (leg.start, leg.end)]
    for i, end in ends:
        owners.setdefault(end, set()).add(i)
    for i, end in ends:
        others = [price.length(end, h) for h, who in owners.items() if h != end and who != {i}]
        nn.append(min([d + price.a(d) for d in others] + [new_start]))
    entering = sorted(min(leg.back + price.a(leg.back), new_start) for leg in legs if leg.back)
    work = sum(leg.front + leg.passage for leg in legs)
    return work + max(sum(sorted(nn)[:-2]) // 2, sum(entering[:-1]))

def reckon(project):
    out, layers = {}, [{"at_threads": [0, 0]} | layer for layer in project["layers"]]
    for needle in project["needles"]:
        price = price_of(project, needle)
        mine = [e for e in project["legend"] if e["needle"] == needle["needle"]]
        kinds = [{e["symbol"]: e for e in mine if PASS.get(e["stitch"], 0) == which} for which in range(4)]
        passes = [(layer, pieces_of(project, price, layer, kind)) for kind in kinds for layer in layers]
        stitches = sum(piece.stitches for _, pieces in passes for piece in pieces)
        steps = route_of(passes, price)
        legs, hows = [leg for leg, _, _ in steps], [how for _, how, _ in steps]
        links = [link + price.a(link) for _, how, link in steps if how != "start"]
        new_start, new_starts = price.f + (0 if price.loop else price.s) + price.a_inf, max(hows.count("start") - 1, 0)
        route = sum(leg.front + leg.passage for leg in legs) + sum(links) + new_starts * new_start
        needlefuls, parts = spend(steps, price)
        out[needle["needle"]] = {
            "stitches": stitches, "legs": len(legs), "floor": floor_of(legs, price, new_start), "route": route,
            "carries": hows.count("carries"), "new_starts": new_starts, "needlefuls": needlefuls,
            "total": {part: sum(p[part] for p in parts.values()) for part in PARTS}, "parts": parts}
    return out

if __name__ == "__main__":
    with open(sys.argv[1], "rb") as project_file:
        print(json.dumps(reckon(tomllib.load(project_file)), indent=1, ensure_ascii=False))
