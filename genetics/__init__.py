"""Genetics of the ball python trade: genes, clutches, odds, what is known of a herd, routes to a target."""

from genetics.clutches.by_year import ByYear, by_year, year_chart
from genetics.clutches.clutch import Clutch, cross
from genetics.clutches.clutch_size import ImpossibleClutchSize, clutch_size_pmf, hatchling_pmf
from genetics.clutches.expansion import Expansion, TooManyLooks
from genetics.clutches.females import SeveralFemales, with_females
from genetics.clutches.look_table import LookRow, LookTable
from genetics.clutches.odds import (
    BadShares,
    Needed,
    RuleOfThumb,
    at_least,
    at_least_one,
    hatchlings_needed,
    one_in_a_season,
    one_of_several,
    rule_of_thumb,
)
from genetics.clutches.plausibility.counts import BadCounts, Hatched
from genetics.clutches.plausibility.exact_test import KindSeen, Plausibility, goes_with_sex, plausibility
from genetics.clutches.plausibility.explanations import Explanation, explanations
from genetics.clutches.queries.counts import BadCount
from genetics.clutches.queries.kinds import Kind, TwoKinds
from genetics.clutches.queries.pattern import BadPattern, Pattern
from genetics.clutches.queries.patterns_priced import TooManyPatterns
from genetics.clutches.queries.prices import BadPrice, PriceMean, ProductPrice
from genetics.clutches.queries.states import TooManyParents
from genetics.clutches.sex_linkage import BadRecombination
from genetics.clutches.sires.several import MixedClutch, cross_of_several
from genetics.clutches.telling.apart import Apart, BadTest, GeneTest, Possibility, Way, telling_apart
from genetics.clutches.units import NothingHatches, PairingError
from genetics.clutches.waiting import SeasonOfEggs, Waiting, waiting
from genetics.clutches.welfare import HarmShare, harms_to_dam
from genetics.genes.catalogue import Catalogue, UnknownGene, catalogue_from, load_catalogue
from genetics.genes.catalogue_files import CatalogueError, UnknownSpecies, species
from genetics.genes.chances import chance_text, read_chance
from genetics.genes.definitions import definition_of
from genetics.genes.genotype import Animal, BadBelief, Factor, make_animal, traits_of, with_sex
from genetics.genes.harms import combined_harms_of, harms_of_animal
from genetics.genes.loci import (
    HARMS,
    WILD,
    AlikeGroup,
    CombinedHarm,
    Compound,
    Gene,
    HealthNote,
    Locus,
    PairLook,
)
from genetics.genes.notation import (
    Group,
    ImpossibleAnimal,
    NotationError,
    NotWritable,
    read_animal,
    read_group,
    write_animal,
    write_group,
)
from genetics.genes.own_genes import OwnGeneFault, catalogue_with, needed_by, own_definition_faults
from genetics.genes.plain_animals import animal_from
from genetics.genes.sources import CUSTOM, MEMORY, OWN, Source
from genetics.genes.traits import Form, Sex, Trait
from genetics.pedigrees.conflicts import Conflict
from genetics.pedigrees.elimination import TooTangled
from genetics.pedigrees.explain import Reason, Why, why
from genetics.pedigrees.inbreeding import Kinship, kinship
from genetics.pedigrees.knowledge import Knowledge, know
from genetics.pedigrees.known import KnownAnimal, KnownPair
from genetics.pedigrees.next_steps import NextStep, TestOffer, next_steps
from genetics.pedigrees.pedigree import (
    Collection,
    Litter,
    PedigreeAnimal,
    PedigreeError,
    PossibleSire,
    Seen,
    TestResult,
)
from genetics.pedigrees.shared_ancestors import SharedAncestor, shared_ancestors
from genetics.pedigrees.written import WrittenAnimal, collection_of, seen_and_claim
from genetics.routes.biology import Biology
from genetics.routes.candidates import Routes, find_routes
from genetics.routes.fixed_plan import PlannedStep, fixed_plan
from genetics.routes.founders import Founder
from genetics.routes.parallel import ParallelRoute, simulate
from genetics.routes.policy import Policy
from genetics.routes.savings import Saving, savings
from genetics.routes.serial import Plan
from genetics.routes.target import Target, read_target, target_of

__all__ = [
    "CUSTOM",
    "HARMS",
    "MEMORY",
    "OWN",
    "WILD",
    "AlikeGroup",
    "Animal",
    "Apart",
    "BadBelief",
    "BadCount",
    "BadCounts",
    "BadPattern",
    "BadPrice",
    "BadRecombination",
    "BadShares",
    "BadTest",
    "Biology",
    "ByYear",
    "Catalogue",
    "CatalogueError",
    "Clutch",
    "Collection",
    "CombinedHarm",
    "Compound",
    "Conflict",
    "Expansion",
    "Explanation",
    "Factor",
    "Form",
    "Founder",
    "Gene",
    "GeneTest",
    "Group",
    "HarmShare",
    "Hatched",
    "HealthNote",
    "ImpossibleAnimal",
    "ImpossibleClutchSize",
    "Kind",
    "KindSeen",
    "Kinship",
    "Knowledge",
    "KnownAnimal",
    "KnownPair",
    "Litter",
    "Locus",
    "LookRow",
    "LookTable",
    "MixedClutch",
    "Needed",
    "NextStep",
    "NotWritable",
    "NotationError",
    "NothingHatches",
    "OwnGeneFault",
    "PairLook",
    "PairingError",
    "ParallelRoute",
    "Pattern",
    "PedigreeAnimal",
    "PedigreeError",
    "Plan",
    "PlannedStep",
    "Plausibility",
    "Policy",
    "Possibility",
    "PossibleSire",
    "PriceMean",
    "ProductPrice",
    "Reason",
    "Routes",
    "RuleOfThumb",
    "Saving",
    "SeasonOfEggs",
    "Seen",
    "SeveralFemales",
    "Sex",
    "SharedAncestor",
    "Source",
    "Target",
    "TestOffer",
    "TestResult",
    "TooManyLooks",
    "TooManyParents",
    "TooManyPatterns",
    "TooTangled",
    "Trait",
    "TwoKinds",
    "UnknownGene",
    "UnknownSpecies",
    "Waiting",
    "Way",
    "Why",
    "WrittenAnimal",
    "animal_from",
    "at_least",
    "at_least_one",
    "by_year",
    "catalogue_from",
    "catalogue_with",
    "chance_text",
    "clutch_size_pmf",
    "collection_of",
    "combined_harms_of",
    "cross",
    "cross_of_several",
    "definition_of",
    "explanations",
    "find_routes",
    "fixed_plan",
    "goes_with_sex",
    "harms_of_animal",
    "harms_to_dam",
    "hatchling_pmf",
    "hatchlings_needed",
    "kinship",
    "know",
    "load_catalogue",
    "make_animal",
    "needed_by",
    "next_steps",
    "one_in_a_season",
    "one_of_several",
    "own_definition_faults",
    "plausibility",
    "read_animal",
    "read_chance",
    "read_group",
    "read_target",
    "rule_of_thumb",
    "savings",
    "seen_and_claim",
    "shared_ancestors",
    "simulate",
    "species",
    "target_of",
    "telling_apart",
    "traits_of",
    "waiting",
    "why",
    "with_females",
    "with_sex",
    "write_animal",
    "write_group",
    "year_chart",
]
