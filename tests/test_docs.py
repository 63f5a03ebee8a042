"""The documents say what is true: the README's example prints its answer, named files and commands exist."""

from __future__ import annotations

import contextlib
import io
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL)


def run(code: str) -> str:
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(code, "example", "exec"), {})
    return printed.getvalue().rstrip()


def test_readme_example_prints_the_answer_shown_beneath_it():
    (code,) = blocks(README, "python")
    (shown,) = blocks(README, "text")
    assert run(code) == shown.rstrip()


@pytest.mark.parametrize("code", blocks(DEVELOPERS, "python"))
def test_examples_for_contributors_run_and_print_what_they_say(code):
    said = re.findall(r"# prints: (.*)", code)
    assert run(code).splitlines() == said


def test_readme_opens_with_the_job_and_then_the_commands():
    sections = README.split("\n## ")
    assert len(sections[0].split()) > 80
    assert sections[1].startswith("Start")
    assert "hatchmargin" in blocks(sections[1], "sh")[0]
    assert "pytest" in blocks(sections[1], "sh")[1]


def test_the_console_script_of_the_readme_is_the_one_that_is_installed():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["scripts"] == {"hatchmargin": "dashboard.__main__:main"}


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_pictures_and_places_that_are_named_exist(text):
    named = set(re.findall(r"\]\((?!http)([^)#]+)\)", text))
    named |= set(re.findall(r"`((?:genetics|econ|dashboard|tests|demo_prices|\.ci)/[\w./]*)`", text))
    named = {name for name in named if "screens/" not in name or name.startswith("dashboard")}
    missing = [name for name in sorted(named) if not (ROOT / name).exists()]
    assert named
    assert not missing


def test_every_word_of_the_word_list_stands_in_the_code():
    table = DEVELOPERS.split("## Word list")[1].split("\n## ")[0]
    words = re.findall(r"^\| `(\w+)`", table, re.MULTILINE)
    code = "\n".join(
        path.read_text(encoding="utf-8")
        for room in ("genetics", "econ", "dashboard")
        for path in (ROOT / room).rglob("*.py")
    )
    missing = [word for word in words if not re.search(rf"\b{word}\b", code)]
    assert len(words) > 20
    assert not missing
