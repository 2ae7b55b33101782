"""Materials as they are written down: what they are, and how they are mixed."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from mouldwright.domain import material as domain
from mouldwright.wire.estimate import Range, range_of, want_within, written_range
from mouldwright.wire.hours import Date
from mouldwright.wire.model import Key, Model, Text, key, title_from
from mouldwright.wire.numbers import (
    Above,
    Amount,
    AmountAbove,
    MinutesDown,
    Money,
    NotBelow,
    PoissonRatio,
    Rate,
    Whole,
    money_text,
    wrong,
)
from mouldwright.wire.warmth import Warmth


class Fibre(Model):
    """A chopped fibre."""

    length_mm: Above = key("Length it is chopped to.", unit="mm")
    diameter_um: Above = key("Diameter of one filament.", unit="µm")
    length_range: Range | None = key(
        "Least and most its length may be, as shares of it; answers then give ranges.",
        default=None,
    )

    def model_post_init(self, _context: object) -> None:
        """Want the stated length within the range."""
        want_within(self.length_range, Decimal(1), "length_range")

    def fibre(self) -> domain.Fibre:
        """Return the fibre that was written."""
        return domain.Fibre(
            length_mm=self.length_mm,
            diameter_um=self.diameter_um,
            length_range=range_of(self.length_range),
        )

    @classmethod
    def of(cls, fibre: domain.Fibre) -> Fibre:
        """Return a fibre as it would be written."""
        return cls.written(
            length_mm=fibre.length_mm,
            diameter_um=fibre.diameter_um,
            length_range=written_range(fibre.length_range),
        )


class Rod(Model):
    """A rod or tube bought by the metre."""

    diameter_mm: Above = key("Outer diameter.", unit="mm")
    inner_diameter_mm: NotBelow = key(
        "Inner diameter of a tube, 0 for solid.", default=0.0, unit="mm"
    )

    diameter_range: Range | None = key(
        "Least and most its diameter may be, as shares of it; answers then give ranges.",
        default=None,
    )

    def model_post_init(self, _context: object) -> None:
        """Refuse a bore as wide as the rod, and a range the stated one lies outside."""
        want_within(self.diameter_range, Decimal(1), "diameter_range")
        if self.inner_diameter_mm >= self.diameter_mm:
            raise wrong(
                "the bore is as wide as the rod.",
                f"Write less than {self.diameter_mm:g}.",
                key="inner_diameter_mm",
            )

    def rod(self) -> domain.Rod:
        """Return the rod that was written."""
        return domain.Rod(
            diameter_mm=self.diameter_mm,
            inner_diameter_mm=self.inner_diameter_mm,
            diameter_range=range_of(self.diameter_range),
        )

    @classmethod
    def of(cls, rod: domain.Rod) -> Rod:
        """Return a rod as it would be written."""
        return cls.written(
            diameter_mm=rod.diameter_mm,
            inner_diameter_mm=rod.inner_diameter_mm,
            diameter_range=written_range(rod.diameter_range),
        )


class Mix(Model):
    """How a material is mixed from stocked components."""

    parts: dict[Key, AmountAbove] = key("Parts of each component, by the key of its material.")
    by: Literal["mass", "volume"] = key("What the parts are parts of.", default="mass")
    pot_life_min: MinutesDown = key(
        "From the end of mixing until it can no longer be worked.", unit="min"
    )
    most_mixed_g: AmountAbove = key(
        "The most that may safely be mixed at once, what is lost included.", unit="g"
    )
    least_mixed_g: Amount = key(
        "The least worth mixing; below it this much is mixed and charged.",
        default=Decimal(0),
        unit="g",
    )
    lost_g: Amount = key("Left in the cup, each mix.", default=Decimal(0), unit="g")
    lost_share: Rate = key("Lost besides, as a share of what the parts take.", default=Decimal(0))

    def model_post_init(self, _context: object) -> None:
        """Refuse a mix of nothing, and limits that leave no mix."""
        if not self.parts:
            raise wrong("a mix has no components.", "Name at least one.", key="parts")
        if self.least_mixed_g > self.most_mixed_g:
            raise wrong(
                "the least mixed is more than the most.",
                f"Write at most {self.most_mixed_g:f}.",
                key="least_mixed_g",
            )
        if self.lost_g >= self.most_mixed_g:
            raise wrong(
                "all that may be mixed would be lost.",
                f"Write less than {self.most_mixed_g:f}.",
                key="lost_g",
            )


class Material(Model):
    """One material, stocked or mixed; the table's key is its name everywhere else."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    density_kg_m3: Above = key("Density.", unit="kg/m³")
    modulus_gpa: Above | None = key(
        "Young's modulus, along the fibre for a fibre or rod.", default=None, unit="GPa"
    )
    transverse_modulus_gpa: Above | None = key(
        "Young's modulus across a fibre.", default=None, unit="GPa"
    )
    shear_modulus_gpa: Above | None = key(
        "Shear modulus; left out, it follows from Poisson's ratio.", default=None, unit="GPa"
    )
    poisson_ratio: PoissonRatio = key("Poisson's ratio.", default=0.35)
    fibre: Fibre | None = key("What kind of fibre it is, for a fibre.", default=None)
    rod: Rod | None = key("What kind of rod it is, for a rod.", default=None)
    mix: Mix | None = key("How it is mixed, for a mixed material.", default=None)
    shelf_life_days: Whole | None = key(
        "From delivery until it may not be used.", default=None, unit="days"
    )
    cost_per_kg: Money | None = key(
        "What it costs where no offer holds it.", default=None, unit="per kg"
    )
    cost_per_m: Money | None = key(
        "The same for a material bought by the metre.", default=None, unit="per m"
    )
    modulus_range: Range | None = key(
        "Least and most its stiffness may really be, as shares of what is stated; answers then "
        "give a range of bend too.",
        default=None,
    )
    density_range: Range | None = key(
        "Least and most its density may be, as shares of it; answers then say a range of mass.",
        default=None,
    )
    price_range: Range | None = key(
        "Least and most its price may turn out, as shares of it.", default=None
    )
    warmth: Warmth | None = key(
        "What its sheet says of temperature; left out, its times hold at any.", default=None
    )
    strength_mpa: Above | None = key(
        "What it bears in bending, from the maker's sheet: for a rod, a skin or a core; answers "
        "then say what share of it is used.",
        default=None,
        unit="MPa",
    )
    greatest_c: Amount | None = key(
        "The hottest it may get in a part; left out, no heat is too much.", default=None, unit="°C"
    )
    cautions: list[Text] = key("The usual cautions, shown wherever it is used.", default=[])

    def model_post_init(self, _context: object) -> None:
        """Want today's price within the range."""
        want_within(self.price_range, Decimal(1), "price_range")
        want_within(self.modulus_range, Decimal(1), "modulus_range")
        want_within(self.density_range, Decimal(1), "density_range")

    def material(self, name: str) -> domain.Material:
        """Return the material of that key."""
        return domain.Material(
            key=name,
            title=self.title or title_from(name),
            density_kg_m3=self.density_kg_m3,
            modulus_gpa=self.modulus_gpa,
            transverse_modulus_gpa=self.transverse_modulus_gpa,
            shear_modulus_gpa=self.shear_modulus_gpa,
            poisson_ratio=self.poisson_ratio,
            fibre=self.fibre.fibre() if self.fibre else None,
            rod=self.rod.rod() if self.rod else None,
            mix=domain.Mix(**dict(self.mix)) if self.mix else None,
            shelf_life_days=self.shelf_life_days,
            cost_per_kg=self.cost_per_kg,
            cost_per_m=self.cost_per_m,
            price_range=range_of(self.price_range),
            modulus_range=range_of(self.modulus_range),
            density_range=range_of(self.density_range),
            warmth=self.warmth.warmth() if self.warmth else None,
            greatest_c=self.greatest_c,
            strength_mpa=self.strength_mpa,
            cautions=tuple(self.cautions),
        )

    @classmethod
    def of(cls, material: domain.Material) -> Material:
        """Return the material as it would be written."""
        fibre, rod, mix = material.fibre, material.rod, material.mix
        return cls.written(
            title=None if material.title == title_from(material.key) else material.title,
            density_kg_m3=material.density_kg_m3,
            modulus_gpa=material.modulus_gpa,
            transverse_modulus_gpa=material.transverse_modulus_gpa,
            shear_modulus_gpa=material.shear_modulus_gpa,
            poisson_ratio=material.poisson_ratio,
            fibre=Fibre.of(fibre) if fibre else None,
            rod=Rod.of(rod) if rod else None,
            mix=Mix(
                parts=dict(mix.parts),
                by=mix.by,
                pot_life_min=mix.pot_life_min,
                most_mixed_g=mix.most_mixed_g,
                least_mixed_g=mix.least_mixed_g,
                lost_g=mix.lost_g,
                lost_share=mix.lost_share,
            )
            if mix
            else None,
            shelf_life_days=material.shelf_life_days,
            cost_per_kg=money_text(material.cost_per_kg),
            cost_per_m=money_text(material.cost_per_m),
            price_range=written_range(material.price_range),
            modulus_range=written_range(material.modulus_range),
            density_range=written_range(material.density_range),
            warmth=Warmth.of(material.warmth) if material.warmth else None,
            greatest_c=material.greatest_c,
            strength_mpa=material.strength_mpa,
            cautions=list(material.cautions),
        )


class Lot(Model):
    """An amount in stock: grams, or metres of a material that comes by the metre."""

    grams: Amount | None = key("Grams left.", default=None, unit="g")
    metres: Amount | None = key("Metres left.", default=None, unit="m")
    expires: Date | None = key("The last day it may be used.", default=None)
    arrives: Date | None = key(
        "The day from which it is there, for a delivery; left out, it is on the shelf.",
        default=None,
    )
    name: Text | None = key(
        "What is written on it, by which the log tells it from others; left out, its place in the "
        "list, from 1.",
        default=None,
    )
    paid: Money | None = key(
        "What was paid for all of it, shipping left out; left out, what it is worth by today's "
        "offers.",
        default=None,
    )

    def model_post_init(self, _context: object) -> None:
        """Refuse a lot of nothing, or one counted twice."""
        if (self.grams is None) == (self.metres is None):
            raise wrong("a lot is grams or metres, one of the two.", "Write one: grams = 420.")

    def lot(self, material: str) -> domain.Lot:
        """Return the lot of that material."""
        return domain.Lot(material=material, **{**dict(self), "name": self.name or ""})

    @classmethod
    def of(cls, lot: domain.Lot) -> Lot:
        """Return the lot as it would be written."""
        return cls.written(
            grams=lot.grams,
            metres=lot.metres,
            expires=lot.expires,
            arrives=lot.arrives,
            name=lot.name or None,
            paid=money_text(lot.paid),
        )
