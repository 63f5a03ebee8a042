"""The season's ledger: one row a pairing, every step down to the result, welfare above the name."""

from __future__ import annotations

from dataclasses import replace

from dashboard.figures import season

from .reading import having, labels, rows, tree, words

ROW = season.MarginRow(
    link="pairing?id=3",
    name="Basalt × Tansy",
    sub="pastel het clown × enchi clown",
    marks=(("flood", ": 2.4 × what sells"), ("welfare", ": may wobble")),
    quantiles=(420, 800, 1100, 1500, 2010),
    mean=1130,
    loss_chance=0.06,
    price_each=262,
    price_needed=68,
)
TOTAL = season.SeasonTotal(3670, 800, 7100, 0.03)


def table(*margin_rows, shared=None, currency="EUR"):
    return tree(
        season.season_table(
            "Pairings",
            "Margin in EUR.",
            rows=margin_rows,
            plan_total=4620,
            shared_costs=shared,
            total=TOTAL,
            currency=currency,
        )
    )


def test_a_row_says_all_of_a_pairing():
    cells = rows(table(ROW))[0]
    assert cells[2:] == [
        "Expected1\u202f130420 to 2\u202f010",
        "Chance of loss6 in 100",
        "Price each262needs 68",
    ]
    assert "expected 1\u202f130, 8 in 10 outcomes from 420 to 2\u202f010 EUR" in labels(table(ROW))


def test_welfare_stands_above_the_name_and_money_below():
    name = rows(table(ROW))[0][0]
    places = [
        name.index(part) for part in ("Welfare: may wobble", "Basalt × Tansy", "pastel het clown", "Flood")
    ]
    assert places == sorted(places)


def test_the_sums_show_every_step():
    found = rows(table(ROW, ROW, replace(ROW, left_out=True), shared=season.SharedCosts("Room", "heat", 950)))
    assert [row[0] for row in found[3:]] == ["Two pairings in the plan", "Roomheat", "Season"]
    assert [row[2] for row in found[3:]] == [
        "Expected4\u202f620",
        "Taken off−950",
        "Expected3\u202f670800 to 7\u202f100",
    ]
    assert found[-1][3] == "Chance of loss3 in 100"


def test_without_shared_costs_there_is_no_such_row():
    assert [row[0] for row in rows(table(ROW))[1:]] == ["One pairing in the plan", "Season"]


def test_a_left_out_pairing_is_pale_and_says_so_in_words():
    found = table(replace(ROW, left_out=True))
    assert len(having(found, "left-out")) == 1
    assert "left out" in rows(found)[0][0]


def test_an_unknown_price_reads_can_t_say_and_where_none_breaks_even_that_is_said():
    found = rows(table(replace(ROW, price_each=None, price_needed=None)))[0][4]
    assert found == "Price eachcan't sayno price breaks even"


def test_without_a_total_no_sum_is_shown():
    html = season.season_table(
        "Pairings", "", rows=[ROW], plan_total=0, shared_costs=None, total=None, currency="EUR"
    )
    assert len(rows(tree(html))) == 1


def test_the_lead_says_which_pairings_its_figures_leave_out():
    values = [float(v) for v in range(50)]
    one = words(tree(season.season_lead(values, TOTAL, currency="EUR", unvalued=1)))
    assert "and fixed costs, without the one pairing that can’t be valued." in one
    two = words(tree(season.season_lead(values, TOTAL, currency="EUR", unvalued=2)))
    assert "without the two pairings that can’t be valued." in two


def test_all_rows_share_one_scale_whatever_the_size_of_the_money():
    small = replace(ROW, mean=-30, quantiles=(-180, -90, -30, 40, 140))
    found = table(ROW, small)
    zero = float(found.find("table").get("style").removeprefix("--zero:").removesuffix("%"))
    assert 0 < zero < 20
    huge = replace(ROW, mean=2e10, quantiles=(-1e9, 1e10, 2e10, 3e10, 4e10))
    assert "20 billion" in words(table(huge, currency="IDR"))


def test_a_name_leads_to_its_pairing_and_is_escaped():
    found = table(replace(ROW, name="<b>x</b>"))
    assert [link.get("data-go") for link in found.iter("a")] == ["pairing?id=3"]
    assert "<b>x</b>" in rows(found)[0][0]


def test_the_lead_says_range_and_loss_and_draws_the_dots():
    found = tree(season.season_lead([float(v) for v in range(-2, 48)], TOTAL, currency="EUR"))
    assert words(found).startswith(
        "In 8 of 10 seasons between 800 and 7\u202f100, after feeding, housing and fixed costs. "
        "Of 100 such seasons 3 would end with a loss."
    )
    assert len(having(found, "outcome")) == 50


def test_decisions_name_kind_pairing_and_way_out():
    item = season.Decision("flood", "Ember × Moth.", "By 2028 <much> more.", "pairing?id=3", "See it")
    found = tree(season.decisions("One thing to decide", [item]))
    assert words(having(found, "note")[0]) == "≋ Flood Ember × Moth. By 2028 <much> more. See it"
    assert "flood" in having(found, "note")[0].get("class").split()


def test_moves_show_then_now_and_the_signed_change():
    moves = [
        season.Moved("Ember × Moth", "12 new prices", 1640, 930),
        season.Moved("Quill", "", -30, 140, "pairing?id=1"),
    ]
    found = tree(season.moved_table("Two moved", "Hollow: then.", rows=moves, currency="EUR"))
    assert [row[2:] for row in rows(found)] == [["1\u202f640 → 930", "−710"], ["−30 → 140", "+170"]]
    assert labels(found)[0] == "from 1\u202f640 to 930 EUR"


def test_what_is_to_decide_is_not_said_to_be_unknown():
    item = season.Decision("decide", "Tansy.", "Twice in the plan.", "animals", "Choose")
    found = having(tree(season.decisions("One thing to decide", [item])), "note")[0]
    assert words(found) == "□ To decide Tansy. Twice in the plan. Choose"
    assert "plain" in found.get("class").split()
