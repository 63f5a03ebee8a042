"""Genetics of the ball python trade: catalogue, animals as breeders write them, clutches, odds."""

from genetics.clutches.clutch import Clutch, cross
from genetics.clutches.clutch_size import ImpossibleClutchSize, clutch_size_pmf, hatchling_pmf
from genetics.clutches.expansion import Expansion, TooManyLooks
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
from genetics.clutches.sex_linkage import BadRecombination
from genetics.clutches.units import NothingHatches, PairingError
from genetics.clutches.welfare import harms_to_dam
from genetics.genes.catalogue import Catalogue, UnknownGene, catalogue_from, load_catalogue
from genetics.genes.catalogue_files import CatalogueError
from genetics.genes.chances import chance_text, read_chance
from genetics.genes.definitions import definition_of
from genetics.genes.genotype import Animal, BadBelief, Factor, make_animal, traits_of, with_sex
from genetics.genes.loci import HARMS, WILD, AlikeGroup, Compound, Gene, HealthNote, Locus, PairLook
from genetics.genes.notation import ImpossibleAnimal, NotationError, NotWritable, read_animal, write_animal
from genetics.genes.own_genes import OwnGeneFault, catalogue_with, needed_by, own_definition_faults
from genetics.genes.sources import CUSTOM, MEMORY, Source
from genetics.genes.traits import Form, Sex, Trait

__all__ = [
    "CUSTOM",
    "HARMS",
    "MEMORY",
    "WILD",
    "AlikeGroup",
    "Animal",
    "BadBelief",
    "BadRecombination",
    "BadShares",
    "Catalogue",
    "CatalogueError",
    "Clutch",
    "Compound",
    "Expansion",
    "Factor",
    "Form",
    "Gene",
    "HealthNote",
    "ImpossibleAnimal",
    "ImpossibleClutchSize",
    "Locus",
    "LookRow",
    "LookTable",
    "Needed",
    "NotWritable",
    "NotationError",
    "NothingHatches",
    "OwnGeneFault",
    "PairLook",
    "PairingError",
    "RuleOfThumb",
    "Sex",
    "Source",
    "TooManyLooks",
    "Trait",
    "UnknownGene",
    "at_least",
    "at_least_one",
    "catalogue_from",
    "catalogue_with",
    "chance_text",
    "clutch_size_pmf",
    "cross",
    "definition_of",
    "harms_to_dam",
    "hatchling_pmf",
    "hatchlings_needed",
    "load_catalogue",
    "make_animal",
    "needed_by",
    "one_in_a_season",
    "one_of_several",
    "own_definition_faults",
    "read_animal",
    "read_chance",
    "rule_of_thumb",
    "traits_of",
    "with_sex",
    "write_animal",
]
