"""A real server and a real browser for the tests of the screens."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

REPOSITORY = Path(__file__).resolve().parents[2]
SCREENS = Path(__file__).resolve().parent / "screens"
WIDTHS = {"wide": (1280, 900), "phone": (390, 844)}
RULES = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
SETTLED = """() => {
  const app = document.querySelector('[data-testid="stApp"]');
  return app && app.dataset.testScriptState === 'notRunning'
    && !document.querySelector('[data-testid="stSkeleton"]')
    && (document.querySelector('h1') || document.querySelector('[data-testid="stException"]'));
}"""
FIT = """() => {
  const main = document.querySelector('[data-testid="stMain"]');
  return [main.scrollHeight, main.scrollWidth - main.clientWidth];
}"""


@dataclass
class Server:
    """A running program: its address, its own folder and the log of all it printed."""

    url: str
    port: int
    home: Path
    log: Path

    def printed(self) -> str:
        return self.log.read_text(encoding="utf-8") if self.log.exists() else ""


@dataclass
class Visit:
    """One browser window; requests that leave this computer are stopped and noted."""

    page: Any
    server: Server
    outside: list[str] = field(default_factory=list)

    def open(self, address: str) -> None:
        self.page.goto(f"{self.server.url}/{address}")
        self.settle()

    def settle(self) -> None:
        """Wait until the page stands still."""
        self.page.wait_for_timeout(150)
        self.page.wait_for_function(SETTLED, timeout=60_000)
        self.page.wait_for_timeout(450)
        self.page.wait_for_function(SETTLED, timeout=60_000)

    def turn(self, width: str, scheme: str) -> None:
        """Change the window's width and the system's light or dark while the page stays open."""
        across, down = WIDTHS[width]
        self.page.set_viewport_size({"width": across, "height": down})
        self.page.emulate_media(color_scheme=scheme)
        self.page.wait_for_timeout(600)
        self.settle()

    def fit(self) -> tuple[int, int]:
        """Give the height of the page and how far it can be scrolled sideways [px]."""
        height, sideways = self.page.evaluate(FIT)
        return int(height), int(sideways)

    def faults(self) -> list[str]:
        """Give the texts of errors shown on the page."""
        return self.page.locator('[data-testid="stException"], .st-key-broken').all_inner_texts()

    def axe_findings(self) -> list[str]:
        """Give what axe finds against WCAG 2.2 AA, one line per rule."""
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(self.page, options={"runOnly": RULES}).response["violations"]
        lines = []
        for rule in found:
            first = rule["nodes"][0]
            why = " ".join(part["message"] for part in first.get("any", [])[:1])
            lines.append(f"{rule['impact']} {rule['id']} x{len(rule['nodes'])}: {first['target']} {why}")
        return lines

    def save(self, name: str) -> Path:
        """Take a picture of the whole page."""
        SCREENS.mkdir(exist_ok=True)
        size = self.page.viewport_size
        height = min(max(self.fit()[0] + 10, size["height"]), 6000)
        self.page.set_viewport_size({"width": size["width"], "height": height})
        self.page.wait_for_timeout(500)
        path = SCREENS / f"{name}.png"
        self.page.screenshot(path=str(path))
        self.page.set_viewport_size(size)
        return path


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


def wait_until_up(url: str, process: subprocess.Popen[bytes], seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        assert process.poll() is None, "the server ended before it answered"
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1) as answer:
                if answer.read() == b"ok":
                    return
        except (urllib.error.URLError, OSError):
            pass
        time.sleep(0.05)
    pytest.fail("the server did not answer within a minute")


def environment(home: Path) -> dict[str, str]:
    kept = {
        key: value for key, value in os.environ.items() if not key.startswith(("STREAMLIT_", "HATCHMARGIN_"))
    }
    return {**kept, "HOME": str(home), "HATCHMARGIN_HOME": str(home), "PYTHONPATH": str(REPOSITORY)}


def served(command: list[str], home: Path, port: int, folder: Path, log: Path) -> Iterator[Server]:
    """Run a program until the tests are through; a trace in its log fails them."""
    server = Server(f"http://127.0.0.1:{port}", port, home, log)
    with (home / "printed.txt").open("wb") as printed:
        process = subprocess.Popen(command, cwd=folder, stdout=printed, stderr=printed, env=environment(home))
        try:
            wait_until_up(server.url, process)
            yield server
        finally:
            process.terminate()
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                process.kill()
    traces = server.printed().count("Traceback")
    assert traces == 0, f"{traces} traces in the log:\n{server.printed()[-3000:]}"


@pytest.fixture(scope="session")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The program as a breeder starts it, with a folder of its own: the demo book is open."""
    home, port = tmp_path_factory.mktemp("home"), free_port()
    command = [sys.executable, "-m", "dashboard", "--no-browser", "--port", str(port)]
    yield from served(command, home, port, REPOSITORY, home / "hatchmargin.log")


@pytest.fixture
def fresh_app(tmp_path: Path) -> Iterator[Server]:
    """The program at its first start, not asked anything yet."""
    port = free_port()
    command = [sys.executable, "-m", "dashboard", "--no-browser", "--port", str(port)]
    yield from served(command, tmp_path, port, REPOSITORY, tmp_path / "hatchmargin.log")


@pytest.fixture(scope="session")
def gallery(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Every figure with invented data, in the program's own theme."""
    home, port = tmp_path_factory.mktemp("gallery"), free_port()
    script = REPOSITORY / "tests" / "dashboard" / "figures" / "gallery.py"
    command = [sys.executable, "-m", "streamlit", "run", str(script), f"--server.port={port}"]
    yield from served(command, home, port, REPOSITORY / "dashboard", home / "printed.txt")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """A browser; without one the tests are skipped with the reason, or fail where CI asks for them."""
    path = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if path is None:
        reason = "no chromium on this computer: the screens can't be tested in a real browser"
        if os.environ.get("CI", "").lower() == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def visit(chromium: Any) -> Iterator[Callable[..., Visit]]:
    """Open windows: ``visit(server, "wide", "light")``; none of them may ask anything of another computer."""
    opened: list[tuple[Any, Visit]] = []

    def open_window(server: Server, width: str = "wide", scheme: str = "light") -> Visit:
        across, down = WIDTHS[width]
        context = chromium.new_context(
            color_scheme=scheme, viewport={"width": across, "height": down}, reduced_motion="reduce"
        )
        window = Visit(context.new_page(), server)
        home = server.url

        def judge(route: Any) -> None:
            url = route.request.url
            if url.startswith((home, home.replace("http", "ws"), "data:", "blob:")):
                route.continue_()
            else:
                window.outside.append(url)
                route.abort()

        context.route("**/*", judge)
        opened.append((context, window))
        return window

    yield open_window
    for context, _ in opened:
        context.close()
    assert [url for _, window in opened for url in window.outside] == []
