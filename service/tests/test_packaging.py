"""What is installed, pinned, documented and put into the image agrees with itself."""

from __future__ import annotations

import json
import re
import tomllib

import pytest
from house import PACKAGE, ROOT

import mouldwright
from mouldwright.api.app import ROUTERS
from mouldwright.settings import Settings

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
RUN = PROJECT["dependencies"]
EXTRAS = [name for extra in PROJECT["optional-dependencies"].values() for name in extra]
CONSTRAINTS = (ROOT / "service" / "constraints.txt").read_text().splitlines()
DOCKERFILE = (ROOT / "docker" / "Dockerfile").read_text()


def plain(requirement: str) -> str:
    name = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert name, requirement
    return re.sub(r"[-_.]+", "-", name[0]).lower()


def steps(keyword: str) -> list[str]:
    """Return what follows each line of the image's recipe that opens with the keyword."""
    return re.findall(rf"^{keyword} (.+)$", DOCKERFILE, re.M)


@pytest.mark.parametrize("requirement", [*RUN, *EXTRAS])
def test_every_dependency_has_its_tested_version_and_its_reason(requirement):
    pinned = {plain(line) for line in CONSTRAINTS}
    assert plain(requirement) in pinned
    reasons = re.findall(r"^\| (\S+) \|", (ROOT / "docs" / "dependencies.md").read_text(), re.M)
    assert plain(requirement) in reasons


def test_no_reason_is_left_for_a_dependency_that_is_gone():
    reasons = re.findall(r"^\| (\S+) \|", (ROOT / "docs" / "dependencies.md").read_text(), re.M)
    named = {plain(requirement) for requirement in [*RUN, *EXTRAS]}
    assert set(reasons) - {"package", "---"} == named


def test_constraints_are_exact_versions_and_name_no_place():
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9._+!-]+", line) for line in CONSTRAINTS)
    assert "mouldwright" not in {plain(line) for line in CONSTRAINTS}


def test_the_changelog_opens_with_this_version():
    versions = re.findall(r"^## (\S+)", (ROOT / "docs" / "changelog.md").read_text(), re.M)
    assert versions[0] == mouldwright.__version__


def test_the_image_copies_what_exists_and_all_that_an_install_needs():
    sources = [word for line in steps("COPY") for word in line.split()[:-1]]
    assert [source for source in sources if not (ROOT / source).exists()] == []
    needed = {"pyproject.toml", PROJECT["readme"], "service/constraints.txt"}
    assert needed | {str(PACKAGE.relative_to(ROOT))} <= set(sources)


def test_the_image_installs_tested_versions_after_copying_and_runs_as_nobody_in_particular():
    order = re.findall(r"^(COPY|RUN pip|USER|ENTRYPOINT|CMD)\b", DOCKERFILE, re.M)
    assert order == [*["COPY"] * order.count("COPY"), "RUN pip", "USER", "ENTRYPOINT", "CMD"]
    assert any("-c service/constraints.txt" in line for line in steps("RUN"))
    (user,) = steps("USER")
    assert int(user) > 0
    assert any("useradd" in line and f"--uid {user} bench" in line for line in steps("RUN"))


def test_the_image_starts_the_console_script_with_a_command_it_has():
    from typer.main import get_command

    from mouldwright.cli.main import app

    assert steps("ENTRYPOINT") == ['["mouldwright"]']
    assert list(PROJECT["scripts"]) == ["mouldwright"]
    (started,) = steps("CMD")
    assert json.loads(started)[0] in get_command(app).commands


def test_the_image_keeps_its_data_in_a_volume_that_is_its_users_own():
    (volume,) = steps("VOLUME")
    assert any(f"install -d -o bench -m 700 {volume}" in line for line in steps("RUN"))
    lines = [line.removeprefix("MOULDWRIGHT_").split("=", 1) for line in steps("ENV")]
    given = {name.lower(): value for name, value in lines if name != "PYTHONDONTWRITEBYTECODE"}
    assert set(given) <= set(Settings.model_fields)
    settings = Settings(**given)
    assert settings.database_url.get_secret_value() == f"sqlite:///{volume}/mouldwright.db"
    assert settings.host == "0.0.0.0"


def test_the_health_of_the_image_is_asked_where_it_is_answered():
    (asked,) = re.findall(r"http://127\.0\.0\.1:(\d+)(/\S+?)'", DOCKERFILE)
    assert asked[0] == steps("EXPOSE")[0] == str(Settings().port)
    assert asked[1] in {route.path for router in ROUTERS for route in router.routes}


def test_the_image_has_a_python_that_the_project_accepts():
    image = re.match(r"python:3\.(\d+)-slim$", steps("FROM")[0])
    assert image
    assert PROJECT["requires-python"] == ">=3.11"
    assert int(image[1]) >= 11
