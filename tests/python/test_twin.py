"""The twin by itself, against closed forms that do not come from the code."""

import json
import math

import pytest
import twin
from random_designs import random_project

R2, R5 = math.sqrt(2), math.sqrt(5)


def project(stitch=None, rows=(), lines=(), stitches=(), knots=(), count=14, over=1, habits=None, **fabric):
    """One needle on one layer; planar and as if the needleful had no end, unless told otherwise."""
    entries = [("a", stitch)] if isinstance(stitch, str) else stitch
    return {
        "needleful": 1,
        "fabric": {"kind": "evenweave", "count_per_inch": count, "planar": True} | fabric,
        "habits": {"needleful_mm": 1e6} | (habits or {}),
        "thread_lines": [{"line": "Quayside", "strands": 6, "tex": 40, "fibre": "cotton"}],
        "shades": [{"shade": "Q01", "line": "Quayside"}],
        "needles": [{"needle": "n", "thread": [{"shade": "Q01", "strands": 2}]}],
        "legend": [{"symbol": s, "needle": "n", "stitch": kind} for s, kind in entries],
        "layers": [
            {
                "name": "ground",
                "over": over,
                "at_threads": [0, 0],
                "rows": list(rows),
                "lines": list(lines),
                "stitches": list(stitches),
                "knots": list(knots),
            }
        ],
    }


def work(*args, **kwargs):
    return twin.reckon(project(*args, **kwargs))["n"]


def mm(pm):
    return pm / 1e9


def in_u(pm, count=14, over=1):
    return mm(pm) / (25.4 * over / count)


def near(value, digits=1e-7):
    return pytest.approx(value, abs=digits)


@pytest.mark.parametrize(
    "count, over, length",
    [(14, 1, 3.828427 * 25.4 / 14), (28, 2, 3.828427 * 25.4 / 14), (16, 1, 3.828427 * 25.4 / 16)],
)
def test_one_open_cross(count, over, length):
    got = work("cross", ["a"], count=count, over=over)
    assert mm(got["route"]) == pytest.approx(length, abs=1e-5)
    assert in_u(got["route"], count, over) == near(2 * R2 + 1)
    assert got["floor"] <= got["route"]
    assert (got["stitches"], got["legs"], got["needlefuls"]) == (1, 2, 1)


def test_a_block_of_crosses():
    got = work("cross", ["a" * 10] * 10)
    assert in_u(got["route"]) == near(200 * R2 + 10 * 19 + 9 * 2)
    assert in_u(got["route"]) == near(490.842712, 1e-6)
    assert in_u(got["floor"]) == near(481.842712, 1e-6)
    assert mm(got["floor"]) == near(874.200350, 1e-6)
    assert (got["carries"], got["new_starts"]) == (0, 0)
    mirrored = work("cross", ["a" * 10] * 10, habits={"top_leg": "leans-right"})
    assert (mirrored["floor"], mirrored["total"]["front"]) == (got["floor"], got["total"]["front"])


@pytest.mark.parametrize("top_leg", ["leans-left", "leans-right"])
def test_a_row_of_crosses(top_leg):
    assert in_u(work("cross", ["a" * 10], habits={"top_leg": top_leg})["route"]) == near(47.284271, 1e-6)


@pytest.mark.parametrize("n", [1, 2, 7, 30])
def test_half_crosses_in_a_row(n):
    got = work("half-cross", ["a" * n])
    assert in_u(got["route"]) == near(n * (R2 + 1) - 1)
    assert in_u(got["floor"]) == near(n * (R2 + 1) - 1)


@pytest.mark.parametrize("stitch, back", [("tent-continental", R5), ("tent-basketweave", 2)])
def test_tents_spend_their_prescribed_back(stitch, back):
    got = work(stitch, ["a" * 12])
    assert in_u(got["route"]) == near(12 * R2 + 11 * back)
    assert got["floor"] == got["route"]
    each = {"tent-continental": 3.650282, "tent-basketweave": 3.414214}[stitch]
    longer = work(stitch, ["a" * 13])
    assert in_u(longer["route"] - got["route"]) == near(each, 1e-6)


@pytest.mark.parametrize("stitch, length", [("backstitch", 3 * 10 - 2), ("double-running", 2 * 10 - 1)])
def test_a_line_of_ten(stitch, length):
    corner = [[0, 0], [4, 0], [4, 6]]  # cut off by the back of a backstitch, not by a double running
    for points in [[[0, 0], [10, 0]], [[0, 10], [0, 0]]] + [corner] * (stitch == "double-running"):
        got = work(stitch, lines=[{"symbol": "a", "points": points}])
        assert got["legs"] == got["stitches"] == 10
        assert in_u(got["route"]) == near(length)


def test_a_long_line_is_one_leg():
    for stitch, flag in (("long", False), ("backstitch", True)):
        got = work(stitch, lines=[{"symbol": "a", "points": [[0, 0], [3, 4]], "long": flag}])
        assert (got["legs"], in_u(got["route"])) == (1, near(5))
    halves = work("backstitch", lines=[{"symbol": "a", "points": [[0.5, 0.5], [2.5, 2.5]]}])
    assert halves["legs"] == 3  # split at (1, 1) and (2, 2), not at its own ends
    assert in_u(halves["total"]["front"]) == near(2 * R2)


@pytest.mark.parametrize("gap", [1, 2, 5])
def test_two_cells_apart(gap):
    got = work("cross", ["a" + "." * gap + "a"])
    # derived: a lone cross ends at its lower right, a gap away from where the next begins
    assert in_u(got["total"]["back"]) == near(2)
    assert in_u(got["total"]["carries"]) == near(gap)
    assert (got["carries"], got["new_starts"]) == (1, 0)
    assert in_u(got["floor"]) == near(4 * R2 + 3)


def test_the_carry_limits():
    apart = ["a" + "." * 5 + "a"]
    length = mm(work("cross", apart)["total"]["carries"])
    within = work("cross", apart, habits={"open_carry_mm": length + 1e-6, "covered_carry_mm": 0.1})
    beyond = work("cross", apart, habits={"open_carry_mm": length - 1e-6, "covered_carry_mm": length + 1})
    assert (within["carries"], within["new_starts"]) == (1, 0)
    assert (beyond["carries"], beyond["new_starts"]) == (0, 1)
    assert mm(beyond["route"]) == near(mm(beyond["total"]["front"] + beyond["total"]["back"]) + 60)
    assert mm(beyond["total"]["tails"]) == near(4 * 30)


def test_a_covered_way():
    # the upper row ends at its upper left; under it she reaches the upper right of the last cell below
    rows, habits = ["aaaaaaaa", ".......a"], {"open_carry_mm": 2.8, "covered_carry_mm": 20}
    covered = work("cross", rows, habits=habits)
    open_only = work("cross", rows, habits=habits | {"covered_carry_mm": 2.8})
    assert (covered["new_starts"], open_only["new_starts"]) == (0, 1)
    assert in_u(covered["total"]["carries"]) == near(math.hypot(8, 1))


def test_the_fronts_of_small_stitches():
    got = work("quarter", ["aa"])
    assert in_u(got["total"]["front"]) == near(R2)
    assert in_u(work("three-quarter", ["a"])["total"]["front"]) == near(1.5 * R2)
    assert in_u(work("upright-cross", ["a"])["total"]["front"]) == near(2)
    assert in_u(work("double-cross", ["a"])["total"]["front"]) == near(2 * R2 + 2)
    assert in_u(work("petite", ["a"])["total"]["front"]) == near(R2)


def test_unequal_counts():
    got = work("cross", ["a"], count=14, count_down_per_inch=18)
    u, v = 25.4 / 14, 25.4 / 18
    assert mm(got["total"]["front"]) == near(2 * math.hypot(u, v))
    assert mm(got["total"]["back"]) == near(v)
    told = project("cross", ["a"])
    told["fabric"] = {"kind": "evenweave", "count_per_10_cm": 14 / 0.254, "planar": True}
    assert in_u(twin.reckon(told)["n"]["route"]) == near(2 * R2 + 1)


def test_knots_and_beads():
    told = project("french-knot", knots=[{"symbol": "a", "holes": [[1, 1], [2, 1]]}])
    b = math.sqrt(2) * twin.strand_width(told["thread_lines"][0])
    got = twin.reckon(told)["n"]
    assert mm(got["total"]["front"]) == near(2 * 2 * math.pi * (0.8 + b))
    assert in_u(got["total"]["carries"]) == near(1)
    told["legend"][0] |= {"tight": True, "wraps": 3}
    assert mm(twin.reckon(told)["n"]["total"]["front"]) == near(2 * 3 * 2 * math.pi * b)
    told = project("bead-cross", ["a"])
    told["beads"] = [{"bead": "drop", "size_mm": 1.8}]
    told["legend"][0]["bead"] = "drop"
    assert mm(twin.reckon(told)["n"]["total"]["front"]) == near(2 * R2 * 25.4 / 14 + 2 * 1.8)


def test_thread_thickness():
    ne = twin.strand_width({"ne": 16, "density_g_per_cm3": 1 / 1.1, "packing": 1})
    assert ne == pytest.approx(25.4 / 112, rel=3e-3)  # the cotton rule, which its author rounded
    assert (
        twin.strand_width({"nm": 25}) == twin.strand_width({"tex": 40}) == twin.strand_width({"denier": 360})
    )
    assert twin.strand_width({"tex": 40, "strand_width_mm": 0.24}) == 0.24


def test_a_straight_piece_goes_round_the_fabric():
    # legs and links longer than the fabric is thick: a racetrack of two straights and two half circles
    t, b = 0.4, 0.3
    told = project("half-cross", ["aa"], planar=False, thickness_mm=t, hole_mm=0.0)
    told["thread_lines"][0]["strand_width_mm"] = b / math.sqrt(2)
    got = twin.reckon(told)["n"]
    half = math.pi * (t + b) / 2
    flat = (2 * R2 + 1) * 25.4 / 14
    a = half - t  # what a piece turning round the edge at both ends spends beside its length
    assert mm(got["route"]) == near(flat + 3 * a, 1e-6)
    assert mm(got["total"]["passages"]) == near(4 * a, 1e-6)


def test_the_top_leg_rides():
    told = project("cross", ["a"], planar=False)
    b = math.sqrt(2) * twin.strand_width(told["thread_lines"][0])
    length = R2 * 25.4 / 14
    assert mm(twin.reckon(told)["n"]["total"]["front"]) == near(length + 2 * math.hypot(length / 2, b), 1e-6)


def test_overrides():
    told = project("cross", ["a" * 10] * 10, habits={"needleful_mm": 900})
    told["thread_lines"].append(
        {"line": "Tinsel", "strands": 1, "tex": 30, "fibre": "polyester", "metallic": True}
    )
    told["shades"].append({"shade": "T1", "line": "Tinsel"})

    def needleful():
        got = twin.reckon(told)["n"]
        return round(mm(sum(got["total"].values())) / got["needlefuls"], 6)

    assert needleful() == 900
    told["needles"][0]["thread"].append({"shade": "T1", "strands": 1})
    assert needleful() == 350
    told["thread_lines"][0]["habits"] = {"needleful_mm": 500}
    assert needleful() == 500  # the first shade's line wins
    told["needles"][0]["thread"].reverse()
    assert needleful() == 350
    told["needles"][0]["habits"] = {"needleful_mm": 600}
    assert needleful() == 600


def test_a_loop_saves_the_start_tail():
    loop = work("cross", ["a"], habits={"start": "loop"})
    assert mm(loop["total"]["tails"]) == near(30)
    told = project("cross", ["a"], habits={"start": "loop"})
    told["needles"][0]["thread"][0]["strands"] = 3
    assert mm(twin.reckon(told)["n"]["total"]["tails"]) == near(60)


def test_needlefuls_run_out_and_leftovers_are_used():
    # u = 1 mm, four legs of 100 and links of 200: each needleful does one leg, and its leftover one more
    line = [{"symbol": "a", "points": [[100 * i, 0] for i in range(5)], "long": True}]
    got = work("backstitch", lines=line, count=25.4, habits={"needleful_mm": 450, "open_carry_mm": 250})
    assert got["needlefuls"] == 2
    assert {part: mm(pm) for part, pm in got["total"].items()} == {
        "front": 400,
        "back": 0,
        "passages": 0,
        "carries": 0,
        "tails": 8 * 30,
        "orts": 0,
        "kept": 2 * 130,
    }
    assert mm(got["route"]) == 4 * 100 + 3 * 200
    orts = work("backstitch", lines=line, count=25.4, habits={"needleful_mm": 450, "keep_leftover_mm": 291})
    assert (orts["needlefuls"], mm(orts["total"]["orts"])) == (4, 4 * 290)


def test_a_leg_longer_than_the_needleful():
    line = [{"symbol": "a", "points": [[0, 0], [200, 0]]}]
    with pytest.raises(AssertionError):
        work("long", lines=line, habits={"needleful_mm": 450})


def test_a_needle_without_work():
    got = work("cross", ["."])
    assert not any(got["total"].values())
    assert [
        got[k] for k in ("stitches", "legs", "floor", "route", "carries", "new_starts", "needlefuls")
    ] == [0] * 7


@pytest.mark.parametrize("seed", range(120))
def test_random_designs_add_up(seed):
    told = random_project(seed)
    assert told == random_project(seed) == json.loads(json.dumps(told))
    got = twin.reckon(told)
    for needle in told["needles"]:
        one, price = got[needle["needle"]], twin.price_of(told, needle)
        assert sum(one["total"].values()) == one["needlefuls"] * price.c
        assert {p: sum(part[p] for part in one["parts"].values()) for p in twin.PARTS} == one["total"]
        assert 0 <= one["floor"] <= one["route"]
        assert min(one["total"].values()) >= 0
        assert one["stitches"] <= one["legs"]
