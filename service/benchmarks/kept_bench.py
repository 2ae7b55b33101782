"""A shop kept on a database of its own, with an owner who may come in: what pages are asked of."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from mouldwright.bootstrap import open_services
from mouldwright.domain.shop import Shop
from mouldwright.settings import Settings
from mouldwright.store.migrate import migrate
from mouldwright.usecases.access import issue
from mouldwright.usecases.kept import Role, ShopVersion
from mouldwright.usecases.services import Services


def kept_bench(file: Path, key: str, shop: Shop, now: datetime) -> tuple[Services, str]:
    """Return services whose clock stands, on a new database with the shop, and an owner's secret.

    Args:
        file: Of the database.
        key: Of the shop.
        shop: As it is written.
        now: What the clock says, zone-aware.
    """
    url = f"sqlite:///{file}"
    migrate(url)
    services = replace(open_services(Settings(database_url=url)).services, clock=lambda: now)
    with services.units.write_house() as house:
        version = ShopVersion(
            key=key, version=1, title=shop.name, document=services.written.document(shop),
            written_at=now, written_by="a benchmark",
        )  # fmt: skip
        house.house.add_shop(version)
        token = issue(
            house.tokens, shop=key, role=Role.OWNER, label="a benchmark", days=1, now=now,
            chance=services.chance,
        )  # fmt: skip
        house.commit()
    return services, token.secret
