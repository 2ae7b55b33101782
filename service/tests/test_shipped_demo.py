from house import ROOT

SHIPPED = ROOT / "service" / "mouldwright" / "scenario" / "demo"


def test_the_shop_that_ships_in_the_package_is_the_one_under_scenarios():
    """One text in two places: an installed package has no scenarios folder beside it."""
    folders = [folder for folder in SHIPPED.iterdir() if any(folder.glob("*.toml"))]
    assert folders
    for shipped in folders:
        shown = ROOT / "scenarios" / shipped.name
        names = sorted(path.name for path in shipped.glob("*.toml"))
        assert sorted(path.name for path in shown.glob("*.toml")) == names
        for name in names:
            assert (shipped / name).read_bytes() == (shown / name).read_bytes(), name
