"""Notation of the trade, all its names in one place: animals and groups, read and written."""

from __future__ import annotations

from genetics.genes.groups import Group, read_group, write_group
from genetics.genes.reading import read_animal
from genetics.genes.vocabulary import ImpossibleAnimal, NotationError
from genetics.genes.writing import NotWritable, write_animal

__all__ = [
    "Group",
    "ImpossibleAnimal",
    "NotWritable",
    "NotationError",
    "read_animal",
    "read_group",
    "write_animal",
    "write_group",
]
