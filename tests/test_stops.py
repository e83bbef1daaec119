"""Stacks, touches, stops and chains: hand-worked values, limits, and what is typed wrong."""

import numpy as np
import pytest

from springpass import measuring, stops
from springpass.core import tables
from springpass.core.quantity import Refused

# ---- stacks -------------------------------------------------------------------------------------


def test_a_stack_behaves_like_its_blocks():
    stack = stops.gauge_stack(32.0, "112")
    assert len(stack) == 2 and sum(stack) == pytest.approx(32.0) and stack[-1] == max(stack) and 25.0 in stack
    assert stack.exact and stack.off == 0 and stack.length == 32.0
    assert stack == [7.0, 25.0] and stack == stops.gauge_stack(32, "112") and stack != stops.gauge_stack(33, "112")
    assert np.sum(stack) == 32.0 and len({stack, stops.gauge_stack(32, 112)}) == 1


def test_of_equal_stacks_the_one_with_the_larger_block():
    assert list(stops.gauge_stack(35.5, "112")) == [10.5, 25.0]


@pytest.mark.parametrize("length", [0.5, 1.0, 1.0005, 2.0005, 24.5, 25, 50, 75, 100, 250, 933.7955])
def test_the_ends_of_the_112_set(length):
    stack = stops.gauge_stack(length, "112")
    assert sum(stack) == pytest.approx(length, abs=1e-9) and len(set(stack)) == len(stack)


def test_the_whole_box():
    assert len(stops.gauge_stack(188.955, "32")) == 32


def test_protectors_come_out_of_the_length_and_are_counted_in_again():
    stack = stops.gauge_stack(40.0, "112", protectors=(2, 2))
    assert sum(stack) == pytest.approx(36.0) and stack.length == 40.0 and stack.protectors == (2.0, 2.0)
    assert stack.in_mm[0] == stack.in_mm[-1] == 2.0
    assert sum(stops.gauge_stack(40.0, "112", protectors=[2])) == pytest.approx(38.0)


def test_missing_blocks_are_not_used():
    whole = stops.gauge_stack(32.0, "112")
    without = stops.gauge_stack(32.0, "112", missing=tuple(whole))
    assert not set(without) & set(whole) and sum(without) == pytest.approx(32.0)


def test_your_own_box():
    box = stops.read_set("1,005 1.01; 1.02\n2 5 # a note 99\n10 mm".replace(" mm", "mm"))
    assert box.sizes == (1.005, 1.01, 1.02, 2.0, 5.0, 10.0)
    assert list(stops.gauge_stack(6.005, box)) == [1.005, 5.0]
    assert list(stops.gauge_stack(6.005, [5, 1.005])) == [1.005, 5.0]


def test_the_user_may_ask_in_the_other_unit():
    assert stops.gauge_stack(1.0, "112", unit="inch").length == 25.4
    assert stops.gauge_stack(25.4, "81", unit="mm").blocks == (1.0,)
    assert stops.gauge_stack("12,5", "112").length == 12.5


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: stops.gauge_stack(0.7, "112"), "0.5 mm"),
        (lambda: stops.gauge_stack(32.0003, "112"), "nearest"),
        (lambda: stops.gauge_stack(2000, "112"), "nearest"),
        (lambda: stops.gauge_stack(0, "112"), "above zero"),
        (lambda: stops.gauge_stack(-3, "112"), "above zero"),
        (lambda: stops.gauge_stack(np.nan, "112"), "finite number"),
        (lambda: stops.gauge_stack(np.inf, "112"), "finite number"),
        (lambda: stops.gauge_stack("long", "112"), "not a number"),
        (lambda: stops.gauge_stack(None, "112"), "a number"),
        (lambda: stops.gauge_stack("", "112"), "Nothing was typed"),
        (lambda: stops.gauge_stack(1e9, "112"), "far longer"),
        (lambda: stops.gauge_stack(32, "113"), "no set"),
        (lambda: stops.gauge_stack(3, "112", protectors=(2, 2)), "protectors"),
        (lambda: stops.gauge_stack(32, "112", protectors=(2, -2)), "protector"),
        (lambda: stops.gauge_stack(32, "112", missing=(26.5,)), "no such block"),
        (lambda: stops.gauge_stack(32, "112", unit="yard"), "mm or inch"),
        (lambda: stops.gauge_stack(3, [5], missing=[5]), "Every block"),
        (lambda: stops.read_set("1.005 1.01 1.005"), "twice"),
        (lambda: stops.read_set("1.01\n1.o2"), "line 2"),
        (lambda: stops.read_set("1 -2"), "between 0"),
        (lambda: stops.read_set("1.00001"), "finer"),
        (lambda: stops.read_set("10000"), "between 0"),
        (lambda: stops.read_set(""), "No sizes"),
        (lambda: stops.read_set(" ".join(str(i) for i in range(1, 300))), "250"),
        (lambda: stops.read_set("1", "ell"), "mm or inch"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(call, says):
    with pytest.raises(Refused, match="(?i)" + says):
        call()


def test_every_wrong_line_is_named_at_once():
    with pytest.raises(Refused, match=r"1\.o1.*line 1.*twice.*line 2") as refusal:
        stops.read_set("1.o1 2\n3 3\n-1")
    assert "line 3" in str(refusal.value)


def test_the_nearest_when_none_fits():
    near = stops.gauge_stack(0.7, "112", nearest=True)
    assert near.blocks == (0.5,) and near.off == pytest.approx(-0.2) and not near.exact
    assert stops.gauge_stack(0.8, "112", nearest=True).blocks == (1.0,)


# ---- block and dial -----------------------------------------------------------------------------


def test_block_and_dial():
    assert stops.split(32.0)[0] == stops.Split((25.0,), 7.0, True, "mm")
    odd = stops.split(32.347)
    assert odd[0].blocks == (25.0,) and odd[0].dial == pytest.approx(7.347) and not odd[0].on_line
    assert odd[1].on_line and len(odd[1].blocks) == 2 and odd[1].block_length + odd[1].dial == pytest.approx(32.347)
    assert stops.split(7.5)[0].blocks == ()
    assert all(abs(s.block_length + s.dial - 140.01) < 1e-9 and 0 <= s.dial <= 25 for s in stops.split(140.01))


@pytest.mark.parametrize(("call", "says"), [
    (lambda: stops.split(60, [5, 10], travel=13), "longer dial"), (lambda: stops.split(32, travel=0), "above zero"),
    (lambda: stops.split(32, step=float("nan")), "division"), (lambda: stops.split(-1), "above zero"),
    (lambda: stops.split("x"), "not a number")])
def test_splits_that_cannot_be(call, says):
    with pytest.raises(Refused, match="(?i)" + says):
        call()


# ---- how sure -----------------------------------------------------------------------------------


def test_grade_and_wringing_by_hand():
    # two 10 mm steps of grade 1 (te 0.20 and 0.30 µm) and one film of ±0.02 µm, all rectangular:
    # u = sqrt(0.20² + 0.30² + 0.02²)/sqrt 3 = 0.2085 µm
    result = stops.stack_budget((10.0, 20.0), "1", rise_doubt=0.0)
    assert result.uncertainty * 1000 == pytest.approx(np.sqrt(0.04 + 0.09 + 0.0004) / np.sqrt(3), abs=1e-6)
    better = stops.stack_budget((10.0, 20.0), "0", rise_doubt=0.0)
    worse = stops.stack_budget((10.0, 20.0), "1", "blocks in the workshop", rise_doubt=0.0)
    assert better.uncertainty < result.uncertainty < worse.uncertainty


def test_more_films_more_doubt_and_equal_protectors_count_twice():
    one, two = (
        stops.stack_budget(stops.gauge_stack(32.0, "112")),
        stops.stack_budget(stops.gauge_stack(32.0, "112", protectors=(2, 2))),
    )
    assert two.uncertainty > one.uncertainty and sum(line.name.split(": ")[-1] == "2" for line in two.lines) == 2


def test_depth_by_hand():
    # touch ±0.010 and stop ±0.008 twice (two sigma): u = sqrt(5² + 4² + 4²) = 7.55 µm, blocks and warmth add a little
    result = stops.depth_budget(32.0, "magnifier", "micrometer stop", rise_doubt=0.0)
    assert result.value == pytest.approx(32.0)
    assert result.uncertainty * 1000 == pytest.approx(7.55, abs=0.03)


def test_warm_work_gives_a_shallow_hole():
    # 32 mm, 12e-6/K, 20 K: 7.68 µm short when cold
    warm = stops.depth_budget(32.0, rise=20.0, rise_doubt=0.0)
    assert (32.0 - warm.value) * 1000 == pytest.approx(7.68, abs=0.01)


def test_touches_in_order_of_trust():
    spreads = [stops.depth_budget(32, touch).uncertainty for touch in ("indicator", "by feel", "magnifier", "by eye")]
    assert spreads == sorted(spreads)
    assert stops.depth_budget(32, set_by="dial").uncertainty > stops.depth_budget(32).uncertainty


def test_trade_facts_are_marked_common_practice():
    for kind in ("touch", "stop"):
        for name in stops.names_of(kind):
            doubt, fact = stops.spread_of(kind, name)
            assert fact.basis == "common practice" and fact.low <= fact.value <= fact.high and doubt.u > 0
    _, magnifier = stops.spread_of("touch", "magnifier")
    assert magnifier.value == 0.01  # a magnifier touch-off is good to about a hundredth
    assert (
        "set a stop with a gauge block" in tables.row("touch_off", kind="stop", name="gauge block at the stop")["says"]
    )


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: stops.depth_budget(0), "above zero"),
        (lambda: stops.depth_budget("deep"), "not a number"),
        (lambda: stops.depth_budget(32, "by smell"), "by eye"),
        (lambda: stops.depth_budget(32, stop="a brick"), "touch_off"),
        (lambda: stops.depth_budget(32, set_by="guess"), "dial"),
        (lambda: stops.grade_limits(10, "00"), "grade"),
        (lambda: stops.grade_limits(700, "1"), "outside"),
        (lambda: stops.stack_budget(()), "no block"),
    ],
)
def test_budgets_that_cannot_be(call, says):
    with pytest.raises(Refused, match=says):
        call()


# ---- chains -------------------------------------------------------------------------------------


def test_chain_formulas_by_hand():
    assert stops.from_one_zero(0.03, 0.04) == pytest.approx(0.05)
    assert stops.from_each_other(0.03, 0.04, 4) == pytest.approx(0.10)
    assert stops.between_two(0.05) == pytest.approx(0.0707107)


def test_chain_three_ways_by_hand():
    chain = stops.chain(
        [stops.Link("whole", 85, 0.1), stops.Link("flange", 12, 0.05, -1), stops.Link("neck", 30, 0.05, -1)]
    )
    assert chain.length == pytest.approx(43) and chain.worst == pytest.approx(0.2)
    assert chain.rss == pytest.approx(np.sqrt(0.01 + 0.0025 + 0.0025))
    assert chain.shares(0.2) == pytest.approx((0.5, 0.25, 0.25))
    assert -chain.worst < chain.low - 43 < 0 < chain.high - 43 < chain.worst
    assert chain.odds(0.2) == 1 and 0.5 < chain.odds(0.1) < 0.95


def test_one_link_is_its_own_worst_case():
    chain = stops.chain([stops.Link("only", 10, 0.1)], 50_000)
    assert chain.worst == chain.rss == 0.1 and chain.high - 10 == pytest.approx(0.095, abs=0.0005)


PLACES = (12, 30, 58, 85)


def test_why_the_same_zero_matters():
    one = [stops.shoulder_chain(PLACES, 0, n, stops.ONE_ZERO, "ink", "micrometer stop") for n in range(1, 5)]
    each = [stops.shoulder_chain(PLACES, 0, n, stops.EACH_OTHER, "ink", "micrometer stop") for n in range(1, 5)]
    assert len({round(chain.rss, 9) for chain in one}) == 1                  # from one zero every shoulder is as good
    assert [c.rss / each[0].rss for c in each] == pytest.approx(np.sqrt([1, 2, 3, 4]))
    assert [c.worst / each[0].worst for c in each] == pytest.approx([1, 2, 3, 4])
    assert one[0].rss == pytest.approx(stops.from_one_zero(0.01, 0.008))
    assert each[3].rss == pytest.approx(stops.from_each_other(0.01, 0.008, 4))


def test_between_two_shoulders_the_common_zero_drops_out():
    both = stops.shoulder_chain(PLACES, 1, 3, stops.ONE_ZERO, stop="micrometer stop")
    assert both.rss == pytest.approx(stops.between_two(0.008)) and both.length == 46
    assert not any("touch" in link.name for link in both.links)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: stops.chain([]), "at least one"),
        (lambda: stops.chain([stops.Link("a", 1, -0.1)]), "zero or more"),
        (lambda: stops.chain([stops.Link("a", np.nan, 0.1)]), "needs a length"),
        (lambda: stops.chain([stops.Link("a", 1, 0.1, 2)]), "counts"),
        (lambda: stops.shoulder_chain((12, 12), 0, 1), "rising"),
        (lambda: stops.shoulder_chain((), 0, 1), "rising"),
        (lambda: stops.shoulder_chain((12, 30), 2, 1), "Choose two"),
        (lambda: stops.shoulder_chain((12, 30), 0, 3), "Choose two"),
        (lambda: stops.shoulder_chain((12, "x"), 0, 1), "not a number"),
        (lambda: stops.shoulder_chain((12,), 0, 1, "any way"), "not"),
    ],
)
def test_chains_that_cannot_be(call, says):
    with pytest.raises(Refused, match=says):
        call()


def test_every_row_of_the_tables_says_where_it_is_from():
    for table in ("gauge_sets", "gauge_grades", "touch_off", "instruments"):
        for row in tables.rows(table):
            assert row["source"] and row["place"] and row["basis"] in tables.BASES
    assert {row["distribution"] for row in tables.rows("touch_off")} <= set(measuring.SHAPES)


# ---- what the pages keep and say ----------------------------------------------------------------


def test_your_own_box_is_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    from springpass.pages.stops import OWN, STACK

    assert "example" in STACK.answer(which=OWN, length="32").words
    said = STACK.presses[0].does(**STACK.values(which=OWN, own="1,005 2 5 25", missing="2"))
    assert "3 blocks" in said
    kept = STACK.answer(which=OWN, length="6.005")
    assert list(kept.result.stack) == [1.005, 5.0] and "no shorter way" in kept.words
    with pytest.raises(Refused, match="twice"):
        STACK.presses[0].does(**STACK.values(which=OWN, own="1.005 1.005"))
    assert list(STACK.answer(which=OWN, length="6.005").result.stack) == [1.005, 5.0]


def test_the_stack_page_gives_the_nearest_and_the_split():
    from springpass.pages.stops import STACK

    answer = STACK.answer(length="32.0003")
    assert "No stack" in answer.words and "nearest" in answer.words and not answer.result.stack.exact
    assert "on the dial" in STACK.answer(length="32").words and "<td>25</td>" in STACK.answer(length="32").more
    assert list(STACK.answer(length="3.9762 inch", which="81").result.stack) == [0.1002, 0.126, 0.75, 3.0]
    with pytest.raises(Refused):
        STACK.answer(length="ninety")


def test_one_zero_is_better_on_the_shoulder_page():
    from springpass.pages.stops import SHOULDERS

    each, one = SHOULDERS.answer(), SHOULDERS.answer(way=stops.ONE_ZERO)
    assert "Set all from one zero, the same length would be good to ±11 µm" in each.words
    assert "Set each from the one before, the same length would be good only to ±22 µm" in one.words
    assert each.result.chains[-1][2].worst == pytest.approx(4 * one.result.chains[-1][2].worst)
    assert "touch on the face: 40 %" in each.more and "random sampling" in each.more


def test_the_forgotten_paper_is_named():
    from springpass.pages.stops import DEPTH

    assert "100 µm too shallow" in DEPTH.answer(touch="paper").words and "forget" not in DEPTH.answer().words


# ---- nonsense -----------------------------------------------------------------------------------
