"""Coordinate files: read beside the scenario, and from nowhere else."""

from __future__ import annotations

from pathlib import Path

import pytest
from written_shop import WHOLE

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.part.shape import Coordinates
from mouldwright.scenario.coordinates import Refused, columns
from mouldwright.scenario.read import read_scenario, read_scenario_text

# A flat diamond, tail over the top to the nose and back below; worked by hand.
DIAMOND = "Diamond\n1.0 0.0\n0.5 0.05\n0.0 0.0\n0.5 -0.05\n1.0 0.0\n"
NACA = 'shape = "naca4", code = "0010", chord_mm = 60, tip_chord_mm = 48'


def scenario(folder: Path, name: str) -> Path:
    text = WHOLE.replace(NACA, f"shape = 'coordinates', file = '{name}', chord_mm = 60")
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    return folder / "shop.toml"


def problem_of(path: Path) -> str:
    with pytest.raises(InvalidInput) as raised:
        read_scenario(path)
    (fault,) = raised.value.faults
    assert fault.path == "parts.vane.section.file"
    assert fault.line > 0
    return fault.problem


def test_a_coordinate_file_beside_the_scenario_is_read(tmp_path: Path) -> None:
    (tmp_path / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    section = read_scenario(scenario(tmp_path, "diamond.dat")).shop.parts["vane"].section
    assert isinstance(section, Coordinates)
    assert section.source == "diamond.dat"
    assert set(section.points) == {(1.0, 0.0), (0.5, 0.05), (0.0, 0.0), (0.5, -0.05)}


def test_a_file_in_a_folder_below_is_read(tmp_path: Path) -> None:
    (tmp_path / "sections").mkdir()
    (tmp_path / "sections" / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    shop = read_scenario(scenario(tmp_path, "sections/diamond.dat")).shop
    assert isinstance(shop.parts["vane"].section, Coordinates)


def test_points_in_the_text_are_the_same_section_as_their_file(tmp_path: Path) -> None:
    (tmp_path / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    from_file = read_scenario(scenario(tmp_path, "diamond.dat")).shop.parts["vane"].section
    points = "points = [[1, 0], [0.5, 0.05], [0, 0], [0.5, -0.05], [1, 0]]"
    text = WHOLE.replace(NACA, f"shape = 'coordinates', {points}, chord_mm = 60")
    written = read_scenario_text(text).shop.parts["vane"].section
    assert isinstance(from_file, Coordinates)
    assert isinstance(written, Coordinates)
    assert written.points == from_file.points


@pytest.mark.parametrize("name", ["../diamond.dat", "sections/../../diamond.dat"])
def test_a_path_out_of_the_folder_is_refused_though_the_file_is_there(
    tmp_path: Path, name: str
) -> None:
    (tmp_path / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    inner = tmp_path / "inner"
    (inner / "sections").mkdir(parents=True)
    assert "leads out" in problem_of(scenario(inner, name))


def test_an_absolute_path_is_refused_even_into_the_folder(tmp_path: Path) -> None:
    (tmp_path / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    assert "absolute" in problem_of(scenario(tmp_path, str(tmp_path / "diamond.dat")))


@pytest.mark.parametrize("name", [r"C:\diamond.dat", r"\\host\share\diamond.dat"])
def test_paths_of_another_system_are_refused(tmp_path: Path, name: str) -> None:
    assert "absolute" in problem_of(scenario(tmp_path, name))


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    inner = tmp_path / "inner"
    inner.mkdir()
    (inner / "near.dat").symlink_to(tmp_path / "diamond.dat")
    assert "link" in problem_of(scenario(inner, "near.dat"))


def test_a_file_that_is_not_there_lists_those_that_are(tmp_path: Path) -> None:
    (tmp_path / "diamond.dat").write_text(DIAMOND, encoding="utf-8")
    with pytest.raises(InvalidInput, match=r"Files there: diamond\.dat"):
        read_scenario(scenario(tmp_path, "dimond.dat"))


def test_a_line_that_is_not_two_numbers_is_named(tmp_path: Path) -> None:
    torn = DIAMOND.replace("0.0 0.0\n0.5 -0.05", "0.0 0.0\nnose")
    (tmp_path / "torn.dat").write_text(torn, encoding="utf-8")
    assert "line 5" in problem_of(scenario(tmp_path, "torn.dat"))


def test_points_that_make_no_section_are_refused(tmp_path: Path) -> None:
    (tmp_path / "line.dat").write_text("0 0\n1 0\n", encoding="utf-8")
    assert "no section" in problem_of(scenario(tmp_path, "line.dat"))


def test_a_bad_file_does_not_hide_another_fault(tmp_path: Path) -> None:
    path = scenario(tmp_path, "none.dat")
    text = path.read_text(encoding="utf-8").replace("quantity = 2\n", "quantity = -2\n")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InvalidInput) as raised:
        read_scenario(path)
    assert [fault.path for fault in raised.value.faults] == [
        "parts.vane.section.file",
        'orders["8"].quantity',
    ]


def test_a_text_alone_has_no_files() -> None:
    text = WHOLE.replace(NACA, "shape = 'coordinates', file = 'diamond.dat', chord_mm = 60")
    with pytest.raises(InvalidInput, match="no folder"):
        read_scenario_text(text)


def test_notes_below_the_points_are_left_out_and_a_hole_among_them_is_not() -> None:
    rows = "A foil\n1 0\n0.5 0.06\n0 0\n0.5 -0.06\n1 0\n"
    plain = columns(rows)
    assert len(plain) == 5
    assert columns(rows + "\nDrawn by a friend, 1998\nlift: 6.7 at 2 degrees\n") == plain
    with pytest.raises(Refused, match="line 4 of the file is not two numbers"):
        columns(rows.replace("0 0\n", "nought\n", 1))
    with pytest.raises(Refused, match="line 7 of the file is not two numbers"):
        columns(rows + "1.0\n")
