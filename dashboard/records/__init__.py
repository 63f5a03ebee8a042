"""The breeder's records in one file."""

from __future__ import annotations

from dashboard.records.book import Book, BookInfo, open_book, start_book
from dashboard.records.demo import build_demo_book, demo_book
from dashboard.records.faults import BackUpFailed, BookDamaged, BookError, BookTooNew, Conflict, NotStored
from dashboard.records.figures.assumptions import FigureChange
from dashboard.records.figures.forecasts import ShownForecast
from dashboard.records.herd.animals import STATUSES, AnimalFields, AnimalRecord, Status
from dashboard.records.herd.hatchlings import HatchlingDraft
from dashboard.records.herd.herd_imports import AnimalDraft, PairingDraft
from dashboard.records.herd.pairings import PairingFields, PairingRecord
from dashboard.records.log.changes import Change, ChangedRow
from dashboard.records.log.imports import ImportReceipt, ImportRecord
from dashboard.records.reading import AnimalReader, Unreadable, catalogue_reader
from dashboard.records.safety.backup import BackUp, list_back_ups, newest_sound, restore
from dashboard.records.store.book_file import BOOK_VARIABLE, default_book_path, default_demo_path

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
