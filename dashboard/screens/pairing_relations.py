"""Pairing, beneath the money: how sire and dam are related, and which pairings here are the closest."""

from __future__ import annotations

from decimal import Decimal

import streamlit as st

from dashboard import relation_words, session
from dashboard.figures.component import draw
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import esc, heading, strong
from dashboard.figures.relations import PairLine, PathLine, pairs_table, paths_table
from dashboard.jobs.pairing import PairingAnswer
from dashboard.jobs.relations import (
    CLOSE,
    CandidatePairs,
    PairRelation,
    RelatedPair,
    candidate_pairs,
    pair_relation,
)
from dashboard.records.spreadsheets.exports import Sheet, as_csv
from genetics import SharedAncestor
from genetics.pedigrees.shared_ancestors import RelationPath

MOST_PATHS = 12
MOST_PAIRS = 12
RELATED = "How they are related: path by path"
CLOSEST = "Pairings by relationship"


def warn(answer: PairingAnswer) -> None:
    """Say above the profit that sire and dam are close relatives; nothing where they are not."""
    found, (sire, dam) = _relation(answer), _names(answer)
    if found.close:
        said = strong(relation_words.note_sentence(found, sire, dam))
        words = f"{mark('welfare', ': close relatives')} {said} {esc(relation_words.CAUTION)}"
        draw(note("welfare", words), "relatives")


def show(answer: PairingAnswer) -> None:
    """Say how the two are related; paths and the closest pairings only where they are opened."""
    found, (sire, dam) = _relation(answer), _names(answer)
    draw(_answer(found, sire, dam), "related-answer")
    if found.inbreeding:
        part = st.expander(RELATED, key="pairing-related", on_change="rerun")
        if part.open:
            with part:
                _paths(found)
    _closest(answer)


def _relation(answer: PairingAnswer) -> PairRelation:
    couple = answer.valued.couple
    return pair_relation(session.current_book(), couple.sire, couple.dam)


def _names(answer: PairingAnswer) -> tuple[str, str]:
    return answer.valued.couple.sire.name, answer.valued.couple.dam.name


def _answer(found: PairRelation, sire: str, dam: str) -> str:
    """Say how the two are related, with the caution where they are and it does not stand above."""
    title = heading(relation_words.title(found, sire, dam), spaced=True)
    left_out = relation_words.left_out(found.unread)
    if found.inbreeding is None:
        return title + note("none", f"{strong('Can’t say.')} {esc(f'{found.fault} {left_out}')}")
    parts = [*relation_words.relation(found, sire, dam), left_out]
    if found.inbreeding and not found.close:
        parts.append(relation_words.CAUTION)
    if not found.inbreeding:
        parts.insert(0, relation_words.UNRELATED)
    return title + f'<p class="lead">{esc(" ".join(part for part in parts if part))}</p>'


def _paths(found: PairRelation) -> None:
    if found.unlisted:
        draw(note("none", esc("They are related in too many ways to list.")), "related")
        return
    lines = [_line(path, ancestor) for ancestor in found.ancestors for path in ancestor.paths]
    title = relation_words.paths_title(found, len(lines))
    draw(paths_table(title, _reading(len(lines)), rows=lines[:MOST_PATHS]), "related")


def _reading(count: int) -> str:
    words = f"{relation_words.COEFFICIENT} What the paths add sums to it."
    return f"{words} The first {MOST_PATHS} of {count} paths are shown." if count > MOST_PATHS else words


def _line(path: RelationPath, ancestor: SharedAncestor) -> PathLine:
    under = [relation_words.sure(path.chance)] if path.chance < 1 - 1e-9 else []
    if ancestor.inbreeding > 0:
        under.append(f"{ancestor.id} is {relation_words.share(ancestor.inbreeding)} inbred itself")
    place = path.animals.index(ancestor.id)
    return PathLine(path.animals, place, relation_words.share(path.adds), "; ".join(under))


def _closest(answer: PairingAnswer) -> None:
    part = st.expander(CLOSEST, key="pairing-closest", on_change="rerun")
    if not part.open:
        return
    season = answer.valued.couple.season
    found = candidate_pairs(session.current_book(), season)
    with part:
        if found.fault:
            draw(note("none", f"{strong('Can’t say.')} {esc(found.fault)}"), "closest")
            return
        _pairs(found, season)


def _pairs(found: CandidatePairs, season: int) -> None:
    shown = found.closest(MOST_PAIRS)
    title, left_out = relation_words.candidates_title(found), relation_words.left_out(found.unread)
    if not shown:
        draw(f'<p class="lead">{esc(f"{title}. {left_out}")}</p>', "closest")
        return
    reading = f"{relation_words.candidates_reading(found, len(shown))} {left_out}".strip()
    rows = [_pair_line(pair, season) for pair in shown]
    target = draw(pairs_table(title, reading, rows=rows), "closest")
    if target:
        session.go(target)
    st.download_button(
        "Pairings by relationship as CSV",
        data=lambda: as_csv(pairs_sheet(found)),
        file_name="relationship.csv",
        mime="text/csv",
        on_click="ignore",
    )


def _pair_line(pair: RelatedPair, season: int) -> PairLine:
    return PairLine(
        link=f"pairing?sire={pair.sire.id}&dam={pair.dam.id}&season={season}",
        name=f"{pair.sire.name} × {pair.dam.name}",
        under=f"in the plan for {season}" if pair.in_plan else "",
        inbreeding=relation_words.share(pair.inbreeding),
        like=relation_words.like(pair.inbreeding),
        marked=pair.in_plan and pair.inbreeding >= CLOSE - 1e-12,
    )


def pairs_sheet(found: CandidatePairs) -> Sheet:
    """All possible pairings of relatives, the closest first."""
    heads = ("sire", "dam", "inbreeding of the young", "as close as", "in the plan")
    rows = [
        (
            pair.sire.name,
            pair.dam.name,
            Decimal(f"{pair.inbreeding:.6f}").normalize(),
            relation_words.like(pair.inbreeding),
            "yes" if pair.in_plan else "no",
        )
        for pair in found.closest()
    ]
    return Sheet("relationship", heads, tuple(rows))
