"""Formulas of corrosion and bolting with units and directions, for the registry."""

from collections.abc import Iterator

from selector.engineering.bolting import ThreadForm, preload_n, torque_nm
from selector.engineering.corrosion_iso import coating_um, line_loss_um, power_loss_um
from selector.engineering.over import Argument, Formula


def loss_formulas() -> Iterator[Formula]:
    """Losses over years; what an exponent does turns at one year, so both its ends are tried."""
    loss = (
        Argument("first year", "um", "rising"),
        Argument("exponent", "", "piecewise"),
        Argument("years", "a", "rising"),
    )
    yield Formula("power loss", power_loss_um, "um", "ISO 9224, (2)", loss)
    yield Formula("line loss", line_loss_um, "um", "ISO 9224, above 20 years", loss)
    mass = (Argument("coating", "g/m2", "rising"), Argument("density", "kg/m3", "falling"))
    yield Formula("coating thickness", coating_um, "um", "geometry", mass)


def bolt_formulas(form: ThreadForm) -> Iterator[Formula]:
    """Torque from preload and preload from torque for one thread."""

    def torque(preload: float, thread: float, head: float) -> float:
        return torque_nm(form, preload, thread, head)

    def preload(given: float, thread: float, head: float) -> float:
        return preload_n(form, given, thread, head)

    clause = "VDI 2230, (R13/1)"
    rough = (Argument("thread friction", "", "rising"), Argument("head friction", "", "rising"))
    smooth = (Argument("thread friction", "", "falling"), Argument("head friction", "", "falling"))
    force = Argument("preload", "N", "rising")
    yield Formula(f"{form.name} torque", torque, "Nm", clause, (force, *rough))
    turned = Argument("torque", "Nm", "rising")
    yield Formula(f"{form.name} preload", preload, "N", clause, (turned, *smooth))
