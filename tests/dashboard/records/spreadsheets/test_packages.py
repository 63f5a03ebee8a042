"""A whole book as a Data Package: checked by the `frictionless` library, and brought in again."""

from __future__ import annotations

import csv
import io
import json
import tempfile
import zipfile
from datetime import date
from pathlib import Path

import pytest
from frictionless import validate
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dashboard.records import NotStored, demo_book, open_book, schema
from dashboard.records.kinds import ROW_KINDS
from dashboard.records.spreadsheets import (
    FIELDS,
    TABLE_KINDS,
    FileRefused,
    export_csv,
    export_package,
    exportable,
    package_in,
)
from dashboard.records.spreadsheets.log_tables import OUT_ONLY
from econ.prices.observations import SupplyCount
from genetics import Sex


def faults_of(package, folder):
    """What the validator of the Data Package standard's own library finds."""
    with zipfile.ZipFile(io.BytesIO(package)) as archive:
        archive.extractall(folder)
    report = validate(str(Path(folder) / "datapackage.json"))
    return [] if report.valid else report.flatten(["fieldName", "rowNumber", "note", "message"])


def parts(package):
    with zipfile.ZipFile(io.BytesIO(package)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(files):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return out.getvalue()


def test_the_package_of_a_full_book_is_valid(full, tmp_path):
    assert faults_of(export_package(full), tmp_path / "out") == []


def test_a_sum_of_nothing_comes_in_again(book, tmp_path):
    """A gift is a sum spent too: what the book takes, a package gives back."""
    book.add_row(ROW_KINDS["spending"], {"on": date(2026, 6, 1), "kind": "feeding", "amount_minor": 0})
    with open_book(tmp_path / "other.sqlite") as other:
        assert other.try_package(export_package(book)).sentence == "1 of 1 rows can be added"
        other.add_package(export_package(book), "package")
        assert [row.amount_minor for row in other.rows(ROW_KINDS["spending"])] == [0]


def test_the_package_of_an_empty_book_is_valid(book, tmp_path):
    assert faults_of(export_package(book), tmp_path / "out") == []


def test_the_package_of_the_demo_book_is_valid_and_says_it_is_invented(tmp_path, reader):
    with demo_book(tmp_path / "demo.sqlite", reader=reader) as demo:
        package = export_package(demo)
    assert faults_of(package, tmp_path / "out") == []
    assert json.loads(parts(package)["datapackage.json"])["description"].startswith("INVENTED")


def test_the_validator_sees_a_wrong_cell(full, tmp_path):
    files = parts(export_package(full))
    files["weights.csv"] = files["weights.csv"].replace(b"61.5", b"heavy")
    found = faults_of(packed(files), tmp_path / "out")
    assert any("heavy" in str(fault) for fault in found)


def test_every_column_of_every_table_says_its_type_and_meaning(full):
    described = json.loads(parts(export_package(full))["datapackage.json"])
    assert [resource["title"] for resource in described["resources"]]
    assert len(described["resources"]) == len(exportable())
    for resource in described["resources"]:
        head = next(
            csv.reader(io.StringIO(parts(export_package(full))[resource["path"]].decode("utf-8-sig")))
        )
        fields = resource["schema"]["fields"]
        assert [field["name"] for field in fields] == head
        assert all(field["description"].endswith(".") and field["type"] for field in fields)
        assert "apostrophe" in resource["description"]
    weights = next(r for r in described["resources"] if r["name"] == "weights")["schema"]
    assert "Unit: g." in weights["fields"][2]["description"]
    assert weights["primaryKey"] == ["animal", "date"]
    assert weights["foreignKeys"][0]["reference"] == {"resource": "animals", "fields": ["name"]}


def test_every_stored_column_of_a_breeders_table_is_taken_out():
    tables = {"prices": "price_observations", "supply": "supply_counts", "animals": "animals",
              "pairings": "pairings", "figures": "assumptions", "own genes": "own_genes",
              "figures of pairings": "pairing_assumptions"}  # fmt: skip
    tables |= {name: kind.table.name for name, kind in ROW_KINDS.items()}
    renamed = {"sire": "sire_id", "dam": "dam_id", "clutch": "clutch_id"}
    derived = {"id", "version", "import_id", "name_key", "traits"}
    for kind in TABLE_KINDS:
        columns = {column.name for column in schema.EDITABLE[tables[kind]].columns} - derived
        names = {field.name for field in FIELDS[kind]}
        if kind in {"animals", "pairings"}:
            names = {renamed.get(name, name) for name in names}
        assert names == columns
    for name, fields in OUT_ONLY.items():
        columns = {column.name for column in schema.metadata.tables[name].columns}
        assert {field.name for field in fields} == columns - ({"id"} if name == "forecasts" else set())


def test_a_package_fills_an_empty_book_with_the_same_rows(full, other):
    package = export_package(full)
    trial = other.try_package(package)
    assert (trial.refused, trial.forecasts) == (0, 1)
    assert other.data_version == 0
    receipt = other.add_package(package, "whole.zip")
    assert receipt.added == trial.good == trial.total
    for kind in (*TABLE_KINDS, "forecasts"):
        assert export_csv(other, kind) == export_csv(full, kind), kind
    assert [(i.kind, i.added) for i in other.imports()] == [("package", receipt.added)]
    assert other.past_forecasts() == full.past_forecasts()
    young = [animal for animal in other.animals() if animal.clutch_id is not None]
    assert len(young) == 4
    with pytest.raises(NotStored, match="empty book only"):
        other.add_package(package, "again")
    assert other.undo_import(receipt.import_id) == receipt.added
    assert other.animals() == ()
    assert other.add_package(package, "once more").added == receipt.added


def test_a_package_brings_its_currency_and_the_demo_takes_none(tmp_path, reader, full):
    with open_book(tmp_path / "dollar.sqlite", currency="USD", reader=reader) as dollars:
        dollars.add_package(export_package(full), "x")
        assert dollars.currency == "EUR"
    with demo_book(tmp_path / "demo.sqlite", reader=reader) as demo, pytest.raises(NotStored, match="demo"):
        demo.try_package(export_package(full))


def test_a_row_of_a_package_that_can_not_be_is_refused_with_what_rests_on_it(full, other):
    files = parts(export_package(full))
    files["animals.csv"] = files["animals.csv"].replace(b"'=Tansy,female", b"'=Tansy,male")
    trial = other.try_package(packed(files))
    refused = {table.kind: [row.why for row in table.refused] for table in trial.tables if table.refused}
    assert {"animals", "pairings", "clutches"} <= set(refused)
    assert all(why.endswith(".") for reasons in refused.values() for why in reasons)
    assert trial.good + trial.refused == trial.total
    assert other.animals() == ()


def test_a_package_with_a_damaged_part_leaves_the_book_as_it_was(full, other):
    files = parts(export_package(full))
    files["forecasts.csv"] = files["forecasts.csv"].replace(b"2027-01-01", b"never")
    with pytest.raises(NotStored, match="forecast"):
        other.add_package(packed(files), "x")
    assert (other.data_version, other.animals(), other.imports()) == (0, (), ())


def test_stopping_a_package_leaves_the_book_as_it_was(full, other):
    def stop(done, total):
        if done > 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        other.add_package(export_package(full), "x", on_progress=stop)
    assert (other.data_version, other.animals(), other.imports()) == (0, (), ())


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda f: b"no zip", "no package"),
        (lambda f: packed({"a.csv": b"x"}), "no datapackage.json"),
        (lambda f: packed({**f, "datapackage.json": b"{"}), "can't be read"),
        (lambda f: packed({**f, "datapackage.json": b"[]"}), "no tables"),
        (lambda f: packed({**f, "info.csv": b"key,value\r\ncurrency,EUX\r\n"}), "currency"),
        (lambda f: packed({n: d for n, d in f.items() if n != "info.csv"}), "currency"),
    ],
)
def test_what_is_no_package_is_refused(full, other, change, why):
    with pytest.raises(FileRefused, match=why):
        other.try_package(change(parts(export_package(full))))


def test_paths_in_a_package_are_never_used(full, other, tmp_path):
    files = parts(export_package(full))
    described = json.loads(files["datapackage.json"])
    for resource in described["resources"]:
        resource["path"] = "../../secret.csv"
    files["datapackage.json"] = json.dumps(described).encode()
    files["../../outside.csv"] = b"x"
    files["/animals.csv"] = b"x"
    assert other.try_package(packed(files)).refused == 0
    assert not list(tmp_path.rglob("*outside*"))


def test_a_package_that_grows_too_large_is_not_opened(full, other, monkeypatch):
    monkeypatch.setattr(package_in, "MOST_UNZIPPED", 10_000)
    with pytest.raises(FileRefused, match="when opened"):
        other.try_package(export_package(full))


TEXT = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters="=+-@'\t\n;,\""), max_size=12
)
WEIGHTS = st.lists(
    st.tuples(st.dates(date(2024, 8, 1), date(2026, 1, 1)), st.floats(0.1, 9_000)),
    unique_by=lambda pair: pair[0],
    max_size=5,
)


@settings(max_examples=3, deadline=None, suppress_health_check=list(HealthCheck))
@given(notes=st.lists(TEXT, min_size=3, max_size=3), weights=WEIGHTS, counts=st.lists(st.integers(0, 10**6)))
def test_the_package_of_a_made_up_book_is_valid_and_comes_back(reader, notes, weights, counts):
    with (
        tempfile.TemporaryDirectory() as folder,
        open_book(Path(folder) / "a.sqlite", reader=reader) as one,
        open_book(Path(folder) / "b.sqlite", reader=reader) as two,
    ):
        for number, note in enumerate(notes):
            one.add_animal(f"-{number}", "clown", sex=Sex.MALE, note=note, hatched=date(2024, 7, 1))
        animal = one.animals()[0].id
        for on, grams in weights:
            one.add_row(ROW_KINDS["weights"], {"animal_id": animal, "on": on, "grams": grams})
        for offered in counts:
            one.add_supply_count(SupplyCount(on=date(2025, 1, 1), what="clown", traits=(), offered=offered))
        package = export_package(one)
        assert faults_of(package, Path(folder) / "out") == []
        two.add_package(package, "x")
        for kind in TABLE_KINDS:
            assert export_csv(two, kind) == export_csv(one, kind)


def test_a_full_book_survives_a_second_round(full, other, tmp_path, reader):
    other.add_package(export_package(full), "x")
    with open_book(tmp_path / "third.sqlite", reader=reader) as third:
        third.add_package(export_package(other), "x")
        for kind in TABLE_KINDS:
            assert export_csv(third, kind) == export_csv(full, kind)
