"""Season: which pairings, what will they earn, and what is about to flood?"""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, strong
from dashboard.figures.paper import paper_page
from dashboard.figures.quantile_dots import fifty
from dashboard.figures.season import (
    Decision,
    MarginRow,
    SeasonTotal,
    SharedCosts,
    decisions,
    season_lead,
    season_table,
)
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.season import SeasonAnswer, SeasonRow, season_answer
from dashboard.records.spreadsheets.exports import Sheet, as_csv
from dashboard.screens import first_steps
from dashboard.warning_words import flood_mark, flood_sentence, harm_mark, harm_sentence
from dashboard.words import listed, number_word, plural, total
from econ.assumptions import AssumptionError
from genetics import HARMS

READING = (
    "Margin in {currency}. Dot: expected. Thick bar: half of all outcomes. Thin line: 8 in 10. "
    "Left of the upright line is a loss."
)
MOST_DECISIONS = 3


def page() -> None:
    """Show the season to come."""
    book = session.current_book()
    wanted = session.asked_for("season")
    season = int(wanted) if wanted is not None and wanted.isdigit() else None
    try:
        answer = session.computed(
            "season", lambda: season_answer(book, season, catalogue=catalogue_of(book)), parts=season
        )
    except AssumptionError as fault:
        st.title("The season can’t be valued yet", anchor=False)
        draw(note("none", f"{esc(fault)} {strong('Nothing was changed.')}"), "fault")
        return
    if not answer.rows:
        if not first_steps.show():
            _empty(answer)
        return
    _show(answer)


def _empty(answer: SeasonAnswer) -> None:
    st.title("No pairings yet", anchor=False)
    words = (
        "Enter two animals you may pair and a few prices you have seen; the first estimate needs about "
        "five minutes. Write an animal as on a label, for example "
    )
    draw(f'<p class="lead">{esc(words)}{strong("pastel het clown")}.</p>', "empty")
    with st.container(horizontal=True):
        if st.button("Enter animals and pairings", type="primary"):
            session.go("animals")
        if answer.prices == 0 and st.button("Load prices"):
            session.go("prices")


def _show(answer: SeasonAnswer) -> None:
    if _unvalued(answer) and not answer.planned:
        _cant_value(answer)
        return
    st.title(_title(answer), anchor=False)
    result = _total(answer)
    left, right = st.columns([3, 2], gap="medium")
    with left:
        if answer.planned:
            draw(_lead(answer, result), "lead")
        else:
            words = "None of the pairings below is in the plan, so only the costs of the season are left."
            draw(f'<p class="lead">{esc(words)}</p>', "lead")
    with right:
        _follow(draw(_to_decide(answer), "decisions"))
    _follow(draw(_table(answer, result), "table"))
    _faults(answer)
    _buttons(answer, result)


def _lead(answer: SeasonAnswer, result: SeasonTotal) -> str:
    values, unvalued = fifty(list(answer.outcome.draws)), _unvalued(answer)
    return season_lead(values, result, currency=answer.currency, unvalued=unvalued)


def _unvalued(answer: SeasonAnswer) -> int:
    """How many pairings of the plan have no value."""
    return sum(row.pairing.planned and row.valued is None for row in answer.rows)


def _cant_value(answer: SeasonAnswer) -> None:
    """Say why nothing in the plan has a value; no total is made up of what is left."""
    st.title(f"Season {answer.season} can’t be valued yet", anchor=False)
    _faults(answer)
    if any(row.valued is not None for row in answer.rows):
        _follow(draw(_table(answer, None), "table"))
    no_prices = answer.prices == 0
    with st.container(horizontal=True):
        if no_prices and st.button("Load prices", type="primary"):
            session.go("prices")
        if st.button("Change the plan", type="secondary" if no_prices else "primary"):
            session.go("animals")


def _follow(target: str | None) -> None:
    if target:
        session.go(target)


def _title(answer: SeasonAnswer) -> str:
    mean = answer.outcome.mean
    if mean < 0:
        return f"Season {answer.season} should lose about {total(-mean)} {answer.currency}"
    return f"Expect about {total(mean)} {answer.currency} from season {answer.season}"


def _total(answer: SeasonAnswer) -> SeasonTotal:
    low, high = answer.outcome.quantiles(0.1, 0.9)
    return SeasonTotal(answer.outcome.mean, float(low), float(high), answer.outcome.loss_chance)


def _to_decide(answer: SeasonAnswer) -> str:
    """Write the first few things to decide, and how many there are."""
    items = _decisions(answer)
    if not items:
        return decisions("Nothing needs a decision now", ())
    shown = items[:MOST_DECISIONS]
    some = number_word(len(shown), start=True)
    if len(items) > len(shown):
        some += f" of {number_word(len(items))}"
    return decisions(f"{some} {plural(len(items), 'thing')} to decide", shown)


def _decisions(answer: SeasonAnswer) -> tuple[Decision, ...]:
    """Worst news first: harm to animals, floods by their chance, pairings that lose more often than not."""
    floods, losing = [], []
    for row in answer.planned:
        if row.valued is None:
            continue
        target = _target(row)
        flood = row.flood
        if flood is not None and flood.level in {"likely", "possible"}:
            words = flood_sentence(flood, answer.currency)
            floods.append((flood.chance, Decision("flood", f"{row.name}.", words, target, "See its figures")))
        if row.valued.outcomes.loss_chance > 0.5 and (flood is None or flood.level == "already below"):
            losing.append((row, target))
    floods.sort(key=lambda pair: -pair[0])
    return (*_harmed(answer), *_doubled(answer), *(decision for _, decision in floods), *_losers(losing))


def _harmed(answer: SeasonAnswer) -> list[Decision]:
    """One decision for all planned pairings with a known harm, led by the worst of them."""
    rows = [(row, row.valued.harms) for row in answer.planned if row.valued is not None and row.valued.harms]
    if not rows:
        return []
    rows.sort(key=lambda pair: (HARMS.index(pair[1][0].note.harm), -pair[1][0].share))
    worst, harms = rows[0]
    words = harm_sentence(harms)
    if len(rows) == 1:
        return [
            Decision("welfare", f"{worst.name}.", f"{words} It is in your plan.", _target(worst), "Read why")
        ]
    name = f"{number_word(len(rows), start=True)} pairings in your plan."
    others = listed([row.name for row, _ in rows[1:]])
    text = f"{worst.name}: {words[:1].lower()}{words[1:]} Known harms too: {others}."
    return [Decision("welfare", name, text, _target(worst), "Read why of the first")]


def _doubled(answer: SeasonAnswer) -> list[Decision]:
    """One decision for each female that stands in the plan more than once."""
    text = (
        "She stands in the plan more than once, but lays a single clutch a season; the total counts all "
        "of them."
    )
    return [
        Decision("decide", f"{dam.name}.", text, "animals", "Choose one of her pairings")
        for dam in answer.doubled
    ]


def _losers(losing: list[tuple[SeasonRow, str]]) -> list[Decision]:
    """One decision for all pairings that lose more often than not."""
    if not losing:
        return []
    names = [row.name for row, _ in losing]
    verb = "loses" if len(names) == 1 else "lose"
    text = f"{verb.capitalize()} more often than not, at today’s prices too: young bring less than they cost."
    name = names[0] if len(names) == 1 else f"{number_word(len(names), start=True)} pairings"
    return [
        Decision(
            "loss", f"{name}.", text, losing[-1][1], "See the worst" if len(names) > 1 else "See its figures"
        )
    ]


def _target(row: SeasonRow) -> str:
    return f"pairing?sire={row.sire.id}&dam={row.dam.id}&season={row.pairing.season}"


def _row(row: SeasonRow) -> MarginRow | None:
    if row.valued is None:
        return None
    outcomes, budget = row.valued.outcomes, row.valued.budget
    marks = [harm_mark(row.valued.harms)] if row.valued.harms else []
    if row.flood is not None and row.flood.level in {"likely", "possible"}:
        marks.append(flood_mark(row.flood))
    if outcomes.loss_chance > 0.5:
        marks.append(("loss", ""))
    low, quarter, half, upper, high = (float(q) for q in outcomes.quantiles(0.1, 0.25, 0.5, 0.75, 0.9))
    return MarginRow(
        link=_target(row),
        name=row.name,
        sub=row.valued.genes,
        marks=tuple(marks),
        quantiles=(low, quarter, half, upper, high),
        mean=budget.margin,
        loss_chance=outcomes.loss_chance,
        price_each=budget.price_each,
        price_needed=row.valued.points.price,
        left_out=not row.pairing.planned,
    )


def _table_title(answer: SeasonAnswer) -> str:
    valued = [row for row in answer.rows if row.valued is not None]
    short = [row for row in valued if row.valued is not None and row.valued.outcomes.loss_chance > 0.5]
    clear = len(valued) - len(short)
    if not valued:
        return "None of the pairings can be valued yet"
    if not short:
        many = "The pairing clears its" if clear == 1 else f"All {number_word(clear)} pairings clear their"
        return f"{many} costs in most seasons"
    if clear == 0:
        return "No pairing clears its costs in most seasons"
    verb = "clears its" if clear == 1 else "clear their"
    of_all = f"{number_word(clear, start=True)} of {number_word(len(valued))} pairings"
    start = f"{of_all} {verb} costs in most seasons"
    if len(short) > 2:
        return start
    names = listed([row.name for row in short])
    return f"{start}; {names} {'does' if len(short) == 1 else 'do'} not"


def _table(answer: SeasonAnswer, result: SeasonTotal | None) -> str:
    rows = [shown for shown in (_row(row) for row in answer.rows) if shown is not None]
    names = "; ".join(line.name.lower() for line in answer.shared.lines if line.amount > 0)
    return season_table(
        _table_title(answer),
        READING.format(currency=answer.currency),
        rows=rows,
        plan_total=answer.outcome.pairings_mean,
        shared_costs=SharedCosts("Costs no single pairing causes", names, answer.shared.total),
        total=result,
        currency=answer.currency,
    )


def _faults(answer: SeasonAnswer) -> None:
    """Say why pairings have no value, each reason once."""
    reasons: dict[str, list[str]] = {}
    for row in answer.rows:
        if row.fault:
            reasons.setdefault(row.fault, []).append(row.name)
    for number, (fault, names) in enumerate(reasons.items()):
        text = f"{strong(listed(names))} can’t be valued. {esc(fault)}"
        draw(note("none", text), f"fault-{number}")


def _buttons(answer: SeasonAnswer, result: SeasonTotal) -> None:
    with st.container(horizontal=True):
        if st.button("Change the plan", type="primary"):
            session.go("animals")
        st.download_button(
            "Season plan to print",
            data=lambda: _paper(answer, result),
            file_name=f"season-{answer.season}.html",
            mime="text/html",
            on_click="ignore",
        )
        st.download_button(
            "Table as CSV",
            data=lambda: as_csv(_sheet(answer)),
            file_name=f"season-{answer.season}.csv",
            mime="text/csv",
            on_click="ignore",
        )


def _paper(answer: SeasonAnswer, result: SeasonTotal) -> bytes:
    parts = [_lead(answer, result)] if answer.planned else []
    parts += [_to_decide(answer), _table(answer, result)]
    caution = "An estimate with error bars from your own figures; no advice on investment or tax."
    return paper_page(_title(answer), parts, note=caution).encode("utf-8")


def _sheet(answer: SeasonAnswer) -> Sheet:
    heads = (
        "pairing",
        "genes",
        "in the plan",
        f"expected margin, {answer.currency}",
        "8 in 10 from",
        "8 in 10 to",
        "chance of loss",
        "forecast price each",
        "price needed",
        "flood",
        "chance of flood",
        "welfare",
    )
    rows = []
    for row in answer.rows:
        shown = _row(row)
        if shown is None or row.valued is None:
            continue
        rows.append(
            (
                row.name,
                row.valued.genes,
                "yes" if row.pairing.planned else "no",
                round(shown.mean, 2),
                round(shown.quantiles[0], 2),
                round(shown.quantiles[4], 2),
                round(shown.loss_chance, 4),
                round(row.valued.budget.price_each, 2),
                None if shown.price_needed is None else round(shown.price_needed, 2),
                "" if row.flood is None else row.flood.level,
                None if row.flood is None else round(row.flood.chance, 4),
                harm_sentence(row.valued.harms) if row.valued.harms else "",
            )
        )
    return Sheet(f"season {answer.season}", heads, tuple(rows))
