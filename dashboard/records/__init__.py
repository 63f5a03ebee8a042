"""The breeder's records in one file."""

from __future__ import annotations

from .animals import STATUSES, AnimalFields, AnimalRecord, Status
from .assumptions import FigureChange
from .backup import BackUp, list_back_ups, newest_sound, restore
from .book import Book, BookInfo, open_book, start_book
from .book_file import BOOK_VARIABLE, default_book_path, default_demo_path
from .changes import Change, ChangedRow
from .demo import build_demo_book, demo_book
from .faults import BackUpFailed, BookDamaged, BookError, BookTooNew, Conflict, NotStored
from .forecasts import ShownForecast
from .hatchlings import HatchlingDraft
from .herd_imports import AnimalDraft, PairingDraft
from .imports import ImportReceipt, ImportRecord
from .pairings import PairingFields, PairingRecord
from .reading import AnimalReader, Unreadable, catalogue_reader

__all__ = [
    "BOOK_VARIABLE",
    "STATUSES",
    "AnimalDraft",
    "AnimalFields",
    "AnimalReader",
    "AnimalRecord",
    "BackUp",
    "BackUpFailed",
    "Book",
    "BookDamaged",
    "BookError",
    "BookInfo",
    "BookTooNew",
    "Change",
    "ChangedRow",
    "Conflict",
    "FigureChange",
    "HatchlingDraft",
    "ImportReceipt",
    "ImportRecord",
    "NotStored",
    "PairingDraft",
    "PairingFields",
    "PairingRecord",
    "ShownForecast",
    "Status",
    "Unreadable",
    "build_demo_book",
    "catalogue_reader",
    "default_book_path",
    "default_demo_path",
    "demo_book",
    "list_back_ups",
    "newest_sound",
    "open_book",
    "restore",
    "start_book",
]
