"""The settings file says what the palette says, and keeps the program to this computer."""

from __future__ import annotations

import tomllib

from streamlit import config

from dashboard.figures.palette import DARK, LIGHT
from dashboard.figures.theme import CONFIG_PATH, config_text, write_config


def test_the_settings_file_is_the_one_the_palette_writes():
    assert CONFIG_PATH.read_text(encoding="utf-8") == config_text()


def test_writing_it_again_changes_nothing(tmp_path):
    path = write_config(tmp_path / ".streamlit" / "config.toml")
    assert path.read_text(encoding="utf-8") == config_text()


def test_the_server_answers_this_computer_alone_and_tells_nobody():
    said = tomllib.loads(config_text())
    assert said["server"]["address"] == "127.0.0.1"
    assert set(said["server"]["allowedHosts"]) == {"127.0.0.1", "localhost"}
    assert said["server"]["enableCORS"] is True
    assert said["server"]["enableXsrfProtection"] is True
    assert said["browser"]["gatherUsageStats"] is False
    assert said["client"]["showErrorDetails"] == "none"


def test_every_setting_is_one_that_streamlit_knows():
    known = set(config.get_config_options())
    said = tomllib.loads(config_text())
    for section in ("server", "browser", "client", "runner"):
        assert {f"{section}.{option}" for option in said[section]} <= known
    plain = {name for name, value in said["theme"].items() if not isinstance(value, dict)}
    assert {f"theme.{name}" for name in plain} <= known
    for scheme in ("light", "dark"):
        assert {f"theme.{scheme}.{name}" for name in said["theme"][scheme]} <= known


def test_each_theme_carries_its_own_palette():
    theme = tomllib.loads(config_text())["theme"]
    for palette in (LIGHT, DARK):
        said = theme[palette.name]
        assert said["backgroundColor"] == palette.bg
        assert said["textColor"] == palette.ink
        assert said["redTextColor"] == palette.loss
        assert said["orangeTextColor"] == palette.flood
        assert said["violetTextColor"] == palette.welfare
        assert said["chartCategoricalColors"][0] == palette.forecast
        assert said["chartSequentialColors"][0] == palette.band95
        assert said["chartSequentialColors"][-1] == palette.forecast
