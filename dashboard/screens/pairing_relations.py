"""Pairing, beneath the money: how sire and dam are related, and which pairings here are the closest."""

from __future__ import annotations

import streamlit as st

from dashboard import relation_words, session
from dashboard.figures.component import draw
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import esc, strong
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
RELATED = "How they are related"
CLOSEST = "Pairings by relationship"


def warn(answer: PairingAnswer) -> None:
    """Say above the profit that sire and dam are close relatives; nothing where they are not."""
    found, (sire, dam) = _relation(answer), _names(answer)
    if found.close:
        said = strong(relation_words.note_sentence(found, sire, dam))
        words = f"{mark('welfare', ': close relatives')} {said} {esc(relation_words.CAUTION)}"
        draw(note("welfare", words), "relatives")


def show(answer: PairingAnswer) -> None:
    """Show how the two are related, and the closest pairings; only a sentence each unless opened."""
    found, (sire, dam) = _relation(answer), _names(answer)
    part = st.expander(
        f"{RELATED}: {relation_words.title(found, sire, dam)}", key="pairing-related", on_change="rerun"
    )
    if part.open:
        with part:
            _related(found, sire, dam)
    _closest(answer)


def _relation(answer: PairingAnswer) -> PairRelation:
    couple = answer.valued.couple
    return pair_relation(session.current_book(), couple.sire, couple.dam)


def _names(answer: PairingAnswer) -> tuple[str, str]:
    return answer.valued.couple.sire.name, answer.valued.couple.dam.name


def _related(found: PairRelation, sire: str, dam: str) -> None:
    left_out = relation_words.left_out(found.unread)
    if found.inbreeding is None:
        draw(note("none", f"{strong('Can’t say.')} {esc(f'{found.fault} {left_out}')}"), "related")
        return
    if not found.inbreeding:
        words = (
            "As far as the book knows their forebears, no gene can come to a hatchling twice from one animal."
        )
        draw(f'<p class="lead">{esc(f"{words} {left_out}")}</p>', "related")
        return
    head = relation_words.title(found, sire, dam)
    words = " ".join(part for part in (*relation_words.relation(found, sire, dam), left_out) if part)
    lines = [_line(path, ancestor, found) for ancestor in found.ancestors for path in ancestor.paths]
    if found.unlisted:
        words += " They are related in too many ways to list."
    lead = f'<p class="lead">{esc(words)}</p>'
    caution = "" if found.close else f'<p class="spaced">{esc(relation_words.CAUTION)}</p>'
    table = paths_table(
        head[:1].upper() + head[1:], _reading(len(lines)), rows=lines[:MOST_PATHS]
    ) if lines else ""  # fmt: skip
    draw(lead + table + caution, "related")


def _reading(count: int) -> str:
    words = f"{relation_words.COEFFICIENT} What the paths add sums to it."
    return f"{words} The first {MOST_PATHS} of {count} paths are shown." if count > MOST_PATHS else words


def _line(path: RelationPath, ancestor: SharedAncestor, found: PairRelation) -> PathLine:
    under = [relation_words.sure(path.chance)] if path.chance < 1 - 1e-9 else []
    if ancestor.inbreeding > 0:
        under.append(f"{ancestor.id} is {relation_words.share(ancestor.inbreeding)} inbred itself")
    if ancestor.id in found.outsiders:
        under.append("not in the book")
    place = path.animals.index(ancestor.id)
    return PathLine(path.animals, place, relation_words.share(path.adds), "; ".join(under))


def _closest(answer: PairingAnswer) -> None:
    book, season = session.current_book(), answer.valued.couple.season
    found = candidate_pairs(book, season)
    part = st.expander(
        f"{CLOSEST}: {relation_words.candidates_title(found)}", key="pairing-closest", on_change="rerun"
    )
    if not part.open:
        return
    with part:
        if found.fault:
            draw(note("none", f"{strong('Can’t say.')} {esc(found.fault)}"), "closest")
            return
        _pairs(found, season)


def _pairs(found: CandidatePairs, season: int) -> None:
    shown = found.closest(MOST_PAIRS)
    head = relation_words.candidates_title(found)
    title, left_out = head[:1].upper() + head[1:], relation_words.left_out(found.unread)
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
    rows = tuple(
        (pair.sire.name, pair.dam.name, round(pair.inbreeding, 6), relation_words.like(pair.inbreeding),
         "yes" if pair.in_plan else "no")
        for pair in found.closest()
    )  # fmt: skip
    return Sheet(
        "relationship", ("sire", "dam", "inbreeding of the young", "as close as", "in the plan"), rows
    )
