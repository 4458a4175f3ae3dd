"""On the open network the program refuses to run with a setting that is unsafe."""

import pytest

from tests.config.running import SAFE, manage, python


def refusal(data, **settings):
    """What the settings say when they are read; empty when they are accepted."""
    said = python("-c", "import config.settings", GRAINGLASS_DATA=str(data), **{**SAFE, **settings})
    lines = said.stderr.strip().splitlines()
    return lines[-1] if said.returncode else ""


def test_safe_settings_are_accepted(tmp_path):
    assert refusal(tmp_path) == ""


@pytest.mark.parametrize(
    ("name", "value", "reason"),
    [
        ("GRAINGLASS_DEBUG", "1", "GRAINGLASS_DEBUG is on"),
        ("GRAINGLASS_HTTPS", "0", "GRAINGLASS_HTTPS is off"),
        ("GRAINGLASS_SECRET", "short", "GRAINGLASS_SECRET is shorter than 50 characters"),
        ("GRAINGLASS_HOSTS", "*", "GRAINGLASS_HOSTS has '*'"),
        ("GRAINGLASS_HOSTS", "panels.example.org,*", "GRAINGLASS_HOSTS has '*'"),
        ("GRAINGLASS_HOSTS", "", "GRAINGLASS_HOSTS has '*'"),
    ],
)
def test_an_unsafe_setting_is_refused_by_name(tmp_path, name, value, reason):
    assert reason in refusal(tmp_path, **{name: value})


def test_every_unsafe_setting_is_named_at_once(tmp_path):
    said = refusal(tmp_path, GRAINGLASS_DEBUG="1", GRAINGLASS_HOSTS="*")
    assert "GRAINGLASS_DEBUG" in said
    assert "GRAINGLASS_HOSTS" in said


def test_without_any_secret_it_says_how_to_get_one(tmp_path):
    assert "There is no secret" in refusal(tmp_path, GRAINGLASS_SECRET="")


def test_start_tells_a_refusal_without_a_traceback(tmp_path):
    said = manage(
        "start", "--port", "18999", GRAINGLASS_DATA=str(tmp_path), **{**SAFE, "GRAINGLASS_HOSTS": "*"}
    )
    assert said.returncode == 1
    assert said.stderr.startswith("Not started, since this is unsafe: GRAINGLASS_HOSTS has '*'")
    assert "Traceback" not in said.stderr


def test_djangos_check_for_deployment_finds_nothing(tmp_path):
    said = manage("check", "--deploy", "--fail-level", "WARNING", GRAINGLASS_DATA=str(tmp_path), **SAFE)
    assert said.returncode == 0, said.stderr
    assert "no issues" in said.stdout
