"""A clutch against the exact inference of a general-purpose library for Bayesian networks."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from genetics import WILD, Sex, catalogue_from, read_animal
from genetics.clutches.queries.pattern import Pattern
from genetics.clutches.sires.several import cross_of_several
from tests.genetics.cases import pair

models = pytest.importorskip("pgmpy.models", reason="pgmpy, the other engine, is not installed")
R = 0.07


def _gene(name, mode="incomplete dominant"):
    return {"name": name, "mode": mode, "source": "custom"}


# As the network has them: banana sex-linked, phantom and mystic of one locus, clown recessive.
GENES = catalogue_from(
    {
        "locus": [
            {"source": "custom", "sex_linked": True, "recombination": str(R), "gene": [_gene("banana")]},
            {"source": "custom", "gene": [_gene("phantom"), _gene("mystic")]},
            {"source": "custom", "gene": [_gene("clown", "recessive")]},
        ]
    }
)


def _gamete(pairs, alleles):
    """Table of an allele given an allele pair (state = row of pairs)."""
    return np.array([[(one == a) / 2 + (two == a) / 2 for one, two in pairs] for a in alleles])


def _network():
    """Sire 2/3 het clown, mojave, banana of unknown phase; dam het clown, lesser, banana."""
    from pgmpy.factors.discrete import TabularCPD

    net = models.DiscreteBayesianNetwork(
        [
            ("sire_clown", "from_sire"),
            ("from_sire", "clown"),
            ("from_dam", "clown"),
            ("sire_white", "white"),
            ("dam_white", "white"),
            ("phase", "sire_banana"),
            ("sex", "sire_banana"),
            ("sire_banana", "banana"),
            ("dam_banana", "banana"),
        ]
    )
    half = [[0.5], [0.5]]
    count = np.array([[1, 0, 0, 0], [0, 1, 1, 0], [0, 0, 0, 1]], dtype=float)
    banana = np.array([[phase == sex for phase, sex in product((0, 1), (0, 1))]], dtype=float)
    banana = banana * (1 - R) + (1 - banana) * R
    net.add_cpds(
        TabularCPD("sire_clown", 2, [[1 / 3], [2 / 3]]),
        TabularCPD("from_sire", 2, _gamete([(0, 0), (0, 1)], (0, 1)), ["sire_clown"], [2]),
        TabularCPD("from_dam", 2, half),
        TabularCPD("clown", 3, count, ["from_sire", "from_dam"], [2, 2]),
        TabularCPD("sire_white", 2, half),
        TabularCPD("dam_white", 2, half),
        TabularCPD("white", 4, np.eye(4), ["sire_white", "dam_white"], [2, 2]),
        TabularCPD("phase", 2, half),
        TabularCPD("sex", 2, half),
        TabularCPD("sire_banana", 2, np.vstack([1 - banana, banana]), ["phase", "sex"], [2, 2]),
        TabularCPD("dam_banana", 2, half),
        TabularCPD("banana", 3, count, ["sire_banana", "dam_banana"], [2, 2]),
    )
    assert net.check_model()
    return net


def test_joint_shares_of_a_clutch_with_complex_sex_linkage_and_uncertain_sire():
    from pgmpy.inference import VariableElimination

    engine = VariableElimination(_network())
    joint = engine.query(["clown", "white", "banana", "sex"], show_progress=False)
    # States: clown copies; white = sire's mojave x dam's lesser; banana copies; sex 0 = on the X, daughters.
    clutch = pair("66% het clown phantom banana", "het clown mystic banana", catalogue=GENES)
    table = clutch.looks(limit=None)
    white = {0: "", 1: "mystic", 2: "phantom", 3: "phantom mystic"}
    bananas = {0: "", 1: "banana", 2: "super banana"}
    values = np.transpose(
        joint.values, [joint.variables.index(v) for v in ("clown", "white", "banana", "sex")]
    )
    rows = {row.label: row for row in table.rows}
    for w, b in product(white, bananas):
        visible = " ".join(part for part in (bananas[b], white[w]) if part)
        for sex, name in ((1, "male"), (0, "female")):
            visual = rows[f"{visible} clown".strip()]
            assert float(getattr(visual, name)) == pytest.approx(values[2, w, b, sex], abs=1e-12)
            other = next(
                row
                for row in table.rows
                if row.label.removesuffix(" 60% het clown") == visible
                or (not visible and row.label == "60% het clown")
            )
            assert float(getattr(other, name)) == pytest.approx(values[:2, w, b, sex].sum(), abs=1e-12)


def test_honest_label_is_the_engines_posterior():
    from pgmpy.inference import VariableElimination

    engine = VariableElimination(_network())
    both = engine.query(["clown"], show_progress=False).values
    posterior = both[1] / (both[0] + both[1])
    row = next(row for row in pair("66% het clown", "het clown").looks().rows if "het" in row.label)
    assert row.traits[0].chance == pytest.approx(posterior, abs=1e-12)
    assert WILD == "+"


def test_maker_type_of_a_banana_son_is_the_engines_posterior():
    from pgmpy.inference import VariableElimination

    engine = VariableElimination(_network())
    found = engine.query(["sire_banana"], evidence={"banana": 1, "sex": 1}, show_progress=False)
    row = next(r for r in pair("banana", "banana", r=str(R)).looks().rows if r.label == "banana")
    assert float(dict(row.from_sire)["banana"]) == pytest.approx(found.values[1], abs=1e-12)


def _lethal_network():
    """Two carriers of a gene whose double copies are lost, the sire one of two males; wobble beside it."""
    from pgmpy.factors.discrete import TabularCPD

    net = models.DiscreteBayesianNetwork(
        [("male", "from_sire"), ("from_sire", "copies"), ("from_dam", "copies"), ("copies", "hatches")]
    )
    count = np.array([[1, 0, 0, 0], [0, 1, 1, 0], [0, 0, 0, 1]], dtype=float)
    net.add_cpds(
        TabularCPD("male", 2, [[0.7], [0.3]]),
        TabularCPD("from_sire", 2, [[0.5, 1.0], [0.5, 0.0]], ["male"], [2]),
        TabularCPD("from_dam", 2, [[0.5], [0.5]]),
        TabularCPD("copies", 3, count, ["from_sire", "from_dam"], [2, 2]),
        TabularCPD("hatches", 2, [[0, 0, 1], [1, 1, 0]], ["copies"], [3]),
    )
    assert net.check_model()
    return net


def test_lethal_pair_and_two_possible_sires_of_each_egg():
    from pgmpy.inference import VariableElimination

    engine = VariableElimination(_lethal_network())
    alive = engine.query(["copies"], evidence={"hatches": 1}, show_progress=False).values
    lost = engine.query(["hatches"], show_progress=False).values[0]
    genes = catalogue_from(
        {
            "locus": [
                {
                    "source": "custom",
                    "gene": [
                        _gene("spider", "dominant")
                        | {
                            "health": [
                                {
                                    "id": "two copies",
                                    "applies_to": "two copies",
                                    "what": "Invented.",
                                    "harm": "not hatching",
                                    "lost_chance": 1,
                                    "source": "custom",
                                }
                            ]
                        }
                    ],
                }
            ]
        }
    )
    dam = read_animal("spider", genes, sex=Sex.FEMALE)
    males = [
        (read_animal(text, genes, sex=Sex.MALE), share)
        for text, share in (("spider", "0.7"), ("normal", "0.3"))
    ]
    clutch = cross_of_several(males, dam, genes, each="egg")
    assert float(clutch.lost_share) == pytest.approx(lost, abs=1e-12)
    assert float(clutch.kind(Pattern(shows=("spider",))).per_hatchling) == pytest.approx(alive[1], abs=1e-12)
    sire = engine.query(["male"], evidence={"hatches": 1}, show_progress=False).values
    assert [float(q) for q in clutch.hatchling_chances] == pytest.approx(list(sire), abs=1e-12)
