"""The shell face against the twin, to the picometre: on the demo, on the photograph chart's first 40
rows and on 200 random designs."""

import hashlib
import json
import os
import pathlib
import struct
import subprocess
import tomllib
import zlib

import pytest
import twin
from random_designs import random_project

ROOT = pathlib.Path(__file__).parents[2]
NEEDLEFUL = os.environ["NEEDLEFUL"]


def estimate(file):
    told = subprocess.run(
        [NEEDLEFUL, "estimate", file, "--json"], capture_output=True, text=True, check=False
    )
    assert told.returncode == 0, told.stderr
    return json.loads(told.stdout)


def agree(project, file):
    ours = {needle["needle"]: needle for needle in estimate(file)["needles"]}
    for name, theirs in twin.reckon(project).items():
        needle = ours[name]
        for key in ("stitches", "legs", "carries", "new_starts", "needlefuls"):
            assert needle[key] == theirs[key], (name, key)
        assert pm(needle["floor_needle_m"]) == theirs["floor"], name
        assert pm(needle["habit_needle_m"]) == theirs["route"], name
        assert parts_of(needle) == theirs["total"], name
        rows = {f"{row['layer']}/{row['stitch']}": parts_of(row) for row in needle["rows"]}
        assert rows == theirs["parts"], name
        assert theirs["floor"] <= theirs["route"], name


def parts_of(row):
    return {part: pm(row[f"{part}_needle_m"]) for part in twin.PARTS}


def pm(metres):
    return round(metres * 1e12)


@pytest.mark.parametrize("seed", range(200))
def test_random_designs(seed, tmp_path):
    project = random_project(seed)
    file = tmp_path / "random.json"
    file.write_text(json.dumps(project), encoding="utf-8")
    agree(project, file)


def test_the_demo():
    (file,) = (ROOT / "demo").glob("*.toml")
    agree(tomllib.loads(file.read_text(encoding="utf-8")), file)


def test_the_photograph_is_the_one_that_was_made():
    # The digest beside the chart was written by the script that made it.
    kept = (ROOT / "tests/data/coffee.sha256").read_text(encoding="utf-8").split()[0]
    assert hashlib.sha256(b"".join(photograph())).hexdigest() == kept


def test_the_photograph(tmp_path):
    rows = photograph()[:40]
    colours = sorted({cell for row in rows for cell in row})
    symbol = {colour: chr(0x100 + colour) for colour in colours}
    project = {
        "needleful": 1,
        "title": "photograph",
        "fabric": {"kind": "evenweave", "count_per_inch": 28},
        "thread_lines": [{"line": "L", "strands": 6, "put_up": {"kind": "skein", "length_m": 8}}],
        "shades": [{"shade": f"s{c}", "name": "", "line": "L"} for c in colours],
        "needles": [{"needle": f"n{c}", "thread": [{"shade": f"s{c}", "strands": 2}]} for c in colours],
        "legend": [{"symbol": symbol[c], "needle": f"n{c}", "stitch": "cross"} for c in colours],
        "layers": [{"name": "photo", "over": 2, "rows": ["".join(symbol[c] for c in row) for row in rows]}],
    }
    file = tmp_path / "photograph.json"
    file.write_text(json.dumps(project), encoding="utf-8")
    agree(project, file)


def photograph():
    """Rows of palette indices of the indexed, 8-bit, not interlaced PNG."""
    data = (ROOT / "tests/data/coffee.png").read_bytes()
    at, packed, width, height = 8, b"", 0, 0
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        body = data[at + 8 : at + 8 + length]
        if kind == b"IHDR":
            width, height, depth, colour = struct.unpack(">IIBB", body[:10])
            assert (depth, colour, body[12]) == (8, 3, 0)
        packed += body if kind == b"IDAT" else b""
        at += 12 + length
    flat, rows, above = zlib.decompress(packed), [], bytes(width)
    for row in range(height):
        line = flat[row * (width + 1) : (row + 1) * (width + 1)]
        above = unfiltered(line[0], line[1:], above)
        rows.append(above)
    return rows


def unfiltered(kind, line, above):
    out = bytearray()
    for i, value in enumerate(line):
        left, up, corner = (out[i - 1] if i else 0), above[i], (above[i - 1] if i else 0)
        guess = left + up - corner
        paeth = min((abs(guess - left), 0, left), (abs(guess - up), 1, up), (abs(guess - corner), 2, corner))[
            2
        ]
        out.append((value + (0, left, up, (left + up) // 2, paeth)[kind]) & 255)
    return bytes(out)
