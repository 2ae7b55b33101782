"""A printed shell with infill."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.material import Material
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Naca4, Rectangle
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import PrintStructure
from mouldwright.domain.structure.made import along
from mouldwright.domain.structure.making import made

POLYMER = Material(key="polymer", title="Polymer", density_kg_m3=1240, modulus_gpa=3.0)
BAR = Part(key="bar", title="Bar", span_mm=200, section=Rectangle(width_mm=20, height_mm=8))
PRINT = PrintStructure(material="polymer", walls=2, wall_mm=0.5, infill=0.5)


def printed(structure, part=BAR):
    process = Process(key="printed", title="Printed", structure=structure, operations=())
    return made(part, process, {"polymer": POLYMER})


def test_a_bar_is_its_shell_and_its_filled_inside():
    # Shell 1 mm: inside 18 x 6. EI = 3000·(20·8³ - 0.75·18·6³)/12, infill 0.5² = 0.25 of the
    # modulus; mass (160 - 0.5·108)·200·1.24e-3 g. By hand.
    found = printed(PRINT)
    expected = 3000 * (20 * 8**3 - 0.75 * 18 * 6**3) / 12
    assert found.root_bending_n_mm2 == pytest.approx(expected)
    assert found.charge.finished_g == pytest.approx((160 - 54) * 200 * 1.24e-3)
    assert found.charge.volume_mm3 == pytest.approx(160 * 200)


def test_layers_take_their_share_of_stiffness_and_none_of_the_mass():
    whole, layered = printed(PRINT), printed(replace(PRINT, layer_factor=0.85))
    assert layered.root_bending_n_mm2 == pytest.approx(0.85 * whole.root_bending_n_mm2)
    assert layered.charge.finished_g == whole.charge.finished_g


def test_a_section_thinner_than_two_shells_is_solid():
    found = printed(replace(PRINT, walls=8, infill=0.1))
    assert found.root_bending_n_mm2 == pytest.approx(3000 * 20 * 8**3 / 12)
    assert found.charge.finished_g == pytest.approx(160 * 200 * 1.24e-3)


def test_a_taper_is_solid_where_it_gets_thin_and_filled_where_it_is_thick():
    part = replace(BAR, section=Rectangle(width_mm=20, height_mm=8, tip_height_mm=2))
    found = printed(replace(PRINT, infill=0.0), part)
    # At the tip 2 mm is two shells of 1 mm: all solid, 20·2³/12 mm⁴ there.
    assert found.bending_n_mm2[-1, -1] == pytest.approx(3000 * 20 * 2**3 / 12, rel=0.05)
    # Hollow: the shell's area is bh - (b - 2)(h - 2) all along, h linear from 8 to 2:
    # mean 20·5 - 18·3 = 46 mm².
    assert found.charge.finished_g == pytest.approx(46 * 200 * 1.24e-3, rel=2e-3)
    assert along(found.mass_g_mm, 200) == pytest.approx(found.charge.finished_g)


@given(
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.sampled_from([1.0, 1.5, 2.0]),
    st.integers(1, 5),
)
def test_more_infill_is_stiffer_and_heavier(one, other, exponent, walls):
    base = replace(PRINT, walls=walls, infill_exponent=exponent)
    less, more = (printed(replace(base, infill=i)) for i in sorted((one, other)))
    assert np.all(less.bending_n_mm2 <= more.bending_n_mm2 * (1 + 1e-12))
    assert less.charge.finished_g <= more.charge.finished_g * (1 + 1e-12)


def test_filled_solid_it_is_the_solid_part():
    foil = replace(BAR, section=Naca4(code="2412", chord_mm=64, tip_chord_mm=40))
    solid = printed(replace(PRINT, infill=1.0), foil)
    assert solid.charge.finished_g == pytest.approx(solid.charge.volume_mm3 * 1.24e-3)


def test_a_shell_bears_more_than_its_share_of_the_mass():
    # The outside is where bending is borne: half the infill off loses less stiffness than mass.
    whole, half = printed(replace(PRINT, infill=1.0)), printed(PRINT)
    stiffness = half.root_bending_n_mm2 / whole.root_bending_n_mm2
    assert stiffness > half.charge.finished_g / whole.charge.finished_g


def test_less_than_one_wall_cannot_be_printed():
    thin = replace(BAR, section=Rectangle(width_mm=20, height_mm=0.4))
    (reason,) = printed(PRINT, thin).reasons
    assert reason.startswith("printing needs 0.5 mm of thickness")
    assert printed(replace(PRINT, least_thickness_mm=0.3), thin).reasons == ()
