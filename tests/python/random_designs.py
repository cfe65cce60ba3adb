"""Small varied designs in the project file format, the same for the same seed."""

import itertools
import math
from random import Random

GRID = ["cross"] * 5 + [
    "half-cross",
    "tent-continental",
    "tent-basketweave",
    "quarter",
    "three-quarter",
    "petite",
    "upright-cross",
    "double-cross",
    "bead",
    "bead-cross",
]
ON_LINES = ["backstitch", "double-running", "long"]
CORNERS = ["lower-left", "lower-right", "upper-right", "upper-left"]
WHOLE = set(CORNERS)
SYMBOLS = [*list("abcdefghijkmnopqrstuvwxyzABCDEFGHKLMNPRSTUVWXYZ123456789+*-/#%&="), "×", "é", "■"]


def quadrants(entry):
    """The corners of its cell that a stitch fills."""
    corner = entry.get("corner")
    if entry["stitch"] in ("quarter", "petite"):
        return {corner}
    if entry["stitch"] == "three-quarter":
        return WHOLE - {CORNERS[(CORNERS.index(corner) + 2) % 4]}
    return WHOLE


def some(rng, chance, make):
    """A dict of the fields that `make` gives, each kept with this chance."""
    return {key: value for key, value in make.items() if rng.random() < chance}


def fabric(rng):
    out = {"kind": rng.choice(["evenweave", "block-weave", "mono-canvas"])}
    count = rng.choice([11, 14, 16, 18, 22, 25, 28, 32])
    if rng.random() < 0.3:
        out["count_per_10_cm"] = rng.choice([count * 4, round(count / 0.254, 1)])
    else:
        out["count_per_inch"] = rng.choice([count, count, count + 0.5])
    if rng.random() < 0.35:
        down = count * rng.uniform(0.75, 1.3)
        out |= rng.choice(
            [{"count_down_per_inch": round(down, 2)}, {"count_down_per_10_cm": round(down / 0.254, 1)}]
        )
    out |= some(
        rng,
        0.2,
        {"thickness_mm": round(rng.uniform(0.1, 1.6), 2), "hole_mm": round(rng.uniform(0.05, 0.9), 2)},
    )
    if rng.random() < 0.25:
        out["planar"] = rng.random() < 0.7
    return out


def habits(rng, chance, scale):
    """Overrides under which every leg still fits; `scale` holds the bounds shared by the whole design."""
    finish = round(rng.uniform(5, scale["tail"]), 1)
    end = round(max(scale["tail"], rng.uniform(0.5, 1) * scale["end"]), 1)
    open_carry = round(rng.choice([2, 5, 13, 30, 60]) * rng.uniform(0.7, 1.3), 2)
    covered = round(open_carry * rng.choice([1, 1.5, 3, 8]), 2)
    # Both or none, so that no override shortens one below the other.
    carries = some(rng, chance, {"carries": {"open_carry_mm": open_carry, "covered_carry_mm": covered}})
    return carries.get("carries", {}) | some(
        rng,
        chance,
        {
            "needleful_mm": round(scale["least"] + rng.choice([0, 20, 150, 400]) * rng.random(), 1),
            "start_tail_mm": round(rng.uniform(5, scale["tail"]), 1),
            "finish_tail_mm": finish,
            "unstitchable_end_mm": end,
            "keep_leftover_mm": round(rng.uniform(scale["tail"], 250), 1),
            "waste_percent": rng.choice([0, 1, 2, 3.5, 10]),
            "knot_needle_mm": round(rng.uniform(0.4, 1.1), 2),
        },
    )


def threads(rng):
    lines = []
    for i in range(rng.randint(1, 3)):
        line = {"line": f"Line {i + 1}", "strands": rng.choice([6, 6, 4, 12])}
        line |= rng.choice(
            [
                {},
                {"tex": round(rng.uniform(15, 90), 1)},
                {"ne": rng.choice([16, 25, 40])},
                {"nm": rng.choice([12, 20, 34.5])},
                {"denier": rng.choice([150, 300, 480])},
            ]
        )
        line |= rng.choice(
            [{"fibre": rng.choice(["cotton", "viscose", "wool", "silk", "polyester"])}] * 3
            + [{"density_g_per_cm3": 1.42}]
        )
        line |= some(rng, 0.3, {"packing": round(rng.uniform(0.45, 0.8), 2)})
        line |= some(rng, 0.15, {"strand_width_mm": round(rng.uniform(0.1, 0.45), 3)})
        if rng.random() < 0.25:
            line |= {"metallic": True, "strands": rng.choice([1, 6])}
        line["put_up"] = rng.choice(
            [
                {"kind": "skein", "length_m": 8.0},
                {"kind": "spool", "length_m": 30},
                {"kind": "ball", "length_m": 82.5},
                {"kind": "cone", "mass_g": 100},
            ]
        )
        if line["put_up"]["kind"] == "cone" and not line.keys() & {"tex", "ne", "nm", "denier"}:
            line["tex"] = 40
        lines.append(line)
    shades = [
        {"shade": f"S{i:02}", "name": f"shade {i}", "line": rng.choice(lines)["line"]}
        for i in range(1, rng.randint(2, 5))
    ]
    strands_of, needles = {line["line"]: line["strands"] for line in lines}, []
    for i in range(rng.randint(1, 4)):
        blend = rng.sample(shades, min(len(shades), rng.choice([1, 1, 1, 2, 3])))
        needles.append(
            {
                "needle": f"needle {i + 1}",
                "thread": [
                    {
                        "shade": s["shade"],
                        "strands": min(rng.choice([1, 2, 2, 2, 3, 4]), strands_of[s["line"]]),
                    }
                    for s in blend
                ],
            }
        )
    return lines, shades, needles


def legend_of(rng, needles, beads):
    symbols = rng.sample(SYMBOLS, len(SYMBOLS))
    out = []
    for needle in needles:
        kinds = [rng.choice(GRID + ON_LINES + ["french-knot"]) for _ in range(rng.randint(1, 4))]
        kinds += ["cross"] * (needle is needles[0]) + [rng.choice(ON_LINES)] * (rng.random() < 0.5)
        kinds += ["french-knot"] * (rng.random() < 0.25)
        for stitch in kinds:
            entry = {"symbol": symbols.pop(), "needle": needle["needle"], "stitch": stitch}
            if stitch in ("quarter", "three-quarter", "petite"):
                entry["corner"] = rng.choice(CORNERS)
                if stitch == "quarter" and rng.random() < 0.6:  # what fills the rest of its cell
                    rest = CORNERS[(CORNERS.index(entry["corner"]) + 2) % 4]
                    out.append(
                        {
                            "symbol": symbols.pop(),
                            "needle": rng.choice(needles)["needle"],
                            "stitch": "three-quarter",
                            "corner": rest,
                        }
                    )
            if stitch in ("bead", "bead-cross"):
                entry["bead"] = rng.choice(beads)["bead"]
            if stitch == "french-knot":
                entry |= some(rng, 0.5, {"wraps": rng.randint(1, 3), "tight": rng.random() < 0.5})
            out.append(entry)
    rng.shuffle(out)
    return out


def chart(rng, columns, rows, entries, density, closed):
    """Symbols in runs and blocks rather than as noise; cells in `closed` stay empty."""
    loyal = rng.choice([0.2, 0.6, 0.9])
    grid = [[None] * columns for _ in range(rows)]
    for r in range(rows):
        for c in range(columns):
            beside = ([grid[r][c - 1]] if c else []) + ([grid[r - 1][c]] if r else [])
            if beside and rng.random() < loyal:
                grid[r][c] = rng.choice(beside)
            elif rng.random() < density:
                grid[r][c] = rng.choice(entries)
    return [[None if (c, r) in closed else grid[r][c] for c in range(columns)] for r in range(rows)]


def singles(rng, columns, rows, entries, free):
    """Single stitches where the cells have room; takes the room from `free`."""
    out = []
    for _ in range(rng.choice([0, 0, 2, 6])):
        entry, cells = rng.choice(entries), []
        for _ in range(rng.randint(1, 6)):
            cell = (rng.randrange(columns), rng.randrange(rows))
            shared = [c for c, left in free.items() if quadrants(entry) <= left != WHOLE]
            if shared and rng.random() < 0.5:
                cell = rng.choice(sorted(shared))
            if quadrants(entry) <= free[cell]:
                free[cell] = free[cell] - quadrants(entry)
                cells.append([cell[0] + 1, cell[1] + 1])
        if cells:
            out.append({"symbol": entry["symbol"], "cells": cells})
    return out


def half(value):
    """From half cells to cells."""
    return value // 2 if value % 2 == 0 else value / 2


def walked(points, unsplit):
    """The points, in half cells, that a line is worked through."""
    out = points[:1]
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        n = math.gcd(bx - ax, by - ay)
        for i in range(1, n):
            x, y = ax + (bx - ax) // n * i, ay + (by - ay) // n * i
            if not unsplit and x % 2 == y % 2 == 0:
                out.append((x, y))
        out.append((bx, by))
    return out


def polyline(rng, columns, rows, unsplit):
    """Points that nowhere stand still or turn straight back."""
    fine = rng.random() < 0.4
    step = 1 if fine else 2
    points = [(rng.randrange(0, 2 * columns + 1, step), rng.randrange(0, 2 * rows + 1, step))]
    for _ in range(rng.choice([1, 1, 2, 4, 7])):
        x, y = points[-1]
        there = (rng.randrange(0, 2 * columns + 1, step), rng.randrange(0, 2 * rows + 1, step))
        if rng.random() < 0.6:  # along the fabric
            there = rng.choice([(there[0], y), (x, there[1])])
        met = walked([*points, there], unsplit)
        if there != points[-1] and all(a != b for a, b in zip(met, met[2:])):
            points.append(there)
    return points


def lines_of(rng, columns, rows, entries):
    out = []
    for _ in range(rng.choice([0, 1, 2, 5]) if entries else 0):
        entry, unsplit = rng.choice(entries), rng.random() < 0.15
        points = polyline(rng, columns, rows, unsplit or entry["stitch"] == "long")
        if len(points) > 1:
            line = {"symbol": entry["symbol"], "points": [[half(x), half(y)] for x, y in points]}
            out.append(line | ({"long": True} if unsplit else {}))
    return out


def knots_of(rng, layer, columns, rows, entries, taken):
    out = []
    for _ in range(rng.choice([0, 1, 2]) if entries else 0):
        holes = []
        for _ in range(rng.randint(1, 5)):
            x, y = rng.randint(0, 2 * columns), rng.randint(0, 2 * rows)
            place = tuple(2 * at + layer["over"] * v for at, v in zip(layer["at_threads"], (x, y)))
            if place not in taken:
                taken.add(place)
                holes.append([half(x), half(y)])
        if holes:
            out.append({"symbol": rng.choice(entries)["symbol"], "holes": holes})
    return out


def frames(rng):
    """Name, over, corner, columns, rows and closed cells of layers that keep out of each other's way."""

    def size(most):
        return min(rng.randint(1, most), rng.randint(1, most + 4))

    over, columns, rows = rng.choice([1, 1, 2, 2, 3]), size(14), size(14)
    corner = [rng.choice([0, 0, 1, 5]), rng.choice([0, 0, 2, 3])]
    out = [["ground", over, corner, columns, rows, set()]]
    if over > 1 and columns > 2 and rows > 2 and rng.random() < 0.7:  # finer work let into the coarser
        wide, high = rng.randint(1, columns - 1), rng.randint(1, rows - 1)
        c, r = rng.randint(0, columns - wide), rng.randint(0, rows - high)
        out[0][5] = {(c + i, r + j) for i in range(wide) for j in range(high)}
        at = [corner[0] + over * c, corner[1] + over * r]
        out.append(["inset", 1, at, min(over * wide, 14), min(over * high, 14), set()])
    if rng.random() < 0.35:
        gap, n = rng.choice([0, 0, 1, 4, 15]), rng.choice([1, 2, 3])
        at = rng.choice(
            [[corner[0] + over * columns + gap, corner[1]], [corner[0], corner[1] + over * rows + gap]]
        )
        out.append(["beside", n, at, size(8), size(8), set()])
    rng.shuffle(out)
    return out


def layer_of(rng, frame, legend, taken):
    name, over, corner, columns, rows, closed = frame
    on_cells = [e for e in legend if e["stitch"] not in ON_LINES and e["stitch"] != "french-knot"]
    layer = {"name": name, "over": over, "at_threads": corner}
    some_entries = rng.sample(on_cells, rng.randint(1, len(on_cells)))
    grid = chart(rng, columns, rows, some_entries, rng.choice([0.05, 0.3, 0.6, 1.0]), closed)
    if rng.random() < 0.1:
        grid = [[None] * columns for _ in range(rows)]
        layer["size"] = [columns, rows]
    else:
        empty = rng.choice(". ")
        layer["rows"] = ["".join(e["symbol"] if e else empty for e in row) for row in grid]
    free = {
        (c, r): WHOLE
        - (quadrants(grid[r][c]) if grid[r][c] else set())
        - (WHOLE if (c, r) in closed else set())
        for r in range(rows)
        for c in range(columns)
    }
    drawn = [e for e in legend if e["stitch"] in ON_LINES]
    knotted = [e for e in legend if e["stitch"] == "french-knot"]
    parts = {
        "stitches": singles(rng, columns, rows, on_cells, free),
        "lines": lines_of(rng, columns, rows, drawn),
        "knots": knots_of(rng, layer, columns, rows, knotted, taken),
    }
    if corner == [0, 0] and rng.random() < 0.5:
        del layer["at_threads"]  # the default
    return layer | {key: value for key, value in parts.items() if value}


def empty(layer):
    return not any(c not in ". " for row in layer.get("rows", []) for c in row) and not (
        layer.keys() & {"stitches", "lines", "knots"}
    )


def random_project(seed):
    rng = Random(seed)
    cloth, (lines, shades, needles) = fabric(rng), threads(rng)
    beads = [
        {"bead": f"bead {i}", "name": "drop", "size_mm": rng.choice([1.5, 1.8, 2.2]), "packet_pieces": 120}
        for i in range(1, rng.randint(2, 3))
    ]
    legend, plan, taken = legend_of(rng, needles, beads), frames(rng), set()
    layers = [layer_of(rng, frame, legend, taken) for frame in plan]
    if all(map(empty, layers)):  # something to work
        _name, _, _, columns, rows, closed = plan[0]
        first = next(e for e in legend if e["stitch"] == "cross")
        cell = next((c, r) for r in range(rows) for c in range(columns) if (c, r) not in closed)
        layers[0]["stitches"] = [{"symbol": first["symbol"], "cells": [[cell[0] + 1, cell[1] + 1]]}]

    thread_mm = 25.4 / min(
        cloth.get("count_per_inch", 99),
        cloth.get("count_down_per_inch", 99),
        0.254 * cloth.get("count_per_10_cm", 999),
        0.254 * cloth.get("count_down_per_10_cm", 999),
    )
    longest = max(math.hypot(columns, rows) * over for _, over, _, columns, rows, _ in plan) * thread_mm
    tail, end = rng.choice([8, 20, 40]), rng.choice([10, 40, 90])
    scale = {"tail": tail, "end": max(end, tail)}
    # the defaults of the model count where nothing is said; 45 mm for knots, beads, riding and passages
    scale["least"] = max(tail, 30) + max(end, tail, 75) + longest + 45
    common = habits(rng, rng.choice([0, 0.3, 0.8]), scale)
    common.setdefault("finish_tail_mm", min(tail, 30))  # so that no end is shorter than the finish
    if scale["least"] > 340:
        common.setdefault("needleful_mm", math.ceil(scale["least"]) + 50)
    common |= some(rng, 0.3, {"start": rng.choice(["tail", "loop"]), "top_leg": "leans-right"})
    for owner in lines + needles:
        if rng.random() < 0.3:
            owner["habits"] = habits(rng, 0.4, scale)
        if owner.get("metallic") and scale["least"] > 340:
            owner.setdefault("habits", {}).setdefault("needleful_mm", math.ceil(scale["least"]) + 20)
    for needle in needles:
        if rng.random() < 0.2 and all(t["strands"] % 2 == 0 for t in needle["thread"]):
            needle.setdefault("habits", {})["start"] = "loop"
    return {
        "needleful": 1,
        "title": f"random {seed}",
        "fabric": cloth,
        "habits": common,
        "thread_lines": lines,
        "shades": shades,
        "needles": needles,
        "beads": beads,
        "legend": legend,
        "layers": layers,
    }
