"""Shows every figure with invented data, for looking at and for the browser checks of the figures.

Started by the browser tests; by hand, from the dashboard folder:
``PYTHONPATH=.. streamlit run ../tests/dashboard/figures/gallery.py``.
Every animal, price and amount in it is invented.
"""

from __future__ import annotations

import numpy as np
import streamlit as st
from gallery_prices import plain_page, prices_page

from dashboard.figures import pairing, season
from dashboard.figures.component import draw, palette_now, scheme_watch, show_chart
from dashboard.figures.marks import marked_note
from dashboard.figures.markup import lead, strong
from dashboard.figures.page_style import PAGE_CSS, logo
from dashboard.figures.quantile_dots import fifty
from dashboard.words import money, rng, total

RNG = np.random.default_rng(20271)
MARKET = RNG.normal(size=4000)


def invented_margins(price: float, spread: float, cost: float, *, hatch: float = 0.89) -> np.ndarray:
    young = RNG.binomial(7, hatch, 4000) * (RNG.random(4000) > 0.06)
    swing = 0.6 * MARKET + 0.8 * RNG.normal(size=4000)
    return young * price * np.exp(spread * swing - spread**2 / 2) - cost - 6 * young


PAIRINGS = (
    ("Ember × Sorrel", "clown × desert ghost het clown", 370, 0.62, 390, (), False),
    ("Basalt × Tansy", "pastel het clown × enchi clown", 262, 0.34, 360, (), False),
    ("Ember × Moth", "clown × clown", 232, 0.52, 390, (("flood", ": 2.4 × what sells"),), False),
    ("Quill × Nettle", "banana (from sire) × het pied", 168, 0.34, 355, (), False),
    ("Slate × Juniper", "spider pinstripe × pastel", 150, 0.30, 355, (("welfare", ": may wobble"),), True),
    ("Basalt × Fennel", "pastel het clown × mojave", 112, 0.30, 350, (), False),
    ("Quill × Larch", "banana (from sire) × pastel", 61, 0.30, 350, (("loss", ""),), False),
)


def margin_rows() -> tuple[list[season.MarginRow], np.ndarray]:
    rows, plan = [], np.full(4000, -950.0)
    for number, (name, genes, each, spread, cost, marks, out) in enumerate(PAIRINGS, 1):
        margins = invented_margins(each, spread, cost)
        plan = plan + (0 if out else margins)
        points = tuple(float(v) for v in np.percentile(margins, (10, 25, 50, 75, 90)))
        rows.append(
            season.MarginRow(
                link=f"pairing?id={number}",
                name=name,
                sub=genes,
                marks=marks,
                quantiles=points,
                mean=float(margins.mean()),
                loss_chance=float((margins < 0).mean()),
                price_each=each,
                price_needed=cost / 5.8 + 6,
                left_out=out,
            )
        )
    return sorted(rows, key=lambda r: -r.mean), plan


def season_page() -> None:
    rows, plan = margin_rows()
    low, high = np.percentile(plan, (10, 90))
    result = season.SeasonTotal(float(plan.mean()), float(low), float(high), float((plan < 0).mean()))
    st.title(f"Expect about {total(result.mean)} EUR from season 2027")
    left, right = st.columns([3, 2], gap="medium")
    with left:
        draw(season.season_lead(fifty(plan), result, currency="EUR"), "lead")
    with right:
        items = (
            season.Decision(
                "welfare",
                "Slate × Juniper.",
                "About half the young may wobble, so it is left out of the plan.",
                "pairing?id=5",
                "Read why",
            ),
            season.Decision(
                "flood",
                "Ember × Moth.",
                "By 2028 about 2.4 times as many clowns will be offered as were sold last year.",
                "pairing?id=3",
                "See the pairing without it",
            ),
        )
        draw(season.decisions("Two things to decide", items), "decide")
    planned = sum(r.mean for r in rows if not r.left_out)
    html = season.season_table(
        "Six of seven pairings clear their costs in most seasons; Quill × Larch does not",
        "Margin in EUR. Dot: expected. Thick bar: half of all outcomes. Thin line: 8 in 10. "
        "Left of the upright line is a loss.",
        rows=rows,
        plan_total=planned,
        shared_costs=season.SharedCosts("Costs no single pairing causes", "room, tools, permits", 950),
        total=result,
        currency="EUR",
    )
    went = draw(html, "ledger")
    if went:
        st.write(f"went to {went}")
    with st.container(horizontal=True):
        st.button("Choose the plan for me", type="primary")
        st.button("Print the season plan")
        st.download_button("Table as CSV", data="x", on_click="ignore")
    moves = (
        season.Moved("Ember × Moth", "12 new prices: clown asked 260, was 310", 1640, 930, "pairing?id=3"),
        season.Moved("Quill × Nettle", "Nettle proved het pied by her 2026 clutch", 450, 590),
        season.Moved("Quill × Larch", "Weaned rats rose from 1.10 to 1.25", 40, -30),
    )
    reading = "Hollow dot: then. Filled dot: now. EUR."
    draw(
        season.moved_table("Since 2 November three expectations moved", reading, rows=moves, currency="EUR"),
        "moved",
    )


BUDGET = (
    pairing.BudgetLine("Sales: 5.8 young at 262", "", 1520, "income"),
    pairing.BudgetLine("Advertising and fees", "", -74, "cost"),
    pairing.BudgetLine("Feeding the young until sold", "", -96, "cost"),
    pairing.BudgetLine("Share of feeding Basalt and Tansy", "", -118, "cost"),
    pairing.BudgetLine("Housing, heat and light", "", -64, "cost"),
    pairing.BudgetLine("Incubation, vet, sundries", "", -38, "cost"),
    pairing.BudgetLine("Margin", "", 1130, "margin"),
)
LOSING = (
    pairing.BudgetLine("Sales: 5.8 young at 61", "", 354, "income"),
    pairing.BudgetLine("Feeding", "", -210, "cost"),
    pairing.BudgetLine("Housing, heat and light", "", -180, "cost"),
    pairing.BudgetLine("Margin", "", -36, "margin"),
)
ASSUMPTIONS = (
    (pairing.AssumptionLine("Price of a clown in autumn 2027", "132", "256", 640, 1760), 184.0, 5.0),
    (pairing.AssumptionLine("Eggs that hatch", "4", "8", 700, 1540), 5.8, 0.1),
    (pairing.AssumptionLine("Months until sold", "3", "14", 1190, -80), 6.0, 1.0),
    (pairing.AssumptionLine("A rat, weaned, EUR", "1.10", "1.45", 1150, 1090), 1.25, 0.05),
)
LOOKS = (
    ("pastel enchi clown", "shows it", 510, 700),
    ("enchi clown", "shows it", 310, 430),
    ("pastel clown", "shows it", 260, 365),
    ("clown", "shows it", 170, 240),
    ("pastel enchi het clown", "het certain: Tansy is clown", 100, 135),
    ("enchi het clown", "het certain", 70, 90),
)


def pairing_page() -> None:
    margins = invented_margins(262, 0.34, 360)
    low, high = np.percentile(margins, (10, 90))
    draw(
        marked_note(
            "welfare",
            "About half of these young may wobble.",
            text="The balance fault comes with the gene and cannot be bred out. Ask a veterinarian who knows "
            "reptiles.",
        ),
        "welfare",
    )
    st.title(f"Basalt × Tansy should leave {money(margins.mean())} EUR")
    left, right = st.columns([3, 2], gap="medium")
    with left:
        draw(lead(f"In 8 of 10 seasons between {strong(money(low))} and {strong(money(high))}."), "lead")
        st.header(pairing.outcome_title(margins))
        figure = pairing.outcome_dots(margins, "EUR", palette_now())
        show_chart(figure, "outcomes", pairing.outcome_alt(margins, "EUR"))
    with right:
        facts = (
            pairing.NeedFact("Or by number: young that must sell at forecast", "1.5", "of 5.8"),
            pairing.NeedFact("Or by time: still above break-even if all sell by", "2029-03"),
        )
        draw(
            pairing.needs_strip(
                68,
                262,
                q10=168,
                q25=208,
                q75=325,
                q90=388,
                currency="EUR",
                reading="Mean price over the clutch when sold, autumn 2027, EUR.",
                facts=facts,
            ),
            "needs",
        )
    draw(
        pairing.budget_table(
            "Three quarters of what the clutch brings is margin",
            "Budget for the expected clutch, EUR. Your own hours are not counted.",
            lines=BUDGET,
            margin_low=float(low),
            margin_high=float(high),
            currency="EUR",
        ),
        "budget",
    )
    st.header("The answer hangs most on the price; change what you know better")
    shared = pairing.assumption_scale([a for a, _, _ in ASSUMPTIONS], 1130)
    for index, (line, value, step) in enumerate(ASSUMPTIONS):
        wide, narrow = st.columns([5, 1], vertical_alignment="center", gap="small")
        with wide:
            draw(pairing.assumption_row(line, shared, now=1130, currency="EUR"), f"assumption{index}")
        with narrow:
            st.number_input(line.name, value=value, step=step, label_visibility="collapsed")
    looks = [
        pairing.LookLine(name, sure, brings, 0.7, 0.4, 0.4, 0.54, each, 0.7 * each, 1.3 * each)
        for name, sure, brings, each in LOOKS
    ]
    looks.append(pairing.LookLine("normal", "shows nothing", None, 0.7, 0.3, 0.4, 0.5, None))
    draw(
        pairing.looks_table(
            "Half the young are clowns and bring four fifths of the money",
            "Expected from 5.8 young. Every non-clown carries clown for certain, because Tansy shows it.",
            rows=looks,
            currency="EUR",
            others=pairing.OtherLooks(19, 40, 0.3, 0.2, "others"),
        ),
        "looks",
    )
    draw(
        pairing.budget_table(
            "Sales do not cover the costs",
            f"Budget, EUR. 8 in 10: {rng(-180, 140)}.",
            lines=LOSING,
            margin_low=-180,
            margin_high=140,
            currency="EUR",
        ),
        "losing",
    )


def main() -> None:
    st.set_page_config(page_title="Figures", layout="wide")
    pages = [
        st.Page(season_page, title="Season", url_path="season", default=True),
        st.Page(pairing_page, title="Pairing", url_path="pairing"),
        st.Page(prices_page, title="Prices", url_path="prices"),
        st.Page(plain_page, title="Plain", url_path="plain"),
    ]
    chosen = st.navigation(pages, position="top")
    st.logo(logo(palette_now()), size="medium")
    st.html(f"<style>{PAGE_CSS}</style>")
    with st.container(key="demo", horizontal=True, vertical_alignment="center", gap="small"):
        st.markdown("**Demo book:** everything in it is invented.", width="stretch")
        st.button("Start my own book", type="tertiary")
    chosen.run()
    scheme_watch()


main()
