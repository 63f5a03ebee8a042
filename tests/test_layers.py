"""Each floor of the house uses only the floors beneath it: read from the imports themselves."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
OURS = ("genetics", "econ", "dashboard")
SCREEN = {"streamlit", "plotly"}
STORE = {"sqlalchemy", "alembic"}

# folder or file -> our modules it may import, outside modules it must not import
RULES: dict[str, tuple[tuple[str, ...], set[str]]] = {
    "genetics": (("genetics",), SCREEN | STORE | {"pandas", "statsmodels", "pydantic"}),
    "econ": (("genetics", "econ"), SCREEN | STORE),
    "dashboard/records": (("genetics", "econ", "dashboard.records", "demo_prices"), SCREEN | {"statsmodels"}),
    "dashboard/jobs": (("genetics", "econ", "dashboard.records", "dashboard.jobs"), SCREEN | STORE),
    "dashboard/figures": (
        ("genetics", "econ", "dashboard.jobs", "dashboard.figures", "dashboard.words"),
        STORE | {"streamlit", "statsmodels"},
    ),
    "dashboard/words.py": (("genetics", "econ", "dashboard.jobs"), SCREEN | STORE | {"statsmodels"}),
    **{
        f"dashboard/{name}_words.py": (
            ("genetics", "econ", "dashboard.jobs", "dashboard.words", "dashboard.warning_words"),
            SCREEN | STORE | {"statsmodels"},
        )
        for name in ("warning", "source", "knowledge", "odds", "relation")
    },
    "dashboard/screens": (("genetics", "econ", "dashboard"), STORE | {"statsmodels"}),
    "dashboard/app.py": (("dashboard",), STORE | {"statsmodels"}),
}
# the one file that registers our table with the screen
EXCEPTIONS = {"dashboard/figures/component.py": {"streamlit"}}

# inside the libraries and the records: rooms from the ground up; each uses only those beneath it
FLOORS = {
    "genetics": ["genes", "clutches", "pedigrees", "routes"],
    "econ": ["money", "exchange", "assumptions", ("prices", "costs"), "decisions"],
    "dashboard/records": [
        ("faults", "fields"),
        ("schema", "text_fields", "reading"),
        "store",
        ("safety", "parts"),
        "log",
        ("figures", "market"),
        "herd",
        "kinds",
        "spreadsheets",
        "files",
        "book",
        "demo",
    ],
}


def imports(path: Path, *, typing_too: bool = True) -> set[str]:
    """Full names of all modules a file imports, those inside functions too."""
    found: set[str] = set()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if not typing_too:
        tree.body = [node for node in tree.body if not _is_for_types(node)]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            origin = _absolute(node, path)
            found.add(origin)
            found |= {f"{origin}.{alias.name}" for alias in node.names}
    return found


def _is_for_types(node: ast.stmt) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def _absolute(node: ast.ImportFrom, path: Path) -> str:
    """Full name of the module a `from` import reads, its leading dots resolved."""
    if not node.level:
        return node.module or ""
    package = path.relative_to(ROOT).with_suffix("").parts[: -node.level]
    return ".".join((*package, node.module) if node.module else package)


def python_files(place: str) -> list[Path]:
    path = ROOT / place
    return [path] if path.suffix == ".py" else sorted(path.rglob("*.py"))


@pytest.mark.parametrize("place", RULES)
def test_a_floor_imports_only_what_lies_beneath_it(place):
    allowed, forbidden = RULES[place]
    files = python_files(place)
    assert files, f"{place} holds no Python file"
    for path in files:
        name = path.relative_to(ROOT).as_posix()
        barred = forbidden - EXCEPTIONS.get(name, set())
        for module in imports(path):
            top = module.split(".")[0]
            assert top not in barred, f"{name} imports {module}"
            if top in OURS:
                inside = any(
                    module == a or module.startswith(a + ".") or a.startswith(module + ".") for a in allowed
                )
                assert inside, f"{name} imports {module}; allowed: {', '.join(allowed)}"


@pytest.mark.parametrize("package", FLOORS)
def test_rooms_of_a_library_are_free_of_circles(package):
    level = {}
    for number, rooms in enumerate(FLOORS[package]):
        for room in (rooms,) if isinstance(rooms, str) else rooms:
            level[room] = number
    for path in python_files(package):
        parts = path.relative_to(ROOT / package).with_suffix("").parts
        if parts[0] not in level:
            continue  # the package's own __init__ hands names out
        for module in imports(path, typing_too=False):
            start = package.replace("/", ".") + "."
            room = module.removeprefix(start).split(".")[0]
            if not module.startswith(start) or room not in level or room == parts[0]:
                continue
            assert level[room] < level[parts[0]], f"{path.name} in {parts[0]} imports {module}"


@pytest.mark.parametrize("package", OURS)
def test_a_package_init_only_hands_out_names(package):
    for path in (ROOT / package).rglob("__init__.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            plain = isinstance(
                node, ast.Import | ast.ImportFrom | ast.Assign | ast.Expr | ast.If | ast.AnnAssign
            )
            lazy = isinstance(node, ast.FunctionDef) and node.name in {"__getattr__", "__dir__"}
            assert plain or lazy, f"{path.relative_to(ROOT)}:{node.lineno} does more than hand out names"


def test_slow_libraries_are_not_imported_at_start():
    # statsmodels takes about a second to import; a start that needs no report card must not pay it
    for package in OURS:
        for path in python_files(package):
            for node in ast.parse(path.read_text(encoding="utf-8")).body:
                names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
                names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
                slow = [n for n in names if n.split(".")[0] == "statsmodels"]
                assert not slow, f"{path.relative_to(ROOT)} imports {slow} at its top"


def test_top_level_holds_only_what_the_design_names():
    named = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "dashboard",
        "econ",
        "genetics",
        "tests",
        "demo_prices",
    }
    built = {"build", "dist"}
    found = {
        p.name for p in ROOT.iterdir() if not p.name.startswith(".") and not p.name.endswith(".egg-info")
    }
    assert found - built <= named
